"""One addition to one file: an entry at the end of a list, or a key with its value in a group.

Each gives the new bytes, or raises `Refused`. Every byte that stood in the file stands in it still, in its order;
only a value that is to be replaced goes.
"""

from __future__ import annotations

import codecs
import copy
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import yaml

from builder.editing.layout import NotPlain, Plain, Spot, Written, layout_of, reads_as
from builder.editing.writing import as_text, entry_lines, in_brackets, item_lines

Path = tuple[str | int, ...]
#: The keys that a group at some path may have, in the order that files usually have them.
UsualOrder = Callable[[Path], Sequence[str]]
#: How far a list or group is indented below its key where the file shows no other.
_INDENT = 2


class Refused(Exception):
    """The addition cannot be made without touching something else; `message` says why, `hint` what to do."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(f"{message}; {hint}")
        self.message, self.hint = message, hint


class AlreadyWritten(Refused):
    """A key has a value already, which is not to be lost."""


@dataclass(frozen=True, slots=True)
class _Change:
    """Text put in between two places of the file, counted in signs; what stood between them goes."""

    start: int
    end: int
    text: str


def _no_order(path: Path) -> Sequence[str]:
    return ()


def add_entry(content: bytes, path: Path, entry: Plain, order: UsualOrder = _no_order) -> bytes:
    """Put an entry at the end of the list at `path`, which is begun where it is not there yet.

    `order` tells the usual order of a group's keys, so that a new one finds its place.
    """
    file = _File(content)
    written = _at(file.tree, path)
    if written is None or written.is_blank:
        return set_value(content, path, [entry], order)
    if written.kind != "list":
        raise Refused(f"«{_said(path)}» is no list in this file", "add the entry in an editor")
    meant = file.meant()
    _inside(meant, path).append(entry)
    return file.changed(_new_entries(file, written, entry), meant)


def set_value(
    content: bytes, path: Path, value: Plain, order: UsualOrder = _no_order, *, replace: bool = False
) -> bytes:
    """Give the key at `path` a value; groups around it are begun where they are not there yet.

    What is written already stays, and `Refused` says so, unless `replace` is given.
    """
    file = _File(content)
    there = _at(file.tree, path)
    if there is not None and not there.is_blank:
        if not replace:
            raise AlreadyWritten(f"«{_said(path)}» is written already", "change it in an editor")
        meant = file.meant()
        _inside(meant, path[:-1])[path[-1]] = value
        return file.changed(_replaced(file, there, path, value), meant)
    depth = next(depth for depth in range(len(path) - 1, -1, -1) if _is_begun(_at(file.tree, path[:depth])))
    around = _at(file.tree, path[:depth])
    assert around is not None, "the whole file is there"
    key = path[depth]
    if around.kind != "group" or isinstance(key, int):
        raise Refused(f"«{_said(path[:depth])}» is no group of keys in this file", "add the entry in an editor")
    for name in reversed(path[depth + 1 :]):
        value = {str(name): value}
    meant = file.meant()
    _inside(meant, path[:depth])[key] = value
    is_open = around.at(key) is not None
    ways = _filled(file, around, key, value) if is_open else _new_keys(file, around, key, value, order(path[:depth]))
    return file.changed(ways, meant)


def without_key(content: bytes, path: Path) -> bytes:
    """Take a key with its value out of its group; what else stood on its lines stays."""
    file = _File(content)
    around = _at(file.tree, path[:-1])
    if around is None or around.kind != "group" or around.at(path[-1]) is None:
        raise Refused(f"there is no «{_said(path)}» in this file", "see how it is spelled there")
    meant = file.meant()
    del _inside(meant, path[:-1])[path[-1]]
    return file.changed(_taken_out(file, around, str(path[-1])), meant)


def spelled_key(content: bytes, path: Path, reads: Callable[[str], object]) -> Path:
    """The path with its last key spelled as it is in the file, where one stands there that `reads` alike."""
    around = _at(_File(content).tree, path[:-1])
    for key in around.keys if around is not None else ():
        try:
            if reads(key.text) == reads(str(path[-1])):
                return (*path[:-1], key.text)
        except ValueError:
            continue
    return path


class _File:
    """The text of a file, its layout, and where its lines begin."""

    def __init__(self, content: bytes) -> None:
        self._mark = codecs.BOM_UTF8 if content.startswith(codecs.BOM_UTF8) else b""
        self.text = content[len(self._mark) :].decode()
        self.lines = self.text.split("\n")
        self._begins = [0]
        for line in self.lines:
            self._begins.append(self._begins[-1] + len(line) + 1)
        try:
            tree = layout_of(self.text)
        except (yaml.YAMLError, NotPlain):
            raise Refused("this file cannot be read", "see what boutbook check says of it") from None
        if tree is None:
            raise Refused("nothing is written in this file", "begin it in an editor")
        self.tree = tree

    def meant(self) -> Any:
        """What the file says, to be changed into what it is to say."""
        return copy.deepcopy(self.tree.plain)

    def place(self, spot: Spot) -> int:
        """A spot, counted in signs from the beginning."""
        return min(self._begins[min(spot.line, len(self.lines))] + spot.column, len(self.text))

    def lines_at(self, line: int, new: Sequence[str]) -> _Change:
        """New lines before the line of this number."""
        text = "".join(f"{each}\n" for each in new)
        if line < len(self.lines):
            return _Change(self._begins[line], self._begins[line], text)
        return _Change(len(self.text), len(self.text), f"\n{text[:-1]}")  # the last line has no end

    def after(self, written: Written, column: int) -> Iterator[int]:
        """Lines before which something may follow a value; first behind the comments indented to `column` at least."""
        end = written.end.line + (written.end.column > 0)
        last = end
        while written.is_block_text and last and not self.lines[last - 1].strip():
            last -= 1
        behind = last
        while behind < len(self.lines) and _is_comment(self.lines[behind], column):
            behind += 1
        yield from dict.fromkeys((behind, last, end))

    def changed(self, ways: Iterator[_Change], meant: Plain) -> bytes:
        """The first way of writing it that both parsers read as what is meant."""
        line_end = "\r\n" if self.lines[0].endswith("\r") else "\n"
        for way in ways:
            put_in = way.text.replace("\n", line_end)
            text = f"{self.text[: way.start]}{put_in}{self.text[way.end :]}"
            if reads_as(text, meant):
                return self._mark + text.encode()
        raise Refused("the layout of this file leaves no safe place for it", "add it in an editor")


def _new_entries(file: _File, written: Written, entry: Plain) -> Iterator[_Change]:
    """Ways to put an entry at the end of a list that has one already, or of [ ]."""
    if written.is_bracketed:
        yield from _in_brackets(file, written, in_brackets(entry))
        return
    last, column = written.inside[-1], written.start.column
    indent = last.start.column - column if last.start.column > column else _INDENT
    in_lines = last.kind == "group" and not last.is_bracketed
    lines = [
        f"{'' if number else '-':{indent}}{line}" for number, line in enumerate(item_lines(entry, in_lines=in_lines))
    ]
    for line in file.after(written, column):
        yield file.lines_at(line, [f"{'':{column}}{each}" for each in lines])


def _new_keys(file: _File, around: Written, key: str, value: Plain, order: Sequence[str]) -> Iterator[_Change]:
    """Ways to put a new key into a group: behind the last of those that usually stand before it."""
    if around.is_bracketed:
        yield from _in_brackets(file, around, f"{as_text(key, is_key=True)}: {in_brackets(value)}")
        return
    column = around.start.column
    is_open = column == 0 and isinstance(value, dict)  # a part of the whole file will grow, and has lines
    lines = [f"{'':{column}}{line}".rstrip() for line in entry_lines(key, value, in_lines=is_open)]
    before = set(order[: order.index(key)]) if key in order else {each.text for each in around.keys}
    places = [number for number, each in enumerate(around.keys) if each.text in before]
    groups = around.keys[1:] if column == 0 and not isinstance(value, str) else ()
    apart = any(not file.lines[each.start.line - 1].strip() for each in groups)
    for number in [*places[-1:], len(around.keys) - 1]:
        behind = around.inside[number] if not around.inside[number].is_blank else around.keys[number]
        for line in file.after(behind, column + 1):
            stands_apart = apart and (line >= len(file.lines) or not file.lines[line].strip())
            yield file.lines_at(line, ["", *lines] if stands_apart else lines)


def _in_brackets(file: _File, written: Written, new: str) -> Iterator[_Change]:
    """Ways to put something at the end of what stands in brackets; where its parts have lines, on a line of its own."""
    if not written.inside:
        place = file.place(written.start) + 1
        yield _Change(place, place, new)
        return
    last = written.inside[-1]
    first_of_last = written.keys[-1] if written.keys else last
    place, line = file.place(last.end), file.lines[last.end.line].rstrip("\r")
    behind = line[last.end.column :].strip()
    begins_its_line = not file.lines[first_of_last.start.line][: first_of_last.start.column].strip()
    indent = f"{'':{first_of_last.start.column}}"
    if begins_its_line and not behind:
        yield _Change(place, place, f",\n{indent}{new}")
    if begins_its_line and behind.startswith(",") and written.end.line > last.end.line:
        yield file.lines_at(last.end.line + 1, [f"{indent}{new},"])
    yield _Change(place, place, f", {new}")


def _filled(file: _File, around: Written, key: str, value: Plain) -> Iterator[_Change]:
    """Ways to give a value to a key that was left open."""
    number = next(number for number, each in enumerate(around.keys) if each.text == key)
    written = around.keys[number]
    first, *others = entry_lines(key, value)
    named = as_text(key, is_key=True)
    colon = file.text.index(":", file.place(written.end)) + 1
    if around.is_bracketed or not others:
        short = in_brackets(value) if around.is_bracketed else first[len(named) + 2 :]
        yield _Change(colon, colon, f" {short}")
    elif first == f"{named}:":
        yield file.lines_at(written.end.line + 1, [f"{'':{around.start.column}}{line}" for line in others])


def _replaced(file: _File, written: Written, path: Path, value: Plain) -> Iterator[_Change]:
    """The way to write a value in the place of another; a text that runs over lines is left to an editor."""
    if written.is_block_text:
        return
    if written.kind == "text" or written.is_bracketed:
        yield _Change(file.place(written.start), file.place(written.end), in_brackets(value))
        return
    around = _at(file.tree, path[:-1])
    key = next((each for each in around.keys if each.text == path[-1]), None) if around is not None else None
    if key is not None:
        colon = file.text.index(":", file.place(key.end)) + 1
        yield _Change(colon, file.place(written.end), f" {in_brackets(value)}")


def _taken_out(file: _File, around: Written, name: str) -> Iterator[_Change]:
    """Ways to take a key and its value out of a group."""
    number = next(number for number, each in enumerate(around.keys) if each.text == name)
    key, value = around.keys[number], around.inside[number]
    end = max(key.end, value.end)
    behind = file.lines[end.line][end.column :].strip().removeprefix(",").lstrip()
    has_lines = not file.lines[key.start.line][: key.start.column].strip() and (not behind or behind.startswith("#"))
    if has_lines and not value.is_block_text:
        yield _Change(file.place(Spot(key.start.line, 0)), file.place(Spot(end.line + 1, 0)), "")
    if around.is_bracketed and number + 1 < len(around.keys):
        yield _Change(file.place(key.start), file.place(around.keys[number + 1].start), "")
    elif around.is_bracketed:
        before = around.inside[number - 1].end if number else key.start
        yield _Change(file.place(before), file.place(end), "")


def _is_comment(line: str, column: int) -> bool:
    inside = line.lstrip(" ")
    return inside.startswith("#") and len(line) - len(inside) >= column


def _at(tree: Written, path: Path) -> Written | None:
    found: Written | None = tree
    for name in path:
        found = found.at(name) if found is not None else None
    return found


def _inside(tree: Any, path: Path) -> Any:
    for name in path:
        tree = tree[name]
    return tree


def _is_begun(written: Written | None) -> bool:
    return written is not None and not written.is_blank


def _said(path: Path) -> str:
    return ".".join(str(name) for name in path) or "the file"
