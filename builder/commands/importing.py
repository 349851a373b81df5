"""The command that takes a spreadsheet of old builds into the shop: import."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from builder.commands.asked import (
    RECORDS_HAVE_PROBLEMS,
    refusals_told,
    require_records,
    shop_option,
    wrong,
)
from builder.imports.rows import Reason, RowRead
from builder.imports.spreadsheet import NotASpreadsheet
from builder.imports.taking import Taken, take
from builder.words import counted, in_a_row

_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.command("import")
@click.argument("sheet", metavar="FILE.csv", type=_FILE)
@click.option(
    "--columns",
    required=True,
    type=_FILE,
    metavar="COLUMNS.yaml",
    help="Which column is which field, a line for each: «spec.scale_length: {column: Scale, unit: in}».",
)
@click.option("--dry-run", is_flag=True, help="Say what would come of every row, and write nothing.")
@click.option("--good-rows", is_flag=True, help="Take the good rows even where others are refused.")
@shop_option
def import_(sheet: Path, columns: Path, dry_run: bool, good_rows: bool, folder: Path) -> None:  # fmt: skip
    """Make records of the rows of a spreadsheet: all of them, or none where one is refused.

    A column map says which column is which field; «private.buyer.name: Customer» goes into the private file, and
    «kind: {always: mountain dulcimer}» stands in every record. Instruments that are there stay as they are.
    """
    require_records(folder)
    try:
        with refusals_told():
            taken = take(folder.resolve(), sheet, columns, dry_run=dry_run, good_rows=good_rows)
    except NotASpreadsheet as trouble:
        wrong(f"{sheet.name}: {trouble}")
    for row in taken.rows:
        for line in _told(row):
            click.echo(line)
    _tell(taken, dry_run=dry_run)
    if len(taken.good) < len(taken.rows) and not taken.is_written:
        sys.exit(RECORDS_HAVE_PROBLEMS)


def _told(row: RowRead) -> list[str]:
    """A row in words: what became of it, and every reason on a line of its own."""
    named = row.serial.replace("\n", " ") or "without a serial"
    lines = [f"row {row.number}, {named}: {'refused' if row.wrong else 'good'}"]
    lines += [f"    {_reason(each)}" for each in row.wrong]
    return lines + [f"    look again: {_reason(each)}" for each in row.doubtful]


def _reason(reason: Reason) -> str:
    where = f"column «{reason.column}»: " if reason.column else ""
    return f"{where}{reason.message}{f'; {reason.hint}' if reason.hint else ''}"


def _tell(taken: Taken, *, dry_run: bool) -> None:
    """What was written and what was not."""
    if taken.passed_over:
        columns = in_a_row(f"«{each}»" for each in taken.passed_over)
        click.echo(f"Not asked for by the column map: {columns}.")
    shown = sum(each.is_for_everybody for each in taken.good)
    if shown:
        what = f"{counted(shown, 'instrument')} finished and handed over: the next site shows them to buyers"
        click.echo(f"{what}. If it should not, write visibility: {{always: shop only}} into the column map.")
    good, refused = len(taken.good), len(taken.rows) - len(taken.good)
    if taken.is_written:
        aside = f"; {counted(refused, 'row')} refused" if refused else ""
        click.echo(f"Wrote {counted(good, 'instrument')} below records/instruments{aside}.")
        return
    what = f"{counted(good, 'row')} good, {counted(refused, 'row')} refused"
    if dry_run or not taken.rows:
        click.echo(f"{what}. Nothing was written.")
    else:
        more = " To take the good ones alone, add --good-rows." if good else ""
        click.echo(f"{what}. Nothing was written.{more}")
