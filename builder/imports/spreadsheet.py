"""The bytes of a CSV file, as any spreadsheet may save it ─► its head and its rows."""

from __future__ import annotations

import codecs
import csv
import io
from dataclasses import dataclass

from builder.words import counted

MOST_BYTES = 20_000_000
MOST_ROWS = 20_000
#: What may stand between cells; the one that parts the head into most columns does.
_SEPARATORS = ",;\t"
#: Spaces that spreadsheets and web pages leave in cells, and signs that nobody can see.
_ODD_SPACES = {**dict.fromkeys((0xA0, 0x2002, 0x2003, 0x2007, 0x2009, 0x202F, 0x09), " "), 0x200B: None, 0xFEFF: None}
_SAVE_AS = "save it from the spreadsheet as «CSV UTF-8»"


class NotASpreadsheet(Exception):
    """The file cannot be read; `message` says why, `hint` what to do."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(f"{message}; {hint}")
        self.message, self.hint = message, hint


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its number as the spreadsheet shows it, and its cells, one for each column of the head.

    `beyond` says that something stands to the right of the last column that has a head.
    """

    number: int
    cells: tuple[str, ...]
    beyond: bool = False


@dataclass(frozen=True, slots=True)
class Spreadsheet:
    """The heads of the columns, and the rows below them that are not empty."""

    head: tuple[str, ...]
    rows: tuple[Row, ...]


def read_spreadsheet(content: bytes) -> Spreadsheet:
    """Commas, semicolons or tabs between the cells, any line ends, lines within quotes. Raises NotASpreadsheet."""
    text = _decoded(content)
    first = next((line for line in text.splitlines() if line.strip(_SEPARATORS + ' "')), "")
    if not first:
        raise NotASpreadsheet("nothing is written in this file", "see whether it is the right one")
    separator = max(_SEPARATORS, key=lambda each: _outside_quotes(first).count(each))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    written: list[tuple[int, list[str]]] = []
    try:
        for number, cells in enumerate(reader, 1):
            plain = [_plain(cell) for cell in cells]
            if any(plain):
                written.append((number, plain))
            if len(written) > MOST_ROWS + 1:
                raise NotASpreadsheet(f"it has more than {counted(MOST_ROWS, 'row')}", "take it in several parts")
    except csv.Error as trouble:
        message = f"line {reader.line_num} cannot be read ({trouble})"
        raise NotASpreadsheet(message, f"see whether a quote is never closed there, or {_SAVE_AS}") from None
    (_, named), *below = written
    width = max(number for number, name in enumerate(named, 1) if name)
    head = tuple(" ".join(name.split()) for name in named[:width])
    rows = tuple(Row(number, tuple((cells + [""] * width)[:width]), any(cells[width:])) for number, cells in below)
    return Spreadsheet(head, rows)


def _decoded(content: bytes) -> str:
    if len(content) > MOST_BYTES:
        raise NotASpreadsheet("the file is larger than 20 MB", "take it in several parts")
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE, b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise NotASpreadsheet("this is no CSV file", _SAVE_AS)
    try:
        text = content.removeprefix(codecs.BOM_UTF8).decode()
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise NotASpreadsheet(f"the text is not UTF-8 (line {line})", _SAVE_AS) from None
    if "\0" in text:
        raise NotASpreadsheet("this is no text", _SAVE_AS)
    return text


def _outside_quotes(line: str) -> str:
    return "".join(line.split('"')[::2])


def _plain(cell: str) -> str:
    """A cell without odd spaces, and without spaces around it or at the ends of its lines."""
    lines = cell.translate(_ODD_SPACES).replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return "\n".join(line.rstrip() for line in lines).strip()
