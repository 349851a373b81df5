"""Frets as they came out: how far each lies off its place, in length and to the ear, and what the rule could show.

A rule read to its nearest mark leaves half the distance between two marks open, on either side. What an error may be
is therefore a band, and an error smaller than half a mark cannot be told from none.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from builder.calculations.answers import Outside
from builder.calculations.rules import cents_if_moved

#: An eighth of an inch: a fret further off than this was most likely misread or miswritten.
LIKELY_SLIP_MM = 25.4 / 8


@dataclass(frozen=True, slots=True)
class PlaceError:
    """One fret's error: `error_mm` and `cents` as read, `least_cents` to `most_cents` as it may be.

    Towards the nut is below zero and flat. `can_be_read` says whether the rule can tell the error from none; without
    a known rule there is no band, and it is None.
    """

    error_mm: float
    cents: float
    least_cents: float | None
    most_cents: float | None
    can_be_read: bool | None

    @property
    def at_most_cents(self) -> float:
        """The most it may be, without its sign; as read, where the rule is not known."""
        if self.least_cents is None or self.most_cents is None:
            return abs(self.cents)
        return max(abs(self.least_cents), abs(self.most_cents))

    @property
    def at_least_cents(self) -> float:
        """The least it may be, without its sign: nothing, where the rule cannot tell the error from none."""
        if self.least_cents is None or self.most_cents is None:
            return abs(self.cents)
        if self.least_cents <= 0 <= self.most_cents:
            return 0.0
        return min(abs(self.least_cents), abs(self.most_cents))


def error_of(
    measured_mm: float, place_mm: float, sounding_mm: float, mark_distance_mm: float | None
) -> PlaceError | Outside:
    """A fret's error, from where it was measured and where it belongs.

    `sounding_mm` is the string from its place to the saddle, `mark_distance_mm` how far apart the marks of the rule
    are. Answers Outside where the fret, or what the rule leaves open of it, would lie at the saddle or past it.
    Source: fret-law, cents, reading-error.
    """
    error_mm = measured_mm - place_mm
    half_mm = (mark_distance_mm or 0.0) / 2
    if error_mm + half_mm >= sounding_mm:
        return Outside("it would lie at the saddle or past it")
    cents = cents_if_moved(sounding_mm, error_mm)
    if mark_distance_mm is None:
        return PlaceError(error_mm, cents, None, None, None)
    return PlaceError(
        error_mm,
        cents,
        cents_if_moved(sounding_mm, error_mm - half_mm),
        cents_if_moved(sounding_mm, error_mm + half_mm),
        abs(error_mm) > half_mm,
    )


def root_mean_square(numbers: Iterable[float]) -> float:
    """The usual size of several errors: the root of the mean of their squares. At least one. Source: rms."""
    squares = [number * number for number in numbers]
    return math.sqrt(math.fsum(squares) / len(squares))


def furthest_off(errors: Sequence[PlaceError]) -> int:
    """Which fret is furthest off as read, counted from 0; of several, the one nearest the nut."""
    return max(range(len(errors)), key=lambda n: (abs(errors[n].cents), -n))


def first_not_increasing(places_mm: Sequence[float]) -> int | None:
    """The first place, counted from 0, that does not lie further from the nut than the one before it."""
    return next((n for n in range(1, len(places_mm)) if places_mm[n] <= places_mm[n - 1]), None)
