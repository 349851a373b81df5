"""Cards that go with an instrument: what all have at the top and at the foot, and the one on how to care for it."""

from __future__ import annotations

import re

import nh3
from markupsafe import Markup

from builder.published import Figure, Figures, Published, PublishedShop
from builder.sheets.inlined import card_faces, style_sheet
from builder.sheets.lettering import MM_PER_POINT, height_mm
from builder.sheets.page_code import PageCode, page_address, page_code
from builder.sheets.paper import CannotBePrinted
from builder.templates import day_in_words, prose, render

#: What the style sheet gives: width of a card, and its height on the lower of the two papers (Letter, 11 in less twice
#: 12 mm); a column of the care card.
CARD_MM, PAGE_MM = 186.0, 255.0
_COLUMN_MM = 89.0
#: Sizes of the care card's text in points, and their class in the style sheet.
_CARE_STEPS = (("text-large", 11.5), ("text-middle", 10.5), ("text-small", 9.5), ("text-least", 8.5))
#: About so many letters fill the card in its smallest type.
MOST_CARE_LETTERS = 5_000
#: The least width of the code on a card, white margin included.
_CODE_MM = 22.0
#: The shop's mark: its height, how wide it may be, and the white between the parts of a head.
_MARK_MM, _WIDEST_MARK_MM, _GAP_MM = 14.0, 32.0, 6.0
#: The card's own name in the head; lines, white and frames of head and foot.
_NAME_MM, _HEAD_GAPS_MM, _FOOT_GAPS_MM = 9.8, 4.5, 6.5
_LINE_HEIGHT = 1.38

#: On paper there is nothing to follow a link with, so `a` is left out.
_TAGS = {
    "blockquote", "br", "code", "dd", "dl", "dt", "em", "h3", "h4", "hr", "li", "ol", "p", "pre", "strong", "table",
    "tbody", "td", "th", "thead", "tr", "ul",
}  # fmt: skip
_HEADING = re.compile(r"^#{1,6}(?=[ \t])", re.MULTILINE)
_FIRST_TITLE = re.compile(r"\A\s*#[ \t][^\n]*\n")
_NEW_BLOCK = re.compile(r"\n[ \t]*(?:\n\s*|(?=[-*+>#|]|\d+\.))")

#: Used where the shop has no words of its own. Common practice.
OUR_CARE = """
## Air

- Wood takes up water from the air and gives it back. Keep the instrument where the air has between about **40 and
  60 % relative humidity**; a small hygrometer beside it tells.
- In heated rooms in winter keep it in its case, with a humidifier that cannot drip.
- Keep it out of cars, out of the sun, and away from heaters: heat softens glue.
- Fret ends that can be felt along the edge of the board, new buzzing and a sunken top are signs of dry air. Bring it
  back to damper air slowly, over days.

## Strings

- Protect your eyes when you change strings, and mind the cut ends. What the maker of the strings says goes first.
- Change one string at a time, and put on strings like those it was made for.

## Cleaning and repair

- Wipe strings and wood with a soft dry cloth. Leave out polishes whose contents you do not know.
- If something cracks or comes loose: slacken the strings, do not glue it, and ask us.
"""


def care_card_html(instrument: Published, shop: PublishedShop, care: str = "") -> str:
    """How to care for an instrument, on one page of either paper, in the shop's own words (Markdown) or else in ours.

    What its own woods do through the year stands below. Raises CannotBePrinted where the words fill more than a page.
    """
    words = _FIRST_TITLE.sub("", care) if care.strip() else OUR_CARE
    figures = figures_of(instrument, "seasons")
    seasons = [fact for fact in figures.facts if fact.key != "wood_mass"]
    return str(
        render(
            "sheets/care.html",
            instrument=instrument,
            shop=shop,
            words=_on_paper(words),
            step=_care_step(words, seasons, room_mm(instrument, shop)),
            seasons=seasons,
            **code_of(instrument, shop),
            faces=card_faces(),
            style=style_sheet("cards.css"),
        )
    )


