"""The shape of what a private file says of buyer and order: who, what was asked for, what it costs, what is paid."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from builder.limits import Words
from builder.money import Money
from builder.record.words import Line, NameInShop


@dataclass(frozen=True, slots=True)
class Buyer:
    """Who ordered the instrument, or whose it is that came in for repair. Never published."""

    name: Line | None = None
    address: Annotated[str, Words(400, lines=True)] | None = None
    email: Line | None = None
    telephone: Line | None = None


@dataclass(frozen=True, slots=True)
class Extra:
    """Something that no list of options has, and what it costs; with a minus, what it saves."""

    words: Line
    price: Money


@dataclass(frozen=True, slots=True)
class Payment:
    """Money that came in, and on which day; with a minus, what was given back."""

    date: date
    amount: Money
    words: Line | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """What was asked for and agreed, what it costs, and what is paid. Never published.

    The price is `price`, once it is agreed. Until then it is put together: `base_price` (or that of the shop's
    private file for its pattern or kind), `options` of that file, `extras`, `delivery`, less `discount`.
    """

    asked_for: Annotated[str, Words(4_000, lines=True)] | None = None
    agreed: Annotated[str, Words(4_000, lines=True)] | None = None
    inquired: date | None = None
    quoted: date | None = None
    base_price: Money | None = None
    options: tuple[NameInShop, ...] = ()
    extras: tuple[Extra, ...] = ()
    delivery: Money | None = None
    discount: Money | None = None
    price: Money | None = None
    deposit: Money | None = None
    payments: tuple[Payment, ...] = ()
    for_stock: bool = False
    cancelled: date | None = None
    returned: date | None = None
