"""A whole import: the spreadsheet and its column map read, every row proved, the good ones put in place together."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from builder.entries.keeping import OWN_FOLDER, PRIVATE, RECORD, HasErrors
from builder.imports.columns import read_columns
from builder.imports.rows import RowRead, read_rows
from builder.imports.spreadsheet import read_spreadsheet
from builder.reading.folder import instrument_folders
from builder.safe_files import new_folders_in, one_at_a_time, write_file


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of an import: every row, whether its instruments stand there now, which columns nobody asked for."""

    rows: tuple[RowRead, ...]
    is_written: bool
    passed_over: tuple[str, ...]

    @property
    def good(self) -> tuple[RowRead, ...]:
        """The rows with nothing wrong in them."""
        return tuple(each for each in self.rows if not each.wrong)


def take(shop_folder: Path, sheet: Path, columns: Path, *, dry_run: bool = False, good_rows: bool = False) -> Taken:
    """Make a folder with record and private file of every row: of all, or of none where one row is refused.

    With `good_rows` the others are taken all the same; with `dry_run` nothing is written. Raises NotASpreadsheet,
    HasErrors for a column map or shop file with errors, InUse where another run keeps writing, OSError.
    """
    if dry_run:
        return _read(shop_folder, sheet, columns)
    instruments = shop_folder / "records" / "instruments"
    with one_at_a_time(shop_folder / OWN_FOLDER), new_folders_in(instruments) as new:
        taken = _read(shop_folder, sheet, columns)
        is_written = bool(taken.good) and (good_rows or len(taken.good) == len(taken.rows))
        for row in taken.good if is_written else ():
            write_file(new / row.serial / RECORD, row.record)
            write_file(new / row.serial / PRIVATE, row.private)
    return Taken(taken.rows, is_written, taken.passed_over)


def _read(shop_folder: Path, sheet: Path, columns: Path) -> Taken:
    read = read_spreadsheet(sheet.read_bytes())
    found, problems = read_columns(columns.read_bytes(), columns.name, read.head)
    if found is None:
        raise HasErrors(problems)
    rows = read_rows(read, found, shop_folder, sheet.name, instrument_folders(shop_folder))
    return Taken(rows, False, found.passed_over)
