"""Names what several instruments need together: the shopping list, and what comes from which billet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.lengths import Unit
from builder.publish.cutting import cutting_for_the_bench_of
from builder.publish.measures import inches, kept
from builder.published.batch import PublishedBatch, PublishedPick
from builder.results.cutting import CuttingResults, put_together
from builder.shop import Shop
from builder.workshop import Instrument


def publish_batch(instruments: Sequence[Instrument], shop: Shop) -> PublishedBatch:
    """Name what a batch needs. Instruments of which no cutting list can be made add nothing to it."""
    lists = [
        (each.record.serial, each.results.cutting)
        for each in instruments
        if isinstance(each.results.cutting, CuttingResults)
    ]
    return PublishedBatch(
        serials=tuple(each.record.serial for each in instruments),
        shopping=cutting_for_the_bench_of(put_together([cutting for _, cutting in lists]), shop.unit),
        picks=tuple(
            sorted(
                (pick for serial, cutting in lists for pick in _picks(serial, cutting, shop.unit)),
                key=lambda pick: (pick.billet == "", pick.billet, pick.species, pick.serial),
            )
        ),
    )


def _picks(serial: str, cutting: CuttingResults, unit: Unit) -> Iterator[PublishedPick]:
    for each in cutting.pieces:
        piece, blank = each.piece, each.blank
        sizes = (_said(mm, unit) for mm in (blank.length_mm, blank.width_mm, blank.thickness_mm))
        yield PublishedPick(serial, piece.part, piece.billet or "", piece.species or "", piece.count, *sizes)


def _said(mm: float, unit: Unit) -> str:
    """A size to the same decimals as in the cutting list of one instrument."""
    return f"{kept(inches(mm)):.3f} in" if unit == "in" else f"{kept(mm):.2f} mm"
