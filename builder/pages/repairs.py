"""Repairs on one page: what is in the shop and promised for when, what was handed back, and service of our own."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from builder import addresses
from builder.published import PublishedShop
from builder.published.repair import PublishedRepair, PublishedService
from builder.seam import Page
from builder.templates import section


def repairs_page(repairs: Sequence[PublishedRepair], services: Sequence[PublishedService], shop: PublishedShop) -> Page:
    """Repairs in the order they are given, what is in the shop before what was handed back."""
    link = partial(addresses.from_page, addresses.REPAIRS)
    waiting = [each for each in repairs if not each.handed_back]
    done = [each for each in repairs if each.handed_back]
    return Page(
        path=addresses.REPAIRS,
        title="Repairs",
        description=f"Repairs of {shop.name}, for the workshop.",
        sections=(
            section("", "", "pages/bench/repairs-list.html", waiting=waiting),
            *([section("work", "The work", "pages/bench/repairs.html", repairs=waiting)] if waiting else []),
            *([section("handed-back", "Handed back", "pages/bench/repairs.html", repairs=done)] if done else []),
            *(
                [
                    section(
                        "own", "Service of our own instruments", "pages/bench/services.html",
                        services=services, link=link, bench_page=addresses.bench_page,
                    )
                ]
                if services
                else []
            ),
        ),
        search_text=", ".join(("repairs, tickets, service", *(f"{each.ticket} {each.kind}" for each in repairs))),
        listed=False,
    )  # fmt: skip
