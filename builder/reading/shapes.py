"""Lays a tree of texts over the dataclass it should be, following the dataclass's own fields and types.

Everything that does not fit is reported at its place, and reading goes on: one run finds all. Where the value of a
field cannot be read, its owner cannot be built either; the problems say why, and the result is None.
"""

from __future__ import annotations

import dataclasses
import difflib
import re
import types
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from builder.lengths import NotUnderstood, Unit
from builder.limits import Between, Words
from builder.problems import Problem, did_you_mean, in_short
from builder.reading.converters import MOST_LETTERS_OF_A_VALUE, converters
from builder.reading.tree import Entries, Items, Node, Place, Text
from builder.words import in_a_row

T = TypeVar("T")

DEFAULT_WORDS = Words(200)

_WHAT = {"Text": "a single value", "Items": "a list", "Entries": "a group of keys"}


class _Unreadable:
    """What stands for a value that could not be read; its owner is not built."""


UNREADABLE = _Unreadable()

#: Spaces that good typesetting puts between number and unit; on the screen they look like any other.
_WIDER_SPACES = dict.fromkeys((0xA0, 0x2007, 0x2009, 0x202F), " ")


class ShapeReader:
    """Reads the tree of one file. Collects `problems`, and in `places` where each field stands."""

    def __init__(self, file: str, lines: list[str], bare_unit: Unit) -> None:
        self.problems: list[Problem] = []
        self.places: dict[str, Place] = {}
        self._keys: dict[str, str] = {}
        self._file = file
        self._lines = lines
        self._converters = converters(bare_unit)
        self._bare_unit = bare_unit
        self._limits: dict[tuple[Any, Between], tuple[Any, Any]] = {}

    def read(self, tree: Node, shape: type[T]) -> T | None:
        """The tree as a `shape`, or None with every reason in `problems`."""
        value = self._value(tree, shape, "")
        return None if value is UNREADABLE or self.problems else value

    def report(self, code: str, place: Place, field: str, message: str, hint: str = "") -> None:
        """Note a problem at a place of this file."""
        line = self._lines[place.line - 1] if 0 < place.line <= len(self._lines) else ""
        problem = Problem(code, self._file, place.line, place.column, message, hint, field, source_line=line)
        self.problems.append(problem)

    def _value(self, node: Node, shape: Any, field: str, limit: Words | Between | None = None) -> Any:
        self.places[field] = node.place
        origin = get_origin(shape)
        if origin is Annotated:
            inner, *notes = get_args(shape)
            limits = [note for note in notes if isinstance(note, Words | Between)]
            return self._value(node, inner, field, limits[0] if limits else limit)
        if origin in (Union, types.UnionType):
            return self._one_of(node, [kind for kind in get_args(shape) if kind is not types.NoneType], field)
        if isinstance(shape, type) and dataclasses.is_dataclass(shape) and shape not in self._converters:
            return self._group(node, shape, field)
        if origin is tuple:
            kinds = get_args(shape)
            return self._list(node, kinds[0], field) if kinds[-1] is Ellipsis else self._row(node, kinds, field)
        if origin is Mapping:
            key_kind, kind = get_args(shape)
            return self._mapping(node, key_kind, kind, field)
        return self._single(node, shape, field, limit)

    def _one_of(self, node: Node, kinds: list[Any], field: str) -> Any:
        """A field that takes several kinds: the node's own shape decides, or one fixed word among values."""
        if len(kinds) == 1:
            return self._value(node, kinds[0], field)
        fitting = [kind for kind in kinds if _tree_type(kind, self._converters) is type(node)] or kinds[:1]
        words = [kind for kind in fitting if get_origin(kind) is Literal]
        if words and isinstance(node, Text) and node.text in get_args(words[0]):
            return node.text
        if words and isinstance(node, Text) and difflib.get_close_matches(node.text[:40], get_args(words[0])):
            return self._word(node, get_args(words[0]), field)
        others = [kind for kind in fitting if kind not in words] or words
        return self._value(node, others[0], field)

    def _group(self, node: Node, shape: Any, field: str) -> Any:
        if not isinstance(node, Entries):
            return self._wrong_shape(node, Entries, field, f"write its keys below it: {_keys_in_words(shape)}")
        hints = _hints(shape)
        values: dict[str, Any] = {}
        left_open: dict[str, Place] = {}
        for key, inner in node.entries:
            path = f"{field}.{key.text}" if field else key.text
            if key.text not in hints:
                self.report(
                    "unknown-key",
                    key.place,
                    path,
                    f"«{in_short(key.text)}» is not known here" if key.text else "there is no key before this colon",
                    did_you_mean(key.text, hints) if key.text else "write key: value",
                )
                continue
            if isinstance(inner, Text) and inner.is_blank:
                self.places[path] = left_open[key.text] = key.place
                continue
            values[key.text] = self._value(inner, hints[key.text], path)
        missing = [
            each.name
            for each in dataclasses.fields(shape)
            if each.name not in values
            and each.default is dataclasses.MISSING
            and each.default_factory is dataclasses.MISSING
        ]
        for name in missing:
            if name in left_open:
                message, hint = f"nothing is written after «{name}»", "write its value"
                self.report("missing-key", left_open[name], field, message, hint)
            else:
                message, hint = f"«{name}» is missing{_where(field)}", f"add {_example(name, hints[name])}"
                self.report("missing-key", node.place, field, message, hint)
        if missing or any(value is UNREADABLE for value in values.values()):
            return UNREADABLE
        return shape(**values)

    def _list(self, node: Node, kind: Any, field: str) -> Any:
        if not isinstance(node, Items):
            return self._wrong_shape(node, Items, field, "write it in [ ], or one entry a line, each after a -")
        values = tuple(self._value(item, kind, f"{field}[{number}]") for number, item in enumerate(node.items))
        return UNREADABLE if any(value is UNREADABLE for value in values) else values

    def _row(self, node: Node, kinds: tuple[Any, ...], field: str) -> Any:
        """A list of so many values and no more, such as a place `[x, y]`."""
        if not isinstance(node, Items):
            return self._wrong_shape(node, Items, field, f"write {len(kinds)} values in [ ]")
        if len(node.items) != len(kinds):
            message = f"«{in_short(self._called(field))}» has {len(node.items)} values here"
            self.report("wrong-shape", node.place, field, message, f"write {len(kinds)} values in [ ]")
            return UNREADABLE
        pairs = enumerate(zip(node.items, kinds, strict=True))
        values = tuple(self._value(item, kind, f"{field}[{number}]") for number, (item, kind) in pairs)
        return UNREADABLE if any(value is UNREADABLE for value in values) else values

    def _mapping(self, node: Node, key_kind: Any, kind: Any, field: str) -> Any:
        if not isinstance(node, Entries):
            return self._wrong_shape(node, Entries, field, "write its keys below it, each with a value")
        values = {}
        for key, inner in node.entries:
            path = f"{field}.{key.text}"
            self._keys[path] = key.text
            read_key = self._value(key, key_kind, path)
            values[read_key] = self._value(inner, kind, path)
            self.places[path] = key.place
        unreadable = any(value is UNREADABLE for pair in values.items() for value in pair)
        return UNREADABLE if unreadable else MappingProxyType(values)

    def _single(self, node: Node, kind: Any, field: str, limit: Words | Between | None) -> Any:
        if not isinstance(node, Text):
            return self._wrong_shape(node, Text, field, "write a single value")
        if get_origin(kind) is Literal:
            return self._word(node, get_args(kind), field)
        if kind is str:
            return self._words(node, field, limit if isinstance(limit, Words) else DEFAULT_WORDS)
        if len(node.text) > MOST_LETTERS_OF_A_VALUE:
            self.report("out-of-range", node.place, field, f"this value has {len(node.text)} letters", "shorten it")
            return UNREADABLE
        if node.is_blank:
            self.report("not-understood", node.place, field, "nothing is written here", "write a value")
            return UNREADABLE
        if "\n" in node.text.strip("\n"):
            message = f"«{in_short(self._called(field))}» runs over several lines"
            self.report("out-of-range", node.place, field, message, "keep it to one line")
            return UNREADABLE
        try:
            value = self._converters[kind](node.text.strip("\n").translate(_WIDER_SPACES))
        except NotUnderstood as trouble:
            self.report(
                "not-understood",
                node.place,
                field,
                trouble.message,
                self._cut_by_comment(node) or trouble.hint,
            )
            return UNREADABLE
        if isinstance(limit, Between) and not self._lies_between(value, kind, limit):
            message = f"{node.text} lies outside what is possible for «{self._called(field)}»"
            self.report("out-of-range", node.place, field, message, f"it lies between {limit.least} and {limit.most}")
            return UNREADABLE
        return value

    def _lies_between(self, value: Any, kind: Any, limit: Between) -> bool:
        if (kind, limit) not in self._limits:
            read = self._converters[kind]
            self._limits[kind, limit] = read(limit.least), read(limit.most)
        least, most = self._limits[kind, limit]
        return bool(least <= value <= most)

    def _word(self, node: Text, words: tuple[str, ...], field: str) -> Any:
        if node.text in words:
            return node.text
        word, name = in_short(node.text), self._called(field)
        if name == "format":
            self.report("unknown-format", node.place, field, f"format «{word}» is not known", "write format: 1")
        else:
            message = f"«{word}» is not a word for «{name}»"
            self.report("unknown-word", node.place, field, message, did_you_mean(node.text, words))
        return UNREADABLE

    def _words(self, node: Text, field: str, limit: Words) -> Any:
        text = node.text.strip("\n")
        name = in_short(self._called(field))
        if not text.strip():
            self.report(
                "not-understood",
                node.place,
                field,
                f"«{name}» is empty",
                "write something, or remove the line",
            )
            return UNREADABLE
        if "\n" in text and not limit.lines:
            self.report("out-of-range", node.place, field, f"«{name}» runs over several lines", "keep it to one line")
            return UNREADABLE
        if len(text) > limit.most:
            message = f"«{name}» has {len(text)} letters"
            self.report("out-of-range", node.place, field, message, f"at most {limit.most} fit where it is printed")
            return UNREADABLE
        return text

    def _wrong_shape(self, node: Node, wanted: type[Any], field: str, hint: str) -> _Unreadable:
        name = f"«{in_short(self._called(field))}»" if field else "the whole file"
        message = f"{name} should be {_WHAT[wanted.__name__]}, and is {_WHAT[type(node).__name__]}"
        self.report("wrong-shape", node.place, field, message, hint)
        return UNREADABLE

    def _called(self, field: str) -> str:
        """The last name in a path; a key that the maker chose, such as `linings.jpg`, is one name."""
        return self._keys.get(field) or _name(field)

    def _cut_by_comment(self, node: Text) -> str:
        """A hint where a # after a space has turned the rest of a value, such as `F #3`, into a comment."""
        line = self._lines[node.place.line - 1] if node.place.line <= len(self._lines) else ""
        rest = line[node.place.column - 1 + len(node.text) :]
        if node.in_quotes or not re.match(r"\s+#\S", rest):
            return ""
        return (
            f"what follows # after a space is a comment: write {node.text}{rest.strip().split()[0]} without the space"
        )


