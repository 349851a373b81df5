"""Pages read as a browser reads them."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from xml.etree.ElementTree import Element

import html5lib

from builder.seam import Page


def body(page: Page) -> str:
    """All its sections."""
    return "".join(section.html for section in page.sections)


def tree(html: str) -> Element:
    """A piece of HTML, mended where a browser would mend it."""
    parsed: Element = html5lib.parseFragment(html, treebuilder="etree", namespaceHTMLElements=False)
    return parsed


@cache
def built_page(file: Path) -> Element:
    """A page of a built site that nobody changes, head and all. To read it takes a while, so that is done once."""
    parsed: Element = html5lib.parse(file.read_text(encoding="utf-8"))
    return parsed


def part(page: Page, id: str) -> Element:
    """One of its sections."""
    return tree(next(section.html for section in page.sections if section.id == id))


def words(element: Element) -> str:
    """What it says, spaces as a reader sees them."""
    return " ".join("".join(element.itertext()).split())


def rows(table: Element) -> list[list[str]]:
    """A table's rows, cell by cell."""
    return [[words(cell) for cell in row] for row in table.iter("tr")]
