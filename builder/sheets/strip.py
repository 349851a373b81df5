"""The nut and saddle strip at full size: where every string lies in the nut, on the saddle and in its pin hole.

The head of the instrument is above, the bass side to the left. Cut the strips out and hold them against the blank: the
nut strip with its front edge on the nut line, the saddle strip with its broken line on the end of the scale length.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from builder.published import PublishedPoint
from builder.published.template import PublishedTemplate, PublishedTemplateString
from builder.sheets.full_size import FullSizeDrawing, exactly_in_both, single_sheet_pdf
from builder.sheets.ink import Disc, Ink, Lettering, Stroke
from builder.sheets.labels_in_a_row import moved_apart
from builder.sheets.paper import CannotBePrinted, Paper
from builder.sheets.pen import CAPITAL, POINTS_PER_MM, Place

_LINE_MM, _HAIR_MM = 0.15, 0.1
_NUT_DEEP_MM, _SLOT_MM, _BEFORE_MM, _BEHIND_MM = 10.0, 8.0, 12.0, 12.0
_LABEL, _ROW_MM, _LEAD_MM, _NAME_MM = 9.0, 3.7, 5.0, 9.0
_HALF_CAPITAL_MM = CAPITAL * _LABEL / POINTS_PER_MM / 2
_GAP_MM, _PIN_MM, _TICK_MM, _BESIDE_MM = 6.0, 1.2, 2.5, 6.0
_BARE, _STRING = (2.0, 1.2), (0.6, 1.4)

_NOTHING = "spec.spacing: it is not known how the strings lie, so there is no nut and saddle strip"
_NOTHING_HINT = "write at_nut, at_saddle, the strings and, for pairs, pair_gap"


def nut_and_saddle_strip(template: PublishedTemplate | None, paper: Paper) -> bytes:
    """The strip on one sheet of A4 or Letter (PDF). Raises CannotBePrinted where it is wider than the paper."""
    return single_sheet_pdf(nut_and_saddle(template), paper, template.unit if template else "mm")


def nut_and_saddle(template: PublishedTemplate | None) -> FullSizeDrawing:
    """Nut and saddle as one drawing: `x` from the centre line to the treble side, `y` from the nut line to the head.

    The saddle stands below the nut, and where they are slanted each is turned level; within each of the two every
    place is exact.
    """
    if template is None or not template.strings:
        raise CannotBePrinted(_NOTHING, _NOTHING_HINT)
    nut = tuple(_nut(template))
    below = min(each.box[1] for each in nut) - _GAP_MM
    raised_mm = below - max(each.box[3] for each in _saddle(template, 0.0))
    ink = (*nut, *_saddle(template, raised_mm))
    return FullSizeDrawing.around(
        ink,
        title=f"{template.title}: nut and saddle",
        below_title=f"{template.kind}, number {template.serial} · {template.shop}",
        maker=template.maker,
        measured_from="the centre line",
        note="The head is above, the bass side to the left. String by string: name, place, then gauge or setback.",
        field="spec.spacing",
    )


def _nut(template: PublishedTemplate) -> Iterator[Ink]:
    """The front edge of the nut, the edges of the board, and a slot a string."""
    turned = _Turned.level(template.nut_bass, template.nut_treble, 0.0)
    front = (turned.place(template.nut_bass), turned.place(template.nut_treble))
    yield Stroke(front, _LINE_MM)
    if template.outline:
        for x, y in front:
            yield Stroke(((x, y), (x, y + _NUT_DEEP_MM)), _LINE_MM)
        yield Stroke(tuple((x, y + _NUT_DEEP_MM) for x, y in front), _HAIR_MM, dash=_BARE)
    said = "nut, slots from its bass edge" if template.outline else "nut; its edges are not known"
    yield Lettering(said, front[0][0], -4.5, _LABEL, face="bold")
    in_nut = [string for string in template.strings if not string.is_short]
    starts = [turned.place(string.start) for string in in_nut]
    for string, start, row in zip(in_nut, starts, moved_apart([x for x, _ in starts], _ROW_MM), strict=True):
        end = turned.on_string(string, -_SLOT_MM)
        if string.diameter_mm:
            yield Stroke((start, end), string.diameter_mm, grey=0.7)
        yield Stroke((start, end), _HAIR_MM)
        top = _NUT_DEEP_MM + _LEAD_MM
        yield from _lead(end, row, top, 1)
        place = () if string.along_nut_mm is None else (exactly_in_both(string.along_nut_mm, template.unit),)
        gauge = () if string.diameter_mm is None else (f"string {exactly_in_both(string.diameter_mm, template.unit)}",)
        yield from _words(string.name, ", ".join((*place, *gauge)), row, top, 1)


def _saddle(template: PublishedTemplate, raised_mm: float) -> Iterator[Ink]:
    """The end of the scale length, each string with its place on the saddle, and its pin."""
    bass, treble = template.bare_saddle_bass, template.bare_saddle_treble
    turned = _Turned.level(bass, treble, raised_mm)
    left, _ = turned.place(bass)
    yield Stroke((turned.place(bass), turned.place(treble)), _HAIR_MM, dash=_BARE)
    ends = []
    for string in template.strings:
        x, y = turned.place(string.saddle)
        yield Stroke(((x - _TICK_MM / 2, y), (x + _TICK_MM / 2, y)), _LINE_MM * 2)
        end = turned.on_string(string, _length(string) + _BEHIND_MM)
        if string.pin:
            x, y = turned.place(string.pin)
            yield Disc(x, y, _PIN_MM, _HAIR_MM)
            yield Stroke(((x - _TICK_MM / 2, y), (x + _TICK_MM / 2, y)), _HAIR_MM)
            end = (x, y)
        yield Stroke((turned.on_string(string, _length(string) - _BEFORE_MM), end), _HAIR_MM)
        ends.append((end[0], end[1] - _PIN_MM) if string.pin else end)
    if template.saddle_is_straight:
        for one, other in pairwise(template.strings):
            yield Stroke((turned.place(one.saddle), turned.place(other.saddle)), _LINE_MM)
    pins = ", pins behind" if any(string.pin for string in template.strings) else ""
    top = raised_mm + _BEFORE_MM + 3.0
    yield Lettering(f"saddle, places from the first string{pins}", left - _BESIDE_MM, top, _LABEL, face="bold")
    start = min(y for _, y in ends) - _LEAD_MM
    rows = moved_apart([x for x, _ in ends], _ROW_MM)
    for string, end, row in zip(template.strings, ends, rows, strict=True):
        yield from _lead(end, row, start, -1)
        setback = "setback not worked out"
        if string.setback_mm is not None:
            setback = f"setback {exactly_in_both(string.setback_mm, template.unit)}"
        yield from _words(
            string.name, f"{exactly_in_both(string.along_saddle_mm, template.unit)}, {setback}", row, start, -1
        )


def _lead(end: Place, row: float, start: float, side: int) -> Iterator[Ink]:
    x, y = end
    yield Stroke(((x, y + side * 0.5), (x, start - side * 4.0), (row, start - side * 0.5)), _HAIR_MM, grey=0.5)


def _words(name: str, text: str, row: float, start: float, side: int) -> Iterator[Ink]:
    """A label that stands on end; above the nut it reads upwards, below the saddle downwards."""
    base = row + side * _HALF_CAPITAL_MM
    yield Lettering(name, base, start, _LABEL, face="bold", degrees=side * 90.0)
    yield Lettering(text, base, start + side * _NAME_MM, _LABEL, degrees=side * 90.0)


@dataclass(frozen=True, slots=True)
class _Turned:
    """How the board lies on this sheet: one line of it level, the bass side left, the head above.

    `zero` is where that line crosses the centre line; `raised_mm` how high it comes to lie.
    """

    zero: PublishedPoint
    along: tuple[float, float]
    raised_mm: float

    @classmethod
    def level(cls, bass: PublishedPoint, treble: PublishedPoint, raised_mm: float) -> _Turned:
        length_mm = math.hypot(treble.x - bass.x, treble.y - bass.y)
        along = (treble.x - bass.x) / length_mm, (treble.y - bass.y) / length_mm
        crossing = -bass.y / along[1]
        return cls(PublishedPoint(bass.x + crossing * along[0], 0.0), along, raised_mm)

    def place(self, point: PublishedPoint) -> Place:
        """A place of the board on this sheet: turned and moved, and nothing else."""
        x, y = point.x - self.zero.x, point.y - self.zero.y
        along_x, along_y = self.along
        return x * along_x + y * along_y, x * along_y - y * along_x + self.raised_mm

    def on_string(self, string: PublishedTemplateString, so_far_mm: float) -> Place:
        """A place on a string, so far from where it starts towards the saddle."""
        part = so_far_mm / _length(string)
        start, saddle = string.start, string.saddle
        return self.place(PublishedPoint(start.x + part * (saddle.x - start.x), start.y + part * (saddle.y - start.y)))


def _length(string: PublishedTemplateString) -> float:
    return math.hypot(string.saddle.x - string.start.x, string.saddle.y - string.start.y)
