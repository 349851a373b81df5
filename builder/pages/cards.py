"""One instrument in few words: what its card and its line in the table say."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType

from markupsafe import Markup

from builder import addresses
from builder.drawings.fretboard import fretboard_svg
from builder.pages.photographs import NO_COVERS, Photograph, photograph
from builder.published import Measure, Published, PublishedShop
from builder.published.beside import PublishedPhoto
from builder.seam import Section
from builder.templates import section
from builder.words import in_a_row

#: Parts named first where there is room for few: what is seen and heard most.
_PARTS_FIRST = ("soundboard", "back", "sides", "neck", "fretboard")
_MOST_WOODS = 3
#: Boards on cards are drawn to one scale; the card is as wide as the longest of them, and at least as this.
_LEAST_CARD_MM = 600.0
NO_MARKS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Card:
    """What a card says; `woods` and `frets` are empty where nothing is known, `square` where every fret is square.

    `mark` is a word beside the name, such as `unlisted` in the shop edition. `told` is what the page's script finds
    it by, where there is one.
    """

    address: str
    title: str
    mark: str
    cover: Photograph | None
    kind: str
    serial: str
    year: int | None
    scale: Measure | None
    square: str
    frets: str
    woods: str
    drawing: Markup | None
    drawing_length_mm: float
    told: str = ""


def card(instrument: Published, page: str, mark: str = "", cover: PublishedPhoto | None = None, told: str = "") -> Card:
    """The card of one instrument on a page, with its cover if it has one."""
    drawing = instrument.drawing
    return Card(
        address=addresses.instrument_page(instrument.address),
        title=instrument.title,
        mark=mark,
        cover=photograph(cover, instrument.address, page) if cover else None,
        kind=instrument.kind,
        serial=instrument.serial,
        year=instrument.year,
        scale=scale_of(instrument),
        square=square_in_words(instrument),
        frets=frets_in_words(instrument),
        woods=", ".join(chief_woods(instrument)[:_MOST_WOODS]),
        drawing=fretboard_svg(drawing, name=f"{instrument.serial}-card", labels=False) if drawing else None,
        drawing_length_mm=drawing.length_mm if drawing else 0.0,
        told=told,
    )


def scale_of(instrument: Published) -> Measure | None:
    """The scale length, or from the shorter to the longer where a board has two."""
    multi = instrument.multi_scale
    if multi is None:
        return instrument.scale_length
    short, long = sorted((multi.bass, multi.treble), key=lambda measure: measure.mm)
    return Measure(_from_to(short.said, long.said), _from_to(short.also, long.also), long.mm)


def _from_to(one: str, other: str) -> str:
    """`25 to 26 1/2 in`: the unit once, unless there are two in one length, as in feet and inches."""
    number, _, unit = one.rpartition(" ")
    plain = other.endswith(f" {unit}") and not re.search("[^0-9/. ]", number)
    return f"{number if plain else one} to {other}"


def square_in_words(instrument: Published) -> str:
    """`square at fret 7` where a board has two scale lengths, else nothing."""
    multi = instrument.multi_scale
    if multi is None:
        return ""
    return "square at the nut" if multi.square_at == "0" else f"square at fret {multi.square_at}"


def frets_in_words(instrument: Published) -> str:
    """`diatonic to 17, with 1½, 6½ and 13½` or `20, chromatic`."""
    frets = instrument.frets
    if frets is None:
        return ""
    if frets.layout != "diatonic":
        return f"{frets.count}, {'chromatic' if frets.layout == 'chromatic' else 'a layout of its own'}"
    return f"{frets.layout} to {frets.last}" + (f", with {in_a_row(frets.added)}" if frets.added else "")


def chief_woods(instrument: Published) -> tuple[str, ...]:
    """Its species, each once, those of the soundboard and the body first."""
    places = {part: place for place, part in enumerate(_PARTS_FIRST)}
    in_order = sorted(instrument.woods, key=lambda wood: places.get(wood.part, len(places)))
    return tuple(dict.fromkeys(wood.species for wood in in_order if wood.species))


def cards_section(
    id: str,
    title: str,
    instruments: Sequence[Published],
    page: str,
    marks: Mapping[str, str] = NO_MARKS,
    covers: Mapping[str, PublishedPhoto] = NO_COVERS,
    *,
    told: Mapping[str, str] = NO_MARKS,
    more: bool = False,
) -> Section:
    """A gallery of cards, or a kind word where there is none yet; `covers` are photographs by serial.

    `told` is what the script of the page finds each by. `more` adds a link to all instruments.
    """
    cards = tuple(
        card(each, page, marks.get(each.serial, ""), covers.get(each.serial), told.get(each.serial, ""))
        for each in instruments
    )
    longest_mm = max((each.drawing_length_mm for each in cards), default=0.0)
    return section(
        id, title, "pages/cards.html",
        cards=cards, longest_mm=max(longest_mm, _LEAST_CARD_MM), more=more, all_instruments=addresses.INSTRUMENTS,
        link=partial(addresses.from_page, page),
    )  # fmt: skip


def contact_section(shop: PublishedShop, page: str) -> tuple[Section, ...]:
    """How to reach the workshop, if it says so."""
    if not (shop.email or shop.telephone or shop.website):
        return ()
    return (
        section("reach-the-workshop", "Reach the workshop", "pages/contact.html",
                shop=shop, link=partial(addresses.from_page, page)),
    )  # fmt: skip
