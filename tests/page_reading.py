"""Pages read as a browser reads them."""

from __future__ import annotations

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


def part(page: Page, id: str) -> Element:
    """One of its sections."""
    return tree(next(section.html for section in page.sections if section.id == id))


def words(element: Element) -> str:
    """What it says, spaces as a reader sees them."""
    return " ".join("".join(element.itertext()).split())


def rows(table: Element) -> list[list[str]]:
    """A table's rows, cell by cell."""
    return [[words(cell) for cell in row] for row in table.iter("tr")]
