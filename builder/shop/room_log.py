"""The room log: temperature and humidity of the shop, as a gauge on the wall or a logger wrote them down."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from datetime import datetime, timedelta

from builder.limits import Celsius, Percent


@dataclass(frozen=True, slots=True)
class RoomEntry:
    """The room at one moment. What was not written down is None."""

    at: datetime
    temperature: Celsius | None = None
    humidity: Percent | None = None


@dataclass(frozen=True, slots=True)
class RoomLog:
    """All entries, in the order of time."""

    entries: tuple[RoomEntry, ...] = ()

    def nearest(self, moment: datetime, within_hours: float) -> RoomEntry | None:
        """The entry nearest to a moment, of two as near the earlier; None where none is so near."""
        after = bisect_left(self.entries, moment, key=lambda entry: entry.at)
        beside = self.entries[max(0, after - 1) : after + 1]
        nearest = min(beside, key=lambda entry: abs(entry.at - moment), default=None)
        if nearest is None or abs(nearest.at - moment) > timedelta(hours=within_hours):
            return None
        return nearest
