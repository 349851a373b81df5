"""The fret template at full size: paste it on the board, and saw.

The nut stands at the left. Every fret is a line at its exact place, carried to the board's edges (a partial fret as far
as it reaches); beside it stand its number, the nearest mark of the working rule and the exact place, both from the nut.
Behind the board the saddle: a broken line where the scale length ends, a short stroke where each string's saddle goes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from builder.lengths import Unit
from builder.published import PublishedPoint
from builder.published.template import PublishedTemplate, PublishedTemplateFret
from builder.sheets.full_size import FullSizeDrawing, exactly, exactly_in_both, strip_pdf, tiled_pdf
from builder.sheets.ink import Disc, Ink, Lettering, Stroke
from builder.sheets.labels_in_a_row import moved_apart
from builder.sheets.paper import CannotBePrinted, Paper
from builder.sheets.pen import CAPITAL, POINTS_PER_MM, width_mm

#: Fine lines: the place is their middle.
LINE_MM, _HAIR_MM = 0.15, 0.1
_MARKER_MM, _MARKER_CROSS_MM = 3.0, 1.5
_LABEL = 9.0
_HALF_CAPITAL_MM = CAPITAL * _LABEL / POINTS_PER_MM / 2
#: Labels stand so far apart, and begin so far from the board's edge; a thin line leads from each fret to its own.
_ROW_MM, _LEAD_MM = 3.7, 5.0
#: How long a number, a mark and a place may be along a label.
_NUMBER_MM, _MARK_MM = 8.5, 15.5
_TICK_MM, _BEYOND_SADDLE_MM, _STRING_ROW_MM = 2.5, 6.0, 3.4
#: Dash and gap of the lines that are not sawn.
_CENTRE, _STRING, _BARE = (8.0, 1.5, 1.0, 1.5), (0.6, 1.4), (2.0, 1.2)

_NOTHING = "spec.frets, spec.scale_length: no frets could be placed, so there is no template"
_NOTHING_HINT = "write both; a board of two scale lengths wants spacing, too"


def fret_template_strip(template: PublishedTemplate | None) -> bytes:
    """The template as one long sheet (PDF), for a copy shop or a roll. Raises CannotBePrinted."""
    drawing = fret_template(template)
    return strip_pdf(drawing, _unit(template))


def fret_template_tiled(template: PublishedTemplate | None, paper: Paper) -> bytes:
    """The template on sheets of A4 or Letter to be taped together (PDF). Raises CannotBePrinted."""
    drawing = fret_template(template)
    return tiled_pdf(drawing, paper, _unit(template))


def fret_template(template: PublishedTemplate | None) -> FullSizeDrawing:
    """The template as a drawing. Raises CannotBePrinted where no frets could be placed."""
    if template is None:
        raise CannotBePrinted(_NOTHING, _NOTHING_HINT)
    template = _from_the_front(template)
    ink = (
        *_board(template),
        *(stroke for fret in template.frets for stroke in _fret(fret)),
        *(each for marker in template.markers for each in _marker(marker)),
        *_fret_labels(template),
        *_saddle(template),
    )
    return FullSizeDrawing.around(
        ink,
        title=f"{template.title}: fret template",
        below_title=f"{template.kind}, number {template.serial} · {template.shop}",
        maker=template.maker,
        note=_note(template),
        field="spec.scale_length",
    )


def _from_the_front(template: PublishedTemplate) -> PublishedTemplate:
    """The board as it lies on the sheet: seen from the front, nut to the left, so that its bass side is below.

    Paper counts upwards. What the names call bass is from here on the side that lies above, which is the treble side.
    """
    below = replace(
        template,
        outline=None if template.outline is None else tuple(map(_turned, _swapped(template.outline))),
        nut_bass=_turned(template.nut_treble),
        nut_treble=_turned(template.nut_bass),
        bare_saddle_bass=_turned(template.bare_saddle_treble),
        bare_saddle_treble=_turned(template.bare_saddle_bass),
        measured_along=template.measured_along[::-1],
        markers=tuple(map(_turned, template.markers)),
    )
    frets = (
        replace(fret, bass=_turned(fret.treble), treble=_turned(fret.bass), readings=fret.readings[::-1])
        for fret in template.frets
    )
    strings = (
        replace(
            each, start=_turned(each.start), bare_saddle=_turned(each.bare_saddle), saddle=_turned(each.saddle),
            pin=_turned(each.pin) if each.pin else None,
        )
        for each in template.strings
    )  # fmt: skip
    return replace(below, frets=tuple(frets), strings=tuple(strings))


def _turned(point: PublishedPoint) -> PublishedPoint:
    return PublishedPoint(point.x, -point.y)


def _swapped(outline: tuple[PublishedPoint, ...]) -> tuple[PublishedPoint, ...]:
    nut_bass, nut_treble, end_treble, end_bass = outline
    return nut_treble, nut_bass, end_bass, end_treble


def _unit(template: PublishedTemplate | None) -> Unit:
    return template.unit if template else "mm"


def _note(template: PublishedTemplate) -> str:
    along = template.measured_along
    line = f"along the {along[0]}" if len(along) == 1 else f"along each {along[0].rpartition(' ')[2]}"
    marks = f"nearest mark of the {template.rule}, " if template.rule else ""
    board = "" if template.outline else "; the board’s widths are not known, so the lines do not end at its edges"
    beside = f"its number, {marks}exact place from the nut {line}"
    return f"Seen from the front, bass side below. Beside each fret: {beside}{board}."


def _board(template: PublishedTemplate) -> Iterator[Ink]:
    """Edges, nut and centre line, and the name of the nut."""
    nut = _place(template.nut_bass), _place(template.nut_treble)
    yield Stroke(nut, LINE_MM)
    last = max(template.length_mm, *(string.saddle.x for string in template.strings), template.bare_saddle_bass.x)
    yield Stroke(((min(nut[0][0], nut[1][0]) - 8.0, 0.0), (last + 8.0, 0.0)), _HAIR_MM, dash=_CENTRE)
    name = "zero fret" if template.zero_fret else "nut"
    x, y = nut[0]
    yield Lettering(name, x - 1.5, y + 1.5, _LABEL, face="bold", align="right")
    if template.outline is None:
        return
    nut_bass, nut_treble, end_treble, end_bass = map(_place, template.outline)
    yield Stroke((nut_bass, end_bass), LINE_MM)
    yield Stroke((nut_treble, end_treble), LINE_MM)
    yield Stroke((end_bass, end_treble), LINE_MM, dash=() if template.length_is_known else _BARE)
    if not template.length_is_known:
        yield Lettering("length not known", end_treble[0] + 1.5, end_treble[1] - 3.5, 8.0)


def _fret(fret: PublishedTemplateFret) -> Iterator[Stroke]:
    yield Stroke((_place(fret.bass), _place(fret.treble)), LINE_MM)


def _marker(at: PublishedPoint) -> Iterator[Ink]:
    """A circle, and a cross at its middle to set the drill on."""
    yield Disc(at.x, at.y, _MARKER_MM, _HAIR_MM)
    yield Stroke(((at.x - _MARKER_CROSS_MM, at.y), (at.x + _MARKER_CROSS_MM, at.y)), LINE_MM)
    yield Stroke(((at.x, at.y - _MARKER_CROSS_MM), (at.x, at.y + _MARKER_CROSS_MM)), LINE_MM)


def _fret_labels(template: PublishedTemplate) -> Iterator[Ink]:
    """What is read at each fret, below the board; on a board of two scale lengths above it, too."""
    both = len(template.measured_along) > 1
    ends = [template.nut_bass, template.nut_treble, *(template.outline or ())]
    low = min(each.y for each in (*ends, *(fret.treble for fret in template.frets)))
    high = max(each.y for each in (*ends, *(fret.bass for fret in template.frets)))
    yield from _labels(template, -1, low, reading=len(template.measured_along) - 1, both_units=not both)
    if both:
        yield from _labels(template, 1, high, reading=0, both_units=False)
    else:
        yield from _numbers(template, high)


def _labels(template: PublishedTemplate, side: int, edge: float, *, reading: int, both_units: bool) -> Iterator[Ink]:
    """A row of labels that stand on end, each with a line from its fret; `side` is 1 above the board, -1 below."""
    ends = [fret.bass if side > 0 else fret.treble for fret in template.frets]
    start = edge + side * _LEAD_MM
    for fret, end, x in zip(template.frets, ends, _in_a_row([end.x for end in ends], _ROW_MM), strict=True):
        if fret.is_partial:
            yield Stroke(((end.x, end.y + side * 0.8), (end.x, edge + side * 0.8)), _HAIR_MM, dash=_BARE, grey=0.5)
        at_edge = edge if fret.is_partial else end.y
        yield Stroke(
            ((end.x, at_edge + side * 0.8), (end.x, edge + side * 0.8), (x, start - side * 0.5)), _HAIR_MM, grey=0.5
        )
        read = fret.readings[reading]
        base, turn = x + side * _HALF_CAPITAL_MM, side * 90.0
        place = (exactly_in_both if both_units else exactly)(read.place_mm, template.unit)
        after_mark = _NUMBER_MM + (_MARK_MM if read.mark else 0.0)
        yield Lettering(fret.name, base, start, _LABEL, face="bold", degrees=turn)
        yield Lettering(read.mark, base, start + side * _NUMBER_MM, _LABEL, face="bold", degrees=turn)
        yield Lettering(place, base, start + side * after_mark, _LABEL, degrees=turn)


def _numbers(template: PublishedTemplate, edge: float) -> Iterator[Ink]:
    """The frets' numbers once more above the board, where they are read without turning the head."""
    frets = template.frets
    widest = max(width_mm(fret.name, _LABEL, "bold") for fret in frets) + 0.8
    for fret, x in zip(frets, _in_a_row([fret.bass.x for fret in frets], widest), strict=True):
        yield Stroke(((fret.bass.x, edge + 0.8), (x, edge + _LEAD_MM - 0.8)), _HAIR_MM, grey=0.5)
        yield Lettering(fret.name, x, edge + _LEAD_MM, _LABEL, face="bold", align="middle")


