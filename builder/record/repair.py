"""The shape of a repair: an instrument of another maker's that came into the shop, or one of our own kept apart."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Annotated

from builder.limits import Between, Serial, Words, WorkedHours
from builder.money import Money
from builder.record.order import Buyer, Payment
from builder.record.words import Format, Line, Sentence


@dataclass(frozen=True, slots=True)
class RepairWork:
    """What was done on a day, how long it took, and what the parts cost that went into it."""

    date: date
    did: Sentence
    hours: Annotated[WorkedHours, Between("1 min", "1000 h")] | None = None
    parts: Money | None = None


@dataclass(frozen=True, slots=True)
class Repair:
    """An instrument taken in for repair, by the number of its ticket. It names its owner, and is never published.

    `number` is what its label says; `says` is the owner's word, `found` what is seen, `agreed` what is to be done.
    """

    format: Format
    ticket: Serial
    kind: Annotated[str, Words(60)]
    taken_in: date
    maker: Line | None = None
    number: Line | None = None
    owner: Buyer = field(default_factory=Buyer)
    promised: date | None = None
    says: Annotated[str, Words(160)] | None = None
    found: Sentence | None = None
    agreed: Annotated[str, Words(160)] | None = None
    work: tuple[RepairWork, ...] = ()
    price: Money | None = None
    payments: tuple[Payment, ...] = ()
    handed_back: date | None = None
