"""The rows of a spreadsheet ─► new records and private files, proved, or what is wrong with each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from builder.editing.layout import Plain, reads_as
from builder.editing.writing import entry_lines, in_brackets
from builder.entries.begun import modelines
from builder.entries.keeping import PRIVATE, RECORD, HasErrors, usual_order
from builder.imports.columns import Columns, FieldFrom
from builder.imports.forms import NoForm, day_as_written
from builder.imports.spreadsheet import Row, Spreadsheet
from builder.lengths import NotUnderstood, Unit
from builder.problems import Problem, in_short
from builder.reading.converters import read_serial
from builder.reading.folder import InstrumentRead, read_bytes, read_shop_folder
from builder.record import PrivateFile, Record
from builder.workshop import put_together

_BARE = re.compile(r"[+-]?[\d.,/ ½¼¾⅛⅜⅝⅞-]*[\d½¼¾⅛⅜⅝⅞]", re.ASCII)
_FOLDER = re.compile(r"records/instruments/([^/]+)/")


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a row is refused, or what to look at again: the head of the column, if it is one, what, and what to do."""

    column: str
    message: str
    hint: str


@dataclass(frozen=True, slots=True)
class RowRead:
    """One row: its serial as far as it is known, the files that would be made of it, and what is wrong with it.

    `is_for_everybody` says that the next site for buyers would show the instrument.
    """

    number: int
    serial: str
    record: bytes
    private: bytes
    is_for_everybody: bool = False
    wrong: tuple[Reason, ...] = ()
    doubtful: tuple[Reason, ...] = ()


def read_rows(
    sheet: Spreadsheet, columns: Columns, shop_folder: Path, file: str, taken: Sequence[str]
) -> tuple[RowRead, ...]:
    """Every row with what came of it; `taken` are the serials there are. Raises HasErrors for a broken shop file."""
    around = read_shop_folder(shop_folder, private_files=any(each.is_private for each in columns.fields), only="")
    if around.shop.value is None:
        raise HasErrors(around.shop.problems)
    unit = around.shop.value.unit
    there = {serial.casefold(): _never(serial) for serial in taken}
    read: list[RowRead] = []
    new: dict[str, InstrumentRead] = {}
    column = _column_of("serial", False, columns, sheet.head)
    for row in sheet.rows:
        made, instrument = _read_row(row, sheet.head, columns, shop_folder, file, unit)
        folded = made.serial.casefold()
        if made.serial and folded in there:
            made = replace(made, wrong=(Reason(column, *there[folded]),))
        elif instrument is not None:
            new[made.serial] = instrument
        there.setdefault(folded, (f"row {row.number} has the serial «{made.serial}» too", "each needs one of its own"))
        read.append(made)
    folders = (*around.folders, *new)
    together = put_together(replace(around, instruments=tuple(new.values()), folders=folders)).problems
    return tuple(_with_problems(each, together, columns, sheet) if not each.wrong else each for each in read)


def _never(serial: str) -> tuple[str, str]:
    return f"there is an instrument «{serial}» already", "what is there is never overwritten"


