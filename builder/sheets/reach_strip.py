"""Strips of paper with the frets at their true places, for a buyer's hand to try before a scale length is settled.

Each sheet lays the strips of all scale lengths above one another, lined up at one fret (first at the nut), so that a
hand feels what an inch of scale length changes. Shapes that lie further up the board get a sheet that begins with
their lowest fret.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.lengths import Unit
from builder.published import Published, PublishedShop
from builder.published.reach_strip import PublishedHandShape, PublishedReachStrip, PublishedStrip
from builder.sheets.check_bars import ACTUAL_SIZE, BARS_HEIGHT_MM, draw_bars, draw_upright_bar
from builder.sheets.paper import PAPER_SIZES, CannotBePrinted, Paper
from builder.sheets.pen import Pen, fitted

#: A strip, the line above it that names it, and the head of the sheet.
_STRIP_MM, _NAME_MM, _HEAD_MM = 20.0, 6.0, 21.0
#: From the strip's left end to the fret they are lined up at; what the upright bar takes at the right.
_BEFORE_MM, _UPRIGHT_MM = 10.0, 8.0
_NUT_LINE_MM, _FRET_LINE_MM, _EDGE_LINE_MM = 0.7, 0.25, 0.15
_AFTER_MM = 3.0


@dataclass(frozen=True, slots=True)
class StripSheet:
    """One sheet: the fret its strips begin with (None for the nut), and the strips on it."""

    begins_at: int | None
    strips: tuple[PublishedStrip, ...]


def reach_strip_pdf(instrument: Published, reach: PublishedReachStrip, shop: PublishedShop, paper: Paper) -> bytes:
    """The strips at full size as a PDF, on paper laid on its side.

    Raises CannotBePrinted where a shape is wider than the paper, or no fret lies near enough to the nut.
    """
    size = PAPER_SIZES[paper]
    sheets = tuple(sheets_of(reach, paper))
    pen = Pen(f"Reach strips, {instrument.title}", shop.name)
    for number, sheet in enumerate(sheets, 1):
        pen.start_page(size.height_mm, size.width_mm)
        _head(pen, instrument, reach, sheet, f"sheet {number} of {len(sheets)}", paper)
        top = size.width_mm - size.margin_mm - _HEAD_MM
        for place, strip in enumerate(sheet.strips):
            _strip(pen, reach, strip, sheet.begins_at, top - place * (_NAME_MM + _STRIP_MM), paper)
        _bars(pen, shop.unit, paper)
        pen.end_page()
    return pen.finish()


def room_mm(paper: Paper) -> float:
    """How far from the fret they begin with the strips reach on a sheet laid on its side."""
    return PAPER_SIZES[paper].printable_height_mm - _BEFORE_MM - _UPRIGHT_MM - _AFTER_MM


def sheets_of(reach: PublishedReachStrip, paper: Paper) -> Iterator[StripSheet]:
    """The sheets in order: from the nut, then for shapes further up; several where there are many scale lengths."""
    size = PAPER_SIZES[paper]
    room_for_strips_mm = size.printable_width_mm - _HEAD_MM - BARS_HEIGHT_MM
    most = int(room_for_strips_mm // (_STRIP_MM + _NAME_MM))
    for begins_at in _beginnings(reach, paper):
        for first in range(0, len(reach.strips), most):
            yield StripSheet(begins_at, reach.strips[first : first + most])


def _beginnings(reach: PublishedReachStrip, paper: Paper) -> list[int | None]:
    """The frets that sheets begin with, so that every shape lies whole on one of them."""
    room = room_mm(paper)
    name = PAPER_SIZES[paper].name
    if any(not strip.places_mm or strip.places_mm[0] > room for strip in reach.strips):
        raise CannotBePrinted(
            f"spec.frets: the first fret lies further than {room:.0f} mm from the nut, beyond {name} paper laid on "
            "its side",
            "print the fret template instead, which runs over several sheets",
        )
    beginnings: list[int | None] = [None]
    for shape in sorted(reach.shapes, key=lambda each: each.first):
        if any(_shows(reach, begins_at, shape, room) for begins_at in beginnings):
            continue
        if not _shows(reach, shape.first, shape, room):
            raise CannotBePrinted(
                f"spec.reach.shapes: {shape.name} spans more than {room:.0f} mm, which {name} paper laid on its side "
                "cannot show",
                "leave this shape out; no hand spans so much",
            )
        beginnings.append(shape.first)
    return beginnings


def _shows(reach: PublishedReachStrip, begins_at: int | None, shape: PublishedHandShape, room: float) -> bool:
    """Whether a sheet beginning there shows all of a shape, at every scale length."""
    if begins_at is not None and begins_at > shape.first:
        return False
    return all(strip.places_mm[shape.last] - _start_mm(strip, begins_at) <= room for strip in reach.strips)


def _start_mm(strip: PublishedStrip, begins_at: int | None) -> float:
    return 0.0 if begins_at is None else strip.places_mm[begins_at]


def _head(
    pen: Pen, instrument: Published, reach: PublishedReachStrip, sheet: StripSheet, number: str, paper: Paper
) -> None:
    size = PAPER_SIZES[paper]
    left, right, top = size.margin_mm, size.height_mm - size.margin_mm, size.width_mm - size.margin_mm
    title, points = fitted(f"Reach strips for {instrument.title}", 16, right - left - 40.0, "title")
    pen.words(title, left, top - 6.0, points, face="title")
    pen.words(number, right, top - 6.0, 9, align="right")
    begins = "the nut" if sheet.begins_at is None else f"fret {reach.frets[sheet.begins_at]}"
    said = (
        f"{ACTUAL_SIZE} The strips begin at {begins}. Cut them out, or fold the sheet under one, and lay the fingers "
        "just behind the lines."
    )
    pen.words(*_at(said, left, top - 11.5, right - left))
    to_try = ", ".join(shape.name for shape in reach.shapes)
    hand = reach.hand_span
    notes = [f"Frets to press together: {to_try}." if to_try else ""]
    notes += [f"The hand we noted spans {hand.said} ({hand.also})." if hand else ""]
    notes += ["The places are those along the bass string." if reach.is_bass_string else ""]
    pen.words(*_at(" ".join(filter(None, notes)), left, top - 16.0, right - left))


def _at(text: str, x: float, y: float, wide_mm: float) -> tuple[str, float, float, float]:
    said, points = fitted(text, 10, wide_mm)
    return said, x, y, points


def _strip(
    pen: Pen, reach: PublishedReachStrip, strip: PublishedStrip, begins_at: int | None, top: float, paper: Paper
) -> None:
    """One strip below its name: every fret's line at its true place from the line it begins with."""
    left = PAPER_SIZES[paper].margin_mm
    zero, end = left + _BEFORE_MM, left + _BEFORE_MM + room_mm(paper) + _AFTER_MM
    upper, lower = top - _NAME_MM, top - _NAME_MM - _STRIP_MM
    own = ", as it is to be" if strip.is_own else ""
    pen.words(f"{strip.scale.said} ({strip.scale.also}) scale{own}", left, upper + 1.5, 10, face="bold")
    pen.line(((left, lower), (end, lower), (end, upper), (left, upper)), _EDGE_LINE_MM, closed=True)
    first = "nut" if begins_at is None else reach.frets[begins_at]
    pen.line(((zero, lower), (zero, upper)), _NUT_LINE_MM if begins_at is None else _FRET_LINE_MM)
    pen.words(first, zero - 1.0, upper - 4.5, 10, face="bold", align="right")
    start = _start_mm(strip, begins_at)
    before = zero
    for place, (name, from_nut) in enumerate(zip(reach.frets, strip.places_mm, strict=True)):
        if begins_at is not None and place <= begins_at:
            continue
        if from_nut - start > room_mm(paper):
            break
        x = zero + from_nut - start
        dash = (2.0, 1.0) if "½" in name else ()
        pen.line(((x, lower), (x, upper)), _FRET_LINE_MM, dash=dash)
        _, points = fitted(name, 10, max(x - before - 1.6, 2.0), "bold", least=5.0)
        pen.words(name, x - 0.8, upper - 4.5, points, face="bold", align="right")
        before = x


def _bars(pen: Pen, unit: Unit, paper: Paper) -> None:
    size = PAPER_SIZES[paper]
    left, right, bottom = size.margin_mm, size.height_mm - size.margin_mm, size.margin_mm
    draw_bars(pen, left, bottom, right - _UPRIGHT_MM, unit)
    draw_upright_bar(pen, right - _UPRIGHT_MM + 1.0, bottom + BARS_HEIGHT_MM)
