"""The pattern of a body on paper, full size: the whole of it, or the bass half to be folded on the centre line.

Every line is drawn through the places of the results and carries its name: which line is the outside of the sides,
which the inside, where the linings end; end blocks with their angles, braces with their names, sound holes, the saddle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from builder.lengths import Unit
from builder.published import PublishedShop
from builder.published.pattern import PatternLayer, PatternLine, PatternPlace, PublishedPattern
from builder.sheets.cutting_files import NO_OUTLINE, NO_OUTLINE_HINT
from builder.sheets.full_size import FullSizeDrawing, strip_pdf, tiled_pdf
from builder.sheets.ink import Disc, Ink, Lettering, Stroke
from builder.sheets.paper import CannotBePrinted, Paper
from builder.sheets.pen import CAPITAL, POINTS_PER_MM, width_mm
from builder.words import in_a_row

#: Thickness and dashes of the lines in millimetres: they must be told apart in black and white.
_STYLES: dict[PatternLayer, tuple[float, tuple[float, ...]]] = {
    "outline": (0.35, ()),
    "inside": (0.18, ()),
    "linings": (0.18, (1.0, 1.2)),
    "end blocks": (0.25, ()),
    "braces soundboard": (0.2, (7.0, 1.5)),
    "braces back": (0.2, (2.5, 1.5)),
    "sound holes": (0.35, ()),
    "sound holes back": (0.25, (2.5, 1.5)),
}
_CENTRE, _HAIR = (12.0, 2.0, 2.0, 2.0), 0.15
#: The three lines that run beside each other, from the innermost; their names stand outside, each with a leader.
_BESIDE: tuple[PatternLayer, ...] = ("linings", "inside", "outline")
_POINTS, _SMALL, _LEAST = 8.5, 7.5, 6.0
_LINE_MM = 3.6
#: Names of the lines return after so much of the body, so that no sheet is without them; leaders stand this far apart.
_AGAIN_MM, _LEADER_MM = 170.0, 3.0
#: How far the mark of the saddle reaches to both sides of the centre line.
_MARK_MM = 25.0
_MOST_NAMES = 4
#: Clear paper between a line and the words beside it.
_OFF_LINE_MM = 1.4
#: So near is on the centre line.
_AT_CENTRE_MM = 0.01
#: Where along a brace its words stand, so that those of both plates do not meet where braces lie close together.
_WORDS_AT = {"braces soundboard": 0.72, "braces back": 0.28}


def pattern_pdf(
    pattern: PublishedPattern | None, shop: PublishedShop, *, half: bool, paper: Paper | None = None
) -> bytes:
    """The pattern of a body as a PDF: tiled on a paper, or without one on a sheet as large as it needs.

    Raises CannotBePrinted where there is no outline, where a half is asked of a body whose sides are not alike, and
    where it takes too many sheets.
    """
    drawing = pattern_drawing(pattern, shop, half=half)
    return tiled_pdf(drawing, paper, shop.unit) if paper else strip_pdf(drawing, shop.unit)


def pattern_drawing(pattern: PublishedPattern | None, shop: PublishedShop, *, half: bool) -> FullSizeDrawing:
    """The pattern as a full-size drawing, its zero where the centre line leaves the tail end."""
    if pattern is None:
        raise CannotBePrinted(NO_OUTLINE, NO_OUTLINE_HINT)
    if half and not pattern.half:
        message = "spec.body.outline: the two sides of this body are not alike, so half a pattern would not do"
        raise CannotBePrinted(message, "print the whole pattern")
    ink = tuple(_Drawn(pattern, shop.unit, half=half).ink())
    which = "half pattern, bass side" if half else "whole pattern, bass side up"
    return FullSizeDrawing.around(
        ink,
        title=pattern.title,
        below_title=f"{pattern.kind} {pattern.serial}, {which}, {pattern.length.said} by {pattern.width.said}",
        maker=shop.maker,
        measured_from="the tail end",
        field="spec.body.outline",
    )


@dataclass(frozen=True, slots=True)
class _Room:
    """What a shape takes of the paper, and where its middle is."""

    left: float
    low: float
    right: float
    high: float

    @classmethod
    def of(cls, places: Sequence[PatternPlace]) -> _Room:
        xs, ys = zip(*places, strict=True)
        return cls(min(xs), min(ys), max(xs), max(ys))

    @property
    def middle(self) -> PatternPlace:
        return (self.left + self.right) / 2, (self.low + self.high) / 2


class _Drawn:
    """One pattern on the way to paper."""

    def __init__(self, pattern: PublishedPattern, unit: Unit, *, half: bool) -> None:
        self.pattern, self.unit, self.half = pattern, unit, half
        self.lines = pattern.half if half else pattern.lines

    def ink(self) -> Iterator[Ink]:
        """Lines first, then what is written beside them."""
        for line in self.lines:
            thickness, dash = _STYLES[line.layer]
            yield Stroke(line.places, thickness, closed=line.closed, dash=dash)
        yield Stroke(((self.pattern.tail, 0.0), (self.pattern.head, 0.0)), _HAIR, dash=_CENTRE)
        yield from self._saddle()
        yield from self._along_the_sides()
        yield from self._along_the_centre()
        linings = next((_Room.of(line.places) for line in self.lines if line.layer == "linings"), None)
        for line in self.lines:
            if line.layer == "end blocks":
                yield from _block_words(line, linings)
            elif line.layer.startswith("braces"):
                yield from _brace_words(line)
            elif line.layer.startswith("sound holes"):
                yield from _hole_words(line)

    def _saddle(self) -> Iterator[Ink]:
        for name, x in (("saddle", self.pattern.saddle), ("nut", self.pattern.nut)):
            if x is None or not self.pattern.tail <= x <= self.pattern.head:
                continue
            yield Stroke(((x, 0.0 if self.half else -_MARK_MM), (x, _MARK_MM)), 0.25)
            said = f"{name}, without setback" if name == "saddle" else name
            yield Lettering(said, x - 1.0, 1.5, _SMALL, degrees=90)

    def _along_the_sides(self) -> Iterator[Ink]:
        """The names of the lines that run beside each other, above the bass side, each led to its line."""
        beside = [line for layer in _BESIDE for line in self.lines if line.layer == layer]
        room = _Room.of(beside[-1].places)
        count = max(1, round((room.right - room.left) / _AGAIN_MM))
        for number in range(count):
            start = room.left + (room.right - room.left) * (number + 0.5) / count - 15.0
            reached = [
                (line, start + _LEADER_MM * order, _highest(line, start + _LEADER_MM * order))
                for order, line in enumerate(beside)
            ]
            known = [(line, x, y) for line, x, y in reached if y is not None]
            wide = max(width_mm(line.name, _SMALL) for line, _, _ in known) if known else 0.0
            over = [_highest(beside[-1], start + step) or 0.0 for step in range(0, int(wide) + 10, 4)]
            for order, (line, x, y) in enumerate(known):
                text_y = max(over) + 2.5 + _LINE_MM * (len(known) - 1 - order)
                yield Disc(x, y, 0.4, _HAIR, filled=True)
                yield Stroke(((x, y), (x, text_y + 2.0)), _HAIR)
                yield Lettering(line.name, x + 0.8, text_y, _SMALL)

    def _along_the_centre(self) -> Iterator[Ink]:
        """What the centre line is, again and again; at its ends, which end that is; and what half a pattern lacks."""
        tail, head = self.pattern.tail, self.pattern.head
        said = "centre line: turn the pattern over here for the other side" if self.half else "centre line"
        count = max(1, round((head - tail) / _AGAIN_MM))
        for number in range(count):
            x = tail + (head - tail) * (number + 0.5) / count
            yield Lettering(said, x + 8.0, -_LINE_MM, _SMALL, align="middle")
        yield Lettering("tail end", tail - 1.5, 0.0, _POINTS, face="bold", align="middle", degrees=90)
        yield Lettering("head end", head + 4.0, 0.0, _POINTS, face="bold", align="middle", degrees=90)
        if self.half and self.pattern.not_on_half:
            names = self.pattern.not_on_half
            more = [f"{len(names) - _MOST_NAMES} more"] if len(names) > _MOST_NAMES else []
            lacking = in_a_row([*names[:_MOST_NAMES], *more])
            text = f"Not on this half, since they are not alike on both sides: {lacking}. See the whole pattern."
            yield from (
                Lettering(part, tail, -_LINE_MM * (row + 2.2), _POINTS, face="bold")
                for row, part in enumerate(_broken(text, min(head - tail, 180.0)))
            )


def _highest(line: PatternLine, x: float) -> float | None:
    """How far from the centre line a line runs on the bass side at a place along it; None where it does not reach."""
    around = [*line.places, line.places[0]] if line.closed else line.places
    crossings = [
        y + (to_y - y) * (x - from_x) / (to_x - from_x)
        for (from_x, y), (to_x, to_y) in pairwise(around)
        if min(from_x, to_x) <= x <= max(from_x, to_x) and from_x != to_x
    ]
    return max(crossings, default=None)


def _broken(text: str, room_mm: float) -> list[str]:
    """A text in as many lines as it needs."""
    rows = [""]
    for word in text.split():
        longer = f"{rows[-1]} {word}".strip()
        if rows[-1] and width_mm(longer, _POINTS, "bold") > room_mm:
            rows.append(word)
        else:
            rows[-1] = longer
    return rows


def _block_words(line: PatternLine, linings: _Room | None) -> Iterator[Ink]:
    """Name and angles of an end block, along its longer way and as large as they fit: clear of the linings' edge."""
    block = _Room.of(line.places)
    left, right = block.left, block.right
    if linings:
        left, right = max(left, linings.left), min(right, linings.right)
    texts = [line.name, *line.more]
    needed = _LINE_MM * len(texts) + 1.0
    within = right - left >= needed
    if not within:  # then beside it, towards the middle of the body
        towards_head = linings is None or block.left < linings.left
        left, right = (block.right, block.right + needed) if towards_head else (block.left - needed, block.left)
    low = max(block.low, 0.0)
    across = block.high - low > right - left
    long_mm = (block.high - low if across else right - left) - 3.0
    points = _SMALL
    while within and points > _LEAST and max(width_mm(text, points) for text in texts) > long_mm:
        points -= 0.5
    y = (low + block.high) / 2
    if across:  # from the centre line outwards, where the sides leave most room
        y = low + max(width_mm(text, points) for text in texts) / 2 + 2.0
    yield from _rows(texts, ((left + right) / 2, y), 90.0 if across else 0.0, points)


