"""The bench board on paper: the whole of it on one sheet, and what else stands on the page on the next."""

from __future__ import annotations

import io
from pathlib import Path

from playwright.sync_api import Page
from pypdf import PdfReader

from builder import addresses
from tests.browser.printing import PAPERS
from tests.shops import boutbook, copy_demo


def test_the_board_is_one_sheet(page: Page, tmp_path: Path) -> None:
    shop = copy_demo(tmp_path / "shop", only=("2026-004", "2026-005", "2026-006"))
    boutbook("build", "--edition", "shop", "--at", "2026-11-27 09:00", folder=shop)
    page.goto((shop / "site-for-the-shop" / addresses.BENCH).as_uri())
    page.evaluate("() => document.fonts.ready")
    for paper in PAPERS:
        first, second, *_ = (sheet.extract_text() for sheet in PdfReader(io.BytesIO(page.pdf(format=paper))).pages)
        told = ["Friday 27 November 2026, 09:00", "Ready now", "Next steps", "The week ahead", "colder than 60"]
        assert [each for each in told if each not in first] == [], paper
        assert "All instruments" not in first
        assert second.lstrip().startswith("All instruments"), paper
