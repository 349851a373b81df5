"""Orders: how far they are, what they cost, what is paid; the demo's reckoned again from its files alone."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from builder.pages.orders import orders_page
from builder.problems import in_words
from builder.publish import publish_shop
from builder.publish.bench import publish_bench
from builder.publish.order import order_of, orders_of
from builder.publish.papers import publish_papers
from builder.published.order import PublishedMoney
from builder.sheets.kinds import KINDS
from builder.sheets.paper import CannotBePrinted
from builder.workshop import Instrument, Workshop, open_shop
from tests.page_reading import body, rows, tree, words
from tests.shops import REPOSITORY

SHOP = """
format: 1
name: Sandpiper Workshop
maker: Ada Ferrow
units: inches
rules: [{name: bench rule, marks: 1/64 in}]
working_rule: bench rule
"""
PRICES = """
format: 1
currency: GBP
base_prices: {first: 900.00, lute: 1000.00}
options: {hard case: 140.00, rosette: 60.50}
deposit: 30 %
quote_holds: 30 days
terms: Paid when it is **handed over**.
"""


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(REPOSITORY, private_files=True)


def shop_with(folder: Path, private: str, record: str = "", prices: str | None = PRICES) -> Workshop:
    """A shop of one lute, D-1."""
    records = folder / "records"
    (records / "instruments" / "D-1").mkdir(parents=True)
    (records / "patterns").mkdir()
    (records / "shop.yaml").write_text(SHOP, "utf-8")
    (records / "patterns" / "first.yaml").write_text("format: 1\nname: First\nkind: lute\n", "utf-8")
    if prices:
        (records / "private.yaml").write_text(prices, "utf-8")
    (records / "instruments" / "D-1" / "record.yaml").write_text(
        f"format: 1\nserial: D-1\nkind: lute\n{record}", "utf-8"
    )
    (records / "instruments" / "D-1" / "private.yaml").write_text(f"format: 1\n{private}", "utf-8")
    return open_shop(folder, private_files=True)


def the_one(workshop: Workshop) -> Instrument:
    assert not workshop.has_errors, workshop.problems
    return workshop.instruments[0]


def in_coins(text: Any) -> int:
    return int(Fraction(str(text).replace(",", "")) * 100)


def test_the_demo_reckoned_from_its_files(demo: Workshop) -> None:
    """Prices, payments and balances again, by whole coins, straight from the YAML."""
    prices = paid_in = 0
    for instrument in demo.instruments:
        file = REPOSITORY / "records" / "instruments" / instrument.record.serial / "private.yaml"
        order = yaml.load(file.read_text("utf-8"), Loader=yaml.BaseLoader)["order"]
        results, paid = instrument.order, sum(in_coins(payment["amount"]) for payment in order.get("payments", ()))
        assert results.paid is not None
        assert results.paid.amount * 100 == paid
        if "price" not in order:
            assert results.stage == "for stock"
            continue
        assert results.price is not None
        assert results.balance is not None
        is_sold = not {"cancelled", "returned"} & set(order)
        assert results.price.amount * 100 == in_coins(order["price"])
        assert results.balance.amount * 100 == in_coins(order["price"]) * is_sold - paid
        prices, paid_in = prices + in_coins(order["price"]) * is_sold, paid_in + paid * is_sold
    together = orders_of(demo.instruments)
    assert demo.instruments[0].order.stage == "returned"
    # What is for stock has a price by the list, which no order has made anybody's debt.
    assert together.prices == PublishedMoney(f"{prices / 100:,.2f}", "EUR")
    assert together.paid == PublishedMoney(f"{paid_in / 100:,.2f}", "EUR")
    assert together.balance == PublishedMoney(f"{(prices - paid_in) / 100:,.2f}", "EUR")


def test_a_price_is_put_together_from_base_options_extras_delivery_and_discount(tmp_path: Path) -> None:
    order = """
