"""Names what stands on an instrument's page beside what its certificate tells."""

from __future__ import annotations

from builder.published.beside import PublishedBeside, PublishedService
from builder.record import Record


def publish_beside(record: Record) -> PublishedBeside:
    """Name what may be seen beside an instrument."""
    by_day = sorted(record.service, key=lambda entry: entry.date)
    service = tuple(PublishedService(entry.date.isoformat(), entry.did) for entry in by_day)
    return PublishedBeside(service, record.visibility)
