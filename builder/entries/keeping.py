"""Writes entries into the files of one instrument: at their place, every other byte untouched, or not at all.

The file is read under a lock, changed as text, and read again as a record with the whole shop around it. What was not
wrong before and is wrong then, keeps it from being written.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from builder.editing import additions
from builder.editing.additions import Path as Field
from builder.editing.layout import Plain
from builder.problems import Problem
from builder.reading.beside import PHOTOS, FileBeside
from builder.reading.folder import FileRead, InstrumentRead, ShopRead, read_bytes, read_shop_folder
from builder.record import PrivateFile, Record
from builder.safe_files import (
    Changed,
    before_of,
    declare_ready,
    finish_new_folders,
    forget_before,
    half_done,
    one_at_a_time,
    replace_file,
    write_file,
)
from builder.shop import Shop
from builder.workshop import Instrument, put_together

RECORD: Literal["record.yaml"] = "record.yaml"
PRIVATE: Literal["private.yaml"] = "private.yaml"
#: Where the program keeps what belongs to no record: its lock, the serial last used.
OWN_FOLDER = ".boutbook"
#: What a private file begins with where there is none yet.
_NEW_PRIVATE_FILE = b"# Only for the workshop: never published.\nformat: 1\n"
#: How often a file is read again because somebody wrote to it meanwhile.
_MOST_TRIES = 5


class Refused(Exception):
    """An entry cannot be written; `message` says why, `hint` what to do. Nothing was changed."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(f"{message}; {hint}" if hint else message)
        self.message, self.hint = message, hint


