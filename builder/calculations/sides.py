"""The sides of a body: how long and wide their blanks are, and where they must be bent most.

All lengths are millimetres; an outline is that of `outline.Outline`, its tail end at the left.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from builder.calculations.answers import Outside
from builder.calculations.curves import Spot
from builder.calculations.outline import Outline

#: A sharper turn than this at one place is a corner, where two pieces are joined, and no bend.
CORNER_DEGREES = 25.0
#: The radius of a bend is that over this much of the side: wood bends over a length, not at a place.
BEND_OVER_MM = 6.0
#: Bends wider than this are as good as straight.
STRAIGHT_FROM_MM = 5000.0


@dataclass(frozen=True, slots=True)
class Side:
    """One side as a chain of places from its tail end to its head end, along the outline."""

    spots: tuple[Spot, ...]

    @property
    def along_mm(self) -> tuple[float, ...]:
        """How far along the side each of its places lies from its tail end."""
        return tuple(accumulate((math.dist(*pair) for pair in pairwise(self.spots)), initial=0.0))

    @property
    def length_mm(self) -> float:
        """Measured along the side, from end to end."""
        return self.along_mm[-1]

    def at(self, along_mm: float) -> Spot:
        """The place so far along the side from its tail end; beyond an end, the end itself."""
        along = self.along_mm
        if along_mm <= 0:
            return self.spots[0]
        if along_mm >= along[-1]:
            return self.spots[-1]
        piece = bisect_right(along, along_mm) - 1
        part = (along_mm - along[piece]) / (along[piece + 1] - along[piece])
        (x, y), (to_x, to_y) = self.spots[piece], self.spots[piece + 1]
        return x + part * (to_x - x), y + part * (to_y - y)


@dataclass(frozen=True, slots=True)
class Sides:
    """Both sides of a body. `tail_face` and `head_face` say whether a flat end face lies between them there.

    Where none does, the sides meet on the centre line.
    """

    bass: Side
    treble: Side
    tail_face: bool
    head_face: bool

    @property
    def longest_mm(self) -> float:
        """The length of the longer side."""
        return max(self.bass.length_mm, self.treble.length_mm)


@dataclass(frozen=True, slots=True)
class Bend:
    """The tightest bend: its radius, the place on the outline, and whether it bulges outwards there."""

    radius_mm: float
    at: Spot
    outwards: bool


@dataclass(frozen=True, slots=True)
class Width:
    """How wide the blank of a side is at a place along it."""

    along_mm: float
    width_mm: float


def sides_of(outline: Outline) -> Sides | Outside:
    """The two sides of an outline, without the flat faces at its ends.

    A flat face is a straight line across the centre line with a corner at either end. Outside where the outline does
    not cross the centre line at two places.
    """
    crossings = _crossings(outline.spots)
    if len(crossings) != 2:
        return Outside("the outline must cross the centre line twice: at the tail end and at the head end")
    (tail, tail_piece), (head, head_piece) = crossings
    spots, count = outline.spots, len(outline.spots)

    def between(start: Spot, start_piece: int, end: Spot, end_piece: int) -> list[Spot]:
        """From one crossing to the next, in the order of the outline."""
        steps = (end_piece - start_piece) % count
        inner = [spots[(start_piece + 1 + n) % count] for n in range(steps)]
        return [start, *(spot for spot in inner if math.dist(spot, start) > 1e-9 < math.dist(spot, end)), end]

    one = between(tail, tail_piece, head, head_piece)
    other = between(head, head_piece, tail, tail_piece)[::-1]
    bass, treble = sorted((one, other), key=lambda side: -sum(y for _, y in side) / len(side))
    tail_face = _face(bass, treble)
    head_face = _face(bass[::-1], treble[::-1])
    cut = slice(1 if tail_face else 0, -1 if head_face else None)
    if len(bass[cut]) < 2 or len(treble[cut]) < 2:
        return Outside("no sides are left between the two end faces")
    return Sides(Side(tuple(bass[cut])), Side(tuple(treble[cut])), tail_face, head_face)


def _crossings(spots: Sequence[Spot]) -> list[tuple[Spot, int]]:
    """Where the outline crosses the centre line, from tail to head, each with the number of the piece it lies on."""
    found = []
    for n, ((x, y), (to_x, to_y)) in enumerate(pairwise((*spots, spots[0]))):
        if (y >= 0) != (to_y >= 0):
            part = y / (y - to_y)
            found.append(((x + part * (to_x - x), 0.0), n))
    return sorted(found)


def _face(bass: Sequence[Spot], treble: Sequence[Spot]) -> bool:
    """Whether both sides leave the centre line straight and square, and turn at a corner then."""
    if len(bass) < 3 or len(treble) < 3:
        return False
    (x, y), (bass_x, bass_y), (treble_x, treble_y) = bass[0], bass[1], treble[1]
    width = bass_y - treble_y
    straight = abs((bass_x - x) * (treble_y - y) - (treble_x - x) * (bass_y - y)) <= 1e-6 * width * width
    if width <= 0 or not straight or abs(bass_x - treble_x) > width / 2:
        return False
    return all(abs(_turn(*side[:3])) > math.radians(CORNER_DEGREES) for side in (bass, treble))


def _turn(before: Spot, here: Spot, after: Spot) -> float:
    """By which angle a line turns at a place, to the left above zero, in radians."""
    in_x, in_y, out_x, out_y = here[0] - before[0], here[1] - before[1], after[0] - here[0], after[1] - here[1]
    return math.atan2(in_x * out_y - in_y * out_x, in_x * out_x + in_y * out_y)


def tightest_bend(outline: Outline) -> Bend | None:
    """The tightest bend of an outline between its corners, or None where every piece of it is straight.

    The radius is that of the circle that turns as much over `BEND_OVER_MM` of the outline; on a curve whose bend
    changes within that length it comes out a little large.
    """
    tightest: Bend | None = None
    for stretch, is_ring in _stretches(outline.spots):
        for bend in _bends(stretch, is_ring=is_ring):
            if tightest is None or bend.radius_mm < tightest.radius_mm * (1 - 1e-9):
                tightest = bend
    return tightest


def _stretches(spots: Sequence[Spot]) -> Iterator[tuple[list[Spot], bool]]:
    """The outline from corner to corner; the whole of it, as a ring, where it has none."""
    count = len(spots)
    corners = [
        n
        for n in range(count)
        if abs(_turn(spots[n - 1], spots[n], spots[(n + 1) % count])) > math.radians(CORNER_DEGREES)
    ]
    if not corners:
        yield list(spots), True
        return
    for start, end in pairwise((*corners, corners[0] + count)):
        yield [spots[n % count] for n in range(start, end + 1)], False


def _bends(stretch: Sequence[Spot], *, is_ring: bool) -> Iterator[Bend]:
    """Every bend of a stretch. The way a side looks is known in the middle of each short straight piece of it."""
    ring = (*stretch, stretch[0]) if is_ring else tuple(stretch)
    lengths = [math.dist(*pair) for pair in pairwise(ring)]
    total = sum(lengths)
    if len(lengths) < 2:
        return
    middles, looks = [lengths[0] / 2], [0.0]
    for n in range(1, len(lengths)):
        middles.append(middles[-1] + (lengths[n - 1] + lengths[n]) / 2)
        looks.append(looks[-1] + _turn(ring[n - 1], ring[n], ring[n + 1]))
    if is_ring:
        closing = _turn(ring[-2], ring[0], ring[1])
        whole = looks[-1] + closing
        middles = [middles[-1] - total, *middles, middles[0] + total]
        looks = [looks[-1] - whole, *looks, whole]
    over = min(BEND_OVER_MM, total)
    for n in range(len(lengths)):
        centre = middles[n + 1 if is_ring else n]
        low, high = max(centre - over / 2, middles[0]), min(centre + over / 2, middles[-1])
        if high - low < over / 2:
            continue
        turned = _at(middles, looks, high) - _at(middles, looks, low)
        if turned and (high - low) / abs(turned) <= STRAIGHT_FROM_MM:
            (x, y), (to_x, to_y) = ring[n], ring[n + 1]
            yield Bend((high - low) / abs(turned), ((x + to_x) / 2, (y + to_y) / 2), turned < 0)


def _at(places: Sequence[float], values: Sequence[float], where: float) -> float:
    piece = min(max(bisect_left(places, where) - 1, 0), len(places) - 2)
    part = (where - places[piece]) / (places[piece + 1] - places[piece])
    return values[piece] + part * (values[piece + 1] - values[piece])


def depth_at(x_mm: float, tail_x_mm: float, head_x_mm: float, tail_mm: float, head_mm: float) -> float:
    """The depth at a place along the centre line of a body that tapers evenly from `tail_mm` to `head_mm`."""
    return tail_mm + (head_mm - tail_mm) * (x_mm - tail_x_mm) / (head_x_mm - tail_x_mm)


def widths_along(side: Side, outline: Outline, tail_mm: float, head_mm: float, pieces: int = 8) -> tuple[Width, ...]:
    """How wide the blank of a side must be at even steps along it, where the body tapers evenly along the centre line.

    Along a curved side the taper is not even: where the side runs across the body, the depth hardly changes.
    """
    length = side.length_mm
    places = [length * n / pieces for n in range(pieces + 1)]
    ends = outline.tail_mm, outline.head_mm
    return tuple(Width(place, depth_at(side.at(place)[0], *ends, tail_mm, head_mm)) for place in places)
