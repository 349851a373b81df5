"""The wood rack: what was cut from a board, what is left, whose sister an instrument is, and which papers lack."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.addresses import instrument_page
from builder.beside import prepare
from builder.calculations.billets import balance_of
from builder.calculations.cutting import Allowances, Piece
from builder.pages.rack import rack_page
from builder.problems import in_words
from builder.publish import publish_shop
from builder.publish.rack import publish_rack
from builder.site import site_of
from builder.workshop import Workshop, open_shop
from tests.page_reading import body, part, tree, words
from tests.shops import REPOSITORY

SHOP = """
format: 1
name: Sandpiper Workshop
maker: Ada Ferrow
units: inches
rules: [{name: bench rule, marks: 1/64 in}]
working_rule: bench rule
allowances: {length: 1 in, width: 1/2 in, thickness: 1/8 in, kerf: 1/8 in}
"""
DATES = "dates: {finished: 2020-01-02, delivered: 2020-01-03}\n"
BACK = "spec: {wood: {back: {billet: W-1, length: 29 in, width: 7 1/2 in, finished: 1/8 in}}}\n"


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(REPOSITORY, private_files=True)


def shop_with(folder: Path, billet: str, **records: str) -> Workshop:
    """A shop with one billet, W-1, and these records by serial."""
    place = folder / "records"
    place.mkdir(parents=True)
    (place / "shop.yaml").write_text(SHOP, "utf-8")
    (place / "wood.yaml").write_text(f"format: 1\nbillets:\n  W-1: {billet}\n", "utf-8")
    for serial, text in records.items():
        (place / "instruments" / serial).mkdir(parents=True)
        record = f"format: 1\nserial: {serial}\nkind: lute\n{text}"
        (place / "instruments" / serial / "record.yaml").write_text(record, "utf-8")
    return open_shop(folder, private_files=True)


def test_a_balance_by_hand() -> None:
    """Two parts 10 × 4 × ½ from a board 24 × 6 × 1: blanks 11 × 4½ × ⅝, and a cut of ⅛ in each way."""
    inch = 25.4
    allowances = Allowances(inch, inch / 2, inch / 8, inch / 8, waste=0.5)
    balance = balance_of(24 * inch, 6 * inch, inch, 1, [Piece("side", 2, 10 * inch, 4 * inch, inch / 2)], allowances)
    assert balance.boards_mm3 / inch**3 == pytest.approx(144)
    assert balance.parts_mm3 / inch**3 == pytest.approx(40)
    assert balance.blanks_mm3 / inch**3 == pytest.approx(2 * 11.125 * 4.625 * 0.75)
    assert balance.left_share == pytest.approx(1 - 2 * 11.125 * 4.625 * 0.75 / 144)


def test_a_billet_knows_what_was_cut_from_it_and_what_is_left(tmp_path: Path) -> None:
    billet = "{species: red spruce, size: {length: 32 in, width: 9 in, thickness: 1 in}, pieces: 2}"
    spec = "spec: {wood: {back: {billet: W-1, length: 29 in, width: 7 1/2 in, finished: 1/8 in}, neck: {billet: W-1}}}"
    (rack,) = shop_with(tmp_path, billet, D1=spec).rack
    assert [(each.serial, each.part, each.blank is not None) for each in rack.cut] == [
        ("D1", "back", True), ("D1", "neck", False),
    ]  # fmt: skip
    left = 2 * 32 * 9 * 1 - 30.125 * 8.125 * 0.375
    assert rack.left_board_feet == pytest.approx(left / 144)
    assert rack.left_litres == pytest.approx(left * 25.4**3 / 1e6)


@pytest.mark.parametrize(
    ("size", "said"),
    [
        (
            "{length: 32 in, width: 9 in, thickness: 1/16 in}",
            "records/wood.yaml:3:3: the parts of D1 are 1.51 times the wood that this billet has; see which part came "
            "from another billet, or write pieces: if there are more boards of this size [impossible]",
        ),
        (
            "{length: 32 in, width: 9 in, thickness: 1/4 in}",
            "records/wood.yaml:3:3: warning: the blanks of D1 with their saw cuts are more than this billet has; they "
            "were sawn closer than the shop's allowances, or a part came from another billet [doubtful]",
        ),
        ("{length: 32 in, width: 9 in, thickness: 1 in}", None),
    ],
)
def test_more_cut_than_there_was_is_a_problem(tmp_path: Path, size: str, said: str | None) -> None:
    workshop = shop_with(tmp_path, f"{{species: red spruce, size: {size}}}", D1=BACK)
    of_the_rack = [in_words(each).split("\n")[0] for each in workshop.problems if each.file == "records/wood.yaml"]
    assert of_the_rack == ([said] if said else [])


def test_a_listed_wood_without_papers_is_told(tmp_path: Path) -> None:
    rosewood = "{species: Indian rosewood, botanical: Dalbergia latifolia"
    workshop = shop_with(tmp_path / "without", f"{rosewood}}}", D1=DATES)
    hints = [in_words(each).split("\n")[0] for each in workshop.problems]
    assert hints == [
        "records/wood.yaml:3:3: hint: Rosewoods (Dalbergia) may be listed, and no papers are on file; "
        "write what you have under papers:, and ask your authority [half-known]"
    ]
    assert shop_with(tmp_path / "with", f"{rosewood}, papers: bill of sale}}", D1=DATES).problems == ()


def test_sisters_are_shown_to_buyers_where_both_may_be_seen(tmp_path: Path) -> None:
    hidden = f"visibility: shop only\n{DATES}{BACK}"
    workshop = shop_with(
        tmp_path, "{species: red spruce}", D1=DATES + BACK, D2=f"name: Wren\n{DATES}{BACK}", D3=hidden, D4=BACK
    )
    pages = {page.path: page for page in site_of(prepare(workshop, "buyer"), "buyer").pages}
    woods = part(pages[instrument_page("D1")], "woods")
    assert words(woods).endswith("From the same board: Wren (back)")
    assert [link.get("href") for link in woods.iter("a")] == ["D2.html"]
    assert "From the same board: Lute D1 (back)" in words(part(pages[instrument_page("D2")], "woods"))
    in_the_shop = {page.path: page for page in site_of(prepare(workshop, "shop"), "shop").pages}
    assert words(part(in_the_shop[instrument_page("D1")], "woods")).endswith(
        "From the same boards: Wren (back), Lute D3 (back), Lute D4 (back)"
    )


def test_every_part_of_the_demo_from_a_billet_stands_on_the_page_of_the_rack(demo: Workshop) -> None:
    assert demo.shop is not None
    html = tree(body(rack_page(publish_rack(demo, demo.shop.unit), publish_shop(demo.shop))))
    billets = {each.get("id"): words(each) for each in html.iter("section")}
    used = 0
    for instrument in demo.instruments:
        for name, wood in instrument.record.spec.wood.items():
            if wood.billet:
                used += 1
                assert instrument.record.serial in billets[wood.billet]
                assert name in billets[wood.billet]
    assert used > 30
    assert "seller" not in body(rack_page((), publish_shop(demo.shop)))
