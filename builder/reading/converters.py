"""One text ─► one value: numbers, temperatures, percentages, dates, times, and what the calculations read themselves.

No converter takes what only a program would write: `1_000`, `1e3`, digits of other scripts, a bare count of seconds
for a date. Each raises `NotUnderstood` with a hint: what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime, time
from fractions import Fraction
from typing import Any
from urllib.parse import urlsplit

from builder.calculations.frets import FretNumber, read_fret_number
from builder.calculations.pitch import Note, read_note
from builder.calculations.reach import Shape, read_shape
from builder.calculations.rules import Graduation, as_graduation
from builder.calculations.strings import Course, Gauge, Tuning, read_course, read_gauge, read_tuning
from builder.lengths import (
    Length,
    NotUnderstood,
    Position,
    Unit,
    plain_fractions,
    read_length,
    read_number,
    read_position,
    refuse_decimal_comma,
)
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
from builder.money import Currency, Money, read_currency, read_money
from builder.record.as_built import RuleUsed
from builder.record.words import NameInShop
from builder.units import (
    KG_PER_OUNCE,
    KG_PER_POUND,
    METRES_PER_INCH,
    NEWTONS_PER_POUND,
    PASCALS_PER_PSI,
    STANDARD_GRAVITY,
)

MOST_LETTERS_OF_A_VALUE = 200

_WITH_UNIT = re.compile(r"([+−-]?)(\d{1,6}(?:\.\d{1,6})?)\s*(.*)", re.ASCII | re.DOTALL)
_DATE = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})", re.ASCII)
_TIME = re.compile(r"(\d{1,2}):(\d{2})", re.ASCII)
_SERIAL = re.compile(r"[A-Za-z0-9]+(?:-[A-Za-z0-9]+)*", re.ASCII)
_RESERVED_SERIALS = {
    "index",
    "con",
    "prn",
    "aux",
    "nul",
    *(f"{port}{n}" for port in ("com", "lpt") for n in range(10)),
}

MOST_LETTERS_OF_A_SERIAL = 40
EARLIEST_YEAR, LATEST_YEAR = 1800, 2199

#: Marks further apart than this could lie past the saddle of the shortest string at its highest fret.
LEAST_GRADUATION_MM, MOST_GRADUATION_MM = Fraction(1, 100), 10


def read_with_unit(text: str, units: dict[str, str], example: str) -> tuple[Fraction, str]:
    """A number and its unit; `units` maps what may be written (lower case, "" for none) to what it means."""
    found = _WITH_UNIT.fullmatch(text.strip())
    if not found:
        refuse_decimal_comma(text)
        raise NotUnderstood(f"«{text}» cannot be read here", f"write it like {example}")
    sign, number, unit = found.groups()
    if unit.casefold() not in units:
        refuse_decimal_comma(text)
        what = f"«{unit}» is no unit here" if unit else f"«{text}» has no unit"
        raise NotUnderstood(what, f"write it like {example}")
    return (-1 if sign in ("-", "−") else 1) * Fraction(number), units[unit.casefold()]


def read_temperature(text: str) -> Celsius:
    """`68 F`, `20 C`, `20 °C`: a temperature always says its unit."""
    units = {f"{sign}{letter}": letter.upper() for sign in ("", "°", "° ", "º", "º ") for letter in "fc"}
    units |= {"℃": "C", "℉": "F"}
    number, unit = read_with_unit(text, units, "68 F or 20 C")
    return Celsius(float((number - 32) * Fraction(5, 9) if unit == "F" else number))


def read_percent(text: str) -> Percent:
    """`44 %`, `44%`, or a bare `44`."""
    return Percent(float(read_with_unit(text, {"%": "%", "": "%", "percent": "%"}, "44 %")[0]))


def read_cents(text: str) -> Cents:
    """`3`, `3 cents`, `-4.5`."""
    return Cents(float(read_with_unit(text, {"": "c", "cents": "c", "cent": "c", "¢": "c"}, "3 cents")[0]))


def read_hertz(text: str) -> Hertz:
    """`440 Hz` or `440`."""
    return Hertz(float(read_with_unit(text, {"": "Hz", "hz": "Hz"}, "440 Hz")[0]))


def read_degrees(text: str) -> Degrees:
    """`12`, `12°`, `12 degrees`."""
    units = {"": "°", "°": "°", "deg": "°", "degrees": "°", "degree": "°"}
    return Degrees(float(read_with_unit(text, units, "12 or 12°")[0]))


_KG_PER_MASS = {
    "kg": Fraction(1),
    "g": Fraction(1, 1000),
    "lb": KG_PER_POUND,
    "oz": KG_PER_OUNCE,
}
_MASS_UNITS = {
    "kg": "kg", "g": "g", "lb": "lb", "lbs": "lb", "oz": "oz", "pound": "lb", "pounds": "lb", "ounce": "oz",
    "ounces": "oz", "gram": "g", "grams": "g",
}  # fmt: skip


def read_mass(text: str) -> Kilograms:
    """`2 lb 3 oz`, `1.2 kg`, `820 g`: a mass always says its unit; pounds and ounces are added."""
    example = "2 lb 3 oz, 1.2 kg or 820 g"
    pounds_and_ounces = re.fullmatch(r"(.+?(?:lbs?|pounds?))\s+(.+?(?:oz|ounces?))", text.strip(), re.ASCII)
    parts = pounds_and_ounces.groups() if pounds_and_ounces else (text,)
    total = Fraction(0)
    for part in parts:
        number, unit = read_with_unit(part, _MASS_UNITS, example)
        total += number * _KG_PER_MASS[unit]
    return Kilograms(float(total))


def read_force(text: str) -> Newtons:
    """`20 lb`, `90 N`, `9 kg`: the pull of a string or the squeeze of a clamp; a kilogram weighs 9.80665 N."""
    units = {"n": "N", "lb": "lb", "lbs": "lb", "lbf": "lb", "pounds": "lb", "kg": "kg", "kgf": "kg"}
    newtons = {"N": Fraction(1), "lb": NEWTONS_PER_POUND, "kg": STANDARD_GRAVITY}
    number, unit = read_with_unit(text, units, "20 lb or 90 N")
    return Newtons(float(number * newtons[unit]))


def read_pressure(text: str) -> Pascals:
    """`150 psi`, `1 MPa`, `10 bar`, `700 kPa`."""
    units = {"psi": "psi", "mpa": "MPa", "kpa": "kPa", "bar": "bar"}
    pascals = {
        "psi": PASCALS_PER_PSI,
        "MPa": Fraction(1_000_000),
        "kPa": Fraction(1000),
        "bar": Fraction(100_000),
    }
    number, unit = read_with_unit(text, units, "150 psi or 1 MPa")
    return Pascals(float(number * pascals[unit]))


def read_weight_of_string(text: str) -> KilogramsPerMetre:
    """`0.81 g/m`, `0.0000455 lb/in`: what a length of string weighs, measured or as its maker states it."""
    units = {"g/m": "g/m", "kg/m": "kg/m", "lb/in": "lb/in", "mg/mm": "g/m", "mg/cm": "mg/cm"}
    kg_per_m = {
        "g/m": Fraction(1, 1000),
        "kg/m": Fraction(1),
        "mg/cm": Fraction(1, 10_000),
        "lb/in": KG_PER_POUND / METRES_PER_INCH,
    }
    tidy = re.sub(r"\s*/\s*", "/", text)
    found = re.fullmatch(r"(\d{0,6}\.\d{1,12}|\d{1,6})\s*(\S+)", tidy.strip(), re.ASCII)
    if not found or found[2].casefold() not in units:
        refuse_decimal_comma(text)
        raise NotUnderstood(f"«{text}» is not a weight of string", "write it like 0.81 g/m or 0.0000455 lb/in")
    return KilogramsPerMetre(float(Fraction(found[1]) * kg_per_m[units[found[2].casefold()]]))


def read_hours(text: str) -> Hours:
    """`30 min`, `24 h`, `7 days`: how long something takes; it always says its unit."""
    units = {
        **dict.fromkeys(("min", "minute", "minutes"), "min"),
        **dict.fromkeys(("h", "hour", "hours"), "h"),
        **dict.fromkeys(("d", "day", "days"), "d"),
        **dict.fromkeys(("week", "weeks"), "w"),
    }
    hours = {"min": Fraction(1, 60), "h": Fraction(1), "d": Fraction(24), "w": Fraction(168)}
    number, unit = read_with_unit(text, units, "30 min, 24 h or 7 days")
    return Hours(float(number * hours[unit]))


def read_worked_hours(text: str) -> WorkedHours:
    """`3`, `3 1/2`, `2.5 h`, `45 min`, `2 h 15 min`: how long somebody worked; a bare number is hours."""
    units = {
        **dict.fromkeys(("", "h", "hour", "hours"), Fraction(1)),
        **dict.fromkeys(("min", "minute", "minutes"), Fraction(1, 60)),
    }
    rest = plain_fractions(text.strip())
    refuse_decimal_comma(rest)
    hours_and_minutes = re.fullmatch(r"(.+?h(?:ours?)?)\s+(.+?min(?:utes?)?)", rest, re.ASCII)
    total = Fraction(0)
    for part in hours_and_minutes.groups() if hours_and_minutes else (rest,):
        found = re.fullmatch(r"(\d(?:[\d ./-]*\d)?|\.\d+)\s*([a-z]*)", part, re.ASCII)
        if not found or found[2] not in units:
            raise NotUnderstood(f"«{text}» is not a time worked", "write it like 3 1/2 h or 45 min")
        total += read_number(found[1]) * units[found[2]]
    return WorkedHours(float(total))


def read_whole_number(text: str) -> int:
    """`6`."""
    number = read_number(text.strip())
    if number.denominator != 1:
        raise NotUnderstood(f"«{text}» is not a whole number", "write it like 6")
    return int(number)


def read_ratio(text: str) -> Ratio:
    """`9/8`, `9:8`, `2`: a frequency ratio above one."""
    found = re.fullmatch(r"(\d{1,9})(?:\s*[/:]\s*(\d{1,9}))?", text.strip(), re.ASCII)
    if not found or int(found[2] or 1) == 0:
        raise NotUnderstood(f"«{text}» is not a ratio", "write it like 9/8")
    ratio = Fraction(int(found[1]), int(found[2] or 1))
    if not 1 < ratio <= 32:
        raise NotUnderstood(f"a fret cannot sound the ratio {text}", "a ratio lies above 1, like 9/8")
    return Ratio(ratio)


def read_date(text: str) -> date:
    """`2026-03-06`: year, month, day. No other order, for 3/6 is March to one reader and June to another."""
    example = "write year-month-day, like 2026-03-06"
    found = _DATE.fullmatch(text.strip())
    if not found:
        raise NotUnderstood(f"«{text}» is not a date", example)
    year, month, day = map(int, found.groups())
    if not EARLIEST_YEAR <= year <= LATEST_YEAR:
        raise NotUnderstood(f"«{text}» is not a year this record can be of", example)
    try:
        return date(year, month, day)
    except ValueError:
        raise NotUnderstood(f"there is no such day as {text}", example) from None


def read_moment(text: str) -> datetime:
    """`2026-03-04 14:30`: a day and a time of the shop's clock."""
    example = "write day and time like 2026-03-04 14:30"
    day, _, clock = text.strip().partition(" ")
    found = _TIME.fullmatch(clock.strip())
    if not found:
        raise NotUnderstood(f"«{text}» is not a day and a time", example)
    hour, minute = map(int, found.groups())
    if hour > 23 or minute > 59:
        raise NotUnderstood(f"there is no such time as {clock.strip()}", example)
    return datetime.combine(read_date(day), time(hour, minute))


