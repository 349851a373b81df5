"""The blocks at the two ends of a body, as they look from above: what they take of the room inside."""

from __future__ import annotations

import math
from typing import Literal

from builder.calculations.answers import Missing, Outside
from builder.calculations.curves import Spot
from builder.calculations.outline import Outline, outline_of
from builder.calculations.sides import CORNER_DEGREES, Side, Sides

End = Literal["tail", "head"]


def end_block(
    inside: Outline, sides: Sides, end: End, glued_mm: float, thickness_mm: float | None = None
) -> Outline | Missing | Outside:
    """A block as seen from above, from the line inside the sides.

    `glued_mm` is the length of its joint with one side, `thickness_mm` how far it reaches into the body along the
    centre line. Between two sides that do not meet smoothly a block fills the end of the body; without a thickness it
    reaches as far as its joints. Across a smooth end it is as wide as its joints let it be, and its thickness is
    needed. `sides` are those of the line inside. Outside where the block does not fit in.
    """
    from shapely import Polygon, box, get_coordinates

    sign = 1.0 if end == "tail" else -1.0
    bass, treble = (_from_end(side, end) for side in (sides.bass, sides.treble))
    start = inside.tail_mm if end == "tail" else inside.head_mm
    if glued_mm >= min(bass.length_mm, treble.length_mm):
        return Outside(f"the {end} block is glued along more than the whole side")
    bass_spot, treble_spot = bass.at(glued_mm), treble.at(glued_mm)
    low, high = -math.inf, math.inf
    if _meet_smoothly(bass, treble):
        if thickness_mm is None:
            return Missing((f"{end}_thickness",))
        low, high = treble_spot[1], bass_spot[1]
    reach = (
        thickness_mm if thickness_mm is not None else max(sign * (spot[0] - start) for spot in (bass_spot, treble_spot))
    )
    least, most = (min(y for _, y in inside.spots) - 1, max(y for _, y in inside.spots) + 1)
    near, far = sorted((start - sign, start + sign * reach))
    cut = Polygon(inside.spots).intersection(box(near, max(low, least), far, min(high, most)))
    parts = [part for part in getattr(cut, "geoms", (cut,)) if part.geom_type == "Polygon" and not part.is_empty]
    if not parts:
        return Outside(f"nothing is left of the {end} block inside the sides")
    largest = max(parts, key=lambda part: part.area)
    return outline_of([(x, y) for x, y in get_coordinates(largest.exterior).tolist()])


def _from_end(side: Side, end: End) -> Side:
    return side if end == "tail" else Side(side.spots[::-1])


def _meet_smoothly(bass: Side, treble: Side) -> bool:
    """Whether both sides begin at one place and run on there as one smooth line."""
    if math.dist(bass.spots[0], treble.spots[0]) > 1e-6:
        return False
    (x, y), one, other = bass.spots[0], bass.spots[1], treble.spots[1]
    angle = _angle((one[0] - x, one[1] - y), (other[0] - x, other[1] - y))
    return math.pi - angle <= math.radians(CORNER_DEGREES)


def _angle(one: Spot, other: Spot) -> float:
    return abs(math.atan2(one[0] * other[1] - one[1] * other[0], one[0] * other[0] + one[1] * other[1]))
