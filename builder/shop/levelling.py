"""How the shop levels frets: what it lets pass, how the end of the board falls away, how low a crown may get."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from builder.calculations.frets import FretNumber
from builder.lengths import Length
from builder.limits import Between

#: Two thousandths of an inch: the feeler that just slips under a rocker (common practice).
USUAL_TOLERANCE = Length.from_inches(0.002)


@dataclass(frozen=True, slots=True)
class FallAway:
    """From which fret on the board falls away below its own line, and by how much at the last fret."""

    starts_at: FretNumber
    by: Annotated[Length, Between("0 mm", "2 mm")]


@dataclass(frozen=True, slots=True)
class Levelling:
    """How far a fret may stand above the line through its neighbours, the planned fall-away, the least crown."""

    tolerance: Annotated[Length, Between("0 mm", "1 mm")] = USUAL_TOLERANCE
    fall_away: FallAway | None = None
    least_crown: Annotated[Length, Between("0.1 mm", "3 mm")] | None = None
