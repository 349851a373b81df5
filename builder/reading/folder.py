"""A whole shop folder ─► shop, wood rack, patterns and instruments, with every problem of every file.

    records/shop.yaml  records/private.yaml  records/wood.yaml
    records/patterns/*.yaml  records/room.csv  records/outlines/*.svg
    records/repairs/<ticket>.yaml
    records/instruments/<serial>/record.yaml  records/instruments/<serial>/private.yaml
    records/instruments/<serial>/address.txt
    records/instruments/<serial>/photos/  records/instruments/<serial>/recordings/

Private files are opened only when asked for: a buyer's site is built without ever reading one.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Generic, TypeVar

from builder.lengths import Unit
from builder.limits import no_entries
from builder.problems import Finding, Problem
from builder.reading.address import ADDRESS_FILE, read_address
from builder.reading.beside import PHOTOS, RECORDINGS, FileBeside, files_beside, mark_beside
from builder.reading.naming import as_said, name_as_said
from builder.reading.outlines import read_outlines
from builder.reading.room_log import MOST_BYTES as MOST_BYTES_OF_A_ROOM_LOG
from builder.reading.room_log import read_room_log
from builder.reading.shapes import ShapeReader
from builder.reading.tree import Place
from builder.reading.yaml_text import MOST_BYTES, read_yaml
from builder.record import Pattern, PrivateFile, Record
from builder.record.repair import Repair
from builder.shop import Shop, WoodRack
from builder.shop.private import ShopPrivate
from builder.shop.room_log import RoomLog

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class FileRead(Generic[T]):
    """One file: what it says (None if it cannot be read), its problems, and where each field stands in it."""

    file: str
    value: T | None
    problems: tuple[Problem, ...]
    places: Mapping[str, Place]
    lines: tuple[str, ...]

    def problem_at(self, finding: Finding) -> Problem:
        """A finding as a problem of this file: at its field, or at the nearest one around it that was written."""
        path = finding.field
        while path and path not in self.places:
            path = path[: max(path.rfind("."), path.rfind("["), 0)]
        place = self.places.get(path, Place(1, 1))
        line = self.lines[place.line - 1] if 0 < place.line <= len(self.lines) else ""
        return Problem(
            finding.code, self.file, place.line, place.column, finding.message, finding.hint, finding.field,
            finding.severity, line,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class InstrumentRead:
    """An instrument's folder: its name, its record, its private file if that was asked for and is there, and what else
    lies beside the record.

    `address_ending` makes its address one that nobody can guess; None where none was drawn.
    """

    folder: str
    record: FileRead[Record]
    private: FileRead[PrivateFile] | None = None
    address_ending: str | None = None
    photos: tuple[FileBeside, ...] = ()
    recordings: tuple[FileBeside, ...] = ()


@dataclass(frozen=True, slots=True)
class ShopRead:
    """All files of a shop as read; private ones only where they were asked for and are there.

    `mark` is the shop's own picture, if it has one. `folders` are the names of all instruments' folders, also of those
    that were not asked for.
    """

    shop: FileRead[Shop]
    private: FileRead[ShopPrivate] | None = None
    wood: FileRead[WoodRack] | None = None
    patterns: Mapping[str, FileRead[Pattern]] = field(default_factory=no_entries)
    instruments: tuple[InstrumentRead, ...] = ()
    room_log: RoomLog | None = None
    outlines: Mapping[str, str] = field(default_factory=no_entries)
    stray: tuple[Problem, ...] = ()
    mark: FileBeside | None = None
    folders: tuple[str, ...] = ()
    repairs: Mapping[str, FileRead[Repair]] = field(default_factory=no_entries)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything wrong in any file."""
        found = [*self.stray, *self.shop.problems]
        found += self.private.problems if self.private else ()
        found += self.wood.problems if self.wood else ()
        for pattern in self.patterns.values():
            found += pattern.problems
        for repair in self.repairs.values():
            found += repair.problems
        for instrument in self.instruments:
            found += instrument.record.problems
            found += instrument.private.problems if instrument.private else ()
        return tuple(found)


def instrument_folders(shop_folder: Path) -> tuple[str, ...]:
    """The names of all instruments' folders, in order; they are to be the serials."""
    try:
        inside = sorted((shop_folder / "records" / "instruments").iterdir())
    except OSError:
        return ()
    return tuple(name_as_said(each.name) for each in inside if _may_be_an_instrument(each))


def repair_files(shop_folder: Path) -> tuple[str, ...]:
    """The tickets of all repairs, by the names of their files, without opening any."""
    return tuple(sorted(path.stem for path in (shop_folder / "records" / "repairs").glob("*.yaml")))


def read_shop_folder(folder: Path, *, private_files: bool, only: str | None = None) -> ShopRead:
    """Read the shop in `folder` (the one that has `records/` in it). Never raises for what a file contains.

    `private_files` says whether private files are read too; a buyer's site is built with False. `only` names the
    folder of the one instrument to read; then the others are passed over.
    """
    records = folder / "records"
    shop = read_file(records / "shop.yaml", folder, Shop, "in")
    unit = shop.value.unit if shop.value else "in"
    private, wood = records / "private.yaml", records / "wood.yaml"
    room_log, of_log = _read_room_log(records / "room.csv", folder)
    instruments, stray = _read_instruments(records / "instruments", folder, unit, private_files, only)
    return ShopRead(
        shop,
        read_file(private, folder, ShopPrivate, unit) if private_files and os.path.lexists(private) else None,
        read_file(wood, folder, WoodRack, unit) if os.path.lexists(wood) else None,
        {
            pattern.stem: read_file(pattern, folder, Pattern, unit)
            for pattern in sorted((records / "patterns").glob("*.yaml"))
        },
        tuple(instruments),
        room_log,
        read_outlines(records),
        (*stray, *of_log, *_misnamed(records, folder)),
        mark_beside(records, shop.value.mark, as_said(records, folder)) if shop.value and shop.value.mark else None,
        instrument_folders(folder),
        _read_repairs(records / "repairs", folder, unit) if private_files else {},
    )


