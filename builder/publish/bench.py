"""Names what the bench page of an instrument shows: the working figures that a buyer has no use for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from builder.lengths import Unit
from builder.publish.body import body_drawing_of
from builder.publish.labels import finishing_of, glues_of, room_limits_of
from builder.publish.levelling import heights_of
from builder.publish.measures import measure
from builder.publish.subjects import bench_subjects
from builder.published import PublishedBench
from builder.published.bench import PublishedClearance, PublishedStep
from builder.record.setup import SetupSpec
from builder.results.order import stage_of
from builder.shop import Shop
from builder.workshop import Instrument


def publish_bench(instrument: Instrument, shop: Shop) -> PublishedBench:
    """Name what the workshop sees of one instrument besides what a buyer may see."""
    record = instrument.record
    return PublishedBench(
        serial=record.serial,
        address=instrument.address,
        title=record.title,
        kind=record.kind,
        visibility=record.visibility,
        stage=stage_of(record.dates, instrument.private),
        promised=record.dates.promised.isoformat() if record.dates.promised else None,
        steps=tuple(
            PublishedStep(each.step, each.done.isoformat() if each.done else None) for each in record.build.steps
        ),
        glues=glues_of(record, shop),
        finishing=finishing_of(record, shop),
        room_limits=room_limits_of(shop),
        clearances=tuple(_clearances(record.spec.setup, shop.unit)),
        body_drawing=body_drawing_of(instrument.results.body),
        heights=heights_of(instrument.results.levelling, shop.unit),
        subjects=bench_subjects(instrument, shop),
    )


def _clearances(setup: SetupSpec | None, unit: Unit) -> Iterator[PublishedClearance]:
    if setup is None:
        return
    bass_under: Literal["all strings", "the bass string"]
    bass_under = "the bass string" if setup.clearance_treble else "all strings"
    for fret, clearance in setup.clearance.items():
        yield PublishedClearance(str(fret), bass_under, measure(clearance, unit))
    for fret, clearance in setup.clearance_treble.items():
        yield PublishedClearance(str(fret), "the treble string", measure(clearance, unit))
