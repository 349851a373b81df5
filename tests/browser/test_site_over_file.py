"""The site opened from a folder, as from a USB stick: search works, nothing is asked of another host, nothing fails."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Literal
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize, expect

from builder import addresses

PHONE = ViewportSize(width=390, height=844)
DESKTOP = ViewportSize(width=1280, height=900)
Schemes = Literal["light", "dark"]
#: Pages that wait side by side until the network has been still for a while.
AT_ONCE = 8


class Watched:
    """A page with everything it asked for and everything that went wrong on it."""

    def __init__(self, page: Page, site: Path) -> None:
        self.page, self.site = page, site
        self.requests: list[str] = []
        self.failures: list[str] = []
        self.listen_to(page)

    def listen_to(self, page: Page) -> None:
        """Note what this page asks for, and what goes wrong on it."""
        page.on("request", lambda request: self.requests.append(request.url))
        page.on("requestfailed", lambda request: self.failures.append(request.url))
        page.on("pageerror", lambda error: self.failures.append(str(error)))
        page.on("console", lambda said: self.failures.append(said.text) if said.type == "error" else None)

    def open(self, address: str) -> Page:
        self.page.goto((self.site / address).as_uri())
        return self.page

    @property
    def other_hosts(self) -> list[str]:
        return [url for url in self.requests if urlsplit(url).scheme not in ("file", "data", "blob", "about")]


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(viewport=DESKTOP)
    yield context
    context.close()


@pytest.fixture
def watched(context: BrowserContext, demo_site: Path) -> Watched:
    return Watched(context.new_page(), demo_site)


def addresses_of(site: Path) -> list[str]:
    return sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html") if path.name != "404.html")


def test_every_page_opens_without_asking_another_host_or_failing(watched: Watched) -> None:
    pages = addresses_of(watched.site)
    assert len(pages) >= 12
    for first in range(0, len(pages), AT_ONCE):
        opened = [watched.page.context.new_page() for _ in pages[first : first + AT_ONCE]]
        for page, address in zip(opened, pages[first:], strict=False):
            watched.listen_to(page)
            page.goto((watched.site / address).as_uri())
        for page in opened:
            page.wait_for_load_state("networkidle")
            page.close()
    assert watched.requests
    assert watched.other_hosts == []
    assert watched.failures == []


def test_search_finds_an_instrument_by_its_name_and_by_its_wood(watched: Watched) -> None:
    page = watched.open(addresses.HOME)
    box = page.get_by_role("textbox", name="Search")
    for word in ("walnut", "bittern"):
        box.click()
        box.fill("")
        box.press_sequentially(word)
        result = page.locator(".md-search-result__link[href*='2024-003.html']").first
        expect(result).to_be_visible(timeout=15_000)
    result.click()
    expect(page.locator("h1")).to_have_text("Bittern")
    assert watched.other_hosts == []
    assert watched.failures == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_is_wider_than_a_phone(browser: Browser, demo_site: Path, scheme: Schemes) -> None:
    context = browser.new_context(viewport=PHONE, color_scheme=scheme)
    page = context.new_page()
    for address in addresses_of(demo_site):
        if not address.startswith(("certificates/", "papers/")):  # those are made for paper
            page.goto((demo_site / address).as_uri())
            wide = page.evaluate("document.documentElement.scrollWidth")
            assert wide <= PHONE["width"], f"{address} is {wide} px wide"
    context.close()


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
