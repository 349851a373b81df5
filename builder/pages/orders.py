"""Every order of the shop on one page: who, what, how far, what it costs and what is still to pay."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from builder import addresses
from builder.published import PublishedBench, PublishedShop
from builder.published.order import PublishedOrder, PublishedOrders
from builder.seam import Page
from builder.templates import section


def orders_page(
    orders: Sequence[tuple[PublishedBench, PublishedOrder]], together: PublishedOrders, shop: PublishedShop
) -> Page:
    """The orders in the order of their serials, newest first, and what they come to together."""
    return Page(
        path=addresses.ORDERS,
        title="Orders",
        description=f"Every order of {shop.name}, for the workshop.",
        sections=(
            section(
                "", "", "pages/bench/orders.html",
                orders=sorted(orders, key=lambda pair: pair[0].serial, reverse=True), together=together,
                link=partial(addresses.from_page, addresses.ORDERS), bench_page=addresses.bench_page,
            ),
        ),
        search_text="orders, quotes, balance, deposit",
        listed=False,
    )  # fmt: skip
