"""How long the work took: a line a sitting, for the shop alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from builder.limits import Between, WorkedHours
from builder.record.words import Line


@dataclass(frozen=True, slots=True)
class HoursEntry:
    """Hours worked on a day, or up to that day, and at which step of the work. Never published."""

    date: date
    hours: Annotated[WorkedHours, Between("1 min", "1000 h")]
    step: Line | None = None
