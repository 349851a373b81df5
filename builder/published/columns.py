"""Lengths in words, and tables whose columns carry unit and source."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Measure:
    """A length in words, the unit it was written in first, then the other; and as a number of millimetres."""

    said: str
    also: str
    mm: float


@dataclass(frozen=True, slots=True)
class Column:
    """Head of a column: key for programs, title for people, unit (empty for none), source key, decimals shown."""

    key: str
    title: str
    unit: str
    source: str
    decimals: int = 0
    signed: bool = False


@dataclass(frozen=True, slots=True)
class PublishedSource:
    """A source that columns name by its key."""

    key: str
    citation: str


@dataclass(frozen=True, slots=True)
class Table:
    """Columns and rows; a cell is a text or a number in its column's unit."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str | float, ...], ...]
