"""How each kind of single value is written: in words, with an example, and as a pattern for editors (ECMA-262)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from builder.calculations.frets import FretNumber
from builder.calculations.pitch import Note
from builder.calculations.reach import Shape
from builder.calculations.rules import Graduation
from builder.calculations.strings import Course, Gauge, Tuning
from builder.lengths import Length, Position
from builder.limits import (
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
    Serial,
    WebAddress,
    WorkedHours,
)
from builder.money import Currency, Money
from builder.record.as_built import RuleUsed
from builder.record.words import NameInShop


@dataclass(frozen=True, slots=True)
class Value:
    """A kind of single value: what it is, some as records have them, and what every one of them matches."""

    words: str
    examples: tuple[str, ...]
    pattern: str = ""


#: A digit of ours, or a fraction that is one sign.
_NUMBER = "[0-9½¼¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]"
_NOTE = "[A-Ga-g]"

VALUES: Mapping[Any, Value] = {
    str: Value("text", ()),
    bool: Value("yes or no", ("yes",), "^([Yy][Ee][Ss]|[Nn][Oo]|[Tt][Rr][Uu][Ee]|[Ff][Aa][Ll][Ss][Ee])$"),
    int: Value("whole number", ("3", "24"), "[0-9]"),
    date: Value("day", ("2026-04-30",), "^[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}$"),
    datetime: Value("day and time", ("2026-03-04 14:30",), "^[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}"),
    Length: Value("length", ("27 1/2 in", "1 1/2 in", "3/8 in", "0.024 in"), _NUMBER),
    Position: Value("place or height, may be below zero", ("-2 1/2 in", "-0.002 in"), _NUMBER),
    FretNumber: Value("fret number", ("6½",), _NUMBER),
    Graduation: Value("distance of marks", ("1/64 in",), _NUMBER),
    Course: Value("course: note, gauge in thousandths of an inch, make", ("D3 22w",), _NOTE),
    Gauge: Value("gauge in thousandths of an inch, and make", ("22w",), _NUMBER),
    Tuning: Value("notes of the open courses, bass first", ("D3 A3 D4",), _NOTE),
    Note: Value("note", ("D3",), _NOTE),
    Shape: Value("frets held at once", ("1-3",), _NUMBER),
    Ratio: Value("frequency ratio", ("9/8",), _NUMBER),
    RuleUsed: Value("rule of the shop file, or distance of its marks", ("bench rule",)),
    NameInShop: Value("name that the shop file lists", ("medium",)),
    Serial: Value("serial: letters, digits, hyphens", ("2026-014",), "^[A-Za-z0-9]+(-[A-Za-z0-9]+)*$"),
    WebAddress: Value("address on the web", ("https://example.org/",), "^[Hh][Tt][Tt][Pp][Ss]?://"),
    Currency: Value("currency by its code", ("GBP",), "^[A-Z]{3}$"),
    Money: Value("amount of money", ("1150.00", "-40.00 GBP"), "[0-9]"),
    Celsius: Value("temperature with its unit", ("68 F",), _NUMBER),
    Percent: Value("percentage", ("44 %", "7 %", "85 %"), _NUMBER),
    Cents: Value("cents", ("3 cents",), _NUMBER),
    Hertz: Value("frequency", ("440 Hz",), _NUMBER),
    Degrees: Value("angle in degrees", ("12",), _NUMBER),
    Hours: Value("how long", ("24 h", "20 min"), _NUMBER),
    WorkedHours: Value("time worked, in hours where no unit is said", ("3 1/2", "45 min"), _NUMBER),
    Newtons: Value("force", ("18 lb", "45 lb"), _NUMBER),
    Pascals: Value("pressure", ("150 psi",), _NUMBER),
    Kilograms: Value("weight", ("2 lb 3 oz", "12 g"), _NUMBER),
    KilogramsPerMetre: Value("weight of a length of string", ("2.98 g/m",), _NUMBER),
}
