"""What was ordered, for the workshop's own paper: from the private file, and so in no page that a buyer sees."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PublishedMoney:
    """An amount as it is printed, and its currency."""

    number: str
    currency: str

    def __str__(self) -> str:
        return f"{self.number}\u00a0{self.currency}"


@dataclass(frozen=True, slots=True)
class PublishedPayment:
    """Money that came in, or with a minus was given back."""

    date: str
    amount: PublishedMoney
    words: str | None


@dataclass(frozen=True, slots=True)
class PublishedPrice:
    """What an instrument costs: the lines it is put together from, the whole, what is paid and what is not.

    `lines` are empty where they do not come to the price that was agreed. `is_agreed` says whether the whole was
    agreed, or follows the shop's list as it is; `to_give_back` stands instead of a balance below zero.
    """

    lines: tuple[tuple[str, PublishedMoney], ...]
    whole: PublishedMoney
    is_agreed: bool
    deposit: PublishedMoney | None
    deposit_due: PublishedMoney | None
    paid: PublishedMoney
    balance: PublishedMoney | None
    to_give_back: PublishedMoney | None
    payments: tuple[PublishedPayment, ...]


@dataclass(frozen=True, slots=True)
class PublishedOrders:
    """What all orders come to that were neither called off nor returned; None where no price is known."""

    prices: PublishedMoney | None
    paid: PublishedMoney | None
    balance: PublishedMoney | None
    deposits_due: PublishedMoney | None


@dataclass(frozen=True, slots=True)
class PublishedOrder:
    """The order as the workshop prints it. Days are ISO dates; buyer and address are None where names are left out.

    `quoted` and `holds_until` are the days of a quote; `terms` are the shop's, as Markdown.
    """

    buyer: str | None
    asked_for: str | None
    agreed: str | None
    ordered: str | None
    promised: str | None
    stage: str = "planned"
    address: str | None = None
    reached_at: tuple[str, ...] = ()
    quoted: str | None = None
    holds_until: str | None = None
    price: PublishedPrice | None = None
    terms: str | None = None

    @property
    def is_told(self) -> bool:
        """Whether the private file tells of it."""
        return bool(self.buyer or self.asked_for or self.agreed or self.price)

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to print of it."""
        return not (self.buyer or self.asked_for or self.agreed or self.ordered or self.promised)
