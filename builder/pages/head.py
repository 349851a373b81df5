"""What a page says of itself to programs: to those that show a link to it, and to those that read pages."""

from __future__ import annotations

from markupsafe import Markup

from builder import addresses
from builder.published import PublishedShop
from builder.seam import Page
from builder.templates import render, without_blank_lines


def for_programs(page: Page, shop: PublishedShop) -> Markup:
    """Open Graph tags (ogp.me) and the structured data of a page, for its head; of the web address where there is one.

    The tags are RDFa, which may stand in the body too (HTML+RDFa 1.1, section 4), where a writer has no head to fill.
    """
    address = addresses.on_the_web(page.path, shop.site_address)
    return Markup(without_blank_lines(render("pages/head.html", page=page, shop=shop, address=address)))
