"""What is published of the board and what lies on it: drawing, strings, spacing, reach, fretting."""

from __future__ import annotations

from builder.calculations.slanted import Point
from builder.calculations.strings import SingleString
from builder.lengths import Length, Unit
from builder.publish.measures import in_unit, kept, measure, measure_mm
from builder.published import (
    Column,
    PublishedBoard,
    PublishedCourse,
    PublishedDrawing,
    PublishedFretLine,
    PublishedFretNote,
    PublishedFretting,
    PublishedPoint,
    PublishedReach,
    PublishedSpacing,
    PublishedString,
    PublishedStringLine,
    PublishedStrings,
    PublishedTuning,
    Table,
)
from builder.record import Spec
from builder.record.strings import BridgeSpec, Fastening
from builder.results import FretboardResults, FrettingResults, ReachResults, SpacingResults, StringResults
from builder.results.strings import TunedTo
from builder.shop import Shop

#: Which strings to buy for each way of fastening them, and what is done with them at the tail end.
_ENDS: dict[Fastening, tuple[str, str]] = {
    "ball end": ("with ball ends", "they are held"),
    "loop end": ("with loop ends", "they hook on"),
    "tied": ("without ball or loop", "they are tied"),
    "knotted": ("without ball or loop", "they are knotted"),
    "clamped": ("without ball or loop", "they are clamped"),
}
_HELD_AT = {
    "glued": "at the bridge, which is glued on",
    "pinned": "at the pins of the bridge",
    "floating": "behind the bridge, which is not glued",
}

_FIT_IN_WORDS = {
    "too tight": "The slot is narrower than the tang: it would be forced open.",
    "holds": "The slot takes the tang, and the barbs hold.",
    "loose": "The slot is as wide as the barbs: the frets are held by glue.",
}


def board_of(spec: Spec, unit: Unit) -> PublishedBoard | None:
    """The fretboard in words."""
    board = spec.fretboard
    if board is None:
        return None
    radius = measure(board.radius, unit) if isinstance(board.radius, Length) else None
    return PublishedBoard(
        length=measure(board.length, unit),
        thickness=measure(board.thickness, unit),
        width_at_nut=measure(board.width_at_nut, unit),
        width_at_end=measure(board.width_at_end, unit),
        radius=f"{radius.said} ({radius.also})" if radius else (str(board.radius) if board.radius else None),
        markers=tuple(map(str, board.markers)),
    )


def drawing_of(results: FretboardResults, *, zero_fret: bool) -> PublishedDrawing:
    """The fretboard to scale."""
    return PublishedDrawing(
        length_mm=kept(results.length_mm),
        length_is_known=results.length_is_known,
        width_at_nut_mm=kept(results.width_at_nut_mm),
        width_at_end_mm=kept(results.width_at_end_mm),
        zero_fret=zero_fret,
        outline=tuple(map(_point, results.outline)),
        frets=tuple(
            PublishedFretLine(
                fret.name, fret.is_half, fret.is_partial, _point(fret.line.bass), _point(fret.line.treble),
                kept(fret.line.degrees),
            )
            for fret in results.frets
        ),
        markers=tuple(map(_point, results.markers)),
        strings=tuple(
            PublishedStringLine(_point(each.start), _point(each.end), kept(each.diameter_mm))
            for each in results.strings
        ),
        notes=tuple(PublishedFretNote(_point(note.at), note.name) for note in results.notes),
    )  # fmt: skip


def _point(point: Point) -> PublishedPoint:
    return PublishedPoint(kept(point.x), kept(point.y))


def strings_of(results: StringResults, bridge: BridgeSpec | None, shop: Shop) -> PublishedStrings:
    """Strings and tunings, and how the strings are fastened."""
    return PublishedStrings(
        set_name=results.set_name,
        concert_pitch_hz=shop.concert_pitch,
        courses=tuple(
            PublishedCourse(
                tuple(_string(string, hertz) for string, hertz in zip(course.strings, frequencies, strict=True)),
                len(set(course.strings)) == 1,
                str(course.starts_at) if course.starts_at else None,
            )
            for course, frequencies in zip(results.courses, results.frequencies_hz, strict=True)
        ),
        tunings=tuple(map(_tuning, results.tunings)),
        fastens=_fastening(bridge),
    )


