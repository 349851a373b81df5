"""What the workshop sees of repairs: for the shop edition and the ticket alone, since they name their owners."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published.order import PublishedMoney


@dataclass(frozen=True, slots=True)
class PublishedRepairWork:
    """What was done on a day (ISO), the hours in words, and what the parts cost."""

    date: str
    did: str
    hours: str | None
    parts: PublishedMoney | None


@dataclass(frozen=True, slots=True)
class PublishedRepair:
    """One repair. Days are ISO dates; `to_give_back` stands instead of a balance below zero."""

    ticket: str
    kind: str
    maker: str | None
    number: str | None
    owner: str | None
    address: str | None
    reached_at: tuple[str, ...]
    taken_in: str
    promised: str | None
    says: str | None
    found: str | None
    agreed: str | None
    work: tuple[PublishedRepairWork, ...]
    hours: str | None
    parts: PublishedMoney | None
    price: PublishedMoney | None
    paid: PublishedMoney | None
    balance: PublishedMoney | None
    to_give_back: PublishedMoney | None
    handed_back: str | None


@dataclass(frozen=True, slots=True)
class PublishedService:
    """Work on an instrument of the shop's own since it was handed over."""

    serial: str
    title: str
    date: str
    did: str
