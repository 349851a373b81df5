"""Hostile words in every field that may hold any: they are shown as they are written or refused, and never run.

Here the pages are taken apart as HTML, SVG and JSON; in `tests/browser/test_hostile_pages.py` a browser opens them.
"""

from __future__ import annotations

import itertools
import json
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from builder.beside import prepare
from builder.mkdocs_plugin import build
from builder.plain_folder import write_plain_folder
from builder.problems import in_words
from builder.prose import read_prose
from builder.reading.folder import read_bytes
from builder.seam import Edition
from builder.site import site_of
from builder.workshop import open_shop
from tests.privacy.decisions import KEPT_WHOLE, WITH_PUBLISHED_FIELDS
from tests.privacy.hostile_words import (
    FOREIGN,
    HOSTILE,
    WORKED_OUT,
    Words,
    hostile_words,
    shop_that_says,
)
from tests.privacy.trees import Leaf, as_yaml, read_tree, rewritten
from tests.shops import REPOSITORY, files_below

#: Instruments of the demo that have most of what there is between them, one of them unlisted.
SOME = ("2024-003", "2023-002", "2025-009")

#: Elements that run, load or lead away: hostile words make no page have more of them, or fewer.
_COUNTED = {
    "script", "style", "link", "meta", "base", "iframe", "frame", "object", "embed", "applet", "form", "input",
    "button", "video", "audio", "source", "track", "img", "picture", "title", "head", "body", "html", "template",
    "noscript", "textarea", "svg", "math", "animate", "set", "foreignobject", "image",
}  # fmt: skip
#: What Markdown in a record may become, and no more (`builder/templates.py` holds the same list for itself).
_OF_MARKDOWN = {
    "a", "blockquote", "br", "code", "dd", "dl", "dt", "em", "h3", "h4", "hr", "li", "ol", "p", "pre", "strong",
    "table", "tbody", "td", "th", "thead", "tr", "ul",
}  # fmt: skip
#: What drawings are made of, of which no two are alike.
_DRAWN = {"g", "path", "use", "circle", "ellipse", "rect", "line", "polyline", "polygon"}
_ADDRESSES = {"href", "src", "srcset", "action", "formaction", "poster", "data", "xlink:href", "background", "ping"}

HARMLESS_MARKDOWN = (
    "Words.\n\n[a](https://example.org/) *b* **c**\n\n    code\n\n- one\n\n> two\n\n| a | b |\n|---|---|\n| c | d |"
)


def harmless_words(number: int, most: int, lines: bool) -> str:
    return HARMLESS_MARKDOWN if lines and most >= 1000 else "plain"


