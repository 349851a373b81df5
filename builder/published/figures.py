"""The figures of one subject in one shape, so that every subject reads alike: facts, tables, cautions, notes."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published.columns import Table


@dataclass(frozen=True, slots=True)
class Figure:
    """One thing worked out or recorded: `key` for programs, `title` for people.

    `said` is how it reads, in the shop's unit; `also` the same in the other unit, or empty. `value` is the number in
    `unit` for programs (None where the figure is words). `source` is a key of the bibliography.
    """

    key: str
    title: str
    said: str
    also: str = ""
    value: float | None = None
    unit: str = ""
    source: str = "record"


@dataclass(frozen=True, slots=True)
class FigureTable:
    """A table with its caption; `folded` where it is for whoever wants to look closer."""

    key: str
    title: str
    caption: str
    table: Table
    folded: bool = False


@dataclass(frozen=True, slots=True)
class Figures:
    """Everything shown of one subject. Each part may be empty, and then nothing is shown of it.

    `lead` is a sentence or two that say what this is about. `cautions` are what a careful shop would say aloud;
    `notes` what a figure leaves out or rests on; `wanting` names what the record lacks for a sum half begun.
    """

    lead: str = ""
    facts: tuple[Figure, ...] = ()
    tables: tuple[FigureTable, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    wanting: tuple[str, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to show."""
        return not (self.facts or self.tables or self.cautions)


@dataclass(frozen=True, slots=True)
class Subject:
    """The figures of one subject under its own heading. `key` is its place on the page, and its anchor."""

    key: str
    title: str
    figures: Figures