def _rows(texts: Sequence[str], middle: PatternPlace, degrees: float, points: float) -> Iterator[Ink]:
    """Lines of text one below the other around a place, turned."""
    turn = math.radians(degrees)
    for number, text in enumerate(texts):
        down = (number - (len(texts) - 1) / 2) * _LINE_MM + CAPITAL * points / POINTS_PER_MM / 2
        x, y = middle[0] + down * math.sin(turn), middle[1] - down * math.cos(turn)
        yield Lettering(text, x, y, points, align="middle", degrees=degrees)


def _brace_words(line: PatternLine) -> Iterator[Ink]:
    """The name of a brace along it, within it where it is wide enough, and its sizes beside."""
    start, end, width = _middle_of(line)
    if (round(end[0] - start[0], 6), end[1] - start[1]) < (0.0, 0.0):
        start, end = end, start
    degrees = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    turn = math.radians(degrees)
    start, end = _on_bass_side(start, end)
    length = math.dist(start, end)
    wide = max(width_mm(text, _SMALL) for text in (line.name, *line.more))
    along = min(max(_WORDS_AT[line.layer] * length, wide / 2 + 1.0), length - wide / 2 - 1.0)
    if along < wide / 2:  # longer than the brace: from the centre line outwards, or as far beyond both ends
        ends_there, starts_there = abs(end[1]) < _AT_CENTRE_MM, abs(start[1]) < _AT_CENTRE_MM
        along = length - wide / 2 - 1.0 if ends_there else wide / 2 + 1.0 if starts_there else length / 2
    middle = (start[0] + along * math.cos(turn), start[1] + along * math.sin(turn))
    within = width >= _LINE_MM
    high = CAPITAL * _SMALL / POINTS_PER_MM
    offsets = [-high / 2 if within else width / 2 + _OFF_LINE_MM]
    offsets += [-width / 2 - high - _OFF_LINE_MM - _LINE_MM * row for row in range(len(line.more))]
    for text, off in zip((line.name, *line.more), offsets, strict=True):
        x, y = middle[0] - off * math.sin(turn), middle[1] + off * math.cos(turn)
        yield Lettering(text, x, y, _SMALL, align="middle", degrees=degrees)


