"""Names what stands on an instrument's page beside what its certificate tells."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.published import Figures, PublishedSource
from builder.published.beside import PublishedBeside, PublishedPhoto, PublishedRecording, PublishedService
from builder.published.issued import PublishedIssue
from builder.record import Record
from builder.record.photo import PhotoWords
from builder.record.recording import RecordingWords
from builder.sources import SOURCES

#: A photograph that can be shown: the words for it, and the sizes of its pictures in pixels, from narrow to wide.
PhotoToShow = tuple[PhotoWords, tuple[tuple[int, int], ...]]


@dataclass(frozen=True, slots=True)
class RecordingToPlay:
    """A recording that can be played: the words for it, its kind, how its name ends, how long and how large it is."""

    words: RecordingWords
    kind: str
    ending: str
    milliseconds: int
    size_bytes: int


def publish_beside(
    record: Record,
    travel: Figures | None = None,
    issue: PublishedIssue | None = None,
    photos: Sequence[PhotoToShow] = (),
    recordings: Sequence[RecordingToPlay] = (),
) -> PublishedBeside:
    """Name what may be seen beside an instrument; `travel` is what a border officer may ask of it.

    Photographs and recordings come in the order they are shown.
    """
    by_day = sorted(record.service, key=lambda entry: entry.date)
    return PublishedBeside(
        tuple(PublishedService(entry.date.isoformat(), entry.did) for entry in by_day),
        record.visibility,
        travel,
        _sources_of(travel) if travel else (),
        issue,
        tuple(_photos(record, photos)),
        recordings=tuple(_recordings(record, recordings)),
    )


def _photos(record: Record, photos: Sequence[PhotoToShow]) -> Iterator[PublishedPhoto]:
    of_it = _in_full(record)
    for number, (words, sizes_px) in enumerate(photos, 1):
        named = f"Photograph {number} of {of_it}" if len(photos) > 1 else f"Photograph of {of_it}"
        yield PublishedPhoto(number, sizes_px, words.shows, words.alt or words.shows or named, words.draft)


def _recordings(record: Record, recordings: Sequence[RecordingToPlay]) -> Iterator[PublishedRecording]:
    of_it = _in_full(record)
    for number, each in enumerate(recordings, 1):
        named = f"Recording {number} of {of_it}" if len(recordings) > 1 else f"Recording of {of_it}"
        heard = each.words.plays or named
        if each.words.by:
            heard = f"{heard}, played by {each.words.by}"
        minutes, seconds = divmod(max(1, round(each.milliseconds / 1000)), 60)
        yield PublishedRecording(
            number, heard, each.kind, each.ending, f"{minutes}:{seconds:02}", _size(each.size_bytes), each.words.draft
        )


def _in_full(record: Record) -> str:
    numbered = f"{record.kind} No. {record.serial}"
    return f"{record.name}, {numbered}" if record.name else numbered


def _size(size_bytes: int) -> str:
    """A size as whoever pays for the line thinks of it: `87 kB`, `2.4 MB`; never less than it is."""
    if size_bytes < 999_500:
        return f"{math.ceil(size_bytes / 1000)} kB"
    return f"{math.ceil(size_bytes / 100_000) / 10:.1f} MB"


def _sources_of(figures: Figures) -> tuple[PublishedSource, ...]:
    used = {column.source for each in figures.tables for column in each.table.columns}
    used |= {fact.source for fact in figures.facts}
    return tuple(PublishedSource(key, citation) for key, citation in SOURCES.items() if key in used)