def read_yes_or_no(text: str) -> bool:
    """`yes` or `no`."""
    words = {"yes": True, "no": False}
    if text.casefold() not in words:
        raise NotUnderstood(f"«{text}» is neither yes nor no", "write yes or no")
    return words[text.casefold()]


def read_serial(text: str) -> Serial:
    """`2026-014`: letters, digits and single hyphens, for it stands in addresses that are printed."""
    if not _SERIAL.fullmatch(text):
        raise NotUnderstood(f"«{text}» cannot be a serial", "use letters, digits and hyphens, like 2026-014")
    if len(text) > MOST_LETTERS_OF_A_SERIAL:
        raise NotUnderstood(f"this serial has {len(text)} letters", f"at most {MOST_LETTERS_OF_A_SERIAL} are possible")
    if text.casefold() in _RESERVED_SERIALS:
        raise NotUnderstood(f"«{text}» cannot be a serial", "this name is taken on some computers; choose another")
    return Serial(text)


def read_web_address(text: str) -> WebAddress:
    """`https://example.org/`: a full address, so that a link leads somewhere from every page."""
    example = "write it whole, like https://example.org/"
    if re.search(r"[\s<>\"'`\\^{|}]", text):
        raise NotUnderstood(f"«{text}» is not a web address", example)
    try:
        parts = urlsplit(text)
        parts.port  # noqa: B018 - reading it is what finds a port that is no number
    except ValueError:
        raise NotUnderstood(f"«{text}» is not a web address", example) from None
    if parts.scheme not in ("https", "http") or not parts.hostname or "@" in parts.netloc:
        raise NotUnderstood(f"«{text}» is not a web address", example)
    return WebAddress(text)


