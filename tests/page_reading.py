"""Pages read as a browser reads them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

import html5lib

from builder.seam import Page

XHTML = "{http://www.w3.org/1999/xhtml}"


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


@dataclass(frozen=True)
class Said:
    """What a built page says to programs: its Open Graph tags by name, and its structured data, piece by piece."""

    tags: dict[str, str]
    data: list[Any]


def said_to_programs(file: Path, *, in_head: bool = False) -> Said:
    """The tags and data of a built page, wherever they stand in it, or only those in its head."""
    page = built_page(file)
    part = page.find(f"{XHTML}head") if in_head else page
    assert part is not None
    tags = [(each.get("property", ""), each.get("content", "")) for each in part.iter(f"{XHTML}meta")]
    og = [(name, content) for name, content in tags if name.startswith("og:")]
    assert len(dict(og)) == len(og), "a tag stands there twice"
    scripts = (each for each in part.iter(f"{XHTML}script") if each.get("type") == "application/ld+json")
    return Said(dict(og), [json.loads(each.text or "") for each in scripts])
