"""The seam between what Boutbook makes and whoever publishes it: pages and assets, nothing else.

Every generator of sites gets the same list of these, from a writer of its own (`mkdocs_plugin`, `plain_folder`).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

#: Who a site is built for. The shop edition has every instrument, and what the bench needs of it.
Edition = Literal["buyer", "shop"]


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a page. `html` is finished and holds no blank line, so that Markdown lets it through untouched.

    A section without a title stands before the first heading.
    """

    id: str
    title: str
    html: str


@dataclass(frozen=True, slots=True)
class LinkPicture:
    """The picture that is shown beside a link to a page: its address from the root of the site, its size, its words."""

    path: str
    width_px: int
    height_px: int
    alt: str

    @property
    def media_type(self) -> str:
        """What kind of file it is, as the web calls it."""
        return "image/jpeg" if self.path.endswith(".jpg") else "image/png"


@dataclass(frozen=True, slots=True)
class Page:
    """One page. `path` is its address from the root of the site; `search_text` is what a search should find it by.

    `listed` says whether it stands in the site's own navigation; where it is not `findable`, it stands in no search and
    no sitemap either, asks search engines to leave it out, and is found by its address alone. Where the shop has prose
    of its own at the same address, the prose comes first and the sections below it. `structured_data` is JSON-LD for
    programs that read pages, in letters that are safe inside HTML. `picture` is shown where somebody links to the page.
    """

    path: str
    title: str
    description: str
    sections: tuple[Section, ...]
    search_text: str
    listed: bool
    date: str | None = None
    findable: bool = True
    structured_data: str = ""
    picture: LinkPicture | None = None


@dataclass(frozen=True, slots=True)
class Asset:
    """A file that is copied as it is: its address, and its bytes or the file that holds them."""

    path: str
    content: bytes | Path

    def read(self) -> bytes:
        """The bytes."""
        return self.content if isinstance(self.content, bytes) else self.content.read_bytes()
