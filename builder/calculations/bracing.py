"""Braces against the outline, the linings and the sound holes of a body, seen from above.

Places are points in millimetres: along the centre line from the tail end of the body, and to the bass side above zero.
Outlines and sound holes are polygons of shapely; everything here is plane geometry, and turning or moving all of a
body together changes no number.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from builder.calculations.answers import Outside
from builder.calculations.curves import Spot

if TYPE_CHECKING:
    from shapely import Polygon

Reach = Literal["inside", "into the linings", "into the side", "outside"]

#: What reaches no further than this over an edge lies on the edge: a hundredth of a millimetre.
TOUCH_MM = 0.01

_STEPS_ROUND = 400


@dataclass(frozen=True, slots=True)
class Brace:
    """A straight brace seen from above: from the middle of one end to the middle of the other, and how wide.

    Start and end must not be one place.
    """

    start: Spot
    end: Spot
    width_mm: float

    @property
    def length_mm(self) -> float:
        """From end to end, along the middle."""
        return math.dist(self.start, self.end)

    @property
    def along(self) -> Spot:
        """Its direction from start to end, of length one."""
        return (self.end[0] - self.start[0]) / self.length_mm, (self.end[1] - self.start[1]) / self.length_mm

    @property
    def shape(self) -> Polygon:
        """The rectangle it covers on its plate."""
        from shapely import Polygon

        half = self.width_mm / 2
        corners = ((0.0, half), (self.length_mm, half), (self.length_mm, -half), (0.0, -half))
        return Polygon([self.placed(*corner) for corner in corners])

    @property
    def bevelled_shape(self) -> Polygon:
        """The same with the corners of both ends taken off at 45°, so that each end is a point at its middle."""
        from shapely import Polygon

        half = self.width_mm / 2
        off = min(half, self.length_mm / 2)
        left = ((off, half), (self.length_mm - off, half), (self.length_mm, 0.0))
        corners = ((0.0, 0.0), *left, (self.length_mm - off, -half), (off, -half))
        return Polygon([self.placed(*corner) for corner in corners])

    def placed(self, along_mm: float, left_mm: float) -> Spot:
        """A place given from the start along the brace and to its left, as a place on the body."""
        x, y = self.along
        return self.start[0] + along_mm * x - left_mm * y, self.start[1] + along_mm * y + left_mm * x

    def seen_from(self, place: Spot) -> Spot:
        """A place on the body, given from the start along the brace and to its left."""
        x, y = self.along
        from_start = place[0] - self.start[0], place[1] - self.start[1]
        return from_start[0] * x + from_start[1] * y, from_start[1] * x - from_start[0] * y


@dataclass(frozen=True, slots=True)
class FittedBrace:
    """A brace fitted between two sides at its station.

    `length_mm` is along its middle, `longest_mm` along the longer of its edges: what to cut it from. A bevel is 0 for a
    square end, above zero where the left edge, looking from start to end, is the longer; None where an edge meets no
    side.
    """

    length_mm: float
    longest_mm: float
    start_bevel_degrees: float | None
    end_bevel_degrees: float | None


def clearance_mm(brace: Brace, opening: Polygon) -> float:
    """How much wood lies between a brace and a sound hole of its plate; below zero the brace runs across the hole.

    Above zero it is the shortest distance between the two. Below zero it is how far the brace would have to be moved
    sideways, or moved or shortened lengthways, to come clear: the least of the four ways. For a hole in one piece.
    """
    apart = float(brace.shape.distance(opening))
    if apart > 0:
        return apart
    half = brace.width_mm / 2
    ring = [brace.seen_from((x, y)) for x, y in opening.exterior.coords]
    beside = [left for _, left in _cut_to(ring, 0, 0.0, brace.length_mm)]
    before = [along for along, _ in _cut_to(ring, 1, -half, half)]
    if not beside or not before:
        return 0.0
    ways = (half - min(beside), max(beside) + half, brace.length_mm - min(before), max(before))
    return min(0.0, -min(ways)) + 0.0


def part_covered(brace: Brace, opening: Polygon) -> float:
    """How much of a sound hole a brace lies behind: 0 not seen through it, 1 nothing else is seen.

    The two plates are looked at square from the front: from the side, a brace shows further off.
    """
    area = float(opening.area)
    return min(1.0, float(brace.shape.intersection(opening).area) / area) if area > 0 else 0.0


def reach_of(brace: Brace, outside: Polygon, inside: Polygon | None = None, clear: Polygon | None = None) -> Reach:
    """How far a brace reaches: it stays clear of the linings, runs into them, into the side, or out of the body.

    `outside` is the outline over the sides, `inside` the one within them, `clear` the one within the linings; the
    latter two may be unknown, and then nothing is said of them. The corners of the two ends are taken as bevelled off
    at 45°, since ends are cut to meet the side. A hundredth of a millimetre does not count.
    """
    steps: tuple[tuple[Polygon | None, Reach], ...] = (
        (outside, "outside"),
        (inside, "into the side"),
        (clear, "into the linings"),
    )
    for room, reach in steps:
        if room is not None and over_edge_mm(brace.bevelled_shape, room) > TOUCH_MM:
            return reach
    return "inside"


def over_edge_mm(shape: Polygon, room: Polygon) -> float:
    """How far a shape reaches over the edge of another, at its furthest; 0 where it lies within.

    Looked at in steps of a four-hundredth of the way round the shape, and at its corners.
    """
    if room.is_empty:
        return math.inf
    if room.covers(shape):
        return 0.0
    from shapely import points, segmentize

    edge = segmentize(shape.exterior, shape.exterior.length / _STEPS_ROUND)
    return float(max(room.distance(points(edge.coords))))


def edge_room_mm(opening: Polygon, outline: Polygon) -> float:
    """How much wood lies between a sound hole and an outline around it; below zero the hole runs over the edge.

    Above zero it is the shortest distance to the outline, below zero how far the hole reaches over it.
    """
    over = over_edge_mm(opening, outline)
    return -over if over > 0 else float(opening.distance(outline.exterior))


def fitted_between(brace: Brace, inside: Sequence[Spot]) -> FittedBrace | Outside:
    """A brace's length from side to side at its station, and the bevels its ends need to meet them.

    `inside` runs once round the body, within the sides (or within the linings). The brace is carried on, or cut
    back, along its own line. The bevel is taken over the brace's width, from where one edge meets the side to where the
    other does: on a round body of radius r, with the brace's middle y off its centre, about asin(y/r).

    Outside where the middle of the brace does not lie in the body.
    """
    half = brace.width_mm / 2
    ring = [brace.seen_from(place) for place in inside]
    middle = _run(ring, 0.0, brace.length_mm / 2)
    if middle is None:
        return Outside("the middle of the brace does not lie in the body")
    left, right = (_run(ring, offset, brace.length_mm / 2) for offset in (half, -half))
    lengths = [stop - start for start, stop in filter(None, (middle, left, right))]
    if left is None or right is None:
        return FittedBrace(lengths[0], max(lengths), None, None)
    start = math.degrees(math.atan2(right[0] - left[0], brace.width_mm))
    end = math.degrees(math.atan2(left[1] - right[1], brace.width_mm))
    return FittedBrace(lengths[0], max(lengths), start, end)


def _run(ring: Sequence[Spot], left_mm: float, at_mm: float) -> tuple[float, float] | None:
    """Where a line beside the brace enters and leaves a ring, around a place on it; None where that lies outside."""
    crossings = []
    for (one_x, one_y), (two_x, two_y) in zip(ring, [*ring[1:], ring[0]], strict=True):
        if (one_y >= left_mm) != (two_y >= left_mm):
            crossings.append(one_x + (two_x - one_x) * (left_mm - one_y) / (two_y - one_y))
    before = [each for each in crossings if each <= at_mm]
    after = [each for each in crossings if each > at_mm]
    return (max(before), min(after)) if len(before) % 2 and len(after) % 2 else None


def _cut_to(ring: Sequence[Spot], axis: int, least: float, most: float) -> list[Spot]:
    """What lies of a ring between two straight lines across one axis: cut at the one, then at the other."""
    for limit, sign in ((least, 1.0), (most, -1.0)):
        kept: list[Spot] = []
        for one, two in zip(ring, [*ring[1:], *ring[:1]], strict=True):
            from_one, from_two = sign * (one[axis] - limit), sign * (two[axis] - limit)
            if from_one >= 0:
                kept.append(one)
            if (from_one > 0 > from_two) or (from_one < 0 < from_two):
                part = from_one / (from_one - from_two)
                kept.append((one[0] + part * (two[0] - one[0]), one[1] + part * (two[1] - one[1])))
        ring = kept
    return list(ring)
