"""How wood moves: the change of width and thickness when its moisture changes, and what a glued brace makes of it.

After the Wood Handbook (Forest Products Laboratory, FPL-GTR-190, chapters 4 and 13). Moisture is in per cent of the
dry mass, shrinkage in per cent of the green size from green to oven-dry, a coefficient is the change of size per unit
of size and per cent of moisture.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from builder.calculations.answers import Missing

Equation = Literal["13-2", "13-3"]

#: Moisture at which most woods begin to shrink; above it they keep their size (Wood Handbook, chapter 4).
USUAL_START_PERCENT = 30.0
#: Between these moistures a coefficient alone is good enough (Wood Handbook, table 13-5).
LEAST_FOR_COEFFICIENT, MOST_FOR_COEFFICIENT = 6.0, 14.0
#: The moisture from which a coefficient is reckoned out of a shrinkage: the middle of that range.
_MIDDLE_PERCENT = 10.0
#: Along the grain wood shrinks by 0.1 to 0.2 % from green to oven-dry (Wood Handbook, chapter 4); the middle.
ALONG_GRAIN_SHRINKAGE_PERCENT = 0.15

#: Angle between the growth rings and the broad face of a board, for a cut without an angle of its own.
DEGREES_OF_CUT = {"flatsawn": 0.0, "rift sawn": 45.0, "quartersawn": 90.0}


@dataclass(frozen=True, slots=True)
class Movement:
    """How readily a wood moves in one direction: its printed coefficient, its shrinkage in per cent, or both."""

    coefficient: float | None = None
    shrinkage_percent: float | None = None
    start_percent: float = USUAL_START_PERCENT


@dataclass(frozen=True, slots=True)
class Change:
    """A change of size, in the unit of the size (or of a size of 1), and the equation that gave it."""

    amount: float
    equation: Equation


def coefficient_of(shrinkage_percent: float, start_percent: float = USUAL_START_PERCENT) -> float:
    """The coefficient that belongs to a shrinkage: what Eq. 13-3 gives for one per cent from 10 % moisture.

    C = S / (100 s − (s − 10) S), with s the moisture at which shrinking begins. With s = 30 it is
    S / (3000 − 20 S), the rule by which the handbook's coefficients follow from its shrinkages.
    """
    return shrinkage_percent / (100 * start_percent - (start_percent - _MIDDLE_PERCENT) * shrinkage_percent)


def shrinkage_of(coefficient: float, start_percent: float = USUAL_START_PERCENT) -> float:
    """The shrinkage in per cent that belongs to a coefficient: `coefficient_of` the other way round."""
    return 100 * start_percent * coefficient / (1 + (start_percent - _MIDDLE_PERCENT) * coefficient)


def change_by_coefficient(size: float, coefficient: float, from_percent: float, to_percent: float) -> float:
    """How much a size changes: size · coefficient · change of moisture, in the unit of the size.

    Wood Handbook Eq. 13-2; both moistures between 6 and 14 %. Below zero it shrinks.
    """
    return size * coefficient * (to_percent - from_percent)


def change_by_shrinkage(
    size: float, shrinkage_percent: float, from_percent: float, to_percent: float, start_percent: float
) -> float:
    """How much a size changes between any two moistures, reckoned from the whole shrinkage.

    Wood Handbook Eq. 13-3: size · (to − from) / (100 s / S − s + from). Above s, where shrinking begins, nothing moves.
    """
    before, after = min(from_percent, start_percent), min(to_percent, start_percent)
    if shrinkage_percent <= 0:
        return 0.0
    return size * (after - before) / (100 * start_percent / shrinkage_percent - start_percent + before)


def change_of(size: float, wood: Movement, from_percent: float, to_percent: float) -> Change | Missing:
    """How much a size changes, by the equation that holds: the coefficient from 6 to 14 %, else the shrinkage.

    Outside that range a coefficient that stands alone is turned into its shrinkage. Where only the shrinkage is
    known, Eq. 13-3 is used throughout. `Missing` where neither is known.
    """
    low, high = min(from_percent, to_percent), max(from_percent, to_percent)
    if wood.coefficient is not None and low >= LEAST_FOR_COEFFICIENT and high <= MOST_FOR_COEFFICIENT:
        return Change(change_by_coefficient(size, wood.coefficient, from_percent, to_percent), "13-2")
    shrinkage = wood.shrinkage_percent
    if shrinkage is None and wood.coefficient is not None:
        shrinkage = shrinkage_of(wood.coefficient, wood.start_percent)
    if shrinkage is None:
        return Missing(("shrinkage",))
    return Change(change_by_shrinkage(size, shrinkage, from_percent, to_percent, wood.start_percent), "13-3")


def across(flat: Movement, quarter: Movement, ring_degrees: float) -> Movement:
    """How readily a board moves across its width, for the angle its growth rings make with the broad face.

    C = C_T cos²φ + C_R sin²φ: flatsawn (0°) moves along the rings (`flat`, tangential), quartersawn (90°) across them
    (`quarter`, radial), and a strain seen at an angle mixes the two so. The same for shrinkages. The thickness takes
    the angle that is left to 90°.
    """
    share = math.cos(math.radians(ring_degrees)) ** 2

    def mixed(along_rings: float | None, across_rings: float | None) -> float | None:
        if ring_degrees == 0:
            return along_rings
        if ring_degrees == 90:
            return across_rings
        if along_rings is None or across_rings is None:
            return None
        return along_rings * share + across_rings * (1 - share)

    return Movement(
        mixed(flat.coefficient, quarter.coefficient),
        mixed(flat.shrinkage_percent, quarter.shrinkage_percent),
        flat.start_percent,
    )


def restrained_strain(
    plate: Movement, plate_moistures: tuple[float, float], brace_moistures: tuple[float, float]
) -> float | Missing:
    """How much a plate is stretched or squeezed across its grain where a brace glued over it holds it, per unit.

    What the plate would do if it were free, less what the brace does along its own grain; each between its moisture
    when glued and the one it comes to. Below zero the plate wants to be narrower than it is held: it is in tension.
    Leaves out that glue, brace and plate give way a little and that wood creeps, so real strains are smaller.
    """
    free = change_of(1.0, plate, *plate_moistures)
    if isinstance(free, Missing):
        return free
    own = change_by_shrinkage(1.0, ALONG_GRAIN_SHRINKAGE_PERCENT, *brace_moistures, USUAL_START_PERCENT)
    return free.amount - own
