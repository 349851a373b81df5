"""The first page: below the shop's own words, its latest instruments and how to reach it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from builder import addresses
from builder.pages.cards import NO_MARKS, cards_section, contact_section
from builder.pages.photographs import NO_COVERS
from builder.published import Published, PublishedShop
from builder.published.beside import PublishedPhoto
from builder.seam import Page

MOST_ON_HOME = 6


def home_page(
    instruments: Sequence[Published],
    shop: PublishedShop,
    marks: Mapping[str, str] = NO_MARKS,
    covers: Mapping[str, PublishedPhoto] = NO_COVERS,
) -> Page:
    """The first page; instruments come newest first. `marks` stand beside names, `covers` on cards, by serial."""
    latest = instruments[:MOST_ON_HOME]
    place = f", {shop.place}" if shop.place else ""
    return Page(
        path=addresses.HOME,
        title=shop.name,
        description=f"Fretted instruments built by {shop.maker}{place}.",
        sections=(
            cards_section(
                "latest-instruments", "Latest instruments", latest, addresses.HOME, marks, covers, more=bool(latest)
            ),
            *contact_section(shop, addresses.HOME),
        ),
        search_text=" ".join(filter(None, (shop.name, shop.maker, shop.place))),
        listed=True,
        date=max((each.finished for each in instruments if each.finished), default=None),
    )
