"""A part of one file carried over into another as text, so that its layout and its comments go along."""

from __future__ import annotations

import codecs
from dataclasses import dataclass

from builder.editing.layout import Written, layout_of, reads_as
from builder.editing.writing import entry_lines


@dataclass(frozen=True, slots=True)
class Carried:
    """A key with its value as the lines of a file; `with_comments` says whether they are those that were written."""

    text: str
    with_comments: bool = True


def carried_over(content: bytes, name: str) -> Carried:
    """The key `name` of a file that reads without errors, with its value; an empty text where it has none.

    Comments inside it, behind it and right above it belong to it. Where the layout does not let its lines be taken
    out, such as in a file that is all in brackets, it is written anew.
    """
    text = content.removeprefix(codecs.BOM_UTF8).decode().replace("\r\n", "\n")
    tree = layout_of(text)
    value = tree.at(name) if tree is not None else None
    if tree is None or value is None or value.is_blank:
        return Carried("")
    meant = {name: value.plain}
    as_written = "\n".join(_lines_of(text.split("\n"), tree, name)) + "\n"
    for lines in (f"{as_written.rstrip()}\n", as_written):  # a text over lines may end in blank ones that count
        if not tree.is_bracketed and reads_as(lines, meant):
            return Carried(lines)
    return Carried("\n".join(entry_lines(name, value.plain, in_lines=True)) + "\n", with_comments=False)


def _lines_of(lines: list[str], tree: Written, name: str) -> list[str]:
    number = next(number for number, key in enumerate(tree.keys) if key.text == name)
    first = tree.keys[number].start.line
    while first and number and lines[first - 1].startswith("#"):
        first -= 1
    last = tree.keys[number + 1].start.line if number + 1 < len(tree.keys) else len(lines)
    spot = tree.inside[number].end
    end = spot.line + (spot.column > 0)
    while last > end and not lines[last - 1].startswith(" "):
        last -= 1  # blank lines, and comments that belong to what follows
    return [line.rstrip() for line in lines[first:last]]
