"""The pages of instruments on paper: no table is wider than the sheet, whatever the board."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, ViewportSize

#: Widths between margins of 12 mm, in CSS pixels of 1/96 in: A4 is 210 mm wide (ISO 216), US Letter 8 1/2 in (ANSI).
PAPERS = {"A4": round((210 - 24) / 25.4 * 96), "Letter": round((8.5 - 24 / 25.4) * 96)}

TOO_WIDE = """() => [...document.querySelectorAll(".bb-table")]
  .filter((table) => table.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
  .map((table) => table.caption.textContent)"""


@pytest.mark.parametrize("paper", PAPERS)
def test_every_table_fits_on_the_sheet(browser: Browser, demo_site: Path, paper: str) -> None:
    page = browser.new_page(viewport=ViewportSize(width=PAPERS[paper], height=1000))
    page.emulate_media(media="print")
    for file in sorted((demo_site / "instruments").glob("*.html")):
        page.goto(file.as_uri())
        page.evaluate("() => document.querySelectorAll('details').forEach((fold) => { fold.open = true; })")
        assert page.evaluate(TOO_WIDE) == [], file.name
    page.close()
