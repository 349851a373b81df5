"""The room log, `records/room.csv` ─► its entries in the order of time, with every problem at its line and column.

    time,temperature,humidity
    2026-03-04 14:30,68 F,44 %

The unit stands in each value, or in the head: `temperature F`. Other columns are passed over, for a logger writes more
than is needed here; so are empty lines, and lines that begin with #. Values may be in quotes, and semicolons or tabs
may stand for the commas.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any

from builder.lengths import NotUnderstood
from builder.problems import Problem, did_you_mean, in_short
from builder.reading.converters import MOST_LETTERS_OF_A_VALUE, read_moment, read_percent, read_temperature
from builder.shop.room_log import RoomEntry, RoomLog

MOST_BYTES = 20_000_000
#: A log with one slip of the logger on every line is told of once, not ten thousand times.
MOST_PROBLEMS = 20

COLUMNS = ("time", "temperature", "humidity")
LEAST_CELSIUS, MOST_CELSIUS = -20.0, 60.0

_CELL = re.compile(r'\s*(?:"(?P<quoted>[^"]*)"|(?P<plain>.*?))\s*', re.DOTALL)
#: What some loggers put between day and time, and the seconds they add.
_LOGGER_TIME = re.compile(r"(\d{4}-\d{1,2}-\d{1,2})[T ]\s*(\d{1,2}:\d{2})(?::\d{2}(?:\.\d{1,6})?)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class _Cell:
    """One value of a line, and the column it begins in."""

    text: str
    column: int


@dataclass(frozen=True, slots=True)
class _Head:
    """Where each column stands in a line, its unit if the head names one, and the sign between columns."""

    places: dict[str, int]
    units: dict[str, str]
    between: str


class _Trouble(Exception):
    """One problem; carries everything it says."""

    def __init__(self, code: str, column: int, message: str, hint: str, field: str = "") -> None:
        super().__init__(message)
        self.code, self.column, self.message, self.hint, self.field = code, column, message, hint, field


def read_room_log(content: bytes, said: str) -> tuple[RoomLog | None, tuple[Problem, ...]]:
    """Read the bytes of a room log; `said` is how the file is called in problems. Never raises.

    A line that cannot be read is left out and told of. The log is None only where nothing of it can be read.
    """
    if len(content) > MOST_BYTES:
        hint = "keep the older years in a file of another name"
        return None, (Problem("unreadable-file", said, 0, 0, "this room log is too large to be one", hint),)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        message, hint = "this file is not plain text in UTF-8", "save it as CSV in UTF-8"
        return None, (Problem("unreadable-file", said, 0, 0, message, hint),)
    lines = [(number, line) for number, line in enumerate(text.split("\n"), 1) if _says_something(line)]
    if not lines:
        message, hint = "the room log is empty", "begin it with time,temperature,humidity"
        return None, (Problem("unreadable-file", said, 0, 0, message, hint),)
    number, first = lines[0]
    try:
        head = _read_head(first.rstrip("\r"))
    except _Trouble as trouble:
        return None, (_problem(trouble, said, number, first),)
    return _read_lines(lines[1:], head, said)


def _read_lines(lines: list[tuple[int, str]], head: _Head, said: str) -> tuple[RoomLog, tuple[Problem, ...]]:
    read = {
        "time": _read_time,
        "temperature": _reader_of("temperature", head),
        "humidity": _reader_of("humidity", head),
    }
    entries: list[RoomEntry] = []
    problems: list[Problem] = []
    left_unsaid = 0
    for number, line in lines:
        try:
            entry = _read_entry(line.rstrip("\r"), head, read)
        except _Trouble as trouble:
            if len(problems) < MOST_PROBLEMS:
                problems.append(_problem(trouble, said, number, line))
            else:
                left_unsaid += 1
            continue
        if entry is not None:
            entries.append(entry)
    if left_unsaid:
        message = f"{left_unsaid} more lines of the room log cannot be read"
        problems.append(Problem("not-understood", said, 0, 0, message, "mend the first ones, and look again"))
    return RoomLog(tuple(sorted(entries, key=lambda entry: entry.at))), tuple(problems)


def _says_something(line: str) -> bool:
    return bool(line.strip().strip(",;")) and not line.lstrip().startswith("#")


def _cells(line: str, between: str) -> Iterator[_Cell]:
    """The values of a line. A quoted value keeps the signs inside its quotes."""
    column = 1
    if '"' not in line:
        for piece in line.split(between):
            yield _Cell(piece.strip(), column + len(piece) - len(piece.lstrip()))
            column += len(piece) + len(between)
        return
    pieces = re.split(rf'{re.escape(between)}(?=(?:[^"]*"[^"]*")*[^"]*$)', line)
    for piece in pieces:
        found = _CELL.fullmatch(piece)
        plain = piece.strip() if found is None else (found["quoted"] if found["quoted"] is not None else found["plain"])
        yield _Cell(plain.strip(), column + len(piece) - len(piece.lstrip()))
        column += len(piece) + len(between)


def _read_head(line: str) -> _Head:
    """`time,temperature F,humidity`: which columns there are, and units named in brackets or after the name."""
    between = next((sign for sign in (",", ";", "\t") if sign in line), ",")
    cells = list(_cells(line, between))
    if cells[0].text[:1].isdigit():
        hint = "write a first line above it: time,temperature,humidity"
        raise _Trouble("missing-key", cells[0].column, "the columns have no names", hint)
    places: dict[str, int] = {}
    units: dict[str, str] = {}
    for place, cell in enumerate(cells):
        name, unit = _name_and_unit(cell.text)
        if name not in COLUMNS:
            continue
        if name in places:
            raise _Trouble("duplicate-key", cell.column, f"two columns are called «{name}»", "keep one", name)
        places[name] = place
        if unit:
            units[name] = unit
    for name in ("time", "temperature or humidity"):
        if not any(each in places for each in name.split(" or ")):
            names = [cell.text.casefold() for cell in cells]
            near = next((hint for hint in map(_meant, names) if hint), "")
            hint = near or "name the columns time,temperature,humidity"
            raise _Trouble("missing-key", 1, f"the room log has no column «{name}»", hint)
    return _Head(places, units, between)


def _meant(name: str) -> str:
    """`did you mean «time»?` for a slip of the pen, and nothing for a column of another name."""
    hint = did_you_mean(name, COLUMNS) if name not in COLUMNS else ""
    return hint if hint.startswith("did you mean") else ""


def _name_and_unit(text: str) -> tuple[str, str]:
    """`Temperature (°F)` ─► `temperature`, `°F`."""
    name, _, unit = text.strip().partition(" ")
    return name.casefold(), unit.strip().strip("()[]").strip()


def _read_time(text: str) -> datetime:
    found = _LOGGER_TIME.fullmatch(text)
    return read_moment(f"{found[1]} {found[2]}" if found else text)


def _reader_of(name: str, head: _Head) -> Callable[[str], Any]:
    """How the values of a column are read; each distinct text is read once, for a logger repeats itself."""
    unit = head.units.get(name, "")
    convert: Callable[[str], Any] = read_temperature if name == "temperature" else read_percent

    @cache
    def read(written: str) -> Any:
        text = " ".join(written.split())
        has_unit = not re.fullmatch(r"[+−-]?[\d.,]+", text, re.ASCII)
        return convert(text if has_unit or not unit else f"{text} {unit}")

    return read


def _read_entry(line: str, head: _Head, read: dict[str, Callable[[str], Any]]) -> RoomEntry | None:
    """One line as an entry; None where it names a time and nothing else."""
    cells = list(_cells(line, head.between))
    values: dict[str, Any] = {}
    for name, place in head.places.items():
        cell = cells[place] if place < len(cells) else _Cell("", len(line) + 1)
        if not cell.text:
            if name == "time":
                raise _Trouble(
                    "missing-key", cell.column, "this line has no time", "write it like 2026-03-04 14:30", name
                )
            continue
        if len(cell.text) > MOST_LETTERS_OF_A_VALUE:
            message = f"this value has {len(cell.text)} letters"
            raise _Trouble("out-of-range", cell.column, message, "shorten it", name)
        if not cell.text.isprintable():
            raise _Trouble(
                "control-character", cell.column, "a sign that cannot be seen is in this value", "remove it", name
            )
        try:
            values[name] = read[name](cell.text)
        except NotUnderstood as trouble:
            raise _Trouble("not-understood", cell.column, trouble.message, trouble.hint, name) from None
        _refuse_what_no_room_has(name, values[name], cell)
    if len(values) < 2:
        return None
    return RoomEntry(values["time"], values.get("temperature"), values.get("humidity"))


def _refuse_what_no_room_has(name: str, value: Any, cell: _Cell) -> None:
    least, most, range_in_words = {
        "temperature": (LEAST_CELSIUS, MOST_CELSIUS, "-20 C and 60 C"),
        "humidity": (0.0, 100.0, "0 % and 100 %"),
    }.get(name, (value, value, ""))
    if not least <= value <= most:
        message = f"{in_short(cell.text)} lies outside what is possible for «{name}»"
        raise _Trouble("out-of-range", cell.column, message, f"it lies between {range_in_words}", name)


def _problem(trouble: _Trouble, said: str, number: int, line: str) -> Problem:
    return Problem(
        trouble.code,
        said,
        number,
        trouble.column,
        trouble.message,
        trouble.hint,
        trouble.field,
        source_line=line.rstrip(),
    )
