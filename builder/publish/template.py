"""Names what the full-size fret template and the nut and saddle strip show."""

from __future__ import annotations

from builder.calculations.answers import Missing
from builder.calculations.slanted import Line, Point
from builder.publish.measures import kept
from builder.published import PublishedPoint
from builder.published.template import (
    PublishedReading,
    PublishedTemplate,
    PublishedTemplateFret,
    PublishedTemplateString,
)
from builder.results.frets import FretResults, PlacedFret
from builder.results.string_places import (
    StringPlace,
    bare_saddle_of,
    frets_of_plain_board,
    nut_of,
    place_strings,
)
from builder.results.strings import courses_of
from builder.shop import Shop
from builder.workshop import Instrument


def template_of(instrument: Instrument, shop: Shop) -> PublishedTemplate | None:
    """The board of one instrument laid out full size; None where no frets could be placed."""
    record, results = instrument.record, instrument.results
    frets = results.frets
    if isinstance(frets, Missing) or (len(frets.lines) > 1 and frets.nut is None):
        return None
    board = None if isinstance(results.fretboard, Missing) else results.fretboard
    nut = nut_of(frets, results.fretboard, results.spacing)
    saddle = bare_saddle_of(frets, results.spacing, nut)
    lines = tuple(each.line for each in board.frets) if board else frets_of_plain_board(frets, nut)
    strings = place_strings(
        frets, results.fretboard, results.spacing, results.setback, courses_of(record.spec, shop.string_sets),
        record.spec.bridge,
    )  # fmt: skip
    rule = frets.rules[frets.working] if frets.rules else None
    return PublishedTemplate(
        serial=record.serial,
        title=record.title,
        kind=record.kind,
        maker=record.made_by or shop.maker,
        shop=shop.name,
        unit=shop.unit,
        outline=tuple(map(_point, board.outline)) if board else None,
        length_mm=kept(board.length_mm if board else max(max(line.bass.x, line.treble.x) for line in lines)),
        length_is_known=board is not None and board.length_is_known,
        zero_fret=record.spec.frets is not None and record.spec.frets.zero_fret,
        nut_bass=_point(nut.bass),
        nut_treble=_point(nut.treble),
        bare_saddle_bass=_point(saddle.bass),
        bare_saddle_treble=_point(saddle.treble),
        saddle_is_straight=not isinstance(results.setback, Missing) and results.setback.decided == "straight",
        measured_along=tuple(line.name for line in frets.lines),
        rule=f"{rule.name} ({rule.marks})" if rule else None,
        frets=tuple(
            _fret(fret, line, frets, is_partial=board is not None and board.frets[number].is_partial)
            for number, (fret, line) in enumerate(zip(frets.frets, lines, strict=True))
        ),
        markers=tuple(map(_point, board.markers)) if board else (),
        strings=tuple(map(_string, strings)),
    )


def _fret(fret: PlacedFret, line: Line, frets: FretResults, *, is_partial: bool) -> PublishedTemplateFret:
    readings = tuple(
        PublishedReading(kept(place.from_nut_mm), place.readings[frets.working].mark if frets.rules else "")
        for place in fret.places
    )
    name = str(fret.number)
    return PublishedTemplateFret(
        name, fret.number.is_half, is_partial, _point(line.bass), _point(line.treble), readings
    )


def _string(place: StringPlace) -> PublishedTemplateString:
    return PublishedTemplateString(
        name=str(place.string.note),
        is_short=place.is_short,
        diameter_mm=None if place.string.diameter_mm is None else kept(place.string.diameter_mm),
        start=_point(place.start),
        bare_saddle=_point(place.bare_saddle),
        saddle=_point(place.saddle),
        pin=_point(place.pin) if place.pin else None,
        setback_mm=None if place.setback_mm is None else kept(place.setback_mm),
        nut_set_back_mm=kept(place.nut_mm),
        nut_to_saddle_mm=kept(place.nut_to_saddle_mm),
        along_nut_mm=None if place.along_nut_mm is None else kept(place.along_nut_mm),
        along_saddle_mm=kept(place.along_saddle_mm),
    )


def _point(point: Point) -> PublishedPoint:
    return PublishedPoint(kept(point.x), kept(point.y))
