"""The quote that goes to a buyer, and the order that both sign: what it is to be, what it costs, when it is paid."""

from __future__ import annotations

from builder.published import Published, PublishedShop
from builder.published.order import PublishedOrder
from builder.sheets.inlined import card_faces, style_sheet
from builder.sheets.paper import CannotBePrinted
from builder.sheets.particulars import Said, specification_of, strings_in_words, tunings_in_words
from builder.templates import render

#: What only the bench needs of a specification.
_FOR_THE_BENCH = {"Slots", "Fit", "Fret wire", "String spread"}


def order_sheet_html(instrument: Published, order: PublishedOrder, shop: PublishedShop, *, is_quote: bool) -> str:
    """A quote, or an order to sign, as a page of its own; long ones run on to a second.

    Raises CannotBePrinted where no price is known, and for a quote of what is ordered already.
    """
    if order.price is None:
        hint = "write base_prices and currency: into records/private.yaml, or order.price into its private file"
        raise CannotBePrinted("no price is known for this instrument", hint)
    if is_quote and order.ordered:
        raise CannotBePrinted("it is ordered already", "print the order instead")
    return str(
        render(
            "sheets/order.html",
            instrument=instrument,
            order=order,
            price=order.price,
            shop=shop,
            is_quote=is_quote,
            specification=_specification(instrument),
            faces=card_faces(),
            style=style_sheet("cards.css"),
        )
    )


def _specification(instrument: Published) -> list[Said]:
    """What a buyer agrees to, without what only the bench needs."""
    said = [each for each in specification_of(instrument) if each.label not in _FOR_THE_BENCH]
    strings = "; ".join(each.text for each in strings_in_words(instrument))
    tunings = tunings_in_words(instrument)
    said += [Said("Strings", strings)] if strings else []
    return [*said, *([Said("Tuned", tunings)] if tunings else [])]
