"""What stands on an instrument's page beside what its certificate tells, and may grow after it is handed over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from builder.published.columns import PublishedSource
from builder.published.figures import Figures
from builder.published.issued import PublishedIssue

#: Who may find an instrument: everybody, whoever has its address, the workshop.
Visibility = Literal["public", "unlisted", "shop only"]


@dataclass(frozen=True, slots=True)
class PublishedService:
    """Work done on the instrument since it was handed over."""

    date: str
    did: str


@dataclass(frozen=True, slots=True)
class PublishedPhoto:
    """A photograph: its number among those shown, the sizes it can be had in from narrow to wide, and its words.

    `alt` is for those who cannot see it. A draft is seen in the shop edition alone.
    """

    number: int
    sizes_px: tuple[tuple[int, int], ...]
    shows: str | None
    alt: str
    is_draft: bool = False


@dataclass(frozen=True, slots=True)
class PublishedSister:
    """Another instrument with wood of the same boards; `parts` are those of this one, in words."""

    serial: str
    title: str
    address: str
    parts: str


@dataclass(frozen=True, slots=True)
class PublishedRecording:
    """A recording: its number among those of the instrument, what is heard, and its file's kind, length and size.

    `ending` is how the name of its file ends; `lasts` is in minutes and seconds. A draft is heard in the shop edition
    alone.
    """

    number: int
    heard: str
    kind: str
    ending: str
    lasts: str
    size: str
    is_draft: bool = False


@dataclass(frozen=True, slots=True)
class PublishedBeside:
    """Service, in the order of days, who may find the page, papers for travel, for listings change; the certificate.

    `sources` are those that the figures for travel name. `issue` is there once the certificate is issued. `photos` are
    in the order they are shown, the first is the cover; `recordings` in the order they are heard. `sisters` are others
    from the same boards, for more may come.
    """

    service: tuple[PublishedService, ...] = ()
    visibility: Visibility = "public"
    travel: Figures | None = None
    sources: tuple[PublishedSource, ...] = ()
    issue: PublishedIssue | None = None
    photos: tuple[PublishedPhoto, ...] = ()
    sisters: tuple[PublishedSister, ...] = ()
    recordings: tuple[PublishedRecording, ...] = ()

    @property
    def changed_on(self) -> str | None:
        """The last day (ISO) on which the certificate was issued or amended."""
        days = (self.issue.date, *(each.date for each in self.issue.amendments)) if self.issue else ()
        return max(days, default=None)
