"""All finished instruments: a gallery, a table to compare them by, and what leaves some of both out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from builder import addresses
from builder.pages.cards import NO_MARKS, card, cards_section
from builder.pages.found_by import found_by
from builder.pages.photographs import NO_COVERS
from builder.published import Published, PublishedShop
from builder.published.beside import PublishedPhoto
from builder.seam import Page
from builder.templates import section


def instruments_page(
    instruments: Sequence[Published],
    shop: PublishedShop,
    marks: Mapping[str, str] = NO_MARKS,
    covers: Mapping[str, PublishedPhoto] = NO_COVERS,
    stages: Mapping[str, str] | None = None,
) -> Page:
    """Every instrument the shop shows, newest first. `marks` stand beside names, `covers` on cards, by serial.

    `stages`, how far each has come, are given for the workshop alone.
    """
    path = addresses.INSTRUMENTS
    link = partial(addresses.from_page, path)
    found = found_by(instruments, shop.unit, stages)
    sections = []
    if found.choices:
        sections.append(
            section(
                "", "", "pages/find.html", choices=found.choices, count=len(instruments), script=link(addresses.FIND)
            )
        )
    sections.append(cards_section("", "", instruments, path, marks, covers, told=found.told))
    if instruments:
        lines = tuple(
            card(each, path, marks.get(each.serial, ""), told=found.told[each.serial]) for each in instruments
        )
        sections.append(section("side-by-side", "Side by side", "pages/instruments-table.html", lines=lines, link=link))
    return Page(
        path=path,
        title="Instruments",
        description=f"Every finished instrument of {shop.name}, newest first.",
        sections=tuple(sections),
        search_text=f"Instruments of {shop.name}",
        listed=True,
        date=max((each.finished for each in instruments if each.finished), default=None),
    )
