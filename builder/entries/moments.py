"""When something was done: now, or the day and time a maker says, and how that is written."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

from builder.entries.keeping import Refused
from builder.lengths import NotUnderstood
from builder.reading.converters import read_date, read_moment

_CLOCK_ALONE = re.compile(r"\d{1,2}:\d{2}", re.ASCII)


def day_of(said: str | None, now: datetime) -> date:
    """The day that is said, `2026-03-04`, else today. Raises Refused."""
    if said is None:
        return now.date()
    try:
        return read_date(said)
    except NotUnderstood as trouble:
        raise Refused(trouble.message, trouble.hint) from None


def moment_of(said: str | None, now: datetime) -> datetime:
    """The moment that is said, `2026-03-04 14:30`, or `14:30` of today; else now. Raises Refused."""
    if said is None:
        return now
    alone = _CLOCK_ALONE.fullmatch(said.strip())
    try:
        return read_moment(f"{now.date()} {said.strip()}" if alone else said)
    except NotUnderstood as trouble:
        raise Refused(trouble.message, trouble.hint) from None


def moment_after(said: str, begun: datetime) -> datetime:
    """A moment after another: where the time alone is said, the next time the clock stands there. Raises Refused."""
    ended = moment_of(said, begun)
    alone = _CLOCK_ALONE.fullmatch(said.strip())
    return ended + timedelta(days=1) if alone and ended <= begun else ended


def written_moment(moment: datetime) -> str:
    """As it stands in a record: `2026-03-04 14:30`."""
    return f"{moment:%Y-%m-%d %H:%M}"
