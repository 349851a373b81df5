"""The wood rack on one page: what is in it, what was cut from each board and what is left."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from builder import addresses
from builder.published import PublishedShop
from builder.published.rack import PublishedBillet
from builder.seam import Page
from builder.templates import section


def rack_page(billets: Sequence[PublishedBillet], shop: PublishedShop) -> Page:
    """Every billet in the order of the rack, with the instruments that came from it."""
    return Page(
        path=addresses.RACK,
        title="Wood rack",
        description=f"The boards of {shop.name}, for the workshop.",
        sections=(
            section(
                "", "", "pages/bench/rack.html", billets=billets,
                link=partial(addresses.from_page, addresses.RACK), bench_page=addresses.bench_page,
            ),
        ),
        search_text=", ".join(("wood rack", *(f"{each.name} {each.species}" for each in billets))),
        listed=False,
    )  # fmt: skip
