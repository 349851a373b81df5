"""What the shop file says of glues, clamps, and the room that gluing and finishing want."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from builder.lengths import Length
from builder.limits import Between, Celsius, Hours, Newtons, Pascals, Percent
from builder.record.words import Sentence
from builder.tables.glues import GlueKind

Temperature = Annotated[Celsius, Between("-20 C", "60 C")]
Humidity = Annotated[Percent, Between("0 %", "100 %")]
Moisture = Annotated[Percent, Between("0 %", "60 %")]
Pressure = Annotated[Pascals, Between("0 psi", "2000 psi")]


@dataclass(frozen=True, slots=True)
class Glue:
    """A glue on the shelf, with the values of its label. What is left out is typical of its kind, and marked so.

    `wood_moisture` and `pressure` are the least and the most the label allows. `comes_apart` is how a joint of it is
    opened again, for whoever repairs the instrument; it is published.
    """

    kind: GlueKind | None = None
    open_time: Annotated[Hours, Between("0 min", "3 days")] | None = None
    clamps_off: Annotated[Hours, Between("0 min", "60 days")] | None = None
    bears_load: Annotated[Hours, Between("0 min", "60 days")] | None = None
    cured: Annotated[Hours, Between("0 min", "365 days")] | None = None
    least_temperature: Temperature | None = None
    most_humidity: Humidity | None = None
    wood_moisture: tuple[Moisture, Moisture] | None = None
    pressure: tuple[Pressure, Pressure] | None = None
    comes_apart: Sentence | None = None
    words: Sentence | None = None


@dataclass(frozen=True, slots=True)
class Clamps:
    """The clamps a rim or a seam is closed with: how far apart they are set, how hard one presses, how many."""

    spacing: Annotated[Length, Between("5 mm", "1 m")] | None = None
    force: Annotated[Newtons, Between("0.1 lb", "5000 lb")] | None = None
    count: Annotated[int, Between("1", "1000")] | None = None


@dataclass(frozen=True, slots=True)
class RoomLimits:
    """The room the shop glues and finishes in: the least and the most of temperature and humidity."""

    temperature: tuple[Temperature, Temperature] | None = None
    humidity: tuple[Humidity, Humidity] | None = None
