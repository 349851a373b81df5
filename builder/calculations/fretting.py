"""Fret slots and the wire that goes into them: does it hold, how deep must the slot be, how much wire to buy."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

Fit = Literal["too tight", "holds", "loose"]

#: Clear space under the tang, so that the crown seats and not the tang. Common practice: about half a millimetre.
UNDER_THE_TANG_MM = 0.5
#: Wire left over at each end of a fret before it is nipped and filed. Common practice: about an eighth of an inch.
OVERHANG_MM = 3.0


def fit_of(slot_width_mm: float, tang_mm: float, barb_mm: float) -> Fit:
    """Whether a slot takes the tang and holds the barbs.

    Narrower than the tang, the slot is forced open, and many such slots bend the board back; as wide as the barbs, it
    does not hold without glue. Between the two it holds. Common practice; how tight is best depends on the wood.
    """
    if slot_width_mm < tang_mm:
        return "too tight"
    return "holds" if slot_width_mm < barb_mm else "loose"


def slot_depth_mm(tang_depth_mm: float) -> float:
    """How deep a slot must be at the least for a tang so deep. Common practice."""
    return tang_depth_mm + UNDER_THE_TANG_MM


def steps_of_wire(fret_lengths_mm: Sequence[float], step_mm: float) -> int:
    """How many steps of `step_mm`, such as whole inches, are enough wire for frets so long, with their overhangs."""
    needed_mm = sum(length + 2 * OVERHANG_MM for length in fret_lengths_mm)
    return math.ceil(needed_mm / step_mm - 1e-9)
