"""What stands on an instrument's page beside what its certificate tells, and may grow after it is handed over."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PublishedService:
    """Work done on the instrument since it was handed over."""

    date: str
    did: str


@dataclass(frozen=True, slots=True)
class PublishedBeside:
    """Service, in the order of days."""

    service: tuple[PublishedService, ...] = ()
