"""Pages of the shop edition: what is on the bench, and the working figures of each instrument."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from builder import addresses
from builder.pages.figures import figures_section
from builder.published import PublishedBench, PublishedShop
from builder.seam import Page
from builder.templates import section

#: Instruments that are still worked on stand before those that have left.
_STAGES = ("planned", "ordered", "finished", "delivered")


def bench_page(bench: PublishedBench) -> Page:
    """The working figures of one instrument."""
    link = partial(addresses.from_page, addresses.bench_page(bench.serial))
    return Page(
        path=addresses.bench_page(bench.serial),
        title=f"{bench.title}, for the bench",
        description=f"Working figures of No. {bench.serial}.",
        sections=(
            section(
                "", "", "pages/bench/lead.html",
                bench=bench, instrument=link(addresses.instrument_page(bench.serial)), methods=link(addresses.METHODS),
            ),
            *(figures_section(subject, show_wanting=True) for subject in bench.subjects),
        ),
        search_text=f"{bench.title}, {bench.serial}, bench",
        listed=False,
    )  # fmt: skip


def bench_index_page(benches: Sequence[PublishedBench], shop: PublishedShop) -> Page:
    """Every instrument of the shop, those still worked on first."""
    in_order = sorted(benches, key=lambda bench: (_STAGES.index(bench.stage), bench.promised or "9999", bench.serial))
    lines = tuple((bench, addresses.bench_page(bench.serial)) for bench in in_order)
    return Page(
        path=addresses.BENCH,
        title="On the bench",
        description=f"Every instrument of {shop.name}, for the workshop.",
        sections=(
            section("", "", "pages/bench/index.html", lines=lines, link=partial(addresses.from_page, addresses.BENCH)),
        ),
        search_text="bench",
        listed=False,
    )
