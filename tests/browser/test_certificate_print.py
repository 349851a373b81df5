"""A certificate on paper: one sheet of A4 and of US Letter, nothing clipped, its own typefaces in the file."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from builder.certificates.fingerprint import fingerprint_of, snapshot_of
from builder.published import Published, PublishedShop
from builder.sheets.certificate import certificate_html
from tests.browser.printing import PAPERS, assert_of_size, embedded_fonts, shown
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

VERY_MANY_WORDS = replace(USUAL, woods=USUAL.woods * 9, hardware=USUAL.hardware * 9)
EVERY_KIND = [
    pytest.param(USUAL, SHOP, id="usual"),
    pytest.param(FANNED, SHOP, id="two scale lengths"),
    pytest.param(NEARLY_EMPTY, BARE_SHOP, id="nearly empty"),
    pytest.param(replace(USUAL, woods=(), hardware=(), strings=None), SHOP, id="few words"),
    pytest.param(replace(USUAL, woods=USUAL.woods * 2, hardware=USUAL.hardware * 3), SHOP, id="many words"),
    pytest.param(
        replace(USUAL, woods=USUAL.woods * 9, hardware=USUAL.hardware * 9), SHOP_WITH_TALL_MARK, id="very many words"
    ),
    pytest.param(longest(RUNNING), longest_shop(RUNNING), id="longest"),
    pytest.param(longest(WIDE_WORDS), longest_shop(WIDE_WORDS), id="longest in capitals"),
    pytest.param(longest(WIDE), longest_shop(WIDE), id="longest and widest"),
    pytest.param(longest(IDEOGRAPHS), longest_shop(IDEOGRAPHS), id="longest without spaces"),
    pytest.param(longest(RUNNING), SHOP, id="long instrument of a usual shop"),
]
#: Those that are printed as drafts too, without a rosette.
DRAFTS = [EVERY_KIND[0], EVERY_KIND[2], EVERY_KIND[6], EVERY_KIND[8]]

#: What overlaps or sticks out: the parts of the sheet in their order, and every text beyond the border.
CLIPPED = """() => {
  const sheet = document.querySelector(".sheet"), inside = document.querySelector(".inside");
  const box = inside.getBoundingClientRect(), wrong = [];
  if (sheet.scrollHeight > sheet.clientHeight) wrong.push("the sheet is higher than the paper");
  if (sheet.scrollWidth > sheet.clientWidth) wrong.push("the sheet is wider than the paper");
  if (inside.scrollHeight > inside.clientHeight + 1) wrong.push("the text is higher than the border");
  for (const part of inside.querySelectorAll("p, h1, h2, dl > div, svg")) {
    const own = part.getBoundingClientRect();
    if (own.left < box.left - 1 || own.right > box.right + 1 || own.top < box.top - 1 || own.bottom > box.bottom + 1)
      wrong.push(`${part.tagName} ${part.className} sticks out`);
  }
  const parts = [...inside.children].map((part) => part.getBoundingClientRect());
  parts.slice(1).forEach((part, n) => { if (part.top < parts[n].bottom - 1) wrong.push(`part ${n + 1} overlaps`); });
  return wrong;
}"""


@pytest.mark.parametrize(("instrument", "shop"), EVERY_KIND)
def test_it_is_one_sheet_on_both_papers(page: Page, tmp_path: Path, instrument: Published, shop: PublishedShop) -> None:
    fingerprint, number = fingerprint_of(snapshot_of(instrument)), f"C-{instrument.serial}"
    issued = certificate_html(instrument, shop, fingerprint=fingerprint, number=number, issued="2026-09-30")
    assert_one_sheet(page, tmp_path, issued)


@pytest.mark.parametrize(("instrument", "shop"), DRAFTS)
def test_a_draft_is_one_sheet_too(page: Page, tmp_path: Path, instrument: Published, shop: PublishedShop) -> None:
    assert_one_sheet(page, tmp_path, certificate_html(instrument, shop))


def assert_one_sheet(page: Page, tmp_path: Path, certificate: str) -> None:
    shown(page, tmp_path, certificate)
    assert page.evaluate(CLIPPED) == []
    page.emulate_media(media="print")
    assert page.evaluate(CLIPPED) == []
    for paper in PAPERS:
        pdf = PdfReader(io.BytesIO(page.pdf(format=paper, prefer_css_page_size=False)))
        assert len(pdf.pages) == 1, paper
        assert_of_size(pdf.pages[0], paper)


def test_its_typefaces_are_in_the_file(page: Page, tmp_path: Path) -> None:
    shown(page, tmp_path, certificate_html(USUAL, SHOP))
    pdf = PdfReader(io.BytesIO(page.pdf(format="A4")))
    names = embedded_fonts(pdf)
    assert any("Vollkorn" in name for name in names), names
    assert any("SourceSans3" in name for name in names), names


def test_it_asks_the_network_for_nothing(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "certificate.html"
    file.write_text(certificate_html(USUAL, SHOP), encoding="utf-8")
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    page.evaluate("() => document.fonts.ready")
    page.close()
    assert [address for address in asked if not address.startswith(("file:", "data:"))] == []
