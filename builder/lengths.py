"""Lengths as a workshop writes and reads them: `27 1/2 in`, `27-1/2"`, `2 ft 3 1/2 in`, `698.5 mm`.

Inside the program a length is an exact number of millimetres (an inch is 25.4 mm by definition: International Yard
and Pound agreement, 1959), so nothing is lost by writing it one way or the other. Rounding happens once, on the way
out, in `said_in`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import total_ordering
from typing import Literal

Unit = Literal["in", "mm"]

MM_PER_INCH = Fraction(254, 10)
INCHES_PER_FOOT = 12

VULGAR_FRACTIONS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
    "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip

_UNITS = {
    "in": "in", "inch": "in", "inches": "in", '"': "in", "″": "in", "”": "in",
    "ft": "ft", "foot": "ft", "feet": "ft", "'": "ft", "′": "ft", "’": "ft",
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
}  # fmt: skip
_MM_PER_UNIT = {
    "in": MM_PER_INCH, "ft": MM_PER_INCH * INCHES_PER_FOOT, "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000),
}  # fmt: skip

_NUMBER = r"(?:\d{1,9}[ -]\d{1,4}/\d{1,4}|\d{1,4}/\d{1,4}|\d{1,9}\.\d{1,9}|\.\d{1,9}|\d{1,9})"
_PART = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>[A-Za-z]+|[\"'″′”’])?", re.ASCII)
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)", re.ASCII)
_THOUSANDS_COMMA = re.compile(r"(?<=\d),(?=\d{3}(?!\d))", re.ASCII)


class NotUnderstood(ValueError):
    """A text that cannot be read as what it should be; carries a hint: what to write instead."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


@total_ordering
@dataclass(frozen=True, slots=True)
class Length:
    """A length, exact, kept in millimetres; `written_in` is the unit its maker thought of it in, if that is known."""

    exact_mm: Fraction
    written_in: Unit | None = field(default=None, compare=False)

    @classmethod
    def from_mm(cls, mm: float | Fraction) -> Length:
        """The length of so many millimetres."""
        return cls(Fraction(mm))

    @classmethod
    def from_inches(cls, inches: float | Fraction) -> Length:
        """The length of so many inches."""
        return cls(Fraction(inches) * MM_PER_INCH)

    @property
    def mm(self) -> float:
        """In millimetres, for sums."""
        return float(self.exact_mm)

    @property
    def inches(self) -> float:
        """In inches, for sums."""
        return float(self.exact_mm / MM_PER_INCH)

    def __lt__(self, other: Length) -> bool:
        return self.exact_mm < other.exact_mm


@total_ordering
@dataclass(frozen=True, slots=True)
class Position:
    """Where something lies from a line it is measured from: a length with a sign, exact, kept in millimetres."""

    exact_mm: Fraction
    written_in: Unit | None = field(default=None, compare=False)

    @property
    def mm(self) -> float:
        """In millimetres, for sums."""
        return float(self.exact_mm)

    def __lt__(self, other: Position) -> bool:
        return self.exact_mm < other.exact_mm


def read_number(text: str) -> Fraction:
    """A plain number or fraction as written at the bench: `27`, `27.5`, `1/2`, `27 1/2`, `27-1/2`.

    Raises NotUnderstood for anything else: signs, exponents, digits grouped with commas or underscores.
    """
    if not re.fullmatch(_NUMBER, text, re.ASCII):
        refuse_decimal_comma(text)
        raise NotUnderstood(f"«{text}» is not a number", "write it like 27, 27.5 or 27 1/2")
    whole, slash, denominator = text.replace("-", " ").partition("/")
    if not slash:
        return Fraction(text)
    if int(denominator) == 0:
        raise NotUnderstood(f"«{text}» divides by zero", "write it like 27 1/2")
    *before, numerator = whole.split()
    return Fraction(int(numerator), int(denominator)) + sum(int(part) for part in before)


def refuse_decimal_comma(text: str) -> None:
    """Raise NotUnderstood, with the right writing as a hint, where a comma stands for the decimal point."""
    if not _DECIMAL_COMMA.search(text):
        return
    hint = f"write a decimal point: {_DECIMAL_COMMA.sub('.', text)}"
    if _THOUSANDS_COMMA.search(text):
        hint += f", or no comma if it groups thousands: {_THOUSANDS_COMMA.sub('', text)}"
    raise NotUnderstood(f"«{text}» has a comma in its number", hint)


def plain_fractions(text: str) -> str:
    """`27½ in` as `27 1/2 in`, so that there is one way of writing left to read."""
    if text.isascii():
        return text
    for sign, plain in VULGAR_FRACTIONS.items():
        text = re.sub(rf"(\d)\s*-?{sign}", rf"\1 {plain}", text).replace(sign, plain)
    return text.replace("⁄", "/")


def read_length(text: str, bare_unit: Unit) -> Length:
    """Read a length; a bare number is in `bare_unit`, the shop's own unit.

    Several parts are added (`2 ft 3 1/2 in`). Raises NotUnderstood with a hint for anything it cannot read.
    """
    example = "write it like 27 1/2 in or 698.5 mm"
    rest = plain_fractions(text.strip())
    refuse_decimal_comma(rest)
    if rest.startswith(("-", "+", "−", "±")):
        raise NotUnderstood(f"«{text}» has a sign", f"a length has none; {example}")
    units: list[str] = []
    total_mm = Fraction(0)
    while rest:
        part = _PART.match(rest)
        if not part:
            raise NotUnderstood(f"«{text}» is not a length", example)
        written = (part["unit"] or bare_unit).casefold()
        if written not in _UNITS:
            raise NotUnderstood(f"«{part['unit']}» is no unit of length here", f"use in, ft, mm, cm or m; {example}")
        unit = _UNITS[written]
        if units and not (units == ["ft"] and unit == "in" and part["unit"]):
            raise NotUnderstood(f"«{text}» is not one length", example)
        units.append(unit)
        total_mm += read_number(part["number"]) * _MM_PER_UNIT[unit]
        rest = rest[part.end() :].strip()
    if not units:
        raise NotUnderstood("there is no length here", example)
    return Length(total_mm, "in" if units[0] in ("in", "ft") else "mm")


def read_position(text: str, bare_unit: Unit) -> Position:
    """Read a length that may have a sign: `-3 in`, `+12 mm`, `3 in`. Raises NotUnderstood like `read_length`."""
    rest = text.strip()
    negative = rest.startswith(("-", "−"))
    length = read_length(rest[1:] if negative or rest.startswith("+") else rest, bare_unit)
    return Position(-length.exact_mm if negative else length.exact_mm, length.written_in)


def fraction_in_words(number: Fraction) -> str:
    """`11 27/32`, `3/4`, `28`: a number as whole and reduced fraction."""
    whole, rest = divmod(number, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def said_in(length: Length, unit: Unit) -> str:
    """A length in one unit: inches as a fraction where a 64th rule has that mark, else to 0.001; mm to 0.01."""
    if unit == "mm":
        return f"{trimmed(length.mm, 2)} mm"
    exact_inches = length.exact_mm / MM_PER_INCH
    if 64 % exact_inches.denominator == 0:
        return f"{fraction_in_words(exact_inches)} in"
    return f"{length.inches:.3f} in"


def trimmed(number: float, decimals: int) -> str:
    """A number rounded to so many decimals, without trailing zeros: `698.5`, `650`."""
    text = f"{number:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