order:
  options: [hard case, rosette]
  extras: [{words: Heron inlaid, price: 85.25}, {words: No purfling, price: -20.00}]
  delivery: 35.00
  discount: 50.75
  quoted: 2026-01-10
"""
    results = the_one(shop_with(tmp_path, order)).order
    assert results.stage == "quote"
    assert [(line.words, str(line.amount.amount)) for line in results.lines] == [
        ("Lute", "1000.00"), ("Hard case", "140.00"), ("Rosette", "60.50"), ("Heron inlaid", "85.25"),
        ("No purfling", "-20.00"), ("Discount", "-50.75"), ("Delivery", "35.00"),
    ]  # fmt: skip
    assert str(results.price) == "1,250.00\u00a0GBP"
    assert str(results.deposit) == "375.00\u00a0GBP"
    assert not results.is_agreed
    assert results.holds_until is not None
    assert results.holds_until.isoformat() == "2026-02-09"


def test_the_price_of_a_pattern_comes_before_that_of_a_kind(tmp_path: Path) -> None:
    results = the_one(shop_with(tmp_path, "order: {inquired: 2026-01-01}", "started_from: first\n")).order
    assert str(results.price) == "900.00\u00a0GBP"


@pytest.mark.parametrize(
    ("record", "private", "stage"),
    [
        ("", "notes: x", "planned"),
        ("", "order: {asked_for: a low one}", "inquiry"),
        ("", "order: {inquired: 2026-01-01}", "inquiry"),
        ("", "order: {quoted: 2026-01-01}", "quote"),
        ("dates: {ordered: 2026-01-02}", "order: {quoted: 2026-01-01}", "ordered"),
        ("", "order: {for_stock: yes}", "for stock"),
        ("dates: {finished: 2026-02-02}", "order: {for_stock: yes}", "for sale"),
        ("dates: {ordered: 2026-01-02, finished: 2026-02-02}", "notes: x", "finished"),
        ("dates: {finished: 2026-02-02, delivered: 2026-02-03}", "order: {for_stock: yes}", "delivered"),
        ("dates: {ordered: 2026-01-02}", "order: {cancelled: 2026-01-03}", "cancelled"),
        ("dates: {finished: 2026-02-02, delivered: 2026-02-03}", "order: {returned: 2026-03-03}", "returned"),
    ],
)
def test_how_far_it_is_follows_from_the_days(tmp_path: Path, record: str, private: str, stage: str) -> None:
    instrument = the_one(shop_with(tmp_path, private, f"{record}\n"))
    assert instrument.order.stage == stage


@pytest.mark.parametrize(
    ("record", "private", "said"),
    [
        (
            "", "order:\n  options: [hard cas]\n",
            "records/instruments/D-1/private.yaml:3:13: «hard cas» is not among the options in records/private.yaml; "
            "did you mean «hard case»? [not-in-shop]",
        ),
        (
            "", "order:\n  price: 900 EUR\n",
            "records/instruments/D-1/private.yaml:3:10: 900.00\u00a0EUR is not in the currency of the shop, GBP; "
            "write what it came to in the shop's currency [does-not-fit]",
        ),
        (
            "", "order:\n  price: 100\n  payments: [{date: 2026-01-01, amount: 200}]\n",
            "records/instruments/D-1/private.yaml:4:13: warning: 200.00\u00a0GBP is paid, and it costs "
            "100.00\u00a0GBP; see which is right [doubtful]",
        ),
        (
            "", "order: {inquired: 2026-01-02, quoted: 2026-01-01}\n",
            "records/instruments/D-1/private.yaml:2:39: quoted on 2026-01-01, before it was asked for on 2026-01-02; "
            "one of the two days is wrong [date-order]",
        ),
        (
            "", "order: {returned: 2026-01-02}\n",
            "records/instruments/D-1/private.yaml:2:19: it came back, and was never handed over; "
            "write dates.delivered, or cancelled: instead [date-order]",
        ),
        (
            "dates: {ordered: 2026-01-02}\n", "order: {options: [hard case]}\n",
            "records/instruments/D-1/private.yaml:2:8: hint: it is ordered, and its price follows the shop's list as "
            "long as none is agreed; write price: 1140.00 [half-known]",
        ),
    ],
)  # fmt: skip
def test_what_is_amiss_is_said_where_it_stands(tmp_path: Path, record: str, private: str, said: str) -> None:
    problems = [in_words(problem).split("\n")[0] for problem in shop_with(tmp_path, private, record).problems]
    assert problems == [said]


def test_prices_without_a_currency_are_refused(tmp_path: Path) -> None:
    workshop = shop_with(tmp_path, "notes: x", prices="format: 1\nbase_prices: {lute: 900.00}\n")
    assert [in_words(problem).split("\n")[0] for problem in workshop.problems] == [
        "records/private.yaml:2:15: there are prices here, and no currency; "
        "write currency: with its code, like GBP, EUR or USD [missing-key]"
    ]


def test_an_order_called_off_costs_nothing_and_what_was_paid_goes_back(tmp_path: Path) -> None:
    private = "order: {price: 900, cancelled: 2026-02-01, payments: [{date: 2026-01-05, amount: 300}]}"
    order = order_of_the(the_one(shop_with(tmp_path, private)))
    assert order.price is not None
    assert order.price.to_give_back == PublishedMoney("300.00", "GBP")
    assert order.price.balance is None


def order_of_the(instrument: Instrument) -> Any:
    return order_of(instrument.private, instrument.record.dates, instrument.order)


def test_the_page_of_orders_has_a_line_an_instrument_and_a_sum(demo: Workshop) -> None:
    assert demo.shop is not None
    pairs = [(publish_bench(each, demo.shop), order_of_the(each)) for each in demo.instruments]
    page = orders_page(pairs, orders_of(demo.instruments), publish_shop(demo.shop))
    head, *lines, foot = rows(tree(body(page)))
    assert [line[0] for line in lines] == sorted((each.record.serial for each in demo.instruments), reverse=True)
    assert head[-3:] == ["Price EUR", "Paid", "Balance"]
    sold = [line for line in lines if line[3] not in ("for stock", "cancelled", "returned")]
    coins = [[in_coins(cell) for cell in line[-3:]] for line in sold]
    assert [in_coins(cell) for cell in foot[-3:]] == [sum(column) for column in zip(*coins, strict=True)]


def sheet(workshop: Workshop, kind: str) -> str:
    assert workshop.shop is not None
    papers = publish_papers(the_one(workshop), workshop.shop)
    return KINDS[kind].make(papers, "a4").decode()


def test_a_quote_says_how_long_it_holds_and_an_order_what_is_still_to_pay(tmp_path: Path) -> None:
    private = "buyer: {name: Ned Pell}\norder: {options: [hard case], quoted: 2026-01-10}\n"
    quote = tree(sheet(shop_with(tmp_path / "quote", private), "quote"))
    for said in ("holds until 9 February 2026", "Ned Pell", "Paid when it is handed over."):
        assert said in words(quote)
    assert rows(quote)[-2:] == [["Together", "1,140.00 GBP"], ["Of it before work begins", "342.00 GBP"]]
    agreed = "order: {price: 1000, payments: [{date: 2026-02-01, amount: 300, words: deposit}]}\n"
    workshop = shop_with(tmp_path / "order", agreed, "dates: {ordered: 2026-01-30}\n")
    order = tree(sheet(workshop, "order"))
    assert rows(order)[-2:] == [["deposit, 1 February 2026", "300.00 GBP"], ["Still to pay", "700.00 GBP"]]
    with pytest.raises(CannotBePrinted, match="it is ordered already"):
        sheet(workshop, "quote")


def test_without_a_price_nothing_can_be_signed(tmp_path: Path) -> None:
    with pytest.raises(CannotBePrinted, match="no price is known"):
        sheet(shop_with(tmp_path, "notes: x", prices=None), "order")
