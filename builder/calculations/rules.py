"""The measuring stick: the mark nearest to a place, what is left over, and whether an ear could tell."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from builder.lengths import MM_PER_INCH, Length, Unit, fraction_in_words


@dataclass(frozen=True, slots=True)
class Graduation:
    """The distance between two neighbouring marks of a rule, in the unit the rule is marked in."""

    size: Fraction
    unit: Unit

    @property
    def exact_mm(self) -> Fraction:
        """The same in millimetres, exact."""
        return self.size * MM_PER_INCH if self.unit == "in" else self.size

    def __str__(self) -> str:
        return f"{number_on_rule(self.size, self)} {self.unit}"


@dataclass(frozen=True, slots=True)
class RuleReading:
    """A place read on a rule.

    `mark` is what the maker looks for on the rule, without its unit; `left_over_mm` is place − mark; `cents` is how
    far the note would be off if the fret went to the mark: below zero flat, above zero sharp.
    """

    mark: str
    mark_mm: float
    left_over_mm: float
    cents: float


def nearest_mark(place_mm: float, graduation: Graduation) -> int:
    """Which mark of the rule is nearest, counted from its end; midway, the one nearer the nut.

    For every place and graduation above zero. The place is taken to a billionth of a millimetre, at which whatever
    can lie midway between two marks is exact: the last bit of a float must not decide. Source: nearest-mark.
    """
    place = Fraction(round(place_mm * 10**9), 10**9)
    return math.ceil(place / graduation.exact_mm - Fraction(1, 2))


def number_on_rule(number: Fraction, graduation: Graduation) -> str:
    """A number as it is read on such a rule: `11 27/32` where inches are halved and halved again, else decimal."""
    halved = graduation.size.denominator & (graduation.size.denominator - 1) == 0
    if graduation.unit == "in" and halved:
        return fraction_in_words(number)
    decimals = next((n for n in range(6) if (graduation.size * 10**n).denominator == 1), 6)
    return f"{float(number):.{decimals}f}"


def cents_between(sounding_length_mm: float, wished_length_mm: float) -> float:
    """How far in cents a string of one length sounds above another of the same tension: 1200·log2(wished/sounding).

    Both lengths above zero. Source: cents, fret-law.
    """
    return 1200.0 * math.log2(wished_length_mm / sounding_length_mm)


def read_on_rule(place_mm: float, scale_length_mm: float, graduation: Graduation) -> RuleReading:
    """Read a fret's place on a rule held at the nut.

    `place_mm` lies from 0 to below the scale length. A mark short of the place leaves the string too long: the note
    is flat. Should the nearest mark lie at or past the saddle, which takes a rule coarser than the rest of the
    string, cents are infinite.
    """
    count = nearest_mark(place_mm, graduation)
    mark = count * graduation.size
    mark_mm = float(count * graduation.exact_mm)
    sounding_mm = scale_length_mm - mark_mm
    cents = cents_between(sounding_mm, scale_length_mm - place_mm) if sounding_mm > 0 else math.inf
    return RuleReading(number_on_rule(mark, graduation), mark_mm, place_mm - mark_mm, cents)


def as_graduation(length: Length, written_in: Unit) -> Graduation:
    """The graduation of a rule whose marks lie `length` apart, marked in inches or millimetres."""
    return Graduation(length.exact_mm / MM_PER_INCH if written_in == "in" else length.exact_mm, written_in)
