"""A browser for the tests that only a browser can decide: what fits on paper, what is asked of the network."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

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
