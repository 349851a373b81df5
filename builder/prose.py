"""The shop's own pages: Markdown files of `records/pages`, with what stands above them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from builder.addresses import CARE
from builder.reading.tree import Entries, Text
from builder.reading.yaml_text import read_yaml

_FRONT_MATTER = re.compile(r"\A\ufeff?---[ ]*\r?\n(.*?)\r?\n(?:---|\.\.\.)[ ]*(?:\r?\n|\Z)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Prose:
    """A Markdown file of the shop's own: path below `records/pages`, text without its front matter, title if given."""

    path: str
    front_matter: str
    text: str
    is_draft: bool

    @property
    def lines_above(self) -> int:
        """How many lines of the file stand above its text: those of the front matter and the two around it."""
        return self.front_matter.count("\n") + 3 if self.front_matter else 0

    @property
    def address(self) -> str:
        """Where it stands in the site."""
        return f"{self.path.removesuffix('.md')}.html"


def care_of(pages_folder: Path) -> str:
    """The shop's own page on care, without its front matter; empty where it has none."""
    found = [each.text for each in read_prose(pages_folder) if each.address == CARE and not each.is_draft]
    return found[0] if found else ""


def read_prose(pages_folder: Path) -> tuple[Prose, ...]:
    """The shop's own Markdown files, in order of their paths. Text that is not UTF-8 is read as well as can be."""
    prose = []
    for file in sorted(pages_folder.rglob("*.md")):
        text = file.read_text(encoding="utf-8", errors="replace")
        found = _FRONT_MATTER.match(text)
        front_matter = found.group(1) if found else ""
        body = text[found.end() :] if found else text.removeprefix("\ufeff")
        path = file.relative_to(pages_folder).as_posix()
        prose.append(Prose(path, front_matter, body, _says_draft(front_matter)))
    return tuple(prose)


def _says_draft(front_matter: str) -> bool:
    tree, _, _ = read_yaml(front_matter.encode(), "front matter")
    entries = tree.entries if isinstance(tree, Entries) else ()
    return any(
        key.text == "draft" and isinstance(value, Text) and value.text.casefold() in ("yes", "true")
        for key, value in entries
    )
