"""Coats of finish: when the next may go on, when the last is cured, and whether one came too soon."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from builder.calculations.answers import Outside
from builder.calculations.gluing import hours_between, moment_after


@dataclass(frozen=True, slots=True)
class CoatMoments:
    """One coat: the earliest moment for the next one, and when this one would be cured were it the last.

    `waited_hours` is the time since the coat before (None for the first), `short_hours` what that lacks of the waiting
    time its label asks for, zero where it is long enough or nothing is known.
    """

    next_coat: datetime | None
    cured: datetime | None
    waited_hours: float | None
    short_hours: float


def coat_moments(
    laid: Sequence[datetime], waits_hours: Sequence[float | None], cures_hours: Sequence[float | None]
) -> tuple[CoatMoments, ...]:
    """Every coat of one surface. `waits_hours` and `cures_hours` are what the label of each coat's product says.

    `laid` is in the order of time; all three are of one length, else ValueError. What a coat waits for is the label of
    the coat below it. Holds in the room the label supposes: cold and damp make every coat slower. Source: glue-label.
    """
    rows = list(zip(laid, waits_hours, cures_hours, strict=True))
    answers = []
    for number, (at, wait, cure) in enumerate(rows):
        before = rows[number - 1] if number else None
        waited = hours_between(before[0], at) if before else None
        wanted = before[1] if before else None
        short = max(0.0, wanted - waited) if wanted is not None and waited is not None else 0.0
        answers.append(CoatMoments(_after(at, wait), _after(at, cure), waited, short))
    return tuple(answers)


def _after(at: datetime, hours: float | None) -> datetime | None:
    moment = None if hours is None else moment_after(at, hours)
    return None if isinstance(moment, Outside) else moment
