"""The shape of the shop's own private file: what concerns the whole workshop and nobody else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from builder.limits import Between, Hours, Percent, Words, no_entries
from builder.money import Currency, Money
from builder.record.words import Format, Part


@dataclass(frozen=True, slots=True)
class ShopPrivate:
    """What only the workshop may see of itself; it stands in `private.yaml` beside the shop file. Never published.

    `base_prices` are by pattern or by kind of instrument, `options` by name; `deposit` is its share of a price.
    """

    format: Format
    currency: Currency | None = None
    base_prices: Mapping[Part, Money] = field(default_factory=no_entries)
    options: Mapping[Part, Money] = field(default_factory=no_entries)
    deposit: Annotated[Percent, Between("0 %", "100 %")] | None = None
    quote_holds: Annotated[Hours, Between("1 day", "365 days")] | None = None
    terms: Annotated[str, Words(2_000, lines=True)] | None = None
    notes: Annotated[str, Words(10_000, lines=True)] | None = None
