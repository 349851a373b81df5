"""Small words that go with a field's type and say what is possible there; the reader refuses the rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Any, NewType

#: Ten digits and the letters that are not mistaken for one another: I, L, O and U are taken for 1, 0 and V.
UNMISTAKABLE = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

#: A serial, as it stands in folder name and addresses: letters, digits and hyphens.
Serial = NewType("Serial", str)
#: An address on the web, beginning with https:// or http://.
WebAddress = NewType("WebAddress", str)
Percent = NewType("Percent", float)
Celsius = NewType("Celsius", float)
Cents = NewType("Cents", float)
Hertz = NewType("Hertz", float)
#: A frequency ratio, such as 9/8.
Ratio = NewType("Ratio", Fraction)
Degrees = NewType("Degrees", float)
#: A force in newtons, a pressure in pascals, a mass in kilograms, a weight of string in kilograms a metre.
Newtons = NewType("Newtons", float)
Pascals = NewType("Pascals", float)
Kilograms = NewType("Kilograms", float)
KilogramsPerMetre = NewType("KilogramsPerMetre", float)
#: How long something takes; and how long somebody worked.
Hours = NewType("Hours", float)
WorkedHours = NewType("WorkedHours", float)


@dataclass(frozen=True, slots=True)
class Words:
    """How long a text may be, and whether it may run over several lines."""

    most: int
    lines: bool = False


@dataclass(frozen=True, slots=True)
class Between:
    """The range of a length or number, both ends included, written as in a record: `4 in`, `100 mm`, `0`."""

    least: str
    most: str


def no_entries() -> Mapping[Any, Any]:
    """An empty mapping that stays empty: what a field of many entries is when nothing is written."""
    return MappingProxyType({})
