"""What a record may say of a part's wood besides its name and size: how moist it was, and what air it stood in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from builder.limits import Between, Celsius, Kilograms, Percent


@dataclass(frozen=True, slots=True)
class RoomAir:
    """The air of a room over days or weeks, as wood feels it: not the moment when somebody looked at the gauge."""

    temperature: Annotated[Celsius, Between("30 F", "110 F")]
    humidity: Annotated[Percent, Between("5 %", "95 %")]


@dataclass(frozen=True, slots=True)
class ScrapWeighed:
    """A scrap of the wood, weighed as it was found and again when an oven had dried it out."""

    as_found: Annotated[Kilograms, Between("0.1 g", "50 kg")]
    oven_dry: Annotated[Kilograms, Between("0.1 g", "50 kg")]
