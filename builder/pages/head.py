"""What a page says of itself to programs: to those that show a link to it, and to those that read pages."""

from __future__ import annotations

from functools import partial

from markupsafe import Markup

from builder import addresses
from builder.pages.link_words import picture_of_shop
from builder.published import PublishedShop
from builder.seam import Page
from builder.templates import render, without_blank_lines


def for_programs(page: Page, shop: PublishedShop) -> Markup:
    """Open Graph tags (ogp.me) and the structured data of a page, for its head.

    Addresses are whole, so they and the picture are there only where the shop has said at which address the site
    stands. A page that is found by its address alone says nothing of its address.

    The tags are RDFa, which may stand in the body too (HTML+RDFa 1.1, section 4), where a writer has no head to fill.
    """
    on_the_web = partial(addresses.on_the_web, site_address=shop.site_address)
    return Markup(
        without_blank_lines(
            render(
                "pages/head.html", page=page, shop=shop, on_the_web=on_the_web,
                picture=page.picture or picture_of_shop(shop),
            )
        )
    )  # fmt: skip