def _fastening(bridge: BridgeSpec | None) -> str | None:
    """`Buy them with loop ends: they hook on behind the bridge, which is not glued.`"""
    if bridge is None or bridge.fastens is None:
        return None
    ends, held = _ENDS[bridge.fastens]
    return f"Buy them {ends}: {held} {_HELD_AT[bridge.kind]}."


def _string(string: SingleString, frequency_hz: float) -> PublishedString:
    diameter_mm = None if string.diameter_mm is None else kept(string.diameter_mm)
    return PublishedString(str(string.note), kept(frequency_hz), string.gauge_thousandths, diameter_mm, string.make)


def _tuning(tuned: TunedTo) -> PublishedTuning:
    columns = (
        Column("fret", "fret", "", "record"),
        *(
            Column(f"course_{number}", str(note), "", "equal-temperament")
            for number, note in enumerate(tuned.tuning.notes, 1)
        ),
    )
    return PublishedTuning(
        notes=tuple(map(str, tuned.tuning.notes)),
        frequencies_hz=tuple(map(kept, tuned.frequencies_hz)),
        key=tuned.key.name,
        intervals=tuned.intervals,
        note_map=None
        if tuned.note_map is None
        else Table(columns, tuple((name, *row) for name, row in tuned.note_map)),
    )


def spacing_of(results: SpacingResults, spec: Spec, unit: Unit) -> PublishedSpacing:
    """How the strings lie, with a row per string."""
    assert spec.spacing is not None, "the spacing was worked out from it"
    decimals = 3 if unit == "in" else 2
    columns = (
        Column("course", "course", "", "record"),
        Column("string", "string", "", "record"),
        Column("nut", "at the nut", unit, "spacing", decimals),
        Column("nut_gap", "clear gap", unit, "spacing", decimals),
        Column("saddle", "at the saddle", unit, "spacing", decimals),
        Column("saddle_gap", "clear gap", unit, "spacing", decimals),
    )

    def said(mm: float | None) -> str | float:
        return "" if mm is None else in_unit(mm, unit)

    rows = tuple(
        (
            str(each.course), str(each.string.note), said(each.at_nut_mm), said(each.gap_at_nut_mm),
            said(each.at_saddle_mm), said(each.gap_at_saddle_mm),
        )
        for each in results.strings
    )  # fmt: skip
    return PublishedSpacing(
        rule=spec.spacing.rule,
        at_nut=measure(spec.spacing.at_nut, unit),
        at_saddle=measure(spec.spacing.at_saddle, unit),
        bass_margin=measure_mm(results.bass_margin_mm, unit),
        treble_margin=measure_mm(results.treble_margin_mm, unit),
        table=Table(columns, rows),
    )


def reach_of(results: ReachResults, unit: Unit) -> PublishedReach:
    """What a hand must span, a row per shape and a column per scale length."""
    decimals = 2 if unit == "in" else 0
    columns = (
        Column("shape", "frets", "", "record"),
        *(
            Column(f"scale_{number}", measure(scale, unit).said, unit, "reach", decimals)
            for number, scale in enumerate(results.scales, 1)
        ),
    )
    return PublishedReach(
        hand_span=measure(results.hand_span, unit),
        table=Table(
            columns, tuple((str(shape), *(in_unit(span, unit) for span in spans)) for shape, spans in results.spans_mm)
        ),
        beyond_by_scale=tuple(tuple(map(str, shapes)) for shapes in results.beyond_by_scale),
    )


def fretting_of(results: FrettingResults, unit: Unit) -> PublishedFretting:
    """Slot against wire, and the wire to buy."""
    return PublishedFretting(
        fit=_FIT_IN_WORDS[results.fit] if results.fit else None,
        slot_depth=measure_mm(results.least_depth_mm, unit),
        wire_to_buy=measure(results.wire, unit),
        frets_of_wire=results.count,
    )
