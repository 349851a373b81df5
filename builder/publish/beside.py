"""Names what stands on an instrument's page beside what its certificate tells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.published import Figures, PublishedSource
from builder.published.beside import PublishedBeside, PublishedPhoto, PublishedService
from builder.published.issued import PublishedIssue
from builder.record import Record
from builder.record.photo import PhotoWords
from builder.sources import SOURCES

#: A photograph that can be shown: the words for it, and the sizes of its pictures in pixels, from narrow to wide.
PhotoToShow = tuple[PhotoWords, tuple[tuple[int, int], ...]]


def publish_beside(
    record: Record,
    travel: Figures | None = None,
    issue: PublishedIssue | None = None,
    photos: Sequence[PhotoToShow] = (),
) -> PublishedBeside:
    """Name what may be seen beside an instrument; `travel` is what a border officer may ask of it.

    Photographs come in the order they are shown.
    """
    by_day = sorted(record.service, key=lambda entry: entry.date)
    return PublishedBeside(
        tuple(PublishedService(entry.date.isoformat(), entry.did) for entry in by_day),
        record.visibility,
        travel,
        _sources_of(travel) if travel else (),
        issue,
        tuple(_photos(record, photos)),
    )


def _photos(record: Record, photos: Sequence[PhotoToShow]) -> Iterator[PublishedPhoto]:
    of_it = f"{record.name}, {record.kind} No. {record.serial}" if record.name else f"{record.kind} No. {record.serial}"
    for number, (words, sizes_px) in enumerate(photos, 1):
        named = f"Photograph {number} of {of_it}" if len(photos) > 1 else f"Photograph of {of_it}"
        yield PublishedPhoto(number, sizes_px, words.shows, words.alt or words.shows or named, words.draft)


def _sources_of(figures: Figures) -> tuple[PublishedSource, ...]:
    used = {column.source for each in figures.tables for column in each.table.columns}
    used |= {fact.source for fact in figures.facts}
    return tuple(PublishedSource(key, citation) for key, citation in SOURCES.items() if key in used)
