"""Names what the bench sheet prints of an order. It comes from the private file: for the workshop's paper alone."""

from __future__ import annotations

import re
from datetime import date

from builder.published.order import PublishedOrder
from builder.record import Dates, PrivateFile

#: What stands where a name was.
_LEFT_OUT = "the buyer"


def order_of(private: PrivateFile | None, dates: Dates, *, names: bool = True) -> PublishedOrder:
    """The order of one instrument, as far as its private file tells; without one, its dates.

    With `names=False` the buyer is left out, and the buyer's name is struck from the texts too, whole or in part, as
    far as it is spelled there as in `buyer.name`.
    """
    buyer = private.buyer.name if private else None
    asked_for = private.order.asked_for if private else None
    agreed = private.order.agreed if private else None
    if not names and buyer:
        asked_for, agreed = (_without(buyer, text) for text in (asked_for, agreed))
    return PublishedOrder(
        buyer=buyer if names else None,
        asked_for=asked_for,
        agreed=agreed,
        ordered=_day(dates.ordered),
        promised=_day(dates.promised),
    )


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _without(name: str, text: str | None) -> str | None:
    """A text without a name: the whole of it first, then any of its words that is written like a name."""
    if text is None:
        return None
    words = [word for word in re.findall(r"[^\W\d_]+", name) if len(word) > 2 and word[0].isupper()]
    for each in sorted({name, *words}, key=lambda part: (-len(part), part)):
        text = re.sub(rf"(?<!\w){re.escape(each)}(?!\w)", _LEFT_OUT, text, flags=re.IGNORECASE)
    return text
