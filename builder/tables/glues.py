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
REPAIRERS = "what repairers tell of bridges and braces they took off"


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
class ComesApart:
    """How a joint of this glue is opened again, if it can be, with its source and how it is known."""

    says: str
    source: str
    how_known: HowKnown


@dataclass(frozen=True, slots=True)
class KindOfGlue:
    """One kind: words it goes by, times, coldest room, how it is pressed, what to beware of, how it comes apart.

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
    comes_apart: ComesApart


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
        comes_apart=ComesApart(
            "With warmth and moisture: from about 140 to 160 °F (60 to 70 °C) a thin, damp knife works its way "
            "through. New hide glue takes on the old.",
            REPAIRERS, "read",
        ),
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
        comes_apart=ComesApart(
            "With warm water or steam and a thin knife. New hide glue takes on the old.", TRADE, "common practice"
        ),
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
        comes_apart=ComesApart(
            "With heat, a little water and patience; it lets go slowly. Nothing holds on what is left of it: scrape "
            "the joint to bare wood.",
            REPAIRERS, "read",
        ),
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
        comes_apart=ComesApart(
            "With heat and water, sooner than yellow glue. Nothing holds on what is left of it: scrape the joint to "
            "bare wood.",
            TRADE, "common practice",
        ),
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
        comes_apart=ComesApart(
            "With heat alone, once it is warm enough for the resin to soften, which its data sheet tells; water does "
            "nothing. What is left is scraped off.",
            TRADE, "common practice",
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
        comes_apart=ComesApart(
            "Hardly at all: heat and water do little. The joint is cut open, with the dust drawn off.", TRADE, "memory"
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
        comes_apart=ComesApart(
            "Hardly: it softens only after a soaking that the wood itself may not bear.", TRADE, "memory"
        ),
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
        comes_apart=ComesApart(
            "With heat, or with acetone, which burns easily and takes off most finishes too. The vapour of the heated "
            "glue stings.",
            TRADE, "common practice",
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
        comes_apart=ComesApart(
            "Hardly at all: once cured it is dissolved by nothing a workshop keeps. The joint is cut open.",
            TRADE, "memory",
        ),
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
