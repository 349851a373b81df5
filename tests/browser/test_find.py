"""The page of all instruments leaves out what was not chosen, from a folder, and shows every one without scripts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from playwright.sync_api import Browser, Page, expect

from builder import addresses
from tests.browser.visiting import DESKTOP, Watched, other_hosts
from tests.shops import REPOSITORY


def listed() -> list[dict[str, Any]]:
    """The demo's records that everybody may see, as written."""
    files = sorted((REPOSITORY / "records" / "instruments").glob("*/record.yaml"))
    records = [yaml.safe_load(file.read_text("utf-8")) for file in files]
    return [
        each
        for each in records
        if "delivered" in each.get("dates", {}) and each.get("visibility", "public") == "public"
    ]


def with_wood(species: str) -> set[str]:
    """Names of the instruments that have any part of this wood, bought as it is or from the rack."""
    rack = yaml.safe_load((REPOSITORY / "records" / "wood.yaml").read_text("utf-8"))["billets"]
    return {
        each["name"]
        for each in listed()
        for part in each["spec"]["wood"].values()
        if species == (part.get("species") or rack[part["billet"]]["species"])
    }


def of_kind(kind: str) -> set[str]:
    return {each["name"] for each in listed() if each["kind"] == kind}


def cards(page: Page) -> set[str]:
    return set(page.locator(".bb-card-name:visible").all_inner_texts())


def lines(page: Page) -> set[str]:
    return set(page.locator(".bb-instruments tbody th a:visible").all_inner_texts())


@pytest.fixture(scope="module")
def everything() -> set[str]:
    return {each["name"] for each in listed()}


def test_what_is_chosen_is_shown_in_gallery_and_table_and_kept_in_the_address(
    browser: Browser, demo_site: Path, everything: set[str]
) -> None:
    watched = Watched(browser.new_page(viewport=DESKTOP))
    visit, page = watched.look_at(demo_site, addresses.INSTRUMENTS), watched.page
    form, said, all_of_them = page.locator(".bb-find"), page.get_by_role("status"), len(everything)
    expect(form).to_be_visible()
    assert (cards(page), lines(page)) == (everything, everything)
    expect(said).to_have_text(f"All {all_of_them} instruments are shown.")

    page.get_by_label("Wood").select_option("western red cedar")
    cedar = with_wood("western red cedar")
    assert 1 < len(cedar) < all_of_them
    assert (cards(page), lines(page)) == (cedar, cedar)
    expect(said).to_have_text(f"{len(cedar)} of {all_of_them} instruments are shown: western red cedar.")
    # By keyboard too: a letter chooses what begins with it.
    page.get_by_label("Kind").focus()
    page.keyboard.type("mount")
    both = cedar & of_kind("mountain dulcimer")
    assert (cards(page), lines(page)) == (both, both)
    kept = page.url
    assert kept.endswith("#kind=mountain+dulcimer&wood=western+red+cedar")

    page.get_by_label("Kind").select_option("classical guitar")
    assert (cards(page), lines(page)) == (set(), set())
    expect(said).to_have_text("No instrument is all of this: classical guitar, western red cedar.")
    page.get_by_role("button", name="Show all").click()
    assert (cards(page), lines(page)) == (everything, everything)
    assert page.url == (demo_site / addresses.INSTRUMENTS).as_uri()

    page.goto(kept)
    expect(page.get_by_label("Kind")).to_have_value("mountain dulcimer")
    assert (cards(page), lines(page)) == (both, both)
    page.emulate_media(media="print")
    expect(page.get_by_label("Kind")).to_be_hidden()
    expect(said).to_be_visible()
    assert cards(page) == both
    page.goto(f"{(demo_site / addresses.INSTRUMENTS).as_uri()}#kind=no+such+kind")
    assert cards(page) == everything
    page.close()
    assert other_hosts(visit.requests) == []
    assert visit.failures == []


def test_without_scripts_every_instrument_is_shown_and_nothing_to_choose(
    browser: Browser, demo_site: Path, everything: set[str]
) -> None:
    page = browser.new_context(java_script_enabled=False).new_page()
    page.goto((demo_site / addresses.INSTRUMENTS).as_uri())
    assert (cards(page), lines(page)) == (everything, everything)
    expect(page.locator(".bb-find")).to_be_hidden()
    page.context.close()
