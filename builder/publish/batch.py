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
    """One line for each part of an instrument; parts that are cut alike are counted in one."""
    counts: dict[tuple[str, str, str, str], int] = {}
    for each in cutting.pieces:
        piece, blank = each.piece, each.blank
        size = _said((blank.length_mm, blank.width_mm, blank.thickness_mm), unit)
        line = (piece.part, piece.billet or "", piece.species or "", size)
        counts[line] = counts.get(line, 0) + piece.count
    for (part, billet, species, size), count in counts.items():
        yield PublishedPick(serial, part, billet, species, count, size)


def _said(sizes_mm: tuple[float, ...], unit: Unit) -> str:
    """Three sizes to the same decimals as in the cutting list of one instrument, the unit once."""
    if unit == "in":
        return f"{' × '.join(f'{kept(inches(mm)):.3f}' for mm in sizes_mm)} in"
    return f"{' × '.join(f'{kept(mm):.2f}' for mm in sizes_mm)} mm"
