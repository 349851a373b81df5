"""A browser for the tests that only a browser can decide: what fits on paper, what is asked of the network."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.visiting import Visit, visit_every_page
from tests.shops import made_once

ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def find_chromium() -> str | None:
    """Where this machine has Chromium."""
    usual_place = Path("/usr/bin/chromium")
    return shutil.which("chromium") or (str(usual_place) if usual_place.exists() else None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The Chromium of this machine, without a window. Where checks must run, its absence is a failure."""
    chromium = find_chromium()
    if chromium is None:
        reason = "there is no Chromium on this machine; install it to run the browser tests"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=list(ARGUMENTS))
        yield started
        started.close()


@pytest.fixture(scope="session")
def page(browser: Browser) -> Page:
    """The page that sheets are opened in, one after the other: a page of its own costs more than a sheet does."""
    return browser.new_page()


@pytest.fixture(scope="session")
def visits(browser: Browser, demo_site: Path, tmp_path_factory: pytest.TempPathFactory) -> list[Visit]:
    """What was seen of every page of the demo's site."""

    def visit(folder: Path) -> None:
        seen = [asdict(each) for each in visit_every_page(browser, demo_site)]
        (folder / "seen.json").write_text(json.dumps(seen), encoding="utf-8")

    seen = made_once(tmp_path_factory, "visits", visit) / "seen.json"
    return [Visit(**each) for each in json.loads(seen.read_text(encoding="utf-8"))]
