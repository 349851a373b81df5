"""The bench board: how the bench stands at a moment, in words; for the workshop alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class PublishedBoardLine:
    """Something on the bench: of which instrument, what, what may be done with it or what it waits for, and when.

    `also` says more of it, `is_typical` that its time is no label's but typical of the kind of glue.
    """

    serial: str
    title: str
    what: str
    says: str
    when: str
    also: str = ""
    is_typical: bool = False


@dataclass(frozen=True, slots=True)
class PublishedWork:
    """What comes next on one instrument. `left` tells of all steps to come, `due` how many days are left or over."""

    serial: str
    title: str
    state: Literal["ready", "waits", "not begun"]
    next_step: str | None
    takes: str
    left: str
    waits: tuple[str, ...]
    promised: str | None
    due: str
    is_late: bool


@dataclass(frozen=True, slots=True)
class PublishedRoomLately:
    """The room by its log: the last reading, what is to be said of the last days, and the readings outside limits."""

    last: str
    says: str
    outside: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PublishedBoardDay:
    """What becomes free or due on a day, each line with the time in `when`, where there is one."""

    day: str
    lines: tuple[PublishedBoardLine, ...]


@dataclass(frozen=True, slots=True)
class PublishedBenchBoard:
    """The whole board. `ready` may be done now, `resting` later; both with the nearest first.

    `ahead` has the days of the week ahead that bring something; `until` is the last day that was looked at.
    """

    moment: str
    ready: tuple[PublishedBoardLine, ...]
    resting: tuple[PublishedBoardLine, ...]
    work: tuple[PublishedWork, ...]
    room: PublishedRoomLately | None
    ahead: tuple[PublishedBoardDay, ...]
    until: str

    @property
    def has_typical_times(self) -> bool:
        """Whether a time on it is typical of a kind of glue, and not a label's."""
        days = (line for day in self.ahead for line in day.lines)
        return any(line.is_typical for line in (*self.ready, *self.resting, *days))
