"""A shop that says hostile things wherever it may, opened from a folder: nothing of it runs, asks or fails."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from builder import addresses
from builder.beside import prepare
from builder.mkdocs_plugin import build
from builder.seam import Edition
from builder.workshop import open_shop
from tests.browser.visiting import DESKTOP, PHONE, Watched, other_hosts, visit_every_page
from tests.privacy.hostile_words import Words, hostile_words, longest_words, shop_that_says

EDITIONS: tuple[Edition, ...] = ("buyer", "shop")


def site_that_says(words: Words, folder: Path, edition: Edition) -> Path:
    shop = shop_that_says(words, folder, ("2024-003",))
    build(shop, prepare(open_shop(shop, private_files=edition == "shop"), edition), edition, shop / "site")
    return shop / "site"


@pytest.mark.parametrize("edition", EDITIONS)
def test_nothing_hostile_runs_in_any_page_or_in_what_the_search_finds(
    browser: Browser, tmp_path: Path, edition: Edition
) -> None:
    site = site_that_says(hostile_words(0), tmp_path, edition)
    visits = visit_every_page(browser, site)
    assert len(visits) >= 8
    watched = Watched(browser.new_page(viewport=DESKTOP))
    visits.append(watched.look_at(site, addresses.HOME))
    box, shown = watched.page.get_by_role("textbox", name="Search"), ""
    for word in ("onerror", "2024-003"):
        box.click()
        box.fill("")
        box.press_sequentially(word)
        expect(watched.page.locator(".md-search-result__link").first).to_be_visible(timeout=15_000)
        shown += watched.page.locator(".md-search-result__list").inner_text()
    watched.page.close()
    assert "onerror=alert(1)>" in shown
    for visit in visits:
        assert visit.failures == [], visit.address
        assert other_hosts(visit.requests) == [], visit.address


def test_the_longest_words_make_no_page_wider_than_a_phone(browser: Browser, tmp_path: Path) -> None:
    site = site_that_says(longest_words, tmp_path, "shop")
    widths = {visit.address: visit.widths_on_a_phone for visit in visit_every_page(browser, site)}
    assert {address: each for address, each in widths.items() if each and max(each.values()) > PHONE["width"]} == {}
    assert sum(map(bool, widths.values())) >= 6
