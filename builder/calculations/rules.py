"""The measuring stick: the mark nearest to a place, what is left over, and whether an ear could tell."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

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


def read_beside(place_mm: float, sounding_mm: float, graduation: Graduation) -> RuleReading:
    """Read a fret's place on a rule held at the nut, along the string or a line beside it, such as the board's edge.

    `sounding_mm` is what is left of the string from the fret to the saddle. A mark short of the place leaves the
    string too long: the note is flat. Should the nearest mark lie at or past the saddle, which takes a rule coarser
    than the rest of the string, cents are infinite. What is left over on the rule is taken to move the fret on the
    string by as much, which holds within a few hundredths for the lean of real boards.
    """
    count = nearest_mark(place_mm, graduation)
    mark_mm = float(count * graduation.exact_mm)
    return RuleReading(
        number_on_rule(count * graduation.size, graduation),
        mark_mm,
        place_mm - mark_mm,
        cents_if_moved(sounding_mm, mark_mm - place_mm),
    )


def cents_if_moved(sounding_mm: float, towards_saddle_mm: float) -> float:
    """How far off a note is whose fret lies so far from its place; below zero (towards the nut) it is flat.

    Infinite where the fret would lie at the saddle or past it. Source: fret-law, cents.
    """
    left_mm = sounding_mm - towards_saddle_mm
    return cents_between(left_mm, sounding_mm) if left_mm > 0 else math.inf


def stepped_mm(places_mm: Sequence[float], graduation: Graduation) -> tuple[float, ...]:
    """Where the frets come to lie if the rule is moved along from fret to fret, each gap rounded to its nearest mark.

    The errors of the gaps add up, which is why frets are measured from the nut. `places_mm` in board order.
    """
    reached_mm, stepped = Fraction(0), []
    for before, place in pairwise((0.0, *places_mm)):
        reached_mm += nearest_mark(place - before, graduation) * graduation.exact_mm
        stepped.append(float(reached_mm))
    return tuple(stepped)


def coarsest_within(
    worst_cents: Sequence[float], graduations: Sequence[Graduation], tolerance_cents: float
) -> int | None:
    """Which of several rules has the widest marks and still keeps every fret within tolerance; None if none does."""
    good = [number for number, worst in enumerate(worst_cents) if worst <= tolerance_cents]
    return max(good, key=lambda number: graduations[number].exact_mm, default=None)


def as_graduation(length: Length, written_in: Unit) -> Graduation:
    """The graduation of a rule whose marks lie `length` apart, marked in inches or millimetres."""
    return Graduation(length.exact_mm / MM_PER_INCH if written_in == "in" else length.exact_mm, written_in)