@dataclass
class Read(HTMLParser):
    """A page taken apart: its elements with the names of their attributes, what those say, scripts, and its text."""

    shapes: set[tuple[str, tuple[str, ...]]] = field(default_factory=set)
    counted: Counter[str] = field(default_factory=Counter)
    said: list[tuple[str, str, str]] = field(default_factory=list)
    scripts: list[str] = field(default_factory=list)
    styles: list[str] = field(default_factory=list)
    text: list[str] = field(default_factory=list)
    _inside: str = ""

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside = tag
        self.shapes.add((tag, tuple(sorted(name for name, _ in attrs))))
        self.counted[tag] += tag in _COUNTED
        self.said += [(tag, name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        self._inside = ""

    def handle_data(self, data: str) -> None:
        {"script": self.scripts, "style": self.styles}.get(self._inside, self.text).append(data)

    __hash__ = object.__hash__


def read(page: bytes) -> Read:
    reader = Read()
    reader.feed(re.sub(r"data:(font|image)/[\w+]+;base64,[\w+/=]+", r"data:\1/x", page.decode()))
    reader.close()
    return reader


def site_that_says(words: Words, folder: Path, edition: Edition = "buyer") -> dict[str, bytes]:
    shop = shop_that_says(words, folder, SOME)
    prepared = prepare(open_shop(shop, private_files=edition == "shop"), edition)
    assert [in_words(each) for each in prepared.problems if each.severity == "error"] == []
    build(shop, prepared, edition, shop / "site")
    pages = shop / "records" / "pages"
    if edition == "buyer":
        write_plain_folder(site_of(prepared), read_prose(pages), shop / "plain")
    return files_below(shop / "site") | {f"plain/{name}": each for name, each in files_below(shop / "plain").items()}


@pytest.fixture(scope="module")
def harmless(tmp_path_factory: pytest.TempPathFactory) -> dict[Edition, dict[str, Read]]:
    """Every page of both editions where all words are harmless ones."""
    return {edition: pages_of(tmp_path_factory, harmless_words, edition) for edition in ("buyer", "shop")}


def pages_of(temporary: pytest.TempPathFactory, words: Words, edition: Edition) -> dict[str, Read]:
    files = site_that_says(words, temporary.mktemp("says"), edition)
    return {name: read(content) for name, content in files.items() if name.endswith((".html", ".svg"))}


@pytest.mark.parametrize(("edition", "shift"), [("buyer", 0), ("buyer", 11), ("shop", 5)])
def test_hostile_words_are_shown_and_nothing_else(
    tmp_path: Path, harmless: dict[Edition, dict[str, Read]], edition: Edition, shift: int
) -> None:
    files = site_that_says(hostile_words(shift), tmp_path, edition)
    assert not any(WORKED_OUT.encode() in content for content in files.values()), "a template was run"
    shown = ""
    known = set().union(*(page.shapes for page in harmless[edition].values()))
    known |= {(tag, ()) for tag in _OF_MARKDOWN} | {("a", ("rel",)), ("a", ("href", "rel"))}
    for name, content in files.items():
        if name.endswith((".html", ".svg")):
            page = read(content)
            assert {shape for shape in page.shapes - known if shape[0] not in _DRAWN} == set(), name
            assert page.counted == harmless[edition][name].counted, name
            see_that_it_leads_nowhere_else(page, name)
            shown += " ".join(page.text)
        elif name.endswith("search_index.json"):
            see_that_results_are_harmless(json.loads(content))
        elif name.endswith((".xml",)):
            ElementTree.fromstring(content)
    # All are there to be read, besides those that Markdown leaves out or makes something harmless of.
    assert [words for words in HOSTILE if words not in shown] == []


def see_that_it_leads_nowhere_else(page: Read, name: str) -> None:
    for tag, attribute, value in page.said:
        assert not attribute.startswith("on"), (name, tag, attribute)
        plain = re.sub(r"[\s\x00-\x1f]", "", value).casefold()
        if attribute in _ADDRESSES:
            assert not plain.startswith(("javascript:", "vbscript:")) or value == "javascript:void(0)", (name, value)
            assert tag != "a" or not plain.startswith("data:"), (name, value)
            assert tag == "a" or FOREIGN not in plain, (name, tag, attribute, value)
        elif attribute == "style":
            # Hatching in a plot names a pattern of the same page.
            assert "url(" not in re.sub(r"url\(#[a-z0-9-]+\)", "", plain), (name, value)
            assert "expression(" not in plain, (name, value)
    for script in page.scripts:
        if script.lstrip().startswith("{") and "@context" in script:
            json.loads(script)
        else:
            assert "alert(1)" not in script, name
    assert not any(FOREIGN in style for style in page.styles), name


def see_that_results_are_harmless(index: Any) -> None:
    """The theme puts titles and texts of its search index into the page as HTML."""
    entries = [read(f"<div>{entry['title']} {entry['text']}</div>".encode()) for entry in index["docs"]]
    tags = {tag for each in entries for tag, _ in each.shapes}
    assert tags <= _OF_MARKDOWN | {"div", "span", "h1", "h2"}
    assert not any(attribute.startswith("on") for each in entries for _, attribute, _ in each.said)
    text = " ".join(word for each in entries for word in each.text)
    assert any("<" in words and words in text for words in HOSTILE)


# Refused, with the place and what to write instead


def all_files() -> Iterator[tuple[str, Any]]:
    for shape, place in {**WITH_PUBLISHED_FIELDS, **KEPT_WHOLE}.items():
        for path in sorted((REPOSITORY / "records").glob(place)):
            yield path.relative_to(REPOSITORY).as_posix(), shape


def texts_changed(file: str, shape: Any, change: Callable[[Leaf], str]) -> tuple[str, int]:
    """A file of the demo with every text of any words changed, and how many there are."""
    count = itertools.count()

    def rewrite(leaf: Leaf, text: str | None) -> str | None:
        # Names of entries differ, or there would be fewer of them.
        return text if text is None or leaf.kind is not str else f"{next(count):03}{change(leaf)[3:]}"

    tree = rewritten(read_tree((REPOSITORY / file).read_text("utf-8")), shape, rewrite)
    return as_yaml(tree), next(count)


@pytest.mark.parametrize(("more", "is_refused"), [(0, False), (1, True)])
def test_one_letter_more_than_there_is_room_for_is_refused_in_every_field(more: int, is_refused: bool) -> None:
    for file, shape in all_files():
        text, count = texts_changed(file, shape, lambda leaf: "W" * (leaf.most_letters + more))
        problems = read_bytes(text.encode(), file, shape, "in").problems
        assert len(problems) == (count if is_refused else 0), file
        assert {problem.code for problem in problems} <= {"out-of-range"}
        assert all(problem.line and problem.hint for problem in problems)


HIDDEN = ["\u202e", "\u2066", "\u200f", "\x07", "\x1b", "\x00", "\x7f", "\u2028", "\u200b", "\ufeff", "\x85", "\t"]


@pytest.mark.parametrize("by_number", [False, True], ids=["as it is", "by its number"])
def test_letters_that_nobody_sees_are_refused_in_every_field(by_number: bool) -> None:
    """As they are, or by their number in a text in quotes: in each field another of them."""
    letters = itertools.cycle(f"\\u{ord(letter):04x}" if by_number else letter for letter in HIDDEN)
    for file, shape in all_files():
        text, _ = texts_changed(file, shape, lambda leaf: "---HIDDEN")
        plain = json.dumps(read_tree(text), indent=0)
        spoilt = re.sub("HIDDEN", lambda _: f"a{next(letters)}b", plain)
        problems = read_bytes(spoilt.encode(), file, shape, "in").problems
        lines = {number for number, line in enumerate(plain.split("\n"), 1) if "HIDDEN" in line}
        assert {problem.line for problem in problems if problem.code == "control-character"} == lines, file
