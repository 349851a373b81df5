"""Amounts of money as a workshop writes them: `1,150.00`, `1150 GBP`, `EUR 85.50`. Exact to the last coin.

A currency is named by its code (ISO 4217); an amount without one is in the currency of the shop. Nothing is ever
changed into another currency.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import NewType

from builder.lengths import NotUnderstood

#: A currency by its code.
Currency = NewType("Currency", str)

#: Currencies whose smallest coin is not the hundredth (ISO 4217, minor units; the list is from memory and not whole).
_DECIMALS = {
    **dict.fromkeys(("CLP", "ISK", "JPY", "KRW", "PYG", "UGX", "VND", "XAF", "XOF", "XPF"), 0),
    **dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3),
}

_CODE = re.compile(r"[A-Z]{3}", re.ASCII)
_AMOUNT = re.compile(
    r"(?P<before>[A-Z]{3} )?(?P<sign>[+−-]?)(?P<whole>\d{1,3}(?:,\d{3}){1,3}|\d{1,9})"
    r"(?:\.(?P<rest>\d{1,3}))?(?P<after> ?[A-Z]{3})?",
    re.ASCII,
)
_EXAMPLE = "write it like 1150.00 or 1150.00 GBP"
_NO_BREAK = "\u00a0"


@dataclass(frozen=True, slots=True)
class Money:
    """An amount, exact; `currency` is empty where none was written and the shop's is meant."""

    amount: Decimal
    currency: Currency = Currency("")

    def in_shop(self, currency: Currency) -> Money:
        """The same amount, in the shop's currency where none was written."""
        return self if self.currency else Money(self.amount, currency)

    @property
    def number(self) -> str:
        """`1,150.00`, with as many decimals as the currency has coins for."""
        decimals = max(decimals_of(self.currency), -self._exponent())
        return f"{self.amount:,.{decimals}f}".replace("-", "−")

    def __str__(self) -> str:
        """`1,150.00 GBP`."""
        return f"{self.number}{_NO_BREAK}{self.currency}" if self.currency else self.number

    def _exponent(self) -> int:
        exponent = self.amount.normalize().as_tuple().exponent
        return exponent if isinstance(exponent, int) else 0


def decimals_of(currency: str) -> int:
    """Into how many decimals a currency's coins divide it; two for one that is not listed."""
    return _DECIMALS.get(currency, 2)


def read_currency(text: str) -> Currency:
    """`GBP`: the code of a currency, three capitals."""
    if not _CODE.fullmatch(text.strip()):
        raise NotUnderstood(f"«{text}» is not the code of a currency", "write three capitals, like GBP, EUR or USD")
    return Currency(text.strip())


def read_money(text: str) -> Money:
    """`1,150.00`, `1150 GBP`, `EUR 85.50`. Raises NotUnderstood, and for a decimal comma a hint at the point."""
    found = _AMOUNT.fullmatch(text.strip())
    if not found or (found["before"] and found["after"]):
        if re.fullmatch(r"[A-Z]{0,3} ?\d{1,9},\d{1,2}(?: ?[A-Z]{3})?", text.strip(), re.ASCII):
            raise NotUnderstood(f"«{text}» has a comma for its decimals", f"write a point: {text.replace(',', '.')}")
        if re.search(r"[€$£¥]", text):
            raise NotUnderstood(f"«{text}» has a sign that several currencies share", _EXAMPLE)
        raise NotUnderstood(f"«{text}» is not an amount of money", _EXAMPLE)
    currency = Currency((found["before"] or found["after"] or "").strip())
    decimals = found["rest"] or ""
    if currency and len(decimals) > decimals_of(currency):
        raise NotUnderstood(f"«{text}» is smaller than any coin of {currency}", "round it to whole coins")
    amount = Decimal(f"{found['whole'].replace(',', '')}.{decimals or 0}")
    return Money(-amount if found["sign"] in ("-", "−") else amount, currency)


def total(amounts: Iterable[Money], currency: Currency) -> Money:
    """The sum of amounts of one currency. Raises ValueError for an amount of another."""
    summed = Decimal(0)
    for each in amounts:
        if each.in_shop(currency).currency != currency:
            raise ValueError(f"{each} is not in {currency}")
        summed += each.amount
    return Money(summed, currency)


def share(amount: Money, percent: float) -> Money:
    """So many hundredths of an amount, rounded to the nearest coin, halves up."""
    exact = amount.amount * Decimal(str(percent)) / 100
    coin = Decimal(1).scaleb(-decimals_of(amount.currency))
    return Money(exact.quantize(coin, rounding=ROUND_HALF_UP), amount.currency)
