"""Bench sheets on paper: one or two sheets of A4 and of US Letter, every word on them, large, its own typefaces."""

from __future__ import annotations

import io
import re
from collections import Counter
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from builder.publish import publish_shop
from builder.publish.batch import publish_batch
from builder.published.order import PublishedOrder
from builder.sheets.batch_sheet import batch_sheet_html
from builder.sheets.bench_sheet import bench_sheet_html
from tests.bench_samples import EMPTY_BENCH, SERIALS, SIX, demo_shop, instrument_of, sample
from tests.browser.printing import PAPERS, assert_of_size, embedded_fonts, shown
from tests.certificate_samples import BARE_SHOP, NEARLY_EMPTY, RUNNING, text_of

POINTS_PER_PIXEL = 0.75

#: Every text with its size in pixels, and every element whose text is wider than its room.
SIZES = """() => [...document.querySelectorAll("body *")]
  .filter((each) => [...each.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim()))
  .map((each) => [parseFloat(getComputedStyle(each).fontSize), Boolean(each.closest(".mark:not(.none)"))])"""
CLIPPED = """() => [...document.querySelectorAll("body *")]
  .filter((each) => each.scrollWidth > each.clientWidth + 1 && getComputedStyle(each).display !== "inline")
  .map((each) => `${each.tagName} ${each.className} ${each.textContent.slice(0, 40)}`)"""


def opened(page: Page, folder: Path, html: str) -> Page:
    shown(page, folder, html)
    page.emulate_media(media="print")
    return page


def letters_of(text: str) -> Counter[str]:
    """How often each letter and digit stands there, for a PDF breaks words and lines where it likes."""
    return Counter(re.sub(r"[^a-z0-9]", "", text.casefold()))


def assert_all_is_printed(page: Page, paper: str, most_sheets: int, foot: str) -> None:
    """So many sheets at the most, of that size, each with something on it, and no letter of the page is missing."""
    pdf = PdfReader(io.BytesIO(page.pdf(format=paper)))
    assert 1 <= len(pdf.pages) <= most_sheets, paper
    said = []
    for number, sheet in enumerate(pdf.pages, 1):
        assert_of_size(sheet, paper)
        text = sheet.extract_text()
        for words in (foot, f"sheet {number} of {len(pdf.pages)}"):
            assert words in text
            text = text.replace(words, "")
        said.append(text)
    shown = str(page.evaluate("() => document.querySelector('main').textContent"))
    # The head of a table that goes on is printed again, so there may be more than is shown.
    missing = letters_of(shown) - letters_of("".join(said))
    assert not missing, f"missing on {paper}: {missing}"


@pytest.mark.parametrize("serial", SERIALS)
def test_it_is_one_or_two_sheets_on_both_papers(page: Page, tmp_path: Path, serial: str) -> None:
    opened(page, tmp_path, sample(serial).html)
    assert page.evaluate(CLIPPED) == []
    for paper in PAPERS:
        assert_all_is_printed(page, paper, 2, f"Bench sheet {serial}")


def test_it_is_read_at_arms_length(page: Page, tmp_path: Path) -> None:
    """10.5 pt and more for every word, 14 pt and more for every mark."""
    opened(page, tmp_path, sample("2024-003").html)
    sizes = [(pixels * POINTS_PER_PIXEL, is_mark) for pixels, is_mark in page.evaluate(SIZES)]
    assert len([points for points, is_mark in sizes if is_mark]) >= 19
    assert min(points for points, _ in sizes) >= 10.5 - 1e-6
    assert min(points for points, is_mark in sizes if is_mark) >= 14 - 1e-6


@pytest.mark.parametrize("paper", PAPERS)
def test_long_texts_take_another_sheet_and_lose_nothing(page: Page, tmp_path: Path, paper: str) -> None:
    chosen = sample("2025-002")
    order = PublishedOrder(text_of(120, RUNNING), text_of(4_000, RUNNING), text_of(4_000, RUNNING), None, None)
    html = bench_sheet_html(chosen.instrument, chosen.bench, chosen.shop, order)
    opened(page, tmp_path, html)
    assert_all_is_printed(page, paper, 4, "Bench sheet 2025-002")


@pytest.mark.parametrize("paper", PAPERS)
def test_next_to_nothing_is_one_sheet(page: Page, tmp_path: Path, paper: str) -> None:
    opened(page, tmp_path, bench_sheet_html(NEARLY_EMPTY, EMPTY_BENCH, BARE_SHOP))
    assert_all_is_printed(page, paper, 1, f"Bench sheet {EMPTY_BENCH.serial}")


def test_a_batch_of_six_is_printed_whole(page: Page, tmp_path: Path) -> None:
    batch = publish_batch([instrument_of(serial) for serial in SIX], demo_shop())
    members = [sample(serial).member for serial in SIX]
    opened(page, tmp_path, batch_sheet_html(batch, members, publish_shop(demo_shop())))
    assert page.evaluate(CLIPPED) == []
    assert min(pixels for pixels, _ in page.evaluate(SIZES)) * POINTS_PER_PIXEL >= 10.5 - 1e-6
    for paper in PAPERS:
        assert_all_is_printed(page, paper, 6, f"Batch {SIX[0]} to {SIX[-1]}")


def test_its_typefaces_are_in_the_file(page: Page, tmp_path: Path) -> None:
    opened(page, tmp_path, sample("2024-003").html)
    pdf = PdfReader(io.BytesIO(page.pdf(format="A4")))
    names = embedded_fonts(pdf)
    assert any("Vollkorn" in name for name in names), names
    assert any("SourceSans3" in name for name in names), names


def test_it_asks_the_network_for_nothing(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "sheet.html"
    file.write_text(sample("2024-003").html, encoding="utf-8")
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    page.evaluate("() => document.fonts.ready")
    page.close()
    assert [address for address in asked if not address.startswith(("file:", "data:"))] == []
