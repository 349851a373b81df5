"""Amounts of money: read as written, exact, added up as a cash book does."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.lengths import NotUnderstood
from builder.money import Currency, Money, decimals_of, read_currency, read_money, share, total

GBP = Currency("GBP")


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("1150", "1150", ""),
        ("1150.00", "1150", ""),
        ("1,150.00", "1150", ""),
        ("12,345,678.90 EUR", "12345678.90", "EUR"),
        ("EUR 85.5", "85.5", "EUR"),
        ("85.50EUR", "85.50", "EUR"),
        ("-40", "-40", ""),
        ("−40.25 USD", "-40.25", "USD"),
        ("0.005 KWD", "0.005", "KWD"),
    ],
)
def test_an_amount_is_read_as_it_is_written(text: str, amount: str, currency: str) -> None:
    assert read_money(text) == Money(Decimal(amount), Currency(currency))


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("1150,50", "«1150,50» has a comma for its decimals", "write a point: 1150.50"),
        ("£1150", "«£1150» has a sign that several currencies share", "write it like 1150.00 or 1150.00 GBP"),
        ("about 90", "«about 90» is not an amount of money", "write it like 1150.00 or 1150.00 GBP"),
        ("1_150", "«1_150» is not an amount of money", "write it like 1150.00 or 1150.00 GBP"),
        ("1e3", "«1e3» is not an amount of money", "write it like 1150.00 or 1150.00 GBP"),
        ("٣", "«٣» is not an amount of money", "write it like 1150.00 or 1150.00 GBP"),
        ("1,15.00", "«1,15.00» is not an amount of money", "write it like 1150.00 or 1150.00 GBP"),
        ("EUR 5 EUR", "«EUR 5 EUR» is not an amount of money", "write it like 1150.00 or 1150.00 GBP"),
        ("0.005 EUR", "«0.005 EUR» is smaller than any coin of EUR", "round it to whole coins"),
    ],
)
def test_what_is_no_amount_is_refused_with_a_word(text: str, message: str, hint: str) -> None:
    with pytest.raises(NotUnderstood) as caught:
        read_money(text)
    assert (caught.value.message, caught.value.hint) == (message, hint)


def test_a_currency_is_three_capitals() -> None:
    assert read_currency("GBP") == "GBP"
    with pytest.raises(NotUnderstood):
        read_currency("pounds")


def test_an_amount_is_printed_to_the_coin() -> None:
    assert str(Money(Decimal("1150"), GBP)) == "1,150.00\u00a0GBP"
    assert str(Money(Decimal("-0.5"), GBP)) == "−0.50\u00a0GBP"
    assert Money(Decimal("85000"), Currency("JPY")).number == "85,000"
    assert Money(Decimal("1.234")).number == "1.234"


amounts = st.integers(-(10**9), 10**9).map(lambda coins: Money(Decimal(coins) / 100, GBP))


@given(st.lists(amounts, max_size=30))
def test_a_sum_is_exact(several: list[Money]) -> None:
    """Against whole numbers of coins, which nothing can round."""
    coins = sum(int(each.amount * 100) for each in several)
    assert total(several, GBP).amount * 100 == coins


@given(st.integers(0, 10**9), st.integers(0, 10_000))
def test_a_share_is_the_nearest_coin_halves_up(coins: int, hundredths_of_a_percent: int) -> None:
    """Against fractions: ⌊x + ½⌋ in whole coins."""
    exact = Fraction(coins) * Fraction(hundredths_of_a_percent, 10_000)
    part = share(Money(Decimal(coins) / 100, GBP), hundredths_of_a_percent / 100)
    assert int(part.amount * 100) == int(exact + Fraction(1, 2))


@given(amounts)
def test_what_is_printed_is_read_as_the_same(money: Money) -> None:
    assert read_money(str(money).replace("\u00a0", " ")) == money


def test_amounts_of_two_currencies_are_never_added() -> None:
    with pytest.raises(ValueError, match="is not in GBP"):
        total([Money(Decimal(1), Currency("EUR"))], GBP)


def test_coins_of_the_common_currencies() -> None:
    """ISO 4217, minor units, from memory: a hundredth, none, a thousandth."""
    assert [decimals_of(code) for code in ("EUR", "JPY", "KWD")] == [2, 0, 3]
