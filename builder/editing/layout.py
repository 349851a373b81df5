"""Where each key, value and list of a YAML file stands, line and column counted from 0.

Only what parsers mark reliably is used: where anything starts, and where single values and collections in brackets
end. Where a list or group of lines ends follows from its deepest last value.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

import yaml

#: What is written or meant, without its layout: texts, lists and groups of keys.
Plain = str | list["Plain"] | dict[str, "Plain"]

FAST = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
SLOW = yaml.SafeLoader


class NotPlain(Exception):
    """The file has something in it that is no plain YAML: an anchor, a tag, a key that is no single word."""


@dataclass(frozen=True, slots=True, order=True)
class Spot:
    """A place between two signs: line and column, from 0."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Written:
    """One node as it is written. `keys` go with `inside` where it is a group; `is_bracketed` for { } and [ ].

    `end` stands behind its last sign; of a list or group of lines, behind its deepest last value.
    """

    kind: Literal["text", "list", "group"]
    start: Spot
    end: Spot
    is_bracketed: bool = False
    is_block_text: bool = False
    text: str = ""
    keys: tuple[Written, ...] = ()
    inside: tuple[Written, ...] = ()

    def at(self, name: str | int) -> Written | None:
        """The value of a key, or the entry of a list."""
        if isinstance(name, int):
            return self.inside[name] if self.kind == "list" and -len(self.inside) <= name < len(self.inside) else None
        pairs = zip(self.keys, self.inside, strict=True) if self.kind == "group" else ()
        return next((value for key, value in pairs if key.text == name), None)

    @property
    def is_blank(self) -> bool:
        """Whether nothing is written: a key with its value left open."""
        return self.kind == "text" and self.start == self.end

    @property
    def plain(self) -> Plain:
        """What it says, without its layout."""
        if self.kind == "text":
            return self.text
        if self.kind == "list":
            return [each.plain for each in self.inside]
        return {key.text: each.plain for key, each in zip(self.keys, self.inside, strict=True)}


def layout_of(text: str, loader: type = FAST) -> Written | None:
    """The layout of a file whose lines end in newlines; None where nothing is written in it.

    Raises NotPlain where it is no plain YAML, and yaml.YAMLError where it is no YAML at all.
    """
    events = iter(yaml.parse(text, Loader=loader))
    next(events)
    if isinstance(next(events), yaml.StreamEndEvent):
        return None
    tree = _node(next(events), events)
    next(events)
    if not isinstance(next(events), yaml.StreamEndEvent):
        raise NotPlain("a second document")
    return tree


def reads_as(text: str, meant: Plain) -> bool:
    """Whether two parsers, one of them written in C, both read a text as what is meant."""
    return all(plain_of(text, loader) == meant for loader in (FAST, SLOW))


def plain_of(text: str, loader: type = FAST) -> Plain | None:
    """What a text says; None where it says nothing, or is no plain YAML."""
    try:
        tree = layout_of(text, loader)
    except (yaml.YAMLError, NotPlain, ValueError):
        return None
    return tree.plain if tree is not None else None


def _node(event: yaml.Event, events: Iterator[yaml.Event]) -> Written:
    if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None) or getattr(event, "tag", None):
        raise NotPlain("an anchor or a tag")
    start = _spot(event.start_mark)
    if isinstance(event, yaml.ScalarEvent):
        return Written("text", start, _spot(event.end_mark), is_block_text=event.style in ("|", ">"), text=event.value)
    keys: list[Written] = []
    inside: list[Written] = []
    if not isinstance(event, yaml.CollectionStartEvent):
        raise NotPlain("something else than texts, lists and groups")
    if isinstance(event, yaml.SequenceStartEvent):
        while not isinstance(after := next(events), yaml.SequenceEndEvent):
            inside.append(_node(after, events))
    else:
        while not isinstance(after := next(events), yaml.MappingEndEvent):
            key = _node(after, events)
            if key.kind != "text" or key.text in {each.text for each in keys}:
                raise NotPlain("a key that is no single word, or stands twice")
            keys.append(key)
            inside.append(_node(next(events), events))
    bracketed = bool(event.flow_style)
    end = _spot(after.end_mark) if bracketed or not inside else max(inside[-1].end, keys[-1].end if keys else start)
    kind: Literal["list", "group"] = "list" if isinstance(event, yaml.SequenceStartEvent) else "group"
    return Written(kind, start, end, bracketed, keys=tuple(keys), inside=tuple(inside))


def _spot(mark: Any) -> Spot:
    assert mark is not None, "every event of a text has its marks"
    return Spot(mark.line, mark.column)