def code_of(instrument: Published, shop: PublishedShop) -> dict[str, PageCode | float | None]:
    """The code of the page for the head of a card, and how wide it is printed."""
    address = page_address(instrument.address, shop)
    code = page_code(address) if address else None
    return {"page": code, "page_mm": max(_CODE_MM, code.least_mm) if code else 0.0}


def figures_of(instrument: Published, key: str) -> Figures:
    """The figures of one subject, empty where there are none."""
    return next((each.figures for each in instrument.subjects if each.key == key), Figures())


def room_mm(instrument: Published, shop: PublishedShop) -> float:
    """About how much of a page head and foot of a card leave."""
    address = page_address(instrument.address, shop)
    code_mm = max(_CODE_MM, page_code(address).least_mm) if address else 0.0
    head_wide = CARD_MM - (code_mm + _GAP_MM if address else 0.0) - _mark_mm(shop)
    finished = f", finished {day_in_words(instrument.finished)}" if instrument.finished else ""
    head_mm = (
        height_mm(f"{shop.name}, {shop.place}" if shop.place else shop.name, 11, head_wide)
        + _NAME_MM
        + height_mm(f"{instrument.name or ''}, {instrument.kind}, number {instrument.serial}", 12.5, head_wide)
        + height_mm(f"Made by {instrument.made_by}{finished}", 10, head_wide)
    )
    contact = ", ".join(filter(None, (shop.maker, shop.email, shop.telephone)))
    foot_mm = height_mm(contact, 9.5, CARD_MM, _LINE_HEIGHT)
    foot_mm += height_mm(f"More stands on its page: {address}" if address else "", 9.5, CARD_MM, _LINE_HEIGHT)
    return PAGE_MM - max(head_mm, code_mm) - _HEAD_GAPS_MM - foot_mm - _FOOT_GAPS_MM


def _mark_mm(shop: PublishedShop) -> float:
    """How much of the width of a head the shop's mark takes, with the white beside it."""
    mark = shop.mark
    return min(_WIDEST_MARK_MM, _MARK_MM * mark.width_px / mark.height_px) + _GAP_MM if mark else 0.0


def _on_paper(text: str) -> Markup:
    """The shop's Markdown for paper: its headings below the card's own, no links."""
    return Markup(nh3.clean(str(prose(_HEADING.sub("###", text))), tags=_TAGS))


def _care_step(text: str, seasons: list[Figure], room: float) -> str:
    """The largest type in which the words fill no more than a page."""
    letters = len(text)
    if letters <= MOST_CARE_LETTERS:
        for step, points in _CARE_STEPS:
            if _care_mm(text, seasons, points) <= room:
                return step
    raise CannotBePrinted(
        f"pages/care.md: {letters} letters are too many for a care card of one page",
        f"keep it to {MOST_CARE_LETTERS} letters and fewer paragraphs, or give the card a shorter text of its own",
    )


def _care_mm(text: str, seasons: list[Figure], points: float) -> float:
    """About how high the words stand in two columns, with the table of the woods below."""
    em_mm = points * MM_PER_POINT
    blocks = [" ".join(block.split()) for block in _NEW_BLOCK.split(text.strip()) if block.strip()]
    words_mm = sum(
        0.5 * em_mm + height_mm(block, points, _COLUMN_MM - _indent_mm(block), _LINE_HEIGHT) for block in blocks
    )
    headings_mm = sum(0.7 * em_mm for block in blocks if block.startswith("#"))
    table_mm = sum(1.2 + height_mm(f"{fact.said} {fact.also}", 10, 120.0) for fact in seasons)
    # A column may end with a line or two left white, before a heading or a paragraph that is not torn.
    return (words_mm + headings_mm) / 2 + 3.0 * _LINE_HEIGHT * em_mm + 4.0 + (table_mm + 12.0 if seasons else 0.0)


def _indent_mm(block: str) -> float:
    """How far a point of a list is set in."""
    return 5.0 if re.match(r"[-*+]|\d+\.", block) else 0.0
