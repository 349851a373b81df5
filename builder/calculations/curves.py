"""Smooth curves through given places, and curves as chains of short straight lines.

The curve is a cubic spline (C. de Boor, A Practical Guide to Splines, 1978, chapter IV): between two places a
polynomial of the third degree, with slope and bend the same on both sides of every place. Where a curve must not swing
beyond the places it goes through, its slopes are held within the bounds of F. N. Fritsch and R. E. Carlson, Monotone
Piecewise Cubic Interpolation, SIAM Journal on Numerical Analysis 17 (1980).
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

#: A place in the plane of the body, in millimetres: along the centre line, and across it.
Spot = tuple[float, float]

#: How far a chain of straight lines may stray from its curve: a tenth of the thickness of a hair.
STRAYS_MM = 0.005
_MOST_HALVINGS = 12


@dataclass(frozen=True, slots=True)
class Cubic:
    """A smooth curve of a number over another: `values` and `slopes` at the rising places `at`. No unit of its own."""

    at: tuple[float, ...]
    values: tuple[float, ...]
    slopes: tuple[float, ...]

    def __call__(self, where: float) -> float:
        """The value at a place within the curve's ends."""
        piece = min(max(bisect_right(self.at, where) - 1, 0), len(self.at) - 2)
        width = self.at[piece + 1] - self.at[piece]
        part = (where - self.at[piece]) / width
        rest = 1 - part
        return (
            self.values[piece] * rest * rest * (1 + 2 * part)
            + self.values[piece + 1] * part * part * (1 + 2 * rest)
            + width * part * rest * (self.slopes[piece] * rest - self.slopes[piece + 1] * part)
        )


def spline(at: Sequence[float], values: Sequence[float], start: float | None = None, end: float | None = None) -> Cubic:
    """A smooth curve through at least two values at strictly rising places.

    `start` and `end` are the slopes at the two ends; without one, the curve runs out straight there.
    """
    gaps = [after - before for before, after in pairwise(at)]
    steps = [(after - before) / gap for (before, after), gap in zip(pairwise(values), gaps, strict=True)]
    last = len(at) - 1
    rows = [(0.0, 1.0, 0.0, start) if start is not None else (0.0, 2.0, 1.0, 3 * steps[0])]
    for n in range(1, last):
        left, right = gaps[n - 1], gaps[n]
        rows.append((right, 2 * (left + right), left, 3 * (right * steps[n - 1] + left * steps[n])))
    rows.append((0.0, 1.0, 0.0, end) if end is not None else (1.0, 2.0, 0.0, 3 * steps[-1]))
    return Cubic(tuple(at), tuple(values), _solved(rows))


def _solved(rows: Sequence[tuple[float, float, float, float]]) -> tuple[float, ...]:
    """The unknowns of a chain of equations, each of which holds a neighbour before, itself, and a neighbour after."""
    above: list[tuple[float, float]] = []
    for before, itself, after, right in rows:
        taken, known = above[-1] if above else (0.0, 0.0)
        pivot = itself - before * taken
        above.append((after / pivot, (right - before * known) / pivot))
    found = [above[-1][1]]
    for taken, known in reversed(above[:-1]):
        found.append(known - taken * found[-1])
    return tuple(reversed(found))


def never_beyond(at: Sequence[float], values: Sequence[float]) -> Cubic:
    """A smooth curve that rises only where the values rise and falls only where they fall.

    Its greatest and least values are therefore among those given, and there it runs level. Straight lines come out
    exact, and so do parabolas whose top is not between two places.
    """
    gaps = [after - before for before, after in pairwise(at)]
    steps = [(after - before) / gap for (before, after), gap in zip(pairwise(values), gaps, strict=True)]
    turning = [n for n in range(1, len(steps)) if steps[n - 1] * steps[n] <= 0]
    slopes = [0.0] * len(at)
    for first, last in pairwise((0, *turning, len(steps))):
        start = _free_end(gaps[first:last], steps[first:last], last in turning) if first == 0 else 0.0
        end = 0.0 if last in turning else _free_end(gaps[first:last][::-1], steps[first:last][::-1], first in turning)
        smooth = spline(at[first : last + 1], values[first : last + 1], start, end)
        slopes[first : last + 1] = smooth.slopes
    around = [(steps[0], steps[0]), *pairwise(steps), (steps[-1], steps[-1])]
    held = tuple(_held(slope, before, after) for slope, (before, after) in zip(slopes, around, strict=True))
    return Cubic(tuple(at), tuple(values), held)


