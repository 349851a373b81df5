"""Recordings in a browser: nothing is fetched before somebody plays one, and what is bare sounds as it did."""

from __future__ import annotations

import base64
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from builder.recordings import sound_of
from tests.recording_samples import KINDS, M4A, packed

DECODE = """async content => {
  const bytes = Uint8Array.from(atob(content), letter => letter.charCodeAt(0));
  const sound = await new OfflineAudioContext(1, 1, 44100).decodeAudioData(bytes.buffer);
  return Array.from(sound.getChannelData(0));
}"""


def test_a_page_opened_from_a_folder_fetches_a_recording_when_it_is_played(browser: Browser, demo_site: Path) -> None:
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto((demo_site / "instruments" / "2024-003.html").as_uri())
    audio = page.locator("audio").first
    audio.scroll_into_view_if_needed()
    assert not [url for url in asked if "/recordings/" in url], "with preload none nothing is fetched"
    lasts = audio.evaluate(
        """audio => new Promise((done, failed) => {
          audio.addEventListener("loadedmetadata", () => done(audio.duration));
          audio.addEventListener("error", () => failed(audio.error.message));
          audio.preload = "metadata";
          audio.load();
        })"""
    )
    assert 10 < lasts < 12
    assert [url for url in asked if "/recordings/" in url], "the listener sees what is fetched"
    assert all(url.startswith(("file:", "data:", "blob:")) for url in asked)
    page.close()


@pytest.mark.parametrize("kind", [*(kind for kind in KINDS if "floats" not in kind), "m4a"])
def test_chromium_hears_the_same_samples_before_and_after(page: Page, kind: str) -> None:
    content = M4A if kind == "m4a" else packed(kind)
    page.goto("about:blank")
    before, after = (
        page.evaluate(DECODE, base64.b64encode(each).decode()) for each in (content, sound_of(content).content)
    )
    assert before == after
    assert len(before) > 10_000
    assert max(before) > 0.1
