"""Names what the bench page of an instrument shows: the working figures that a buyer has no use for."""

from __future__ import annotations

from builder.publish.body import body_drawing_of
from builder.publish.levelling import heights_of
from builder.publish.subjects import bench_subjects
from builder.published import PublishedBench
from builder.record import Dates
from builder.shop import Shop
from builder.workshop import Instrument


def publish_bench(instrument: Instrument, shop: Shop) -> PublishedBench:
    """Name what the workshop sees of one instrument besides what a buyer may see."""
    record = instrument.record
    return PublishedBench(
        serial=record.serial,
        title=record.name or f"{record.kind[:1].upper()}{record.kind[1:]} {record.serial}",
        kind=record.kind,
        stage=_stage(record.dates),
        promised=record.dates.promised.isoformat() if record.dates.promised else None,
        body_drawing=body_drawing_of(instrument.results.body),
        heights=heights_of(instrument.results.levelling, shop.unit),
        subjects=bench_subjects(instrument, shop),
    )


def _stage(dates: Dates) -> str:
    """How far the work has come, as the dates say."""
    if dates.delivered:
        return "delivered"
    if dates.finished:
        return "finished"
    return "ordered" if dates.ordered else "planned"