def _free_end(gaps: Sequence[float], steps: Sequence[float], turns: bool) -> float:
    """The slope at the end of a stretch, nearest place first; `turns`: at its other end it runs level.

    It is that of the parabola through the three nearest places, or of the one that runs level at the second.
    """
    if len(steps) == 1:
        return 2 * steps[0] if turns else steps[0]
    return steps[0] + (steps[0] - steps[1]) * gaps[0] / (gaps[0] + gaps[1])


def _held(slope: float, before: float, after: float) -> float:
    """A slope held so that the curve rises, or falls, all the way on both sides of its place."""
    if before * after <= 0:
        return 0.0
    sign = math.copysign(1.0, before)
    return sign * min(max(sign * slope, 0.0), 3 * min(abs(before), abs(after)))


def closed_through(spots: Sequence[Spot]) -> Callable[[float], Spot]:
    """A smooth closed curve through at least three different places, over 0 to their number and round again.

    Neighbours must not be the same place. The curve's pace is that of the straight way between them.
    """
    beyond = 30  # what lies further away along the curve does not reach this piece of it by 1e-16
    count = len(spots)
    ring = [spots[n % count] for n in range(-beyond, count + beyond + 1)]
    along = _along(ring)
    curve_x, curve_y = (spline(along, [spot[n] for spot in ring]) for n in (0, 1))

    def place(turn: float) -> Spot:
        piece = min(int(turn), count - 1) + beyond
        where = along[piece] + (along[piece + 1] - along[piece]) * (turn - piece + beyond)
        return curve_x(where), curve_y(where)

    return place


def open_through(spots: Sequence[Spot], start: Spot | None = None, end: Spot | None = None) -> Callable[[float], Spot]:
    """A smooth curve through at least two places, over 0 to their number less one.

    `start` and `end` are the directions in which it leaves the first place and reaches the last one, each of length 1.
    """
    along = _along(spots)
    curve_x, curve_y = (
        spline(along, [spot[n] for spot in spots], start[n] if start else None, end[n] if end else None) for n in (0, 1)
    )

    def place(turn: float) -> Spot:
        piece = min(int(turn), len(spots) - 2)
        where = along[piece] + (along[piece + 1] - along[piece]) * (turn - piece)
        return curve_x(where), curve_y(where)

    return place


def _along(spots: Sequence[Spot]) -> list[float]:
    along = [0.0]
    for before, after in pairwise(spots):
        along.append(along[-1] + math.dist(before, after))
    return along


def flattened(curve: Callable[[float], Spot], start: float, end: float, strays_mm: float = STRAYS_MM) -> list[Spot]:
    """A curve as places joined by straight lines, none of which strays further from it than `strays_mm`.

    The first place is that at `start`, the last that at `end`. The curve should be smooth in between.
    """
    spots = [curve(start)]

    def halve(low: float, high: float, one: Spot, other: Spot, left: int) -> None:
        middle = (low + high) / 2
        between = curve(middle)
        quarters = (curve((3 * low + high) / 4), curve((low + 3 * high) / 4))
        strays = max(_off(spot, one, other) for spot in (between, *quarters))
        if left and strays > strays_mm:
            halve(low, middle, one, between, left - 1)
            halve(middle, high, between, other, left - 1)
        else:
            spots.append(other)

    halve(start, end, spots[0], curve(end), _MOST_HALVINGS)
    return spots


def _off(spot: Spot, one: Spot, other: Spot) -> float:
    """How far a place lies off the straight line between two others."""
    along_x, along_y = other[0] - one[0], other[1] - one[1]
    length = math.hypot(along_x, along_y)
    if length == 0:
        return math.dist(spot, one)
    return abs((spot[0] - one[0]) * along_y - (spot[1] - one[1]) * along_x) / length
