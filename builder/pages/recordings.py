"""Recordings on a page: each with what is heard, played by the browser itself, with the file behind a plain link."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder import addresses
from builder.published.beside import PublishedRecording
from builder.seam import Section
from builder.templates import section


@dataclass(frozen=True, slots=True)
class _Played:
    """A recording and its address from the page."""

    recording: PublishedRecording
    place: str


def recordings_section(recordings: Sequence[PublishedRecording], address: str, page: str) -> Section:
    """Recordings of the instrument that has this `address`, for a page at `page`."""
    played = (
        _Played(each, addresses.from_page(page, addresses.recording(address, each.number, each.ending)))
        for each in recordings
    )
    return section("recordings", "How it sounds", "pages/instrument/recordings.html", recordings=tuple(played))
