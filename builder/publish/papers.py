"""Names what goes on the papers of one instrument."""

from __future__ import annotations

from builder.publish import publish, publish_shop
from builder.publish.bench import publish_bench
from builder.publish.label import label_of
from builder.publish.order import order_of
from builder.publish.pattern import pattern_of
from builder.publish.reach_strip import reach_strip_of
from builder.publish.template import template_of
from builder.published import PublishedMark
from builder.published.papers import PublishedPapers
from builder.results.reach_strip import work_out_reach_strip
from builder.shop import Shop
from builder.workshop import Instrument


def publish_papers(
    instrument: Instrument, shop: Shop, *, care: str = "", names: bool = True, mark: PublishedMark | None = None
) -> PublishedPapers:
    """Name what may be printed; without `names` the buyer's name and what was agreed stay out.

    `mark` is the shop's own picture, if it has one.
    """
    spec, results = instrument.record.spec, instrument.results
    return PublishedPapers(
        instrument=publish(instrument, shop),
        bench=publish_bench(instrument, shop),
        shop=publish_shop(shop, mark),
        order=order_of(instrument.private, instrument.record.dates, instrument.order, names=names),
        template=template_of(instrument, shop),
        pattern=pattern_of(instrument, shop),
        reach=reach_strip_of(work_out_reach_strip(spec, results.frets)[0], spec, shop.unit),
        label=label_of(spec, shop),
        care=care,
    )