def _read_row(
    row: Row, head: Sequence[str], columns: Columns, shop_folder: Path, file: str, unit: Unit
) -> tuple[RowRead, InstrumentRead | None]:
    """A row by itself; None beside it where it cannot be read."""
    wrong: list[Reason] = []
    trees: dict[bool, dict[str, Any]] = {False: {"format": "1"}, True: {"format": "1"}}
    for field in columns.fields:
        cell = field.always if field.column is None else row.cells[field.column]
        if not cell:
            continue
        try:
            value = _value_of(cell, field)
        except NoForm as trouble:
            wrong.append(Reason(_head_of(field, head), trouble.message, trouble.hint))
            continue
        inner = trees[field.is_private]
        for name in field.path[:-1]:
            inner = inner.setdefault(name, {})
        inner[field.path[-1]] = value
    if row.beyond:
        wrong.append(Reason("", "something stands to the right of the last column that has a head", "give it a head"))
    serial = str(trees[False].get("serial", ""))
    if not serial:
        wrong.append(Reason(_column_of("serial", False, columns, head), "there is no serial", "write one"))
    if "kind" not in trees[False]:
        wrong.append(Reason(_column_of("kind", False, columns, head), "nothing says what kind it is", "write it"))
    origin = f"# From {in_short(file)}, row {row.number}."
    record = _text("record", trees[False], origin, shop_folder)
    private = _text("private", trees[True], f"# Only for the workshop: never published.\n{origin}", shop_folder)
    made = RowRead(row.number, serial, record, private)
    try:
        read_serial(serial)
    except NotUnderstood as trouble:
        if serial:
            wrong.append(Reason(_column_of("serial", False, columns, head), trouble.message, trouble.hint))
    if wrong:
        return replace(made, wrong=tuple(wrong)), None
    folder = f"records/instruments/{serial}"
    read = InstrumentRead(
        serial,
        read_bytes(record, f"{folder}/{RECORD}", Record, unit),
        read_bytes(private, f"{folder}/{PRIVATE}", PrivateFile, unit),
    )
    found = read.record.value
    return replace(made, is_for_everybody=bool(found and found.is_for_buyers and not found.is_unlisted)), read


def _value_of(cell: str, field: FieldFrom) -> Plain:
    """What a cell says, as a record would have it. Raises NoForm."""
    if field.form is not None:
        cell = day_as_written(cell, field.form)
    if field.unit and _BARE.fullmatch(cell):
        cell = f"{cell} {field.unit}"
    if not field.is_list:
        return f"{cell}\n" if "\n" in cell else cell
    return [each.strip() for each in re.split(r"[,;\n]", cell) if each.strip()]


def _text(kind: str, tree: Mapping[str, Any], above: str, shop_folder: Path) -> bytes:
    """A new file: its keys in their usual order, each value so that both readers of YAML read it as it is meant."""
    ordered = _in_order(tree, usual_order(Record if kind == "record" else PrivateFile), ())
    top = [*modelines(kind, shop_folder), above]
    lines = [line for name, value in ordered.items() for line in entry_lines(name, value)]
    text = "\n".join([*top, *lines]) + "\n"
    if not reads_as(text, ordered):
        text = "\n".join([*top, *(f"{name}: {in_brackets(value)}" for name, value in ordered.items())]) + "\n"
    return text.encode()


def _in_order(tree: Mapping[str, Any], order: Any, path: tuple[str, ...]) -> dict[str, Any]:
    usual = list(order(path))
    names = sorted(tree, key=lambda name: usual.index(name) if name in usual else len(usual))
    return {
        name: _in_order(tree[name], order, (*path, name)) if isinstance(tree[name], dict) else tree[name]
        for name in names
    }


def _with_problems(read: RowRead, problems: Sequence[Problem], columns: Columns, sheet: Spreadsheet) -> RowRead:
    """A row with what is said of its files once all of them stand in the shop."""
    of_it = [each for each in problems if (found := _FOLDER.match(each.file)) and found[1] == read.serial]
    reasons = {
        severity: tuple(dict.fromkeys(_told(each, columns, sheet) for each in of_it if each.severity == severity))
        for severity in ("error", "warning")
    }
    return replace(read, wrong=reasons["error"], doubtful=reasons["warning"])


def _told(problem: Problem, columns: Columns, sheet: Spreadsheet) -> Reason:
    is_private = problem.file.endswith(f"/{PRIVATE}")
    field = re.sub(r"\[\d+\].*", "", problem.field)
    return Reason(_column_of(field, is_private, columns, sheet.head), problem.message, problem.hint)


def _column_of(field: str, is_private: bool, columns: Columns, head: Sequence[str]) -> str:
    """The head of the column that fills a field, or the nearest one around it; empty where none does."""
    for name in _outwards(field):
        for each in columns.fields:
            if each.is_private == is_private and each.said == name:
                return _head_of(each, head)
    return ""


def _outwards(field: str) -> Iterator[str]:
    while field:
        yield field
        field = field.rpartition(".")[0]


def _head_of(field: FieldFrom, head: Sequence[str]) -> str:
    return head[field.column] if field.column is not None else ""
