"""Every page of the site opened from a folder once, and all that is asked about pages noted on the way.

To load a page of the theme costs a browser more than to look at it in four ways.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import Browser, Dialog, Page, ViewportSize

PHONE = ViewportSize(width=390, height=844)
DESKTOP = ViewportSize(width=1280, height=900)
#: Widths between margins of 12 mm, in CSS pixels of 1/96 in: A4 is 210 mm wide (ISO 216), US Letter 8 1/2 in (ANSI).
PAPERS = {"A4": round((210 - 24) / 25.4 * 96), "Letter": round((8.5 - 24 / 25.4) * 96)}
#: What the theme calls the two schemes.
SCHEMES = {"light": "default", "dark": "slate"}

#: Pages that wait side by side until the network has been still for a while.
AT_ONCE = 4

#: Choose a scheme as a reader does, with the switch in the head of the page.
_SWITCH_TO = """(scheme) => {
  const input = document.querySelector(`input[name="__palette"][data-md-color-scheme="${scheme}"]`);
  if (document.body.dataset.mdColorScheme !== scheme) document.querySelector(`label[for="${input.id}"]`).click();
}"""
_IS_SWITCHED = "(scheme) => document.body.dataset.mdColorScheme === scheme"
_WIDTH = "() => document.documentElement.scrollWidth"
_TOO_WIDE = """() => {
  document.querySelectorAll("details").forEach((fold) => { fold.open = true; });
  return [...document.querySelectorAll(".bb-table")]
    .filter((table) => table.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
    .map((table) => (table.caption || table).textContent.slice(0, 60));
}"""


@dataclass(frozen=True, slots=True)
class Visit:
    """What was seen of a page. Widths and tables are noted for pages of the theme; the others are made for paper."""

    address: str
    requests: list[str] = field(default_factory=list)
    failures: list[str] = field(default_factory=list)
    widths_on_a_phone: dict[str, int] = field(default_factory=dict)
    tables_too_wide_for: dict[str, list[str]] = field(default_factory=dict)


class Watched:
    """A page with everything it asked for and everything that went wrong on it, from one `look_at` to the next."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.visit = Visit("")
        page.on("request", lambda request: self.visit.requests.append(request.url))
        page.on("requestfailed", lambda request: self.visit.failures.append(request.url))
        page.on("pageerror", lambda error: self.visit.failures.append(str(error)))
        page.on("dialog", self._note_dialog)
        page.on("console", lambda said: self.visit.failures.append(said.text) if said.type == "error" else None)

    def _note_dialog(self, dialog: Dialog) -> None:
        """A page of ours asks nothing and says nothing in a box of its own."""
        self.visit.failures.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def look_at(self, site: Path, address: str) -> Visit:
        """Open a page; what is seen from now on belongs to this visit."""
        self.visit = Visit(address)
        self.page.goto((site / address).as_uri())
        return self.visit


def other_hosts(requests: list[str]) -> list[str]:
    """Those of the requests that ask another host than the page itself."""
    return [url for url in requests if urlsplit(url).scheme not in ("file", "data", "blob", "about")]


def addresses_of(site: Path) -> list[str]:
    """Every page of a site."""
    return sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html") if path.name != "404.html")


def visit_every_page(browser: Browser, site: Path) -> list[Visit]:
    """Open every page, wait until it asks for nothing more, and look at it on a phone and on paper."""
    context = browser.new_context(viewport=DESKTOP)
    tabs = [Watched(context.new_page()) for _ in range(AT_ONCE)]
    pages = addresses_of(site)
    visits = []
    for first in range(0, len(pages), AT_ONCE):
        busy = list(zip(tabs, pages[first : first + AT_ONCE], strict=False))
        visits += [tab.look_at(site, address) for tab, address in busy]
        for tab, _ in busy:
            tab.page.wait_for_load_state("networkidle")
        for tab, address in busy:
            if not address.startswith(("certificates/", "papers/")):
                _look_closer(tab.page, tab.visit)
    context.close()
    return visits


def _look_closer(page: Page, visit: Visit) -> None:
    page.set_viewport_size(PHONE)
    for scheme, named in SCHEMES.items():
        page.evaluate(_SWITCH_TO, named)
        page.wait_for_function(_IS_SWITCHED, arg=named)
        visit.widths_on_a_phone[scheme] = page.evaluate(_WIDTH)
    page.emulate_media(media="print")
    for paper, width in PAPERS.items():
        page.set_viewport_size(ViewportSize(width=width, height=1000))
        visit.tables_too_wide_for[paper] = page.evaluate(_TOO_WIDE)
    page.emulate_media(media="null")
    page.set_viewport_size(DESKTOP)
