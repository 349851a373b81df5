"""Makes the picture in the README anew: the top of a finished page of the demo.

boutbook build && python tests/browser/picture_of_a_page.py
"""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from builder import addresses

REPOSITORY = Path(__file__).parents[2]
PICTURE = REPOSITORY / "site_theme" / "finished-page.png"
WIDTH, HEIGHT = 1220, 1120


def main() -> None:
    """Open the page, look at its top, and keep that in few colours."""
    page_file = REPOSITORY / "site" / addresses.instrument_page("2024-003")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": WIDTH, "height": HEIGHT}, color_scheme="light")
        page.goto(page_file.as_uri())
        page.wait_for_timeout(500)
        shot = page.screenshot()
        browser.close()
    Image.open(io.BytesIO(shot)).convert("RGB").quantize(128).save(PICTURE, optimize=True)


if __name__ == "__main__":
    main()
