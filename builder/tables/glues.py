"""Kinds of glue and what is typical of them: times, least temperature, and the pressures wood wants.

Everything here is typical only: the label of the bottle in the hand leads, and its safety data sheet. How each value
is known stands beside it: *read* in the source named, *common practice*, or *memory* (no source has been seen).
Times are a span from fast to slow; whoever waits for the slow end is on the safe side.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

GlueKind = Literal[
    "hot hide", "liquid hide", "aliphatic", "white", "epoxy", "urea-formaldehyde", "casein", "cyanoacrylate",
    "polyurethane",
]  # fmt: skip

HowKnown = Literal["read", "common practice", "memory"]

GUIDE = "an adhesive maker's gluing guide for wood"
SHEET = "a craft sheet on natural glues"
NOTE = "a builder's note on glue and temperature"
TRADE = "what the trade says"


@dataclass(frozen=True, slots=True)
class Typical:
    """A typical span with its source and how it is known. `fast` and `slow` are hours; alike where there is one."""

    fast: float
    slow: float
    source: str
    how_known: HowKnown


@dataclass(frozen=True, slots=True)
class TypicalTemperature:
    """A least temperature in degrees Celsius with its source and how it is known."""

    celsius: float
    source: str
    how_known: HowKnown


@dataclass(frozen=True, slots=True)
class KindOfGlue:
    """One kind: the words it goes by, its times, the coldest room, how it is pressed, and what to beware of.

    `wants` is "pressure" where the pressure of the wood's table applies, and "contact" where the glue fills gaps or
    sets so fast that the parts need only be held together. `moisture` is the span of wood moisture in percent.
    """

    words: tuple[str, ...]
    open_time: Typical | None
    clamps_off: Typical | None
    bears_load: Typical | None
    cured: Typical | None
    least_temperature: TypicalTemperature | None
    moisture: tuple[float, float] | None
    wants: Literal["pressure", "contact"]
    caution: str


def _minutes(fast: float, slow: float, source: str, how_known: HowKnown) -> Typical:
    return Typical(fast / 60, slow / 60, source, how_known)


def _hours(fast: float, slow: float, source: str, how_known: HowKnown) -> Typical:
    return Typical(fast, slow, source, how_known)


def _fahrenheit(degrees: float, source: str, how_known: HowKnown) -> TypicalTemperature:
    return TypicalTemperature((degrees - 32) * 5 / 9, source, how_known)


#: Wood moisture in percent that the gluing guide asks for, with the room at 40 to 50 % humidity.
GUIDE_MOISTURE = (6.0, 8.0)

_PVA_CAUTION = "Dried glue sands to a fine dust; wash skin with water."

KINDS: dict[GlueKind, KindOfGlue] = {
    "hot hide": KindOfGlue(
        words=("hot hide", "hide glue", "bone glue", "skin glue"),
        open_time=_minutes(1, 10, SHEET, "read"),
        clamps_off=_minutes(10, 90, SHEET, "read"),
        bears_load=_hours(12, 24, TRADE, "memory"),
        cured=_hours(24, 48, TRADE, "memory"),
        least_temperature=_fahrenheit(68, TRADE, "memory"),
        moisture=None,
        wants="pressure",
        caution="The pot is hot enough to scald, about 140 °F (60 °C). Warm the wood too: cold wood gels the glue.",
    ),
    "liquid hide": KindOfGlue(
        words=("liquid hide",),
        open_time=_minutes(5, 10, TRADE, "memory"),
        clamps_off=_hours(2, 24, TRADE, "memory"),
        bears_load=_hours(24, 24, TRADE, "memory"),
        cured=_hours(24, 72, TRADE, "memory"),
        least_temperature=_fahrenheit(50, TRADE, "memory"),
        moisture=None,
        wants="pressure",
        caution="Old bottles stop setting hard: try a drop on paper first. Wash skin with water.",
    ),
    "aliphatic": KindOfGlue(
        words=("aliphatic", "yellow glue", "yellow", "carpenter's glue"),
        open_time=_minutes(5, 10, TRADE, "memory"),
        clamps_off=_minutes(30, 60, GUIDE, "read"),
        bears_load=_hours(24, 24, GUIDE, "read"),
        cured=None,
        least_temperature=_fahrenheit(40, NOTE, "read"),
        moisture=GUIDE_MOISTURE,
        wants="pressure",
        caution=_PVA_CAUTION,
    ),
    "white": KindOfGlue(
        words=("white glue", "white pva", "pva", "polyvinyl acetate"),
        open_time=_minutes(5, 15, TRADE, "memory"),
        clamps_off=_minutes(30, 60, GUIDE, "read"),
        bears_load=_hours(24, 24, GUIDE, "read"),
        cured=None,
        least_temperature=_fahrenheit(55, NOTE, "read"),
        moisture=GUIDE_MOISTURE,
        wants="pressure",
        caution=_PVA_CAUTION,
    ),
    "epoxy": KindOfGlue(
        words=("epoxy", "two-part resin"),
        open_time=None,
        clamps_off=_hours(6, 24, TRADE, "memory"),
        bears_load=_hours(24, 24, TRADE, "memory"),
        cured=_hours(168, 168, TRADE, "memory"),
        least_temperature=_fahrenheit(60, TRADE, "memory"),
        moisture=None,
        wants="contact",
        caution=(
            "Resin and hardener can make the skin allergic for life: wear gloves, air the room, and do not sand it "
            "before it is cured."
        ),
    ),
    "urea-formaldehyde": KindOfGlue(
        words=("urea-formaldehyde", "urea formaldehyde", "urea resin", "plastic resin", "urea glue"),
        open_time=_minutes(10, 20, TRADE, "memory"),
        clamps_off=_hours(12, 16, TRADE, "memory"),
        bears_load=_hours(24, 24, TRADE, "memory"),
        cured=_hours(72, 168, TRADE, "memory"),
        least_temperature=_fahrenheit(70, TRADE, "memory"),
        moisture=None,
        wants="pressure",
        caution=(
            "Powder and vapour hold formaldehyde, which harms lungs and eyes: mix with a respirator, air the room, and "
            "do not breathe its sanding dust."
        ),
    ),
    "casein": KindOfGlue(
        words=("casein",),
        open_time=_minutes(15, 45, SHEET, "read"),
        clamps_off=_hours(2, 8, SHEET, "read"),
        bears_load=_hours(24, 24, TRADE, "memory"),
        cured=_hours(24, 72, TRADE, "memory"),
        least_temperature=None,
        moisture=None,
        wants="pressure",
        caution="The powder holds lime, which burns eyes and skin: wear goggles and gloves when mixing.",
    ),
    "cyanoacrylate": KindOfGlue(
        words=("cyanoacrylate", "superglue", "super glue", "instant glue"),
        open_time=None,
        clamps_off=_minutes(0.5, 5, TRADE, "memory"),
        bears_load=_hours(1, 24, TRADE, "memory"),
        cured=_hours(24, 24, TRADE, "memory"),
        least_temperature=None,
        moisture=None,
        wants="contact",
        caution=(
            "It bonds skin and eyes in seconds and its vapour stings: wear goggles, air the room, keep it off cotton, "
            "which it makes hot."
        ),
    ),
    "polyurethane": KindOfGlue(
        words=("polyurethane glue", "polyurethane"),
        open_time=_minutes(10, 20, TRADE, "memory"),
        clamps_off=_hours(4, 4, GUIDE, "read"),
        bears_load=_hours(24, 24, TRADE, "memory"),
        cured=_hours(24, 24, TRADE, "memory"),
        least_temperature=_fahrenheit(50, TRADE, "memory"),
        moisture=None,
        wants="pressure",
        caution="It holds isocyanates, which can start asthma: wear gloves, air the room, do not breathe its vapour.",
    ),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class PressureBand:
    """What woods up to a specific gravity want, in pounds on a square inch; `woods` are those the source names."""

    lighter_than: float
    woods: str
    least_psi: float
    most_psi: float
    source: str
    how_known: HowKnown


#: Light to dense. The guide names woods, not weights; the bounds lie midway between its woods' specific gravities
#: (oven-dry weight, volume at 12 % moisture): red spruce 0.40, black cherry 0.50; red maple 0.54, yellow birch 0.62.
PRESSURES: tuple[PressureBand, ...] = (
    PressureBand(0.45, "softwoods", 100, 150, GUIDE, "read"),
    PressureBand(0.58, "medium woods such as cherry and soft maple", 150, 200, GUIDE, "read"),
    PressureBand(float("inf"), "hardwoods such as oak and birch", 200, 300, GUIDE, "read"),
)
