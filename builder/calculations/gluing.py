"""A glued joint after it is closed: when the clamps may come off, when it bears load, when it is cured.

The hours come from the label of the glue, or, marked so, from what is typical of its kind.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from builder.calculations.answers import Missing, Outside

#: How a value stands against the limits it should keep.
Verdict = Literal["within", "below", "above"]


@dataclass(frozen=True, slots=True)
class Limits:
    """The least and the most that is allowed, both ends included; None where there is no such limit."""

    least: float | None = None
    most: float | None = None

    @property
    def are_none(self) -> bool:
        """Whether nothing is limited at all."""
        return self.least is None and self.most is None


@dataclass(frozen=True, slots=True)
class JointHours:
    """Hours after a joint is closed until its clamps may come off, it bears load, it is cured; None: not known."""

    clamps_off: float | None = None
    bears_load: float | None = None
    cured: float | None = None


@dataclass(frozen=True, slots=True)
class JointMoments:
    """The same as moments of the shop's clock."""

    clamps_off: datetime | None
    bears_load: datetime | None
    cured: datetime | None


def moment_after(start: datetime, hours: float) -> datetime | Outside:
    """The moment so many hours after another, to the second. A day has 24 hours.

    Holds for hours from zero up to the end of the calendar (year 9999), beyond which it answers Outside. It reads a
    clock that is never put forward or back; a night in which that happens shifts the moment by the hour.
    """
    if hours < 0:
        return Outside("time does not run backwards")
    try:
        return start + timedelta(seconds=round(hours * 3600))
    except OverflowError:
        return Outside("this lies beyond the end of the calendar")


def joint_moments(closed_at: datetime, hours: JointHours) -> JointMoments | Missing:
    """When a joint closed at a moment may lose its clamps, bear load, and is cured.

    Source: glue-label; where the label is silent, glue-typical. Missing where none of the three is known.
    """
    moments = [
        None if each is None else moment_after(closed_at, each)
        for each in (hours.clamps_off, hours.bears_load, hours.cured)
    ]
    known = [None if isinstance(each, Outside) else each for each in moments]
    if all(each is None for each in known):
        return Missing(("clamps_off", "bears_load", "cured"))
    return JointMoments(*known)


def hours_between(earlier: datetime, later: datetime) -> float:
    """Hours from one moment to another; below zero where the second comes first."""
    return (later - earlier).total_seconds() / 3600


def verdict_on(value: float, limits: Limits) -> Verdict:
    """Whether a value keeps its limits; the limits themselves are allowed.

    Values are compared to a millionth, so that 68 °F and the 20 °C that it is by definition do not differ by the last
    bit of a conversion.
    """
    slack = 1e-6
    if limits.least is not None and value < limits.least - slack:
        return "below"
    if limits.most is not None and value > limits.most + slack:
        return "above"
    return "within"
