"""Boards and strings to draw and to print, as they would be published; only what a test is about need be said."""

from __future__ import annotations

from typing import Any

from builder.published import (
    PublishedCourse,
    PublishedDrawing,
    PublishedFretLine,
    PublishedFrets,
    PublishedPoint,
    PublishedString,
    PublishedTuning,
    Table,
)

NOTHING = Table((), ())


def fret_line(name: str, from_nut_mm: float, width_mm: float) -> PublishedFretLine:
    """A fret square across the board."""
    bass, treble = PublishedPoint(from_nut_mm, width_mm / 2), PublishedPoint(from_nut_mm, -width_mm / 2)
    return PublishedFretLine(name, "½" in name, False, bass, treble, 0.0)


def drawing(
    length_mm: float,
    width_at_nut_mm: float,
    width_at_end_mm: float,
    frets: tuple[PublishedFretLine, ...],
    markers_mm: tuple[float, ...] = (),
    **more: Any,
) -> PublishedDrawing:
    """A board with straight edges and its nut square across."""
    nut, end = width_at_nut_mm / 2, width_at_end_mm / 2
    corners = (
        PublishedPoint(0, nut),
        PublishedPoint(0, -nut),
        PublishedPoint(length_mm, -end),
        PublishedPoint(length_mm, end),
    )
    given: dict[str, Any] = {
        "length_is_known": True,
        "zero_fret": False,
        "outline": corners,
        "markers": tuple(PublishedPoint(x, 0.0) for x in markers_mm),
        "strings": (),
        "notes": (),
    }
    return PublishedDrawing(
        length_mm=length_mm,
        width_at_nut_mm=width_at_nut_mm,
        width_at_end_mm=width_at_end_mm,
        frets=frets,
        **{**given, **more},
    )


def frets(**given: Any) -> PublishedFrets:
    """A fret chart with nothing in it but what is given."""
    usual: dict[str, Any] = {
        "layout": "diatonic",
        "temperament": "equal",
        "temperament_source": None,
        "last": "14",
        "added": (),
        "partial": (),
        "zero_fret": False,
        "count": 14,
        "measured_along": "the centre line",
        "half_kerf_cents": None,
        "stepped": NOTHING,
        "tuning": None,
        "wire": None,
        "slot_width": None,
        "tolerance_cents": 3.0,
        "rules": (),
        "table": NOTHING,
        "rule_costs": NOTHING,
    }
    return PublishedFrets(**{**usual, **given})


def course(
    note: str, hertz: float, gauge: float | None, mm: float | None, make: str | None, count: int = 1
) -> PublishedCourse:
    """So many strings alike."""
    return PublishedCourse((PublishedString(note, hertz, gauge, mm, make),) * count, True, None)


def tuning(notes: tuple[str, ...], hertz: tuple[float, ...]) -> PublishedTuning:
    """A tuning without a note map."""
    return PublishedTuning(notes, hertz, notes[0][:-1], ("",) * len(notes), None)
