"""The shop edition opened from a folder: every page, with search, asks nothing of another host and fails nowhere."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from builder import addresses
from tests.browser.visiting import DESKTOP, PHONE, Visit, Watched, other_hosts, visit_every_page
from tests.shops import boutbook, copy_demo

#: One that is delivered, one that is unlisted, and one on the bench.
SOME = ("2024-003", "2025-009", "2026-006")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    shop = copy_demo(tmp_path_factory.mktemp("shop-edition") / "shop", only=SOME)
    boutbook("build", "--edition", "shop", "--at", "2026-11-27 09:00", folder=shop)
    return shop / "site-for-the-shop"


@pytest.fixture(scope="module")
def visits(browser: Browser, site: Path) -> list[Visit]:
    return visit_every_page(browser, site)


def test_every_page_opens_without_asking_another_host_or_failing(visits: list[Visit]) -> None:
    seen = {visit.address for visit in visits}
    assert {addresses.BENCH, addresses.REFERENCE, addresses.bench_page("2026-006")} <= seen
    for visit in visits:
        assert visit.requests, visit.address
        assert other_hosts(visit.requests) == [], visit.address
        assert visit.failures == [], visit.address


def test_no_page_is_wider_than_a_phone(visits: list[Visit]) -> None:
    widths = {visit.address: max(visit.widths_on_a_phone.values()) for visit in visits if visit.widths_on_a_phone}
    assert len(widths) >= 10
    assert {address: wide for address, wide in widths.items() if wide > PHONE["width"]} == {}


def test_search_finds_what_is_on_the_bench_and_opens_it(browser: Browser, site: Path) -> None:
    watched = Watched(browser.new_page(viewport=DESKTOP))
    visit = watched.look_at(site, addresses.BENCH)
    box = watched.page.get_by_role("textbox", name="Search")
    box.click()
    box.press_sequentially("2026-006")
    result = watched.page.locator(".md-search-result__link[href*='2026-006.html']").first
    expect(result).to_be_visible(timeout=15_000)
    result.click()
    expect(watched.page.locator("h1")).to_contain_text("2026-006")
    watched.page.close()
    assert other_hosts(visit.requests) == []
    assert visit.failures == []
