"""What stands on an instrument's page beside what its certificate tells, and may grow after it is handed over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

#: Who may find an instrument: everybody, whoever has its address, the workshop.
Visibility = Literal["public", "unlisted", "shop only"]


@dataclass(frozen=True, slots=True)
class PublishedService:
    """Work done on the instrument since it was handed over."""

    date: str
    did: str


@dataclass(frozen=True, slots=True)
class PublishedBeside:
    """Service, in the order of days, and who may find the page."""

    service: tuple[PublishedService, ...] = ()
    visibility: Visibility = "public"