def _on_bass_side(start: PatternPlace, end: PatternPlace) -> tuple[PatternPlace, PatternPlace]:
    """A line that crosses the centre line as far as it lies on the bass side: its words must not stand across."""
    if not min(start[1], end[1]) < 0 < max(start[1], end[1]):
        return start, end
    part = start[1] / (start[1] - end[1])
    crossing = (start[0] + part * (end[0] - start[0]), 0.0)
    return (crossing, end) if start[1] < 0 else (start, crossing)


def _middle_of(line: PatternLine) -> tuple[PatternPlace, PatternPlace, float]:
    """The middle line of a brace, or of what a half pattern shows of it, and its width; 0 for a mere line."""
    places = line.places
    if len(places) == 2:
        return places[0], places[1], 0.0
    if len(places) == 4:
        halfway = [((one[0] + other[0]) / 2, (one[1] + other[1]) / 2) for one, other in _ends(places)]
        return halfway[0], halfway[1], min(math.dist(*pair) for pair in _ends(places))
    room = _Room.of(places)
    return (room.left, room.middle[1]), (room.right, room.middle[1]), 0.0


def _ends(places: Sequence[PatternPlace]) -> tuple[tuple[PatternPlace, PatternPlace], ...]:
    """The two short edges of four corners in a row; the edge that is missing at the centre line counts as one."""
    one = ((places[0], places[3]), (places[1], places[2]))
    other = ((places[0], places[1]), (places[2], places[3]))
    return min(one, other, key=lambda pairs: sum(math.dist(*pair) for pair in pairs))


def _hole_words(line: PatternLine) -> Iterator[Ink]:
    """The name of a sound hole in its middle, or beside it where it is too small."""
    room = _Room.of(line.places)
    wide = width_mm(line.name, _SMALL) + 2
    x, y = room.middle
    high = CAPITAL * _SMALL / POINTS_PER_MM
    if room.low < 0 < room.high:
        y = room.high / 2
    if wide > (room.right - room.left) * 0.8 or room.high - y < high:
        y = room.high + _OFF_LINE_MM + high / 2
    yield Lettering(line.name, x, y - high / 2, _SMALL, align="middle")