def _in_a_row(places: Sequence[float], gap: float) -> tuple[float, ...]:
    """Labels moved apart; frets of a fan whose ends do not rise (a slip of the record) keep their order."""
    rising = [max(places[: number + 1]) for number in range(len(places))]
    return moved_apart(rising, gap)


def _saddle(template: PublishedTemplate) -> Iterator[Ink]:
    """The end of the scale length, the strings, and each string's place on the saddle with its words."""
    bass, treble = template.bare_saddle_bass, template.bare_saddle_treble
    yield Stroke((_place(bass), _place(treble)), _HAIR_MM, dash=_BARE)
    across, along = treble.y - bass.y, treble.x - bass.x
    if not template.strings:
        said = "saddle without setback: the strings’ spacing is not known"
        yield Lettering(said, max(bass.x, treble.x) + 2.0, 2.0, 8.0)
        return
    lean = along / across if across else 0.0
    for string in template.strings:
        yield Stroke((_place(string.start), _place(string.pin or string.saddle)), _HAIR_MM, dash=_STRING, grey=0.3)
        at = string.saddle
        ends = tuple((at.x + lean * dy, at.y + dy) for dy in (_TICK_MM / 2, -_TICK_MM / 2))
        yield Stroke(ends, LINE_MM * 2)
        if string.pin:
            yield Disc(string.pin.x, string.pin.y, 1.0, _HAIR_MM, filled=False)
    if template.saddle_is_straight:
        for one, other in pairwise(template.strings):
            yield Stroke((_place(one.saddle), _place(other.saddle)), LINE_MM)
    yield from _saddle_labels(template)


def _saddle_labels(template: PublishedTemplate) -> Iterator[Ink]:
    """Nut to saddle of every string, behind the saddle, moved apart where pairs lie close."""
    strings = sorted(template.strings, key=lambda string: string.saddle.y)
    furthest = max((string.pin or string.saddle).x for string in strings)
    furthest = max(furthest, template.length_mm if template.length_is_known else 0.0)
    start = furthest + _BEYOND_SADDLE_MM
    rows = moved_apart([string.saddle.y for string in strings], _STRING_ROW_MM)
    for string, y in zip(strings, rows, strict=True):
        at = string.pin or string.saddle
        yield Stroke(((at.x + 1.5, at.y), (furthest + 1.5, at.y), (start - 0.6, y)), _HAIR_MM, grey=0.5)
        length = exactly_in_both(string.nut_to_saddle_mm, template.unit)
        setback = "setback not worked out"
        if string.setback_mm is not None:
            setback = f"setback {exactly(string.setback_mm, template.unit)}"
        yield Lettering(string.name, start, y - 0.95, 8.0, face="bold")
        yield Lettering(f"{length}, {setback}", start + 8.0, y - 0.95, 8.0)


def _place(point: PublishedPoint) -> tuple[float, float]:
    return point.x, point.y
