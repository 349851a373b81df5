"""The links of a built site: every `href`, `src`, `srcset` and fragment must lead somewhere inside it."""

from __future__ import annotations

import posixpath
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

_ADDRESS_ATTRIBUTES = {"href", "src", "poster", "data", "action"}
#: Pages that a server sends for whatever is missing: their links hold from the root only.
_FROM_THE_ROOT = {"404.html"}


@dataclass(frozen=True, slots=True)
class BrokenLink:
    """A link that leads nowhere: the page it stands on, the link as written, and why."""

    page: str
    link: str
    why: str

    def __str__(self) -> str:
        return f"{self.page}: the link «{self.link}» {self.why}"


class _PageReader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.ids: set[str] = set()
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if value is None:
                continue
            if name == "id" or (name == "name" and tag == "a"):
                self.ids.add(value)
            elif name in _ADDRESS_ATTRIBUTES:
                self.links.append(value)
            elif name == "srcset":
                self.links += [part.split()[0] for part in value.split(",") if part.strip()]


def broken_links(site: Path) -> list[BrokenLink]:
    """Every link in the HTML files of a folder that leads to no file or no place in it; links to other hosts pass."""
    files = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}
    pages = {}
    for file in sorted(files):
        if file.endswith(".html"):
            reader = _PageReader()
            reader.feed((site / file).read_text(encoding="utf-8"))
            pages[file] = reader
    return [
        BrokenLink(page, link, why)
        for page, reader in pages.items()
        if page not in _FROM_THE_ROOT
        for link, why in _broken_in(page, reader.links, files, pages)
    ]


def _broken_in(
    page: str, links: list[str], files: set[str], pages: dict[str, _PageReader]
) -> Iterator[tuple[str, str]]:
    for link in dict.fromkeys(links):
        parts = urlsplit(link)
        if parts.scheme or parts.netloc:
            continue
        path = unquote(parts.path)
        target = posixpath.normpath(posixpath.join(posixpath.dirname(page), path)) if path else page
        if path.startswith("/"):
            yield link, "starts at the root of a server, and works in no other place"
        elif target.startswith(".."):
            yield link, "leads out of the site"
        elif target not in files:
            yield link, f"leads to {target}, which is not there"
        elif parts.fragment and target in pages and unquote(parts.fragment) not in pages[target].ids:
            yield link, f"leads to a place that {target} does not have"
