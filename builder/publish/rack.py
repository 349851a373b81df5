"""Names what is shown of the wood rack in the shop edition, and which sisters of an instrument a buyer may see."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from builder.lengths import Unit, trimmed
from builder.publish.measures import measure
from builder.published.beside import PublishedSister
from builder.published.rack import PublishedBillet, PublishedCut
from builder.record import Record
from builder.results.rack import BilletResults
from builder.words import in_a_row
from builder.workshop import Instrument, Workshop


def publish_rack(workshop: Workshop, unit: Unit) -> tuple[PublishedBillet, ...]:
    """Every billet in the order of the rack."""
    titles = {str(each.record.serial): each.record.title for each in workshop.instruments}
    return tuple(_billet(each, titles, unit) for each in workshop.rack)


def _billet(results: BilletResults, titles: Mapping[str, str], unit: Unit) -> PublishedBillet:
    billet, balance = results.billet, results.balance
    sizes = (billet.size.length, billet.size.width, billet.size.thickness)
    return PublishedBillet(
        name=results.name,
        species=billet.species,
        botanical=billet.botanical,
        origin=": ".join(filter(None, (billet.country, billet.origin))),
        cut=billet.cut,
        size=tuple(said for each in sizes if (said := measure(each, unit))),
        pieces=billet.pieces,
        moisture_percent=billet.moisture,
        left=_left(results, unit),
        left_share=max(balance.left_share, 0.0) if balance else None,
        cuts=tuple(_cuts(results, titles)),
        unsized=tuple(f"{each.part} of {each.serial}" for each in results.cut if each.blank is None),
        listings=tuple(dict.fromkeys(each.called for each in results.listings)),
        papers=billet.papers,
        seller=billet.private.seller,
        price=billet.private.price,
        words=billet.words,
    )


def _left(results: BilletResults, unit: Unit) -> str | None:
    """`2.3 board feet`, or litres where the shop works in millimetres."""
    left, of = (results.left_board_feet, "board feet") if unit == "in" else (results.left_litres, "litres")
    return None if left is None else f"{trimmed(left, 1 if left >= 1 else 2)} {of}"


def _cuts(results: BilletResults, titles: Mapping[str, str]) -> Iterator[PublishedCut]:
    for serial in dict.fromkeys(each.serial for each in results.cut):
        parts = tuple(dict.fromkeys(each.part for each in results.cut if each.serial == serial))
        yield PublishedCut(serial, titles[serial], parts)


def sisters_of(
    instrument: Instrument, shown: Iterable[Instrument], titles: Mapping[str, str]
) -> tuple[PublishedSister, ...]:
    """Other instruments from the same boards, as far as they are among those `shown` to everybody, oldest first.

    `titles` are those of issued certificates, by serial, which count before what a record says today.
    """
    addresses = {str(each.record.serial): each.address for each in shown if not each.record.is_unlisted}
    of: dict[str, list[str]] = {}
    records: dict[str, Record] = {}
    for billet, sisters in instrument.neighbours.sisters.items():
        parts = [part for part, wood in instrument.record.spec.wood.items() if wood.billet == billet]
        for sister in sisters:
            records[sister.serial] = sister
            of.setdefault(sister.serial, []).extend(parts)
    return tuple(
        PublishedSister(serial, titles.get(serial, records[serial].title), addresses[serial], in_a_row(of[serial]))
        for serial in sorted(of)
        if serial in addresses
    )