def _read_repairs(repairs: Path, shop_folder: Path, unit: Unit) -> dict[str, FileRead[Repair]]:
    """Every repair ticket, by the name of its file."""
    return {
        ticket: read_file(repairs / f"{ticket}.yaml", shop_folder, Repair, unit) for ticket in repair_files(shop_folder)
    }


def _read_room_log(path: Path, shop_folder: Path) -> tuple[RoomLog | None, tuple[Problem, ...]]:
    """The room log, if there is one."""
    if not os.path.lexists(path):
        return None, ()
    said = as_said(path, shop_folder)
    try:
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES_OF_A_ROOM_LOG + 1)
    except OSError as error:
        message, hint = f"the file cannot be opened: {error.strerror}", "see whether you may read it"
        return None, (Problem("unreadable-file", said, 0, 0, message, hint),)
    return read_room_log(content, said)


def _misnamed(records: Path, shop_folder: Path) -> Iterator[Problem]:
    """Files that would be passed over in silence for the ending of their names."""
    places = (
        "shop.yml", "private.yml", "wood.yml", "patterns/*.yml", "repairs/*.yml", "instruments/*/record.yml",
        "instruments/*/private.yml",
    )  # fmt: skip
    for file in sorted(file for place in places for file in records.glob(place)):
        hint = f"rename it to {name_as_said(file.stem)}.yaml"
        said = as_said(file, shop_folder)
        yield Problem("unreadable-file", said, 0, 0, "a file with this ending is not read", hint)


def _read_instruments(
    instruments: Path, shop_folder: Path, unit: Unit, private_files: bool, only: str | None
) -> tuple[list[InstrumentRead], list[Problem]]:
    read, stray = [], []
    try:
        inside = sorted(instruments.iterdir()) if os.path.lexists(instruments) else []
    except OSError as error:
        message, hint = f"the folder cannot be opened: {error.strerror}", "see whether you may read it"
        return [], [Problem("unreadable-file", as_said(instruments, shop_folder), 0, 0, message, hint)]
    for folder in inside:
        if folder.name.startswith(".") or (only is not None and name_as_said(folder.name) != only):
            continue
        if not _may_be_an_instrument(folder):
            where = as_said(folder, shop_folder)
            hint = "move it; each instrument has a folder of its own here"
            stray.append(Problem("unreadable-file", where, 0, 0, "this file does not belong here", hint))
            continue
        record = read_file(folder / "record.yaml", shop_folder, Record, unit)
        private = folder / "private.yaml"
        with_private = private_files and os.path.lexists(private)
        ending, of_address = read_address(folder / ADDRESS_FILE, as_said(folder / ADDRESS_FILE, shop_folder))
        stray += of_address
        read.append(
            InstrumentRead(
                name_as_said(folder.name),
                record,
                read_file(private, shop_folder, PrivateFile, unit) if with_private else None,
                ending,
                files_beside(folder, as_said(folder, shop_folder), PHOTOS),
                files_beside(folder, as_said(folder, shop_folder), RECORDINGS),
            )
        )
    return read, stray


def _may_be_an_instrument(folder: Path) -> bool:
    # Unlike the method of Path, this function never raises.
    return not folder.name.startswith(".") and os.path.isdir(folder)  # noqa: PTH112


def read_file(path: Path, shop_folder: Path, shape: type[T], bare_unit: Unit) -> FileRead[T]:
    """Read one file as a `shape`. Whatever is in it, this gives a value or problems, and raises nothing."""
    said = as_said(path, shop_folder)
    try:
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        if os.path.lexists(path):
            return _unreadable(said, "this link leads nowhere", "put the file itself here, or remove the link")
        hint = "write it, or remove its folder" if shape is Record else "every shop has one; write it"
        return _unreadable(said, "there is no such file", hint)
    except OSError as error:
        return _unreadable(said, f"the file cannot be opened: {error.strerror}", "see whether you may read it")
    return read_bytes(content, said, shape, bare_unit)


def read_bytes(content: bytes, said: str, shape: type[T], bare_unit: Unit) -> FileRead[T]:
    """The same for bytes at hand; `said` is how the file is called in problems."""
    tree, problems, lines = read_yaml(content, said)
    if tree is None:
        return FileRead(said, None, tuple(problems), {}, tuple(lines))
    reader = ShapeReader(said, lines, bare_unit)
    value = reader.read(tree, shape)
    found = sorted([*problems, *reader.problems], key=lambda problem: problem.in_reading_order)
    return FileRead(said, None if problems else value, tuple(found), reader.places, tuple(lines))


def _unreadable(said: str, message: str, hint: str) -> FileRead[T]:
    return FileRead(said, None, (Problem("unreadable-file", said, 0, 0, message, hint),), {}, ())
