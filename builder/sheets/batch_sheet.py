"""Paper for several instruments built together: what to buy, what to pick from the rack, and six columns to tick.

One column an instrument, six to a table. What is the same in all of them stands once above the table; the columns
hold what differs, and the steps. Private names stand there only if the orders handed in name a buyer.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.published import FigureTable, Published, PublishedBench, PublishedShop
from builder.published.batch import PublishedBatch
from builder.published.order import PublishedOrder
from builder.sheets.inlined import bench_faces, style_sheet
from builder.sheets.particulars import Said, specification_of, strings_in_words, tunings_in_words
from builder.templates import day_in_words, render

#: Columns of instruments that are still wide enough to write in.
COLUMNS = 6


@dataclass(frozen=True, slots=True)
class BatchMember:
    """One instrument of a batch; `order` is None where nothing of it is to be printed."""

    instrument: Published
    bench: PublishedBench
    order: PublishedOrder | None = None


@dataclass(frozen=True, slots=True)
class ToTick:
    """One step for one instrument: the instrument has it or not, and the day it was done."""

    is_asked: bool
    done: str | None


@dataclass(frozen=True, slots=True)
class SixUp:
    """A table of up to six instruments. `differing` and `steps` have a cell for each, in the order of `serials`."""

    serials: tuple[str, ...]
    alike: tuple[Said, ...]
    differing: tuple[tuple[str, tuple[str, ...]], ...]
    steps: tuple[tuple[str, tuple[ToTick, ...]], ...]


def batch_sheet_html(batch: PublishedBatch, members: Sequence[BatchMember], shop: PublishedShop) -> str:
    """The papers of a batch as one page of its own: shopping, picking, then the tables of six columns."""
    tables = {each.key: each for each in batch.shopping.tables}
    return str(
        render(
            "sheets/batch-sheet.html",
            batch=batch,
            shop=shop,
            title=_title(batch.serials),
            hardware=_rows(tables.get("hardware")),
            strings=_rows(tables.get("strings")),
            billets=tuple(
                (billet, tuple(picks)) for billet, picks in itertools.groupby(batch.picks, lambda pick: pick.billet)
            ),
            six_up=tuple(six_up(members[first : first + COLUMNS]) for first in range(0, len(members), COLUMNS)),
            faces=bench_faces(),
            style=style_sheet("bench-sheet.css"),
        )
    )


def six_up(members: Sequence[BatchMember]) -> SixUp:
    """The table of these instruments: what is alike, what differs, and every step that one of them asks for."""
    said = [dict(_particulars(member)) for member in members]
    labels = tuple(dict.fromkeys(label for each in said for label in each))
    cells = [(label, tuple(each.get(label, "") for each in said)) for label in labels]
    alike = [(label, row) for label, row in cells if len(members) > 1 and len(set(row)) == 1]
    steps = [{step.step: step.done for step in member.bench.steps} for member in members]
    names = tuple(dict.fromkeys(name for each in steps for name in each))
    return SixUp(
        serials=tuple(member.bench.serial for member in members),
        alike=tuple(Said(label, row[0]) for label, row in alike),
        differing=tuple(each for each in cells if each not in alike),
        steps=tuple((name, tuple(ToTick(name in each, each.get(name)) for each in steps)) for name in names),
    )


def _particulars(member: BatchMember) -> Iterator[tuple[str, str]]:
    """Everything said of one instrument, in order; what stands under one label twice is joined."""
    instrument, order = member.instrument, member.order
    yield "Name", instrument.name or ""
    yield "Kind", instrument.kind
    if order and order.buyer:
        yield "For", order.buyer
    if member.bench.promised:
        yield "Promised", day_in_words(member.bench.promised)
    together: dict[str, str] = {}
    for said in (*specification_of(instrument), *strings_in_words(instrument)):
        together[said.label] = f"{together[said.label]}; {said.text}" if said.label in together else said.text
    yield from together.items()
    if instrument.strings and instrument.strings.tunings:
        yield "Tuned", tunings_in_words(instrument)


def _rows(table: FigureTable | None) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(map(str, row)) for row in table.table.rows) if table else ()


def _title(serials: tuple[str, ...]) -> str:
    return f"{serials[0]} to {serials[-1]}" if len(serials) > 1 else "".join(serials)
