"""The shape of a row of the table of woods: names, shrinkage, coefficients, weight, each with source and how known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

#: How a figure came here: read in the source, in another's quotation of it, or recalled and not looked up again.
HowKnown = Literal["read", "read in a quotation", "from memory"]

HANDBOOK = "Wood Handbook, FPL-GTR-190"
TABLE_4_3 = f"{HANDBOOK}, table 4-3"
TABLE_4_4 = f"{HANDBOOK}, table 4-4"
TABLE_5_3 = f"{HANDBOOK}, table 5-3"
TABLE_5_5 = f"{HANDBOOK}, table 5-5"
TABLE_13_5 = f"{HANDBOOK}, table 13-5"
HANDBOOK_2021 = "Wood Handbook, FPL-GTR-282, table 4-3"
FACT_SHEET = "Forest Products Laboratory fact sheet after M. Chudnoff, Tropical Timbers of the World (1984)"
HANDBOOK_72 = "lists after Agriculture Handbook 72 (1987)"
HOLZATLAS = "R. Wagenführ, Holzatlas"


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """Shrinkage from green to oven-dry in per cent of the green size: across the rings, along them, and of volume.

    `starts_at_percent` is the moisture at which shrinking begins. None: not known.
    """

    radial_percent: float | None
    tangential_percent: float | None
    volumetric_percent: float | None
    source: str
    known: HowKnown
    starts_at_percent: float = 30.0


@dataclass(frozen=True, slots=True)
class Coefficients:
    """Change of size per unit of size and per cent of moisture, as printed, good from 6 to 14 % moisture."""

    radial: float | None
    tangential: float | None
    source: str
    known: HowKnown


@dataclass(frozen=True, slots=True)
class SpecificGravity:
    """Oven-dry mass over the mass of as much water as the wood takes room: green (basic), or at `at_percent` moisture.

    `least` and `most` are the ends of a range where the source prints one, else both the same.
    """

    least: float
    most: float
    source: str
    known: HowKnown
    at_percent: float | None = None

    @property
    def middle(self) -> float:
        """The middle of the range."""
        return (self.least + self.most) / 2


@dataclass(frozen=True, slots=True)
class Species:
    """One wood: what it is called, and what the books print of it.

    `names` are trade names and other names it goes by; the first of `botanical` is shown. `doubt` says where sources
    disagree.
    """

    common: str
    botanical: tuple[str, ...]
    names: tuple[str, ...] = ()
    shrinkage: Shrinkage | None = None
    coefficients: Coefficients | None = None
    gravity: SpecificGravity | None = None
    doubt: str = ""


def wood(
    common: str,
    botanical: str,
    names: str = "",
    shrinkage: Shrinkage | None = None,
    coefficients: Coefficients | None = None,
    gravity: SpecificGravity | None = None,
    doubt: str = "",
) -> Species:
    """A row, with names parted by semicolons."""
    return Species(common, _parted(botanical), _parted(names), shrinkage, coefficients, gravity, doubt)


def _parted(text: str) -> tuple[str, ...]:
    return tuple(each.strip() for each in text.split(";") if each.strip())


def shrinks(
    radial: float | None,
    tangential: float | None,
    volumetric: float | None,
    source: str = TABLE_4_3,
    known: HowKnown = "read",
    starts: float = 30.0,
) -> Shrinkage:
    """A row's shrinkages, most of them read in table 4-3."""
    return Shrinkage(radial, tangential, volumetric, source, known, starts)


def recalled(radial: float, tangential: float, volumetric: float, source: str = TABLE_4_3) -> Shrinkage:
    """Shrinkages known from memory."""
    return Shrinkage(radial, tangential, volumetric, source, "from memory")


def moves(
    radial: float | None, tangential: float | None, source: str = TABLE_13_5, known: HowKnown = "read"
) -> Coefficients:
    """A row's coefficients, most of them read in table 13-5."""
    return Coefficients(radial, tangential, source, known)


def weighs(
    least: float,
    most: float | None = None,
    source: str = TABLE_5_3,
    known: HowKnown = "from memory",
    at: float | None = None,
) -> SpecificGravity:
    """A row's specific gravity, most of them recalled from table 5-3, green volume."""
    return SpecificGravity(least, least if most is None else most, source, known, at)
