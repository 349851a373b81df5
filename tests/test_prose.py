"""The shop's own pages as they are handed on: what is a draft, and what of remarks is left."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from mkdocs.utils import markdown_extensions

from builder.prose import ENDINGS, Prose, care_of, read_prose, without_remarks


def prose_of(folder: Path, text: str, name: str = "page.md") -> Prose:
    (folder / name).write_bytes(text.encode())
    (read,) = read_prose(folder)
    return read


def test_every_ending_that_the_site_generator_takes_for_a_page_is_read_as_one() -> None:
    assert set(ENDINGS) == set(markdown_extensions)


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_page_stands_at_its_name(tmp_path: Path, ending: str) -> None:
    assert prose_of(tmp_path, "# Care\n", f"care{ending}").address == "care.html"
    assert care_of(tmp_path) == "# Care\n"


@pytest.mark.parametrize(
    "head",
    [
        "---\ndraft: yes\n---\n",
        "---\ntitle: x\ndraft: true # until May\n---\n",
        '---\nDraft: "yes"\n---\n',
        "\ufeff---\r\ndraft: on\r\n---\r\n",
        "---\ntitle: [not closed\ndraft: yes\n---\n",
        "draft: yes\n\n",
        "title: Bench notes\ndraft: soon\n\n",
    ],
)
def test_a_page_is_a_draft_if_it_says_so_in_any_way(tmp_path: Path, head: str) -> None:
    assert prose_of(tmp_path, f"{head}# Bench notes\n").is_draft


@pytest.mark.parametrize(
    "head",
    ["", "---\ntitle: x\n---\n", "---\ndraft: no\n---\n", "---\ndraft: False\n---\n", "---\ndraft:\n---\n", "a: b\n"],
)
def test_a_page_is_no_draft_otherwise(tmp_path: Path, head: str) -> None:
    assert not prose_of(tmp_path, f"{head}# Drafts\n\ndraft: yes\n").is_draft


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Before <!-- ask Tom --> after", "Before  after"),
        ("One.\n\n<!--\n\nlong\n\n-->\n\nTwo.", "One.\n\n\n\n\n\n\n\nTwo."),
        ("<!-- one -->a<!-- two -->", "a"),
        ("`<!-- shown -->` and <!-- not --> so", "`<!-- shown -->` and  so"),
        ("```html\n<!-- shown -->\n```\n<!-- not -->\n", "```html\n<!-- shown -->\n```\n\n"),
        ("~~~\n<!-- shown -->\n~~~\n", "~~~\n<!-- shown -->\n~~~\n"),
        ("a ` b\n\n<!-- not --> ` c", "a ` b\n\n ` c"),
        ("an arrow --> and a <!-- that is never closed", "an arrow --> and a <!-- that is never closed"),
    ],
)
def test_remarks_in_the_text_are_left_out_and_code_stays(text: str, left: str) -> None:
    assert without_remarks(text) == left


def test_remarks_above_a_page_are_left_out_and_all_else_means_the_same(tmp_path: Path) -> None:
    above = """
# who asked for this page
title: "2026"   # the year
description: Care, and what to oil
date: 2026-03-04
hide: [navigation, 'toc'] # both
weight: 3
"a key": {one: 1, two: "x # y"}
list:
  - one, two
  # between
  - three
text: |
  # no remark
  second line
empty:
"""
    read = prose_of(tmp_path, f"---{above}---\n\nText.\n")
    for remark in ("who asked", "the year", "both", "between"):
        assert remark not in read.front_matter
    assert yaml.safe_load(read.front_matter) == yaml.safe_load(above)
    assert read.text == "\nText.\n"


def test_every_line_of_the_text_is_known_by_its_number_in_the_file(tmp_path: Path) -> None:
    text = "---\ntitle: Care\n# a remark\nlist:\n  - one\n---\n\nOne.\n\n<!--\nask Tom\n-->\nTwo."
    read = prose_of(tmp_path, text)
    for number, line in enumerate(read.text.split("\n"), read.lines_above):
        assert line in ("", text.split("\n")[number])
    assert read.text.split("\n")[-1] == "Two."
    assert prose_of(tmp_path, "Two.").lines_above == 0
