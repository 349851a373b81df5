"""What the shop leaves on a blank, how wide its saw cuts, and how much wood goes to waste."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from builder.lengths import Length
from builder.limits import Between, Percent


@dataclass(frozen=True, slots=True)
class BlankAllowances:
    """Added to the finished size of every part; `waste` is what is bought over and above, for knots and checks."""

    length: Annotated[Length, Between("0 mm", "300 mm")] | None = None
    width: Annotated[Length, Between("0 mm", "100 mm")] | None = None
    thickness: Annotated[Length, Between("0 mm", "50 mm")] | None = None
    kerf: Annotated[Length, Between("0 mm", "20 mm")] | None = None
    waste: Annotated[Percent, Between("0 %", "300 %")] | None = None
