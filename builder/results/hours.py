"""How long the work took: the sittings of the private file added up, step by step."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from builder.record import Build
from builder.record.hours import HoursEntry


@dataclass(frozen=True, slots=True)
class HoursOfStep:
    """What was worked at one step, in hours; `step` is empty for what was written down without one."""

    step: str
    hours: float


@dataclass(frozen=True, slots=True)
class HoursResults:
    """All hours of an instrument, and by step: first in the order of its steps, then as they were written."""

    total_hours: float
    sittings: int
    by_step: tuple[HoursOfStep, ...]


def work_out_hours(entries: Iterable[HoursEntry], build: Build) -> HoursResults | None:
    """Add up; None where nothing was written down. A step is the same whatever the size of its letters."""
    listed = list(entries)
    if not listed:
        return None
    named = {each.step.casefold(): each.step for each in build.steps}
    hours: dict[str, float] = {}
    for each in listed:
        step = named.get((each.step or "").casefold(), each.step or "")
        hours[step] = hours.get(step, 0.0) + each.hours
    order = [step for step in named.values() if step in hours]
    order += [step for step in hours if step and step not in order]
    order += [step for step in hours if not step]
    return HoursResults(sum(hours.values()), len(listed), tuple(HoursOfStep(step, hours[step]) for step in order))