def _name(field: str) -> str:
    """The last name in a path: `spec.frets.add[1]` ─► `add`."""
    return field.rpartition(".")[2].partition("[")[0]


def _where(field: str) -> str:
    """` from «frets»`, ` from entry 2 of «log»`, or nothing for the file as a whole."""
    if not field:
        return ""
    last = field.rpartition(".")[2]
    entry = re.fullmatch(r"(\w+)\[(\d{1,6})\]", last, re.ASCII)
    return f" from entry {int(entry[2]) + 1} of «{entry[1]}»" if entry else f" from «{in_short(last)}»"


@cache
def _hints(shape: Any) -> dict[str, Any]:
    return get_type_hints(shape, include_extras=True)


def _example(name: str, kind: Any) -> str:
    """How a missing key is written: with its words where they are fixed, `format: 1`, else `name: …`."""
    words = get_args(kind) if get_origin(kind) is Literal else ()
    return f"{name}: {in_a_row(words, 'or') or '…'}"


def _keys_in_words(shape: type[Any]) -> str:
    return ", ".join(each.name for each in dataclasses.fields(shape)[:4])


def _tree_type(kind: Any, known: Mapping[Any, Callable[[str], Any]]) -> type[Node]:
    """Which shape of node a type is written as."""
    if get_origin(kind) is Annotated:
        return _tree_type(get_args(kind)[0], known)
    if get_origin(kind) is tuple:
        return Items
    if get_origin(kind) is Mapping or (dataclasses.is_dataclass(kind) and kind not in known):
        return Entries
    return Text
