"""The outline of a body: a closed line, its length round, the area in it, and the line inside the sides.

A body lies with its tail end at `x = 0` and its centre line along `y = 0`; the bass side has positive `y`. All lengths
are millimetres. Curves are chains of straight lines that stray from them by no more than `curves.STRAYS_MM`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from builder.calculations.answers import Outside
from builder.calculations.curves import (
    STRAYS_MM,
    Spot,
    closed_through,
    flattened,
    never_beyond,
    open_through,
)

Ends = Literal["round", "pointed"]

#: Places nearer to each other than this are one.
SAME_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed line through `spots` and back to the first, which does not stand twice; bass side from tail to head,
    then the treble side back."""

    spots: tuple[Spot, ...]

    @property
    def tail_mm(self) -> float:
        """Where along the centre line the body begins."""
        return min(x for x, _ in self.spots)

    @property
    def head_mm(self) -> float:
        """Where along the centre line the body ends."""
        return max(x for x, _ in self.spots)

    @property
    def length_mm(self) -> float:
        """From tail end to head end."""
        return self.head_mm - self.tail_mm

    @property
    def width_mm(self) -> float:
        """From the outermost place on the bass side to that on the treble side."""
        return max(y for _, y in self.spots) - min(y for _, y in self.spots)

    @property
    def perimeter_mm(self) -> float:
        """The way once round."""
        return sum(math.dist(one, other) for one, other in self.edges)

    @property
    def area_mm2(self) -> float:
        """The area inside, by the surveyor's formula, in square millimetres."""
        return abs(sum(_cross(one, other) for one, other in self.edges)) / 2

    @property
    def middle(self) -> Spot:
        """The centre of the area: where a card cut to this outline would balance. Needs an area above zero."""
        origin = self.spots[0]
        twice = along = across = 0.0
        for one, other in self.edges:
            a, b = (one[0] - origin[0], one[1] - origin[1]), (other[0] - origin[0], other[1] - origin[1])
            cross = _cross(a, b)
            twice += cross
            along += (a[0] + b[0]) * cross
            across += (a[1] + b[1]) * cross
        return origin[0] + along / (3 * twice), origin[1] + across / (3 * twice)

    @property
    def edges(self) -> list[tuple[Spot, Spot]]:
        """Every straight piece, from its start to its end."""
        return list(pairwise((*self.spots, self.spots[0])))


def _cross(one: Spot, other: Spot) -> float:
    return one[0] * other[1] - other[0] * one[1]


def outline_of(spots: Sequence[Spot]) -> Outline | Outside:
    """A closed line through these places, put in order: from the tail, bass side first, no place twice in a row.

    Outside where fewer than three places are left, where the line crosses or touches itself, or where it holds no area.
    """
    from shapely import LinearRing

    kept: list[Spot] = []
    for spot in spots:
        if not kept or math.dist(spot, kept[-1]) > SAME_MM:
            kept.append(spot)
    while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= SAME_MM:
        kept.pop()
    if len(kept) < 3:
        return Outside("an outline needs at least three different places")
    outline = Outline(tuple(kept))
    if not LinearRing(kept).is_simple:
        return Outside("the outline crosses itself")
    if outline.area_mm2 <= 1:
        return Outside("the outline holds no area")
    if sum(_cross(one, other) for one, other in outline.edges) > 0:  # seen with y upwards, bass first is clockwise
        kept.reverse()
    first = min(range(len(kept)), key=lambda n: (kept[n][0], abs(kept[n][1]), kept[n][1]))
    return Outline((*kept[first:], *kept[:first]))


def through_half_widths(stations: Sequence[tuple[float, float]], ends: Ends = "round") -> Outline | Outside:
    """A smooth outline through half widths at rising places along the centre line, alike on both sides.

    Widths neither rise nor fall between two stations that are alike, so no place is wider than the widest station. An
    end of half width 0 closes round (there it is the square of the half width that runs smoothly, as it does in an
    ellipse, which comes out exact) or to a point. Any other end is a flat face, square to the centre line.
    Outside for fewer than two stations, places that do not rise, or a half width of 0 between the ends.
    """
    at, half = [x for x, _ in stations], [w for _, w in stations]
    if len(stations) < 2:
        return Outside("an outline needs half widths at two places at least")
    if any(after - before <= SAME_MM for before, after in pairwise(at)):
        return Outside("the places along the centre line must rise from the tail end to the head end")
    if any(width < 0 for width in half):
        return Outside("a half width cannot be negative")
    if any(width <= SAME_MM for width in half[1:-1]) or max(half) <= SAME_MM:
        return Outside("the body has no width at a place between its ends")
    round_tail, round_head = (ends == "round" and width <= SAME_MM for width in (half[0], half[-1]))
    if not round_tail and not round_head:
        widths = never_beyond(at, half)
        bass = _joined([flattened(lambda x: (x, widths(x)), *piece) for piece in pairwise(at)])
    else:
        if len(stations) == 2:
            return Outside("a round end needs a half width between the ends")
        squares = never_beyond(at, [width * width for width in half])

        def place(x: float) -> Spot:
            return x, math.sqrt(max(squares(x), 0.0))

        pieces = []
        for low, high in pairwise(at):
            from_end, to_end = low == at[0] and round_tail, high == at[-1] and round_head
            if from_end:  # the pace along x is that of the square of a number, so that the end is smooth in it
                pieces.append(flattened(lambda t, a=low, b=high: place(a + (b - a) * t * t), 0.0, 1.0))  # type: ignore[misc]
            elif to_end:
                pieces.append(flattened(lambda t, a=low, b=high: place(b - (b - a) * (1 - t) ** 2), 0.0, 1.0))  # type: ignore[misc]
            else:
                pieces.append(flattened(place, low, high))
        bass = _joined(pieces)
    return outline_of(_both_sides(bass))


