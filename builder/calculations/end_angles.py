"""The angle at which a side meets an end block, and the angle block in the drawer that comes nearest to it.

A side is a line of points in millimetres that starts at the end of the body: each point is (how far in from the end
along the centre line, how far out from the centre line). So both ends and both sides of a body are worked alike.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from builder.calculations.answers import Outside
from builder.calculations.curves import Spot
from builder.calculations.end_blocks import End
from builder.calculations.sides import CORNER_DEGREES

Edge = Literal["inner", "outer"]

#: A block further off than this is no help: the joint is cut for its own angle. Common practice.
NEAR_ENOUGH_DEGREES = 10.0


@dataclass(frozen=True, slots=True)
class EndAngle:
    """How a side runs along its end block.

    `to_centre_line_degrees` is above zero where the body widens away from its end, `to_end_face_degrees` is the angle
    from the end face, carried on outwards, to the side. `bow_mm` is how far the side stands off the straight line
    over the block, above zero outwards: what the block is hollowed or rounded by, or the side pulled flat.
    """

    to_centre_line_degrees: float
    to_end_face_degrees: float
    chord_mm: float
    bow_mm: float


@dataclass(frozen=True, slots=True)
class BlockFit:
    """An angle block against a side: `off_degrees` is block less side, `opens` the edge of the joint with the gap.

    The inner edge is the one further into the body, the outer the one at the end face. None: no gap at all.
    """

    block_degrees: float
    off_degrees: float
    gap_mm: float
    opens: Edge | None


def end_angle(side: Sequence[Spot], glue_length_mm: float, from_mm: float = 0.0) -> EndAngle | Outside:
    """The angle a block must have to meet a side: that of the straight line over the length where they are glued.

    Not the direction of the side at the very end: a block is flat, and touches a bent side where its glue surface
    starts and where it stops. `side` starts at the end of the body, outside; `from_mm` and `from_mm + glue_length_mm`
    are measured along it. Inside, the side runs parallel: between the same two places the straight line has the same
    direction wherever the side is bent to an arc, so the outside may be taken.

    Outside where the side is shorter than the block, or turns a corner within it. Plane geometry.
    """
    if not glue_length_mm > 0 or from_mm < 0:
        return Outside("a glue surface needs a length")
    piece = _piece(side, from_mm, from_mm + glue_length_mm)
    if piece is None:
        return Outside("the side is shorter than the block")
    if any(turn > CORNER_DEGREES for turn in _turns(piece)):
        return Outside("the side turns a corner within the length of the block")
    (start_in, start_out), (stop_in, stop_out) = piece[0], piece[-1]
    chord_mm = math.hypot(stop_in - start_in, stop_out - start_out)
    if chord_mm < glue_length_mm / 2:
        return Outside("the side turns round within the length of the block")
    along, across = (stop_in - start_in) / chord_mm, (stop_out - start_out) / chord_mm
    degrees = math.degrees(math.atan2(across, along))
    offs = [along * (out - start_out) - across * (inwards - start_in) for inwards, out in piece]
    return EndAngle(degrees, 90.0 - degrees, chord_mm, max(offs, key=abs))


def nearest_block(blocks_degrees: Iterable[float], side_degrees: float, glue_length_mm: float) -> BlockFit | Outside:
    """The block of the drawer that comes nearest to a side's angle, and the gap it would leave.

    `side_degrees` is the angle to the centre line. A block is turned over for a side that runs the other way. The gap
    over the length ℓ is ℓ·tan|Δ|. A block that widens faster than the side touches it deep in the body and stands
    open at the outer edge; one that widens more slowly stands open at the inner edge.

    Outside where every block is further off than NEAR_ENOUGH_DEGREES, or the drawer is empty. Plane geometry.
    """
    turned = math.copysign(1.0, side_degrees)
    blocks = sorted(blocks_degrees, key=lambda each: (abs(each - abs(side_degrees)), each))
    if not blocks:
        return Outside("there is no angle block in the drawer")
    off = turned * blocks[0] - side_degrees
    if abs(off) > NEAR_ENOUGH_DEGREES:
        return Outside(f"no angle block comes within {NEAR_ENOUGH_DEGREES:.0f}°")
    opens: Edge | None = None if off == 0 else ("outer" if off > 0 else "inner")
    return BlockFit(blocks[0], off, glue_length_mm * math.tan(math.radians(abs(off))), opens)


def side_from(spots: Sequence[Spot], end: End, *, bass: bool) -> tuple[Spot, ...]:
    """A side as it is seen from one end of the body: how far in from where it starts, and how far out.

    `spots` are places of the body from the tail end of the side to its head end, the bass side above zero.
    """
    inwards, outwards = (1.0 if end == "tail" else -1.0), (1.0 if bass else -1.0)
    in_order = spots if end == "tail" else spots[::-1]
    return tuple((inwards * (x - in_order[0][0]), outwards * y) for x, y in in_order)


def _piece(side: Sequence[Spot], start_mm: float, stop_mm: float) -> list[Spot] | None:
    """The part of a line between two distances along it, or None where it ends before."""
    piece: list[Spot] = []
    reached = 0.0
    for before, after in pairwise(side):
        step = math.dist(before, after)
        if step > 0 and reached + step >= start_mm:
            if not piece:
                piece.append(_between(before, after, (start_mm - reached) / step))
            if reached + step >= stop_mm:
                piece.append(_between(before, after, (stop_mm - reached) / step))
                return piece
            piece.append(after)
        reached += step
    # A block as long as the whole side may miss its end by the last bits of the sum.
    return piece if len(piece) > 1 and math.isclose(reached, stop_mm, rel_tol=1e-9) else None


def _between(one: Spot, other: Spot, part: float) -> Spot:
    return one[0] + part * (other[0] - one[0]), one[1] + part * (other[1] - one[1])


def _turns(line: Sequence[Spot]) -> list[float]:
    places = [place for number, place in enumerate(line) if number == 0 or place != line[number - 1]]
    return [_turn_degrees(*three) for three in zip(places, places[1:], places[2:], strict=False)]


def _turn_degrees(before: Spot, place: Spot, after: Spot) -> float:
    """By how much a line turns at a place, either way."""
    (one_x, one_y), (two_x, two_y) = (
        (place[0] - before[0], place[1] - before[1]),
        (after[0] - place[0], after[1] - place[1]),
    )
    return abs(math.degrees(math.atan2(one_x * two_y - one_y * two_x, one_x * two_x + one_y * two_y)))
