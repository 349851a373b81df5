"""The command that writes all records and results for other programs: export."""

from __future__ import annotations

from pathlib import Path

import click

from builder.apart import NotApart, see_that_records_are_safe
from builder.commands.asked import open_here, shop_option, stop_on_problems, wrong
from builder.exports.folder import NotOurs, Wanted, write_export
from builder.safe_files import InUse
from builder.words import counted


@click.command()
@click.option(
    "--to",
    "target",
    required=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder to write; must be new, empty, or of an earlier export.",
)
@click.option("--csv", "csv_files", is_flag=True, help="Only the tables for a spreadsheet.")
@click.option("--json", "json_files", is_flag=True, help="Only the JSON files, one an instrument.")
@click.option("--private", "private_files", is_flag=True, help="With buyers, orders, payments and hours.")
@shop_option
def export(target: Path, csv_files: bool, json_files: bool, private_files: bool, folder: Path) -> None:  # fmt: skip
    """Write all records and results into a folder, for a spreadsheet or another program.

    No private file is opened unless you say --private.
    """
    workshop = open_here(folder, private_files=private_files)
    stop_on_problems(workshop.problems)
    both = csv_files == json_files
    try:
        see_that_records_are_safe(folder, {"the folder of --to": target})
        files = write_export(workshop, target.resolve(), Wanted(both or json_files, both or csv_files, private_files))
    except (NotApart, NotOurs, InUse) as trouble:
        wrong(f"{trouble}")
    except OSError as trouble:
        wrong(f"the export could not be written: {trouble.strerror}; nothing was changed")
    private = (
        "Buyers, orders and hours are in it: keep it in the shop." if private_files else "Nothing private is in it."
    )
    click.echo(
        f"Wrote {counted(len(workshop.instruments), 'instrument')} in {counted(len(files), 'file')} to {target}."
    )
    click.echo(private)
