"""What an order comes to: how far it is, what the instrument costs, what is paid and what is still to pay."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from builder.money import Currency, Money, share, total
from builder.problems import Finding, did_you_mean
from builder.record import Dates, PrivateFile, Record
from builder.record.order import Order
from builder.shop.private import ShopPrivate

OrderStage = Literal[
    "planned", "inquiry", "quote", "ordered", "for stock", "finished", "for sale", "delivered", "cancelled", "returned",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One line of a price: what, and how much."""

    words: str
    amount: Money


@dataclass(frozen=True, slots=True)
class OrderResults:
    """An order in figures. `price` is None where nobody wrote one; all others but `paid` then too.

    `lines` are those the price is put together from, where they come to it. `is_agreed` says whether the price was
    agreed, or follows the shop's list as it is today. `deposit_due` is what of the deposit has not come in. A
    `balance` below zero is to be given back. A quote holds until `holds_until`; `terms` stand below quote and order.
    """

    stage: OrderStage
    lines: tuple[PriceLine, ...] = ()
    price: Money | None = None
    is_agreed: bool = False
    deposit: Money | None = None
    deposit_due: Money | None = None
    paid: Money | None = None
    balance: Money | None = None
    holds_until: date | None = None
    terms: str | None = None
    findings: tuple[Finding, ...] = ()


def stage_of(dates: Dates, private: PrivateFile | None) -> OrderStage:
    """How far an instrument is, as its days and, where it was read, its private file say."""
    order = private.order if private else Order()
    if order.returned:
        return "returned"
    if dates.delivered:
        return "delivered"
    if order.cancelled:
        return "cancelled"
    if dates.finished:
        return "for sale" if order.for_stock else "finished"
    if order.for_stock:
        return "for stock"
    if dates.ordered:
        return "ordered"
    if order.quoted:
        return "quote"
    return "inquiry" if order.inquired or order.asked_for else "planned"


def work_out_order(record: Record, private: PrivateFile | None, shop: ShopPrivate | None) -> OrderResults:
    """The order of one instrument. Without private files only its stage is known."""
    stage = stage_of(record.dates, private)
    if private is None:
        return OrderResults(stage)
    order = private.order
    findings = [*_amounts_amiss(order, shop), *_days_amiss(order, record.dates)]
    currency = shop.currency if shop else None
    if currency is None or any(each.code == "does-not-fit" for each in findings):
        return OrderResults(stage, findings=tuple(findings))
    prices = shop or ShopPrivate("1")
    findings += _options_amiss(order, prices)
    lines = tuple(_lines(record, order, prices, currency))
    summed = total((line.amount for line in lines), currency) if lines else None
    price = order.price.in_shop(currency) if order.price else summed
    if summed and price and summed.amount != price.amount:
        if _has_parts(order) and not record.dates.delivered:
            message = f"{price} is agreed, and its parts come to {summed}"
            hint = "write what is missing under extras: or discount:"
            findings.append(Finding("half-known", "order.price", message, hint, "hint"))
        lines = ()
    paid = total((payment.amount for payment in order.payments), currency)
    if price is None:
        return OrderResults(stage, lines, paid=paid, findings=tuple(findings))
    deposit = _deposit(order, prices, price)
    balance = Money(price.amount - paid.amount, currency)
    if order.cancelled or order.returned:
        deposit, balance = None, Money(-paid.amount, currency)
    if deposit is not None and not order.price and record.dates.ordered:
        message = "it is ordered, and its price follows the shop's list as long as none is agreed"
        findings.append(Finding("half-known", "order", message, f"write price: {price.amount}", "hint"))
    if balance.amount < 0 and not (order.cancelled or order.returned):
        message = f"{paid} is paid, and it costs {price}"
        findings.append(Finding("doubtful", "order.payments", message, "see which is right", "warning"))
    return OrderResults(
        stage,
        lines,
        price,
        order.price is not None,
        deposit,
        Money(max(deposit.amount - paid.amount, deposit.amount * 0), currency) if deposit else None,
        paid,
        balance,
        order.quoted + timedelta(hours=prices.quote_holds) if order.quoted and prices.quote_holds else None,
        prices.terms,
        tuple(findings),
    )


@dataclass(frozen=True, slots=True)
class OrdersTogether:
    """What several orders come to; what nobody has ordered, was called off or came back does not count."""

    prices: Money
    paid: Money
    balance: Money
    deposits_due: Money


_NO_SALE = ("planned", "inquiry", "quote", "for stock", "for sale", "cancelled", "returned")