class HasErrors(Exception):
    """Nothing is added to files that have errors in them: these `problems` come first."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(problems)
        self.problems = problems


@dataclass(frozen=True, slots=True)
class Edit:
    """One thing to write: an entry at the end of a list, or the value of a key; `replaces` what stands there.

    `reads_key` reads the last key of the field where it may be spelled in several ways (`6½`, `6.5`).
    """

    field: Field
    value: Plain
    is_entry: bool = False
    replaces: bool = False
    reads_key: Callable[[str], object] | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """What is to be written into one file of an instrument, and how that is told afterwards.

    `if_written` is what to do where something stands there already; `photos` are to lie beside the record then.
    """

    said: str
    edits: tuple[Edit, ...]
    file: Literal["record.yaml", "private.yaml"] = RECORD
    if_written: str = "change it in an editor"
    photos: tuple[FileBeside, ...] = ()


@dataclass(frozen=True, slots=True)
class Written:
    """An entry that was written: how it is told, the file, and what somebody careful would look at now."""

    said: str
    file: str
    remarks: tuple[Problem, ...]


#: What to write into an instrument of a shop, as it reads at this moment. Raises Refused.
Asked = Callable[[Instrument, Shop], Entry]


def write_entry(shop_folder: Path, serial: str, asked: Asked) -> Written:
    """Write an entry into the files of the instrument `serial`, which stands in the folder of that name.

    Raises HasErrors where its files have errors, Refused where the entry cannot stand there, InUse where another run
    keeps writing.
    """
    with one_at_a_time(shop_folder / OWN_FOLDER):
        instruments = shop_folder / "records" / "instruments"
        finish_new_folders(instruments)
        ready_if_named(shop_folder, serial)
        if (instruments / serial / PHOTOS.folder).is_dir():
            finish_new_folders(instruments / serial / PHOTOS.folder)
        return write_in_turn(shop_folder, serial, asked)


def write_in_turn(shop_folder: Path, serial: str, asked: Asked) -> Written:
    """The same for one whose turn it is: who has seen to it that nobody else writes meanwhile."""
    for _ in range(_MOST_TRIES):
        try:
            return _written(shop_folder, serial, asked)
        except Changed:
            continue
    raise Refused(f"the files of {serial} keep changing", "try again when whatever writes to them is done")


def _written(shop_folder: Path, serial: str, asked: Asked) -> Written:
    folder = shop_folder / "records" / "instruments" / serial
    contents = {name: _bytes_of(folder / name) for name in (RECORD, PRIVATE)}
    read = read_shop_folder(shop_folder, private_files=True, only=serial)
    if not read.instruments:
        raise Refused(f"there is no instrument «{serial}»")
    instrument, shop, known = _sound(read)
    entry = asked(instrument, shop)
    if not entry.edits:
        raise Refused("there is nothing to write")
    old = contents[entry.file]
    file = f"records/instruments/{serial}/{entry.file}"
    if old is not None and _was_written_already(folder / entry.file, old, entry):
        return Written(entry.said, file, ())
    new = _edited(_NEW_PRIVATE_FILE if old is None else old, entry)
    after = put_together(_with_file(read, entry, new, shop)).problems
    fresh = [each for each in after if _is_of(each, read.instruments[0]) and _as_known(each) not in known]
    if errors := [each for each in fresh if each.severity == "error"]:
        raise refusal_of(errors[0])
    if old is None:
        write_file(folder / entry.file, new)
    else:
        replace_file(folder / entry.file, new, instead_of=old)
    remarks = tuple(each for each in fresh if each.severity == "warning")
    return Written(entry.said, file, remarks)


def _was_written_already(path: Path, content: bytes, entry: Entry) -> bool:
    """Whether a run that was stopped has written this very entry, and could not say so any more."""
    before = _bytes_of(before_of(path))
    try:
        if before is None or before == content or _edited(before, entry) != content:
            return False
    except Refused:
        return False
    forget_before(path)
    return True


def named_photos(shop_folder: Path, serial: str) -> tuple[str, ...]:
    """The photographs that a record has words for; none where it cannot be read, and then it is not written to."""
    read = read_shop_folder(shop_folder, private_files=False, only=serial)
    record = read.instruments[0].record.value if read.instruments else None
    return tuple(record.photos) if record else ()


def ready_if_named(shop_folder: Path, serial: str) -> None:
    """Photographs whose words a run had written before it was stopped were whole by then: they go into their place."""
    photos = shop_folder / "records" / "instruments" / serial / PHOTOS.folder
    left = half_done(photos)
    if left and set(left) & set(named_photos(shop_folder, serial)):
        declare_ready(photos)


def _bytes_of(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except OSError:
        return None  # the readers say what is wrong with it


def _sound(read: ShopRead) -> tuple[Instrument, Shop, set[tuple[str, str, str]]]:
    """The instrument as it reads now, its shop, and what is said of it already; HasErrors where that has errors."""
    workshop = put_together(read)
    of_it = tuple(each for each in workshop.problems if _is_of(each, read.instruments[0]))
    errors = tuple(each for each in (*read.shop.problems, *of_it) if each.severity == "error")
    if errors or workshop.shop is None or not workshop.instruments:
        raise HasErrors(errors)
    return workshop.instruments[0], workshop.shop, set(map(_as_known, of_it))


def _is_of(problem: Problem, instrument: InstrumentRead) -> bool:
    return problem.file.startswith(f"records/instruments/{instrument.folder}/")


def _as_known(problem: Problem) -> tuple[str, str, str]:
    """What a problem is told by, wherever it stands in its file."""
    return problem.code, problem.field, problem.message


def _edited(content: bytes, entry: Entry) -> bytes:
    shape = Record if entry.file == RECORD else PrivateFile
    try:
        for edit in entry.edits:
            field = additions.spelled_key(content, edit.field, edit.reads_key) if edit.reads_key else edit.field
            if edit.is_entry:
                content = additions.add_entry(content, field, edit.value, usual_order(shape))
            else:
                content = additions.set_value(content, field, edit.value, usual_order(shape), replace=edit.replaces)
    except additions.AlreadyWritten as trouble:
        raise Refused(trouble.message, entry.if_written) from None
    except additions.Refused as trouble:
        raise Refused(trouble.message, trouble.hint) from None
    return content


def _with_file(read: ShopRead, entry: Entry, content: bytes, shop: Shop) -> ShopRead:
    """The shop as it would read with this file."""
    now = read.instruments[0]
    said = f"records/instruments/{now.folder}/{entry.file}"
    if entry.file == RECORD:
        record: FileRead[Record] = read_bytes(content, said, Record, shop.unit)
        changed = dataclasses.replace(now, record=record, photos=(*now.photos, *entry.photos))
    else:
        private: FileRead[PrivateFile] = read_bytes(content, said, PrivateFile, shop.unit)
        changed = dataclasses.replace(now, private=private)
    return dataclasses.replace(read, instruments=(changed,))


def refusal_of(problem: Problem) -> Refused:
    """A problem in words that need no file: it stands in none yet."""
    name = problem.field.rpartition(".")[2]
    named = f"{name}: " if re.fullmatch("[a-z_]+", name) and name not in problem.message else ""
    return Refused(f"{named}{problem.message}", problem.hint)


def usual_order(shape: type) -> additions.UsualOrder:
    """The order of keys in a file of this shape: that of the fields."""

    def keys_at(path: Field) -> Sequence[str]:
        found: Any = shape
        for name in path:
            hints = get_type_hints(found) if found else {}
            found = next(filter(dataclasses.is_dataclass, _kinds(hints.get(str(name)))), None)
        return tuple(each.name for each in dataclasses.fields(found)) if found else ()

    return keys_at


def _kinds(hint: object) -> Sequence[object]:
    """A field's own kind, or those it may be one of; of lists and mappings none, for they have no order."""
    return get_args(hint) if get_origin(hint) in (Union, UnionType) else (hint,)
