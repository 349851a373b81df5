"""Names what the bench sheet prints of an order. It comes from the private file: for the workshop's paper alone."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from builder.money import Money
from builder.published.order import PublishedMoney, PublishedOrder, PublishedOrders, PublishedPayment, PublishedPrice
from builder.record import Dates, PrivateFile
from builder.record.order import Order
from builder.results.order import OrderResults, stage_of, together
from builder.workshop import Instrument

#: What stands where a name was.
_LEFT_OUT = "the buyer"


def order_of(
    private: PrivateFile | None, dates: Dates, results: OrderResults | None = None, *, names: bool = True
) -> PublishedOrder:
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
        stage=stage_of(dates, private),
        address=private.buyer.address if private and names else None,
        reached_at=tuple(filter(None, (private.buyer.email, private.buyer.telephone))) if private and names else (),
        quoted=_day(private.order.quoted) if private else None,
        holds_until=_day(results.holds_until) if results else None,
        price=_price(private.order, results) if private and results else None,
        terms=results.terms if results else None,
    )


def orders_of(instruments: Iterable[Instrument]) -> PublishedOrders:
    """What the orders of a shop come to together."""
    summed = together(each.order for each in instruments)
    if summed is None:
        return PublishedOrders(None, None, None, None)
    due = _money(summed.deposits_due) if summed.deposits_due.amount else None
    return PublishedOrders(_money(summed.prices), _money(summed.paid), _money(summed.balance), due)


def _money(money: Money) -> PublishedMoney:
    return PublishedMoney(money.number, money.currency)


def _price(order: Order, results: OrderResults) -> PublishedPrice | None:
    price, balance, paid = results.price, results.balance, results.paid
    if price is None or balance is None or paid is None:
        return None
    due = results.deposit_due
    return PublishedPrice(
        lines=tuple((line.words, _money(line.amount)) for line in results.lines),
        whole=_money(price),
        is_agreed=results.is_agreed,
        deposit=_money(results.deposit) if results.deposit else None,
        deposit_due=_money(due) if due and due.amount else None,
        paid=_money(paid),
        balance=_money(balance) if balance.amount >= 0 else None,
        to_give_back=_money(Money(-balance.amount, balance.currency)) if balance.amount < 0 else None,
        payments=tuple(
            PublishedPayment(each.date.isoformat(), _money(each.amount.in_shop(price.currency)), each.words)
            for each in sorted(order.payments, key=lambda payment: payment.date)
        ),
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
