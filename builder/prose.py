"""The shop's own pages: Markdown files of `records/pages`, with what stands above them.

Remarks are nobody's business but the maker's: those of YAML above a page, and those of HTML in its text, are left out.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from builder.addresses import CARE
from builder.reading.tree import Entries, Items, Node
from builder.reading.yaml_text import read_yaml

#: How the name of a page of prose ends.
ENDINGS = (".md", ".markdown", ".mdown", ".mkdn", ".mkd")

_FRONT_MATTER = re.compile(r"\A\ufeff?---[ ]*\r?\n(.*?)\r?\n(?:---|\.\.\.)[ ]*(?:\r?\n|\Z)", re.DOTALL)
#: Lines `key: value` at the very start, which are read as front matter too though nothing stands round them.
_BARE_FRONT_MATTER = re.compile(r"\A\ufeff?(?:[ ]{0,3}[\w-]+:.*\r?\n)+")
_DRAFT = re.compile(r"^[ ]{0,3}draft[ ]*:(.*)$", re.IGNORECASE | re.MULTILINE)
_NO = {"no", "n", "false", "off", "0", "null", "~", ""}
#: A remark, or code, in which nothing is one.
_REMARK_OR_CODE = re.compile(
    r"(?P<code>^[ ]*(?P<fence>`{3,}|~{3,}).*?^[ ]*(?P=fence)|(?P<ticks>`+)(?:(?!\n\s*\n).)+?(?P=ticks))|<!--.*?-->",
    re.DOTALL | re.MULTILINE,
)


@dataclass(frozen=True, slots=True)
class Prose:
    """A Markdown file of the shop's own: path below `records/pages`, front matter and text without remarks.

    `lines_above` is how many lines of the file stand above its text.
    """

    path: str
    front_matter: str
    text: str
    is_draft: bool
    lines_above: int

    @property
    def address(self) -> str:
        """Where it stands in the site."""
        return str(PurePosixPath(self.path).with_suffix(".html"))


def care_of(pages_folder: Path) -> str:
    """The shop's own page on care, without its front matter; empty where it has none."""
    found = [each.text for each in read_prose(pages_folder) if each.address == CARE and not each.is_draft]
    return found[0] if found else ""


def read_prose(pages_folder: Path) -> tuple[Prose, ...]:
    """The shop's own Markdown files, in order of their paths. Text that is not UTF-8 is read as well as can be."""
    prose = []
    for file in sorted(path for path in pages_folder.rglob("*") if path.suffix in ENDINGS and path.is_file()):
        text = file.read_text(encoding="utf-8", errors="replace")
        found = _FRONT_MATTER.match(text)
        front_matter = found.group(1) if found else ""
        bare = None if found else _BARE_FRONT_MATTER.match(text)
        body = text[found.end() :] if found else text.removeprefix("\ufeff")
        prose.append(
            Prose(
                path=file.relative_to(pages_folder).as_posix(),
                front_matter=_front_matter_without_remarks(front_matter),
                text=without_remarks(body),
                is_draft=_says_draft(bare.group() if bare else front_matter),
                lines_above=found.group().count("\n") if found else 0,
            )
        )
    return tuple(prose)


def without_remarks(text: str) -> str:
    """Markdown without `<!-- … -->`, every line at its place; in code they are no remarks, and stay."""
    return _REMARK_OR_CODE.sub(lambda found: found["code"] or "\n" * found.group().count("\n"), text)


def _says_draft(front_matter: str) -> bool:
    """Whether a page is marked as a draft. Where its front matter is not quite right, better a draft than a page."""
    said = (found[1].partition("#")[0].strip().strip("\"'") for found in _DRAFT.finditer(front_matter))
    return any(value.casefold() not in _NO for value in said)


def _front_matter_without_remarks(front_matter: str) -> str:
    """Every key with its value, written once more. What cannot be read is handed on as it is."""
    tree, problems, _ = read_yaml(front_matter.encode(), "front matter")
    if problems or not isinstance(tree, Entries):
        return front_matter
    return "\n".join(f"{_written(key)}: {_written(value)}" for key, value in tree.entries)


def _written(node: Node) -> str:
    """A value in YAML on one line. A text in quotes stays one: without them it might be a number or a day."""
    if isinstance(node, Items):
        return f"[{', '.join(map(_written, node.items))}]"
    if isinstance(node, Entries):
        return f"{{{', '.join(f'{_written(key)}: {_written(value)}' for key, value in node.entries)}}}"
    is_plain = not node.in_quotes and not set(node.text) & set("[]{},\n")
    return node.text if is_plain else json.dumps(node.text, ensure_ascii=False)
