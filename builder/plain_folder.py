"""The site as a plain folder of Markdown and files, for any other generator of sites.

Each page is a Markdown file: front matter with title and description, `# Title`, then a `## Heading {#id}` and one
block of HTML per section. A page that is found by its address alone is no Markdown file, which a generator would put
into navigation, search and sitemap, but a finished HTML page, which it copies. A generator needs Markdown with raw HTML
and `{#id}` on headings (attribute lists), addresses that end in .html, and the style sheet
`assets/boutbook/boutbook.css`.
"""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

from builder import addresses
from builder.prose import Prose
from builder.safe_files import new_folder_for
from builder.seam import Page
from builder.site import Site
from builder.templates import render

#: Stands in a folder made by this module, so that it may be replaced and no other folder ever is.
MARK = ".boutbook-pages"


class NotOurs(Exception):
    """The folder holds something that this module did not make."""


def write_plain_folder(site: Site, prose: tuple[Prose, ...], folder: Path) -> None:
    """Write the site into `folder`, replacing what an earlier run wrote there.

    Raises NotOurs where the folder holds anything else, and InUse where another run is writing it.
    """
    if folder.exists() and not (folder / MARK).exists() and any(folder.iterdir()):
        raise NotOurs(f"{folder} holds files that are not of an earlier run; choose an empty or a new folder")
    pages = {page.path: page for page in site.pages}
    with new_folder_for(folder) as new:
        _write(new / MARK, b"")
        for each in prose:
            if not each.is_draft:
                page = pages.pop(each.address, None)
                front = f"---\n{each.front_matter}\n---\n\n" if each.front_matter else ""
                sections = f"\n\n{_sections(page)}{_for_programs(site, page)}" if page else ""
                _write(new / each.path, f"{front}{each.text.rstrip()}{sections}\n".encode())
        for page in pages.values():
            if page.findable:
                _write(new / _markdown_path(page), as_markdown(site, page).encode())
            else:
                _write(new / page.path, _as_whole_page(site, page).encode())
        for asset in site.assets:
            _write(new / asset.path, asset.read())


def as_markdown(site: Site, page: Page) -> str:
    """A page as a Markdown file."""
    front = f"title: {json.dumps(page.title, ensure_ascii=False)}\n"
    front += f"description: {json.dumps(page.description, ensure_ascii=False)}\n"
    return f"---\n{front}---\n\n# {_as_text(page.title)}\n\n{_sections(page)}{_for_programs(site, page)}\n"


def _for_programs(site: Site, page: Page) -> str:
    """What a page says of itself to programs, which here has no head to stand in."""
    said = site.for_programs(page)
    return f"\n\n<div hidden>\n{said}\n</div>" if said else ""


def _as_whole_page(site: Site, page: Page) -> str:
    """A page with a frame of our own."""
    link = partial(addresses.from_page, page.path)
    sheets = [link(each) for each in addresses.STYLESHEETS if each != addresses.FOR_MATERIAL]
    icon, home = link(addresses.FAVICON), link(addresses.HOME)
    mark = link(addresses.MARK) if site.shop.mark else None
    return str(
        render(
            "pages/alone.html", page=page, shop=site.shop, style_sheets=sheets, icon=icon, home=home,
            mark=mark, for_programs=site.for_programs(page),
        )
    )  # fmt: skip


def _sections(page: Page) -> str:
    return "\n\n".join(
        f"## {_as_text(section.title)} {{#{section.id}}}\n\n{section.html}" if section.title else section.html
        for section in page.sections
    )


def _as_text(title: str) -> str:
    """A title as Markdown that means just its letters."""
    return "".join(f"\\{letter}" if letter in "\\`*_{}[]<>()#+-.!|&" else letter for letter in title)


def _markdown_path(page: Page) -> str:
    return f"{page.path.removesuffix('.html')}.md"


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
