"""What the picture beside a link says: of an instrument, and of the shop."""

from __future__ import annotations

from builder import addresses
from builder.link_picture import HEIGHT_PX, WIDTH_PX, Words
from builder.pages.cards import chief_woods
from builder.published import Published, PublishedShop
from builder.published.beside import PublishedPhoto
from builder.seam import LinkPicture
from builder.words import in_a_row

_MOST_WOODS, _NO_BREAK = 2, "\u00a0"


def words_of_instrument(instrument: Published, shop: PublishedShop) -> Words:
    """The shop above, the instrument's name large (or its kind), and below it what it is and of which woods."""
    number = " · ".join((f"number {instrument.serial}", *([str(instrument.year)] if instrument.year else [])))
    what = [*([instrument.kind] if instrument.name else []), number.replace(" ", _NO_BREAK)]
    woods = in_a_row(chief_woods(instrument)[:_MOST_WOODS])
    title = instrument.name or f"{instrument.kind[:1].upper()}{instrument.kind[1:]}"
    return Words(shop.name, title, (" · ".join(what), *([f"in {woods}"] if woods else [])))


def words_of_shop(shop: PublishedShop) -> Words:
    """The shop's name large, and below it who builds there, and where."""
    return Words("", shop.name, (f"Fretted instruments by {shop.maker}", *([shop.place] if shop.place else [])))


def picture_of_instrument(
    instrument: Published, shop: PublishedShop, cover: PublishedPhoto | None = None
) -> LinkPicture:
    """The picture beside a link to an instrument's page, with its cover photograph if it has one."""
    shown = [_in_one_line(words_of_instrument(instrument, shop))]
    shown += ["its fretboard drawn to scale"] if instrument.drawing else []
    shown += [f"photograph: {cover.alt}"] if cover else []
    path = addresses.link_picture(instrument.address, with_photo=cover is not None)
    return LinkPicture(path, WIDTH_PX, HEIGHT_PX, "; ".join(shown))


def picture_of_shop(shop: PublishedShop) -> LinkPicture:
    """The picture beside a link to any other page."""
    return LinkPicture(addresses.LINK_PICTURE_OF_THE_SHOP, WIDTH_PX, HEIGHT_PX, _in_one_line(words_of_shop(shop)))


def _in_one_line(words: Words) -> str:
    return ", ".join(filter(None, (words.above, words.title, *words.lines))).replace(_NO_BREAK, " ")
