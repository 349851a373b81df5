"""Names what stands on an instrument's page beside what its certificate tells."""

from __future__ import annotations

from builder.published import Figures, PublishedSource
from builder.published.beside import PublishedBeside, PublishedService
from builder.published.issued import PublishedIssue
from builder.record import Record
from builder.sources import SOURCES


def publish_beside(
    record: Record, travel: Figures | None = None, issue: PublishedIssue | None = None
) -> PublishedBeside:
    """Name what may be seen beside an instrument; `travel` is what a border officer may ask of it."""
    by_day = sorted(record.service, key=lambda entry: entry.date)
    service = tuple(PublishedService(entry.date.isoformat(), entry.did) for entry in by_day)
    return PublishedBeside(service, record.visibility, travel, _sources_of(travel) if travel else (), issue)


def _sources_of(figures: Figures) -> tuple[PublishedSource, ...]:
    used = {column.source for each in figures.tables for column in each.table.columns}
    used |= {fact.source for fact in figures.facts}
    return tuple(PublishedSource(key, citation) for key, citation in SOURCES.items() if key in used)
