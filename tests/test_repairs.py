"""Repairs: what they come to, in which order they stand on their page, and what is filled in on a ticket."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
import yaml

from builder import addresses
from builder.pages.repairs import repairs_page
from builder.publish import publish_shop
from builder.publish.repairs import publish_repairs, publish_services
from builder.sheets.repair_ticket import repair_ticket_html
from builder.workshop import Workshop, open_shop
from tests.page_reading import body, tree
from tests.shops import REPOSITORY, boutbook
from tests.test_stopped_entries import errors, lay_down

REPAIRS = sorted((REPOSITORY / "records" / "repairs").glob("*.yaml"))

REPAIR = """\
format: 1
ticket: {ticket}
kind: lute {ticket}
taken_in: 2026-03-02
"""


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(REPOSITORY, private_files=True)


def with_repairs(folder: Path, **more: str) -> Path:
    """A shop with a repair for each ticket, with more lines."""
    shop = lay_down(folder)
    (shop / "records" / "private.yaml").write_text("format: 1\ncurrency: EUR\n", "utf-8")
    repairs = shop / "records" / "repairs"
    repairs.mkdir()
    for ticket, lines in more.items():
        (repairs / f"{ticket}.yaml").write_text(REPAIR.format(ticket=ticket) + lines, "utf-8")
    return shop


def texts(html: str) -> str:
    return " ".join("".join(tree(html).itertext()).split())


def test_hours_parts_and_what_is_still_to_pay_add_up(demo: Workshop) -> None:
    assert [each.repair.ticket for each in demo.repairs] == [path.stem for path in REPAIRS]
    for path, each in zip(REPAIRS, demo.repairs, strict=True):
        written = yaml.load(path.read_text("utf-8"), yaml.BaseLoader)
        assert each.parts
        assert each.balance
        assert each.parts.amount == sum(Decimal(work["parts"]) for work in written["work"] if "parts" in work)
        paid = sum(Decimal(payment["amount"]) for payment in written["payments"])
        assert each.balance.amount == Decimal(written["price"]) - paid
    assert [each.hours for each in demo.repairs] == [1.75, 3.0]


def test_what_is_promised_soonest_stands_first_and_what_went_home_last(tmp_path: Path) -> None:
    shop = with_repairs(
        tmp_path / "shop",
        A="",
        B="promised: 2026-05-01\n",
        C="promised: 2026-04-01\n",
        D="handed_back: 2026-03-09\n",
        E="handed_back: 2026-03-10\n",
    )
    assert errors(shop) == []
    repairs = publish_repairs(open_shop(shop, private_files=True).repairs)
    assert [each.ticket for each in repairs] == ["C", "B", "A", "E", "D"]


def test_without_private_files_there_is_no_repair() -> None:
    assert open_shop(REPOSITORY, private_files=False).repairs == ()


def test_the_page_tells_every_repair_and_every_service(demo: Workshop) -> None:
    assert demo.shop
    services = publish_services(demo.instruments)
    assert len(services) == sum(len(each.record.service) for each in demo.instruments) > 2
    assert [each.date for each in services] == sorted((each.date for each in services), reverse=True)
    page = repairs_page(publish_repairs(demo.repairs), services, publish_shop(demo.shop))
    assert page.path == addresses.REPAIRS
    assert not page.listed
    said = texts(body(page))
    for path in REPAIRS:
        written = yaml.load(path.read_text("utf-8"), yaml.BaseLoader)
        for word in (written["kind"], written["owner"]["name"], written["says"], written["work"][0]["did"]):
            assert word in said
    for each in services:
        assert each.did in said
    assert "180.00 EUR, 60.00 EUR paid, 120.00 EUR to pay" in said
    assert "95.00 EUR, 95.00 EUR paid, 0.00 EUR to pay" in said


def test_a_shop_without_repairs_says_so(demo: Workshop) -> None:
    assert demo.shop
    page = repairs_page((), (), publish_shop(demo.shop))
    assert texts(body(page)) == "No instrument is in the shop for repair."


def test_what_a_repair_tells_is_filled_in_on_its_ticket(demo: Workshop) -> None:
    assert demo.shop
    shop = publish_shop(demo.shop)
    repair = next(each for each in publish_repairs(demo.repairs) if each.ticket == "R-2026-07")
    filled, blank = tree(repair_ticket_html(None, shop, repair)), tree(repair_ticket_html(None, shop))
    said = {
        " ".join("".join(label.itertext()).split()): "".join(value.itertext())
        for each in filled.iter("div")
        for label, value in [(each.find("span"), each.find("b"))]
        if label is not None and value is not None
    }
    assert said == {
        "Ticket": "R-2026-07",
        "Taken in on": "12 October 2026",
        "Promised for": "11 December 2026",
        "Kind of instrument": "parlour guitar",
        "Maker, label, number": "No label; ladder braced, about 1910, 4471",
        "Owner": "Philippa Garth",
        "Telephone or address": "555-0162",
        "What the owner says": repair.says,
        "Work agreed": repair.agreed,
        "Hours": "3 h",
        "Price agreed": "180.00\u00a0EUR",
    }
    assert not [each for each in blank.iter("div") if each.find("b") is not None]


def test_the_ticket_is_written_by_its_number(tmp_path: Path) -> None:
    shop = with_repairs(tmp_path / "shop", A="says: It hums\n", B="prce: 3\n")
    boutbook("sheet", "A", "repair-ticket", folder=shop)
    assert "It hums" in (shop / "sheets" / "A-repair-ticket.html").read_text("utf-8")
    assert "did you mean «price»?" in boutbook("sheet", "B", "repair-ticket", folder=shop, code=1).stderr
    boutbook("sheet", "-", "repair-ticket", folder=shop)
    assert "lute" not in (shop / "sheets" / "blank-repair-ticket.html").read_text("utf-8")
    boutbook("sheet", "014", "repair-ticket", folder=shop)
    assert (shop / "sheets" / "2026-014-repair-ticket.html").is_file()
    assert "there is no instrument «A»" in boutbook("sheet", "A", "label", folder=shop, code=2).stderr


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        ("price: 3 USD\n", "3.00\u00a0USD is not in the currency of the shop, EUR"),
        ("work: [{date: 2026-03-04, did: x, parts: 3 USD}]\n", "3.00\u00a0USD is not in the currency of the shop, EUR"),
        ("handed_back: 2026-03-01\n", "handed back on 2026-03-01, before it was taken in on 2026-03-02"),
    ],
)
def test_what_does_not_agree_is_told(tmp_path: Path, lines: str, why: str) -> None:
    shop = with_repairs(tmp_path / "shop", A=lines)
    assert [each.message for each in errors(shop)] == [why]
    assert open_shop(shop, private_files=False).problems == ()


def test_more_paid_than_it_costs_is_to_give_back(tmp_path: Path) -> None:
    shop = with_repairs(tmp_path / "shop", A="price: 30\npayments: [{date: 2026-03-02, amount: 40.50}]\n")
    (repair,) = publish_repairs(open_shop(shop, private_files=True).repairs)
    assert (repair.balance, str(repair.to_give_back)) == (None, "10.50\u00a0EUR")