def together(orders: Iterable[OrderResults]) -> OrdersTogether | None:
    """Several orders added up; None where none of them has a price."""
    counted = [each for each in orders if each.price is not None and each.stage not in _NO_SALE]
    if not counted:
        return None
    currency = counted[0].price.currency if counted[0].price else Currency("")

    def of(name: str) -> Money:
        return total((amount for each in counted if (amount := getattr(each, name))), currency)

    return OrdersTogether(of("price"), of("paid"), of("balance"), of("deposit_due"))


def _has_parts(order: Order) -> bool:
    """Whether the order itself says what its price is put together from."""
    return bool(order.base_price or order.options or order.extras or order.discount or order.delivery)


def _lines(record: Record, order: Order, shop: ShopPrivate, currency: Currency) -> Iterator[PriceLine]:
    """What the price is put together from, as the order and the shop's list have it."""
    names = (record.started_from or "", record.kind)
    by_list = [shop.base_prices[name] for name in names if name in shop.base_prices]
    base = order.base_price or next(iter(by_list), None)
    if base is None:
        return  # without a base the options alone would look like a price
    yield PriceLine(f"{record.kind[:1].upper()}{record.kind[1:]}", base.in_shop(currency))
    for name in order.options:
        if name in shop.options:
            yield PriceLine(f"{name[:1].upper()}{name[1:]}", shop.options[name].in_shop(currency))
    for extra in order.extras:
        yield PriceLine(extra.words, extra.price.in_shop(currency))
    if order.discount:
        yield PriceLine("Discount", Money(-abs(order.discount.amount), currency))
    if order.delivery:
        yield PriceLine("Delivery", order.delivery.in_shop(currency))


def _deposit(order: Order, shop: ShopPrivate, price: Money) -> Money | None:
    if order.deposit:
        return order.deposit.in_shop(price.currency)
    return share(price, shop.deposit) if shop.deposit is not None else None


def _amounts(order: Order) -> Iterator[tuple[str, Money]]:
    for name in ("base_price", "delivery", "discount", "price", "deposit"):
        if amount := getattr(order, name):
            yield f"order.{name}", amount
    for number, extra in enumerate(order.extras):
        yield f"order.extras[{number}].price", extra.price
    for number, payment in enumerate(order.payments):
        yield f"order.payments[{number}].amount", payment.amount


def _amounts_amiss(order: Order, shop: ShopPrivate | None) -> Iterator[Finding]:
    """Amounts that cannot be added up: the shop has no currency, or they are in another."""
    currency = shop.currency if shop else None
    for field, amount in _amounts(order):
        if currency is None:
            message = "this amount cannot be reckoned with: the shop has no currency yet"
            hint = "write currency: with its code into records/private.yaml"
            yield Finding("half-known", field, message, hint, "hint")
            return
        if amount.in_shop(currency).currency != currency:
            message = f"{amount} is not in the currency of the shop, {currency}"
            yield Finding("does-not-fit", field, message, "write what it came to in the shop's currency")


def _options_amiss(order: Order, shop: ShopPrivate) -> Iterator[Finding]:
    for number, name in enumerate(order.options):
        if name not in shop.options:
            hint = did_you_mean(name, sorted(shop.options)) or "add it to records/private.yaml, or to extras here"
            message = f"«{name}» is not among the options in records/private.yaml"
            yield Finding("not-in-shop", f"order.options[{number}]", message, hint)


def _days_amiss(order: Order, dates: Dates) -> Iterator[Finding]:
    def before(field: str, day: date | None, of: str, other: date | None) -> Iterator[Finding]:
        if day and other and day < other:
            message = f"{field} on {day}, before it was {of} on {other}"
            yield Finding("date-order", f"order.{field}", message, "one of the two days is wrong")

    yield from before("quoted", order.quoted, "asked for", order.inquired)
    yield from before("cancelled", order.cancelled, "ordered", dates.ordered)
    yield from before("returned", order.returned, "handed over", dates.delivered)
    if order.returned and not dates.delivered:
        message = "it came back, and was never handed over"
        yield Finding("date-order", "order.returned", message, "write dates.delivered, or cancelled: instead")


def shop_price_findings(shop: ShopPrivate) -> Iterator[Finding]:
    """What is wrong with the shop's own prices."""
    prices = [(f"base_prices.{name}", amount) for name, amount in shop.base_prices.items()]
    prices += [(f"options.{name}", amount) for name, amount in shop.options.items()]
    for field, amount in prices:
        if shop.currency is None:
            message = "there are prices here, and no currency"
            yield Finding("missing-key", field, message, "write currency: with its code, like GBP, EUR or USD")
            return
        if amount.in_shop(shop.currency).currency != shop.currency:
            message = f"{amount} is not in the currency of the shop, {shop.currency}"
            yield Finding("does-not-fit", field, message, "write every price in one currency")
