"""What may be written for a type of value: a few texts of every type, all within the limits noted beside it."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any, Literal, get_args, get_origin

from builder.calculations.frets import FretNumber
from builder.calculations.pitch import Note
from builder.calculations.reach import Shape
from builder.calculations.rules import Graduation
from builder.calculations.strings import Course, Gauge, Tuning
from builder.lengths import Length, Position
from builder.limits import (
    Between,
    Celsius,
    Cents,
    Degrees,
    Hertz,
    Hours,
    Kilograms,
    KilogramsPerMetre,
    Newtons,
    Pascals,
    Percent,
    Ratio,
    WorkedHours,
)
from builder.money import Currency, Money
from builder.reading.converters import converters

#: Types that are written as a number, with the unit they are written in, and how many of it make one of the type's own.
_WITH_UNIT: dict[Any, tuple[str, Fraction]] = {
    Celsius: (" C", Fraction(1)),
    Cents: (" cents", Fraction(1)),
    Degrees: ("", Fraction(1)),
    Hertz: (" Hz", Fraction(1)),
    Hours: (" h", Fraction(1)),
    WorkedHours: ("", Fraction(1)),
    Kilograms: (" g", Fraction(1000)),
    KilogramsPerMetre: (" g/m", Fraction(1000)),
    Length: (" mm", Fraction(1)),
    Newtons: (" N", Fraction(1)),
    Pascals: (" kPa", Fraction(1, 1000)),
    Percent: (" %", Fraction(1)),
    Position: (" mm", Fraction(1)),
    int: ("", Fraction(1)),
}
#: All others.
_OTHERWISE: dict[Any, tuple[str, ...]] = {
    Course: ("D3 22w", "A3 12", "D4 10 x2"),
    FretNumber: ("1", "3", "7"),
    Gauge: ("22w", "10", "12"),
    Graduation: ("1/64 in", "0.5 mm", "1/100 in"),
    Note: ("D3", "A3", "F#3"),
    Ratio: ("9/8", "5/4", "3/2"),
    Shape: ("1-3", "2-0-4"),
    Tuning: ("D3 A3 D4", "D3 A3 A3"),
    bool: ("yes", "no"),
    # An amount and a year that else is of, so that they can be searched for.
    Money: ("7319.43", "-2", "0", "1150"),
    Currency: ("XTS", "EUR"),
    datetime.date: ("2171-03-17", "2172-11-29", "2173-07-05"),
    datetime.datetime: ("2171-03-17 11:43", "2172-11-29 07:09"),
}

#: Every type of value that has no words to say and is no word of a fixed list.
WITHOUT_WORDS = frozenset({*_WITH_UNIT, *_OTHERWISE})


def writings(kind: Any, limit: object = None) -> tuple[str, ...]:
    """Texts that may stand for a value of this type; the first lies well inside what is possible."""
    if get_origin(kind) is Literal:
        return tuple(get_args(kind))
    if kind in _OTHERWISE:
        return _OTHERWISE[kind]
    assert kind in _WITH_UNIT, f"say in tests/privacy/writings.py how a {kind} is written"
    least, most = _range(kind, limit)
    unit, of_unit = _WITH_UNIT[kind]
    numbers = [(least + (most - least) * Fraction(part)) * of_unit for part in ("0.317", "0.6", "0.05", "0.971")]
    written = {_number(number, is_whole=kind is int): None for number in numbers}
    return tuple(f"{number}{unit}" for number in written)


def is_within(text: str, kind: Any, limit: object) -> bool:
    """Whether a text may stand for a value of this type, within the limits noted beside it."""
    read = converters("in")[kind]
    return not isinstance(limit, Between) or bool(read(limit.least) <= read(text) <= read(limit.most))


def _range(kind: Any, limit: object) -> tuple[Fraction, Fraction]:
    if not isinstance(limit, Between):
        return Fraction(1), Fraction(90)
    read = converters("mm")[kind]
    least, most = (read(text) for text in (limit.least, limit.most))
    return tuple(Fraction(getattr(end, "exact_mm", end)) for end in (least, most))  # type: ignore[return-value]


def _number(number: Fraction, *, is_whole: bool) -> str:
    return f"{float(number):.0f}" if is_whole else f"{float(number):.3f}".rstrip("0").rstrip(".")