def through_points(
    spots: Sequence[Spot], joined: Literal["smooth", "straight"] = "smooth", *, mirrored: bool = False
) -> Outline | Outside:
    """An outline through places in order, joined by a smooth curve or by straight lines.

    `mirrored`: the places are those of one side, from the tail end to the head end. Where the first or last lies on
    the centre line, the smooth curve crosses it square; elsewhere the end is a flat face.
    """
    places: list[Spot] = []
    for spot in spots:
        if not places or math.dist(spot, places[-1]) > SAME_MM:
            places.append(spot)
    if not mirrored and len(places) > 1 and math.dist(places[0], places[-1]) <= SAME_MM:
        places.pop()
    if len(places) < (2 if mirrored else 3):
        return Outside("an outline needs at least three different places")
    if joined == "smooth":
        if mirrored:
            side = 1.0 if sum(y for _, y in places) >= 0 else -1.0
            curve = open_through(
                places,
                (0.0, side) if abs(places[0][1]) <= SAME_MM else None,
                (0.0, -side) if abs(places[-1][1]) <= SAME_MM else None,
            )
            pieces = len(places) - 1
        else:
            curve, pieces = closed_through(places), len(places)
        places = _joined([flattened(curve, float(n), float(n + 1)) for n in range(pieces)])
    return outline_of(_both_sides(places) if mirrored else places)


def inside_of(outline: Outline, thickness_mm: float) -> Outline | Outside:
    """The line inside sides of a thickness: every place of it lies that far from the outline, measured square to it.

    It is not the outline made smaller: an ellipse's is no ellipse. For a smooth outline that bulges everywhere its
    length is `perimeter − 2π·thickness` (J. Steiner, 1840). Outside where nothing is left between the sides, or where
    they meet somewhere between.
    """
    from shapely import Polygon, get_coordinates

    left = Polygon(outline.spots).buffer(-thickness_mm, quad_segs=32, join_style="round")
    if left.is_empty:
        return Outside("the sides are so thick that nothing is left between them")
    if left.geom_type != "Polygon" or left.interiors:
        return Outside("the sides are so thick that they meet in the middle of the body")
    return outline_of([(x, y) for x, y in get_coordinates(left.exterior).tolist()])


def thinned(spots: Sequence[Spot], strays_mm: float) -> tuple[Spot, ...]:
    """The same closed line through fewer places, for drawing: it strays no further than so much from itself."""
    from shapely import LinearRing, get_coordinates

    coords = get_coordinates(LinearRing(spots).simplify(strays_mm, preserve_topology=True)).tolist()
    return tuple((x, y) for x, y in coords[:-1])


def ellipse(middle: Spot, long_mm: float, wide_mm: float, strays_mm: float = STRAYS_MM) -> list[Spot]:
    """An ellipse by its two diameters, the first along the centre line."""

    def place(angle: float) -> Spot:
        return middle[0] - long_mm / 2 * math.cos(angle), middle[1] + wide_mm / 2 * math.sin(angle)

    quarters = [n * math.pi / 2 for n in range(5)]
    return _joined([flattened(place, *quarter, strays_mm) for quarter in pairwise(quarters)])[:-1]


def rectangle(middle: Spot, long_mm: float, wide_mm: float, corner_mm: float = 0.0) -> list[Spot]:
    """A rectangle, the first size along the centre line; `corner_mm` is the radius of its corners."""
    spots: list[Spot] = []
    radius = min(corner_mm, long_mm / 2, wide_mm / 2)
    for toward_x, toward_y, turn in ((-1, -1, 2), (-1, 1, 1), (1, 1, 0), (1, -1, 3)):
        x = middle[0] + toward_x * (long_mm / 2 - radius)
        y = middle[1] + toward_y * (wide_mm / 2 - radius)
        if radius <= 0:
            spots.append((x, y))
            continue
        start, end = (turn + 1) * math.pi / 2, turn * math.pi / 2
        spots += flattened(
            lambda angle, x=x, y=y: (x + radius * math.cos(angle), y + radius * math.sin(angle)),  # type: ignore[misc]
            start,
            end,
        )
    return spots


def _joined(pieces: Sequence[Sequence[Spot]]) -> list[Spot]:
    """Pieces that begin where the one before ends, as one."""
    return [*pieces[0], *(spot for piece in pieces[1:] for spot in piece[1:])]


def _both_sides(bass: Sequence[Spot]) -> list[Spot]:
    """One side from tail to head, and its mirror image back."""
    return [*bass, *((x, -y) for x, y in reversed(bass))]
