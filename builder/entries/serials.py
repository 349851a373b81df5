"""Serials: which one is meant by a part of it, which was used last, and which comes next."""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from builder.entries.keeping import OWN_FOLDER
from builder.reading.folder import instrument_folders
from builder.safe_files import write_file

_LAST = "last-serial"
_YEAR_AND_NUMBER = re.compile(r"((?:19|20|21)\d\d)-(\d{1,6})", re.ASCII)
_NUMBER_AT_THE_END = re.compile(r"(.*?)(\d{1,9})", re.ASCII)
_LONGEST = 200


def meant_by(said: str, serials: Sequence[str]) -> tuple[str, ...]:
    """The serial that is said, else those that end so: one where it is clear, several where it is not."""
    return (said,) if said in serials else tuple(each for each in serials if each.endswith(said))


def next_serials(taken: Sequence[str], count: int, year: int) -> tuple[str, ...]:
    """The serials after the newest one, in the shop's own way of numbering.

    Where there are serials such as 2026-014, they begin anew every year; else the number at the end of the most
    common kind of serial is counted on. None is taken that differs from another in the size of its letters alone.
    """
    by_year = [(int(found[1]), found[2]) for found in map(_YEAR_AND_NUMBER.fullmatch, taken) if found]
    if by_year or not taken:
        newest = max([*(each for each, _ in by_year), year])
        numbers = [number for each, number in by_year if each == newest]
        width = max(map(len, numbers or [number for _, number in by_year]), default=3)
        return _counted_on(f"{newest}-", max(map(int, numbers), default=0), width, taken, count)
    numbered = [found.groups() for found in map(_NUMBER_AT_THE_END.fullmatch, taken) if found]
    if not numbered:
        return _counted_on(f"{year}-", 0, 3, taken, count)
    kinds = [kind for kind, _ in numbered]
    kind = max(kinds, key=lambda each: (kinds.count(each), each))
    numbers = [number for each, number in numbered if each == kind]
    width = max(len(number) for number in numbers) if any(each.startswith("0") for each in numbers) else 0
    return _counted_on(kind, max(map(int, numbers)), width, taken, count)


def _counted_on(kind: str, last: int, width: int, taken: Sequence[str], count: int) -> tuple[str, ...]:
    there, found = {each.casefold() for each in taken}, list[str]()
    while len(found) < count:
        last += 1
        serial = f"{kind}{last:0{width}d}"
        if serial.casefold() not in there:
            found.append(serial)
    return tuple(found)


def remember(shop_folder: Path, serial: str) -> None:
    """Keep in mind which instrument was used last; where that cannot be, it has to be named the next time."""
    with suppress(OSError):
        write_file(shop_folder / OWN_FOLDER / _LAST, f"{serial}\n".encode())


def last_used(shop_folder: Path) -> str | None:
    """The serial used last, if there is still such an instrument."""
    try:
        with (shop_folder / OWN_FOLDER / _LAST).open("rb") as stream:
            serial = stream.read(_LONGEST).decode("utf-8", "replace").strip()
    except OSError:
        return None
    return serial if serial in instrument_folders(shop_folder) else None
