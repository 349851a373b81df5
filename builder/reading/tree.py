"""A file as read: texts, lists and mappings, each with its place. No value is interpreted yet."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """Line and column, counted from 1."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Text:
    """A single value, as text. `in_quotes` tells `''` from nothing written at all."""

    text: str
    place: Place
    in_quotes: bool = False

    @property
    def is_blank(self) -> bool:
        """Whether nothing was written: a key with its value left open."""
        return not self.text and not self.in_quotes


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    items: tuple[Node, ...]
    place: Place
    in_flow_style: bool = False


@dataclass(frozen=True, slots=True)
class Entries:
    """A mapping: keys with their values, in the order written, each key once."""

    entries: tuple[tuple[Text, Node], ...]
    place: Place
    in_flow_style: bool = False


Node = Text | Items | Entries
