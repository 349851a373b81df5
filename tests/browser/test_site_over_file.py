"""The site opened from a folder, as from a USB stick: search works, nothing is asked of another host, nothing fails."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, expect

from builder import addresses
from tests.browser.visiting import DESKTOP, PHONE, SCHEMES, Visit, Watched, other_hosts

Schemes = Literal["light", "dark"]


def test_every_page_opens_without_asking_another_host_or_failing(visits: list[Visit]) -> None:
    assert len(visits) >= 12
    for visit in visits:
        assert visit.requests, visit.address
        assert other_hosts(visit.requests) == []
        assert visit.failures == []


@pytest.mark.parametrize("scheme", SCHEMES)
def test_no_page_is_wider_than_a_phone(visits: list[Visit], scheme: str) -> None:
    widths = {visit.address: visit.widths_on_a_phone[scheme] for visit in visits if visit.widths_on_a_phone}
    assert len(widths) >= 12
    for address, wide in widths.items():
        assert wide <= PHONE["width"], f"{address} is {wide} px wide"


def test_search_finds_an_instrument_by_its_name_and_by_its_wood(browser: Browser, demo_site: Path) -> None:
    watched = Watched(browser.new_page(viewport=DESKTOP))
    visit = watched.look_at(demo_site, addresses.HOME)
    page = watched.page
    box = page.get_by_role("textbox", name="Search")
    for word in ("walnut", "bittern"):
        box.click()
        box.fill("")
        box.press_sequentially(word)
        result = page.locator(".md-search-result__link[href*='2024-003.html']").first
        expect(result).to_be_visible(timeout=15_000)
    result.click()
    expect(page.locator("h1")).to_have_text("Bittern")
    page.close()
    assert other_hosts(visit.requests) == []
    assert visit.failures == []


def test_drawing_and_plot_follow_light_and_dark(browser: Browser, demo_site: Path) -> None:
    inks = []
    schemes: tuple[Schemes, ...] = ("light", "dark")
    for scheme in schemes:
        context = browser.new_context(viewport=DESKTOP, color_scheme=scheme)
        page = context.new_page()
        page.goto((demo_site / addresses.instrument_page("2024-003")).as_uri())
        ink = page.evaluate(
            """() => [...document.querySelectorAll(".bb-board-numbers text, .bb-plot text")]
                .map(each => getComputedStyle(each).fill)"""
        )
        ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
        inks.append((set(ink), ground))
        context.close()
    (light_ink, light_ground), (dark_ink, dark_ground) = inks
    assert light_ground != dark_ground
    assert light_ink
    assert not light_ink & dark_ink


def test_photographs_are_seen_and_enlarged_by_keyboard_without_any_script(browser: Browser, demo_site: Path) -> None:
    context = browser.new_context(viewport=PHONE, java_script_enabled=False)
    page = context.new_page()
    page.goto((demo_site / addresses.instrument_page("2024-003")).as_uri())
    lead, first = page.locator(".bb-photo img").first, page.locator(".bb-photo-list a").first
    expect(lead).to_have_attribute("alt", "On the bench the day it was strung")
    first.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/photos/2024-003-2-1000.jpg")
    context.close()
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    page.goto((demo_site / addresses.instrument_page("2024-003")).as_uri())
    shown = "() => [...document.querySelectorAll('.bb-photo img')].map(each => each.currentSrc.split('/').pop())"
    page.locator(".bb-photo-list img").last.scroll_into_view_if_needed()
    page.wait_for_load_state("networkidle")
    assert page.evaluate(shown) == [f"2024-003-{number}-480.jpg" for number in (1, 2, 3)], (
        "a phone takes the narrow ones"
    )
    context.close()
