"""What stands on an instrument's page beside what its certificate tells, and may grow after it is handed over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from builder.published.columns import PublishedSource
from builder.published.figures import Figures

#: Who may find an instrument: everybody, whoever has its address, the workshop.
Visibility = Literal["public", "unlisted", "shop only"]


@dataclass(frozen=True, slots=True)
class PublishedService:
    """Work done on the instrument since it was handed over."""

    date: str
    did: str


@dataclass(frozen=True, slots=True)
class PublishedBeside:
    """Service, in the order of days, who may find the page, and papers for travel, for listings change.

    `sources` are those that the figures for travel name.
    """

    service: tuple[PublishedService, ...] = ()
    visibility: Visibility = "public"
    travel: Figures | None = None
    sources: tuple[PublishedSource, ...] = ()
