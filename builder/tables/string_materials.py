"""What strings are made of: how dense it is, how stiff, how strong; each number with its source and how it is known.

Densities in kilograms a cubic metre, Young's modulus in gigapascals, strength in megapascals. *How known*: read (in the
source named), memory (no source has been seen), common practice. The strength of steel stands in
`music_wire`, by diameter; strengths of other materials are rough, and None where nothing trustworthy is known.
"""

from __future__ import annotations

from dataclasses import dataclass

UNIVERSITY_PHYSICS_DENSITY = "OpenStax, University Physics vol. 1, table of densities (ch. 14)"
UNIVERSITY_PHYSICS_MODULUS = "OpenStax, University Physics vol. 1, approximate elastic moduli (ch. 12)"
COLLEGE_PHYSICS_DENSITY = "OpenStax, College Physics, table of densities (ch. 11)"
HANDBOOKS = "engineers' handbooks"
TEXTBOOK_OF_POLYAMIDES = "data page on polyamides of a textbook of materials"
MILL_SHEET_C51000 = "mill data sheet of alloy C51000 (ASTM B103)"
STRING_MAKERS = "figures string makers and players give one another"


@dataclass(frozen=True, slots=True)
class Known:
    """A number, the range in which the sources put it, where it comes from, and how it is known."""

    value: float
    least: float
    most: float
    source: str
    how_known: str


@dataclass(frozen=True, slots=True)
class StringMaterial:
    """One material. `is_filament` where a core of it is a bundle of threads that a diameter does not describe."""

    density: Known
    youngs_gpa: Known | None = None
    strength_mpa: Known | None = None
    is_filament: bool = False


def _known(value: float, source: str, how_known: str = "read", between: tuple[float, float] | None = None) -> Known:
    least, most = between or (value, value)
    return Known(value, least, most, source, how_known)


#: Name in a record ─► what is known of it. `steel` is music wire, plain strings and cores alike.
STRING_MATERIALS: dict[str, StringMaterial] = {
    "steel": StringMaterial(
        _known(7850, f"{HANDBOOKS}; 7800 in {COLLEGE_PHYSICS_DENSITY}", "memory, near what was read", (7800, 7860)),
        _known(200, UNIVERSITY_PHYSICS_MODULUS, between=(190, 210)),
    ),
    "stainless steel": StringMaterial(
        _known(7900, HANDBOOKS, "memory", (7700, 8000)), _known(193, HANDBOOKS, "memory", (185, 200))
    ),
    "nickel-plated steel": StringMaterial(
        _known(7850, "as steel: the plating is a few thousandths of a millimetre", "common practice", (7800, 7900)),
        _known(200, UNIVERSITY_PHYSICS_MODULUS, between=(190, 210)),
    ),
    "nickel": StringMaterial(
        _known(8900, HANDBOOKS, "memory", (8880, 8910)), _known(210, UNIVERSITY_PHYSICS_MODULUS)
    ),
    "brass": StringMaterial(
        _known(8440, UNIVERSITY_PHYSICS_DENSITY, between=(8400, 8560)),
        _known(90, UNIVERSITY_PHYSICS_MODULUS, between=(90, 110)),
        _known(800, f"hard-drawn yellow brass, {HANDBOOKS}", "memory", (600, 900)),
    ),
    "80/20 bronze": StringMaterial(
        _known(8670, f"low brass, 80 % copper, {HANDBOOKS}", "memory", (8600, 8700)),
        _known(110, HANDBOOKS, "memory", (105, 115)),
    ),
    "phosphor bronze": StringMaterial(
        _known(8860, MILL_SHEET_C51000, between=(8800, 8860)),
        _known(110, MILL_SHEET_C51000),
        _known(900, f"spring temper, {HANDBOOKS}", "memory", (800, 1000)),
    ),
    "copper": StringMaterial(
        _known(8920, UNIVERSITY_PHYSICS_DENSITY, between=(8800, 8960)), _known(110, UNIVERSITY_PHYSICS_MODULUS)
    ),
    "silver-plated copper": StringMaterial(
        _known(8920, f"as copper: {UNIVERSITY_PHYSICS_DENSITY}", between=(8800, 9000)),
        _known(110, UNIVERSITY_PHYSICS_MODULUS),
    ),
    "silver": StringMaterial(_known(10490, COLLEGE_PHYSICS_DENSITY)),
    "nylon": StringMaterial(
        _known(1070, "a compounder's table, nylon 6-12, of which strings are drawn", "read", (1020, 1140)),
        _known(3.0, TEXTBOOK_OF_POLYAMIDES, "read", (2.6, 5.0)),
        is_filament=True,
    ),
    "fluorocarbon": StringMaterial(
        _known(1780, f"polyvinylidene fluoride (PVDF), {HANDBOOKS}", "memory", (1750, 1800)),
        is_filament=True,
    ),
    "gut": StringMaterial(
        _known(1300, STRING_MAKERS, "memory", (1200, 1380)),
        strength_mpa=_known(330, STRING_MAKERS, "memory", (300, 400)),
    ),
    "silk": StringMaterial(_known(1300, HANDBOOKS, "memory", (1250, 1400)), is_filament=True),
}  # fmt: skip

#: What plain strings of each make are made of (the makes of `D4 10`, `A3 25f`); `wound` needs core and wrap.
MATERIAL_OF_MAKE: dict[str, str] = {
    "plain steel": "steel",
    "nylon": "nylon",
    "fluorocarbon": "fluorocarbon",
    "gut": "gut",
    "brass": "brass",
    "phosphor bronze": "phosphor bronze",
}

#: The lightest and the heaviest wraps that wound strings with a steel core are sold with: common practice.
LIGHTEST_WRAP, HEAVIEST_WRAP = "nickel-plated steel", "nickel"

#: What a wound string's core is taken to be where nobody says, on an instrument without strings of filament or gut.
USUAL_CORE = "steel"

#: Plain strings of these are drawn or twisted, not metal; wound strings beside them mostly have cores of thread.
NOT_OF_METAL = frozenset({"nylon", "fluorocarbon", "gut"})
