"""Two instruments side by side: what differs, in the trade's words, written or worked out; and their lineage."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from builder.certificates.told import differences
from builder.published import Published
from builder.published.issued import PublishedChange
from builder.published.lineage import PublishedKin, PublishedLineage
from builder.published.reading import ReadBack
from builder.workshop import Instrument

#: What belongs to one instrument and no other: when and how it was made, and its story.
#: How drawings and long tables are told, of which nobody learns how two instruments differ.
_THERE = ("drawn", "worked out")

_ITS_OWN = ("name", "dates", "build", "story", "batch")


def compared(one: Published, other: Published) -> tuple[PublishedChange, ...]:
    """What the other has otherwise than the one: what is written first, then what is worked out from it.

    Names, days, the log of the work and the story are each instrument's own and are left out.
    """
    told = differences(ReadBack(one, frozenset(), frozenset()), other)
    own = (each for each in told if each.field.partition(".")[0].partition("[")[0] not in _ITS_OWN)
    return tuple(each.change for each in own if not each.change.now.endswith("anew") and each.change.was not in _THERE)


def lineage_of(
    instrument: Instrument, instruments: Sequence[Instrument], published: Mapping[str, Published]
) -> PublishedLineage:
    """What an instrument was started from and what came of it; `published` has every instrument by serial."""
    by_serial = {str(each.record.serial): each for each in instruments}
    serial = str(instrument.record.serial)
    forebears: list[PublishedKin] = []
    start, seen = instrument.record.started_from, {serial}
    while start and start not in seen:
        seen.add(start)
        parent = by_serial.get(start)
        forebears.append(PublishedKin(start, parent.record.title if parent else start, is_pattern=parent is None))
        start = parent.record.started_from if parent else None
    offspring = tuple(
        PublishedKin(str(each.record.serial), each.record.title)
        for each in instruments
        if each.record.started_from == serial
    )
    nearest = published.get(forebears[0].name) if forebears else None
    return PublishedLineage(tuple(forebears), offspring, compared(nearest, published[serial]) if nearest else ())