def read_graduation(text: str, bare_unit: Unit) -> Graduation:
    """`1/64 in`, `0.5 mm`: how far apart the marks of a rule are."""
    length = read_length(text, bare_unit)
    graduation = as_graduation(length, length.written_in or bare_unit)
    if not LEAST_GRADUATION_MM <= graduation.exact_mm <= MOST_GRADUATION_MM:
        raise NotUnderstood(f"no rule has marks {text} apart", "write it like 1/64 in or 0.5 mm")
    return graduation


def read_rule_used(text: str, bare_unit: Unit) -> RuleUsed:
    """The name of a rule in the shop file, or how far apart its marks are: `bench rule`, `1/64 in`."""
    try:
        return RuleUsed(text.strip(), read_graduation(text, bare_unit))
    except NotUnderstood:
        return RuleUsed(text.strip(), None)


def converters(bare_unit: Unit) -> dict[Any, Callable[[str], Any]]:
    """Type ─► how to read it, in a shop whose bare numbers are in `bare_unit`."""
    return {
        bool: read_yes_or_no,
        Celsius: read_temperature,
        Currency: read_currency,
        Money: read_money,
        Cents: read_cents,
        Degrees: read_degrees,
        Hours: read_hours,
        Kilograms: read_mass,
        KilogramsPerMetre: read_weight_of_string,
        Newtons: read_force,
        Note: read_note,
        Pascals: read_pressure,
        Course: read_course,
        FretNumber: read_fret_number,
        Gauge: read_gauge,
        Graduation: lambda text: read_graduation(text, bare_unit),
        Hertz: read_hertz,
        Length: lambda text: read_length(text, bare_unit),
        NameInShop: str,
        Percent: read_percent,
        Position: lambda text: read_position(text, bare_unit),
        Ratio: read_ratio,
        RuleUsed: lambda text: read_rule_used(text, bare_unit),
        Serial: read_serial,
        Shape: read_shape,
        Tuning: read_tuning,
        WebAddress: read_web_address,
        WorkedHours: read_worked_hours,
        date: read_date,
        datetime: read_moment,
        int: read_whole_number,
    }
