"""Labels, cards and codes on paper: page counts, nothing clipped, typefaces embedded, codes read from the print."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Page
from pypdf import PdfReader

from builder.published import Measure, Published, PublishedShop
from builder.published.label import PublishedLabel
from builder.published.order import PublishedMoney
from builder.published.repair import PublishedRepair
from builder.sheets.cards import MOST_CARE_LETTERS, care_card_html
from builder.sheets.certificate import certificate_html
from builder.sheets.label import label_html
from builder.sheets.page_code import page_address
from builder.sheets.paper import CannotBePrinted, Paper
from builder.sheets.repair_ticket import repair_ticket_html
from builder.sheets.string_card import string_card_html
from tests.browser.printing import assert_of_size, embedded_fonts, shown
from tests.card_samples import RICH, with_every_figure, with_many_measures
from tests.certificate_samples import (
    BARE_SHOP,
    FANNED,
    IDEOGRAPHS,
    NEARLY_EMPTY,
    RUNNING,
    SHOP,
    SHOP_WITH_TALL_MARK,
    USUAL,
    WIDE,
    WIDE_WORDS,
    longest,
    longest_shop,
)

#: What the program calls a paper, and what the browser does.
PAPERS: dict[Paper, str] = {"a4": "A4", "letter": "Letter"}

EVERY_KIND = [
    pytest.param(RICH, SHOP, id="rich"),
    pytest.param(FANNED, SHOP, id="two scale lengths"),
    pytest.param(NEARLY_EMPTY, BARE_SHOP, id="nearly empty"),
    pytest.param(with_many_measures(USUAL), SHOP_WITH_TALL_MARK, id="many measures"),
    pytest.param(with_many_measures(longest(WIDE)), longest_shop(WIDE), id="many measures of the longest"),
    pytest.param(with_every_figure(longest(RUNNING)), longest_shop(RUNNING), id="longest"),
    pytest.param(with_every_figure(longest(WIDE_WORDS)), longest_shop(WIDE_WORDS), id="longest in capitals"),
    pytest.param(with_every_figure(longest(WIDE)), longest_shop(WIDE), id="longest and widest"),
    pytest.param(with_every_figure(longest(IDEOGRAPHS)), longest_shop(IDEOGRAPHS), id="longest without spaces"),
]

#: What sticks out of its label or lies on its code.
LABELS_CLIPPED = """() => {
  const wrong = [];
  for (const label of document.querySelectorAll(".label")) {
    const box = label.getBoundingClientRect(), edge = 2 * 96 / 25.4;
    const code = label.querySelector(".code")?.getBoundingClientRect();
    for (const line of label.querySelectorAll("p")) {
      const range = document.createRange();
      range.selectNodeContents(line);
      for (const own of range.getClientRects()) {
        if (own.left < box.left + edge || own.right > box.right - edge || own.top < box.top + edge - 1
            || own.bottom > box.bottom - edge + 1) wrong.push(`${line.className} sticks out`);
        if (code && own.left < code.right - 1 && own.right > code.left + 1 && own.top < code.bottom - 1
            && own.bottom > code.top + 1) wrong.push(`${line.className} lies on the code`);
      }
    }
    if (code && (code.left < box.left + edge - 1 || code.right > box.right - edge + 1 || code.top < box.top + edge - 1
                 || code.bottom > box.bottom - edge + 1)) wrong.push("the code sticks out");
  }
  return wrong;
}"""

#: What is wider than the card it stands on.
CARDS_CLIPPED = """() => {
  const card = document.querySelector(".card").getBoundingClientRect(), wrong = [];
  for (const part of document.querySelectorAll(".card *")) {
    const own = part.getBoundingClientRect();
    if (own.left < card.left - 1 || own.right > card.right + 1)
      wrong.push(`${part.tagName} ${part.className} sticks out`);
    if (part.scrollWidth > part.clientWidth + 1 && part.clientWidth) wrong.push(`${part.tagName} is too narrow`);
  }
  return wrong;
}"""


def opened(page: Page, folder: Path, html: str) -> Page:
    shown(page, folder, html)
    page.emulate_media(media="print")
    return page


def printed(page: Page, paper: Paper, *, own_size: bool) -> bytes:
    return page.pdf(format=PAPERS[paper], prefer_css_page_size=own_size)


def codes_in(pdf: bytes, folder: Path) -> list[list[str]]:
    """What an independent decoder reads from each page, drawn at 300 dpi."""
    if shutil.which("pdftoppm") is None:
        if os.environ.get("CI"):
            pytest.fail("there is no pdftoppm on this machine")
        pytest.skip("there is no pdftoppm on this machine; it draws what is printed")
    (folder / "sheet.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", "300", "-gray", "sheet.pdf", "page"], cwd=folder, check=True)
    pages = sorted(folder.glob("page*.pgm"))
    read = [sorted(each.text for each in zxingcpp.read_barcodes(np.asarray(Image.open(page)))) for page in pages]
    for page in pages:
        page.unlink()
    return read


def of_number(instrument: Published, serial: str) -> Published:
    return replace(instrument, serial=serial, address=serial)


def label(width_mm: float, height_mm: float, words: str | None) -> PublishedLabel:
    width, height = (Measure(f"{mm:g} mm", "", mm) for mm in (width_mm, height_mm))
    return PublishedLabel(width, height, "label.width", "label.height", words)


@pytest.mark.parametrize(
    ("instrument", "shop"),
    [
        pytest.param(USUAL, SHOP, id="usual"),
        pytest.param(longest(RUNNING), longest_shop(RUNNING), id="longest"),
    ],
)
@pytest.mark.parametrize("paper", PAPERS)
def test_the_code_of_a_certificate_is_read_from_its_print(
    page: Page, tmp_path: Path, instrument: Published, shop: PublishedShop, paper: Paper
) -> None:
    pdf = printed(opened(page, tmp_path, certificate_html(instrument, shop)), paper, own_size=False)
    assert codes_in(pdf, tmp_path) == [[page_address(instrument.serial, shop)]]


def test_a_certificate_without_a_site_address_says_its_number_and_fingerprint(page: Page, tmp_path: Path) -> None:
    html = certificate_html(USUAL, BARE_SHOP, fingerprint="4f2a 91c0 77de 03b8")
    opened(page, tmp_path, html)
    foot = page.locator("footer").inner_text()
    assert "Serial number 2026-014" in foot
    assert "Fingerprint 4f2a 91c0 77de 03b8" in foot
    assert page.locator("footer .code").count() == 0
    assert len(PdfReader(io.BytesIO(printed(page, "letter", own_size=False))).pages) == 1


@pytest.mark.parametrize("paper", PAPERS)
def test_every_code_on_a_sheet_of_labels_is_read_from_its_print(page: Page, tmp_path: Path, paper: Paper) -> None:
    labels = [
        (of_number(USUAL, "2026-101"), label(76.2, 50.8, "All wood, by hand")),
        (of_number(USUAL, "2026-102"), label(50.0, 35.0, None)),
        (of_number(NEARLY_EMPTY, "2026-103"), label(60.0, 40.0, None)),
        (of_number(USUAL, "2026-104"), label(40.0, 70.0, "All wood, by hand")),
    ]
    opened(page, tmp_path, label_html(labels, SHOP, paper))
    assert page.evaluate(LABELS_CLIPPED) == []
    pdf = printed(page, paper, own_size=True)
    expected = [f"https://example.org/instruments-of-ours/instruments/2026-{n}.html" for n in (101, 102, 103, 104)]
    assert codes_in(pdf, tmp_path) == [expected]


def test_the_smallest_label_that_is_let_through_is_still_read(page: Page, tmp_path: Path) -> None:
    """At 0.4 mm a module, and in the smallest type."""
    for height in range(25, 80):
        try:
            html = label_html([(USUAL, label(45.0, height, None))], SHOP, "a4")
        except CannotBePrinted:
            continue
        break
    opened(page, tmp_path, html)
    assert page.evaluate(LABELS_CLIPPED) == []
    (codes,) = codes_in(printed(page, "a4", own_size=True), tmp_path)
    assert len(codes) == page.locator(".label").count()
    assert set(codes) == {page_address(USUAL.serial, SHOP)}


@pytest.mark.parametrize(("instrument", "shop"), EVERY_KIND)
def test_labels_fit_whatever_they_say(page: Page, tmp_path: Path, instrument: Published, shop: PublishedShop) -> None:
    sizes = ((40.0, 75.0), (76.2, 50.8), (100.0, 70.0), (120.0, 120.0), (180.0, 240.0))
    tried = [label(width, height, words) for width, height in sizes for words in (None, "W" * 120)]
    fitting = [(instrument, each) for each in tried if can_be_printed(instrument, each, shop)]
    opened(page, tmp_path, label_html(fitting, shop, "letter"))
    assert page.locator(".label").count() >= len(fitting) > 0
    assert page.evaluate(LABELS_CLIPPED) == []
    opened(page, tmp_path, label_html(fitting[-1:], shop, "letter"))
    assert page.evaluate(LABELS_CLIPPED) == []
    pdf = PdfReader(io.BytesIO(printed(page, "letter", own_size=True)))
    assert len(pdf.pages) == 1
    assert any("Vollkorn" in name for name in embedded_fonts(pdf))


def can_be_printed(instrument: Published, on: PublishedLabel, shop: PublishedShop) -> bool:
    try:
        label_html([(instrument, on)], shop, "letter")
    except CannotBePrinted:
        return False
    return True


def test_labels_on_their_own_paper(page: Page, tmp_path: Path) -> None:
    many = [(of_number(USUAL, f"2026-{n:03}"), label(76.2, 50.8, None)) for n in range(1, 12)]
    for paper, size in PAPERS.items():
        opened(page, tmp_path, label_html(many, SHOP, paper))
        pdf = PdfReader(io.BytesIO(printed(page, paper, own_size=True)))
        assert len(pdf.pages) == 2
        for sheet in pdf.pages:
            assert_of_size(sheet, size)


CARDS: dict[str, Callable[[Published, PublishedShop], str]] = {
    "care": care_card_html,
    "strings": string_card_html,
    "repair": repair_ticket_html,
}


@pytest.mark.parametrize("card", CARDS)
@pytest.mark.parametrize(("instrument", "shop"), EVERY_KIND)
def test_cards_are_one_page_on_both_papers(
    page: Page, tmp_path: Path, card: str, instrument: Published, shop: PublishedShop
) -> None:
    opened(page, tmp_path, CARDS[card](instrument, shop))
    assert page.evaluate(CARDS_CLIPPED) == []
    for paper, size in PAPERS.items():
        pdf = PdfReader(io.BytesIO(printed(page, paper, own_size=False)))
        assert len(pdf.pages) == 1, paper
        assert_of_size(pdf.pages[0], size)
        assert any("SourceSans3" in name for name in embedded_fonts(pdf))


def test_the_blank_ticket_is_one_page(page: Page, tmp_path: Path) -> None:
    opened(page, tmp_path, repair_ticket_html(None, longest_shop(RUNNING)))
    assert page.evaluate(CARDS_CLIPPED) == []
    for paper in PAPERS:
        assert len(PdfReader(io.BytesIO(printed(page, paper, own_size=False))).pages) == 1


LONGEST_REPAIR = PublishedRepair(
    ticket="R-2026-1234567", kind="bass " * 12, maker="W" * 120, number="9" * 120, owner="Wilhelmina " * 10,
    address=None, reached_at=("w" * 120,), taken_in="2026-09-30", promised="2026-09-30", says="It buzzes. " * 14,
    found=None, agreed="WWWWW WWWWW " * 13, work=(), hours="1000 h", parts=None,
    price=PublishedMoney("999,999,999.00", "EUR"),
    paid=None, balance=None, to_give_back=None, handed_back="2026-09-30",
)  # fmt: skip


def test_a_ticket_filled_in_with_the_longest_words_is_one_page(page: Page, tmp_path: Path) -> None:
    opened(page, tmp_path, repair_ticket_html(None, longest_shop(RUNNING), LONGEST_REPAIR))
    for paper in PAPERS:
        assert len(PdfReader(io.BytesIO(printed(page, paper, own_size=False))).pages) == 1
    right = "document.querySelector('main').getBoundingClientRect().right + 1"
    blanks = "[...document.querySelectorAll('.blank')]"
    assert page.evaluate(f"{blanks}.length > 10 && {blanks}.every(e => e.getBoundingClientRect().right < {right})")


PARAGRAPH = "Keep the instrument in its case, away from heaters and out of the sun, and let it warm up slowly. "


@pytest.mark.parametrize(
    "unit",
    [
        pytest.param(PARAGRAPH * 4 + "\n\n", id="paragraphs"),
        pytest.param("## Air and strings\n\n" + PARAGRAPH + "\n\n", id="headings"),
        pytest.param(f"- {PARAGRAPH}\n- Mind the ends.\n", id="points"),
        pytest.param(f"1. {PARAGRAPH}\n\n", id="steps"),
        pytest.param("WIDE MAHOGANY " * 9 + "\n\n", id="capitals"),
        pytest.param("桐の木" * 12 + "\n\n", id="without spaces"),
        pytest.param("short\n\n", id="short lines"),
        pytest.param("> said " * 5 + "\n\n", id="quoted"),
    ],
)
def test_as_much_care_as_is_let_through_is_one_page(page: Page, tmp_path: Path, unit: str) -> None:
    shop = longest_shop(WIDE_WORDS)
    instrument = with_every_figure(longest(WIDE_WORDS))
    times = MOST_CARE_LETTERS // len(unit)
    while True:
        try:
            html = care_card_html(instrument, shop, unit * times)
            break
        except CannotBePrinted:
            times -= max(times // 12, 1)
    assert times > 2
    opened(page, tmp_path, html)
    assert page.evaluate(CARDS_CLIPPED) == []
    for paper in PAPERS:
        assert len(PdfReader(io.BytesIO(printed(page, paper, own_size=False))).pages) == 1, (paper, times)
