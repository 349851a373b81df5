"""The commands that say what is in the records and what follows from it: check and results."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import click

from builder.commands.asked import find, open_here, prepare_here, shop_option, stop_on_problems, wrong
from builder.problems import count_in_words
from builder.publish import publish
from builder.publish.bench import publish_bench
from builder.published import as_json
from builder.templates import as_csv_rows
from builder.words import counted


@click.command()
@shop_option
def check(folder: Path) -> None:
    """Read every record, the private files too, and say everything that is wrong."""
    prepared = prepare_here(open_here(folder, private_files=True), "shop")
    stop_on_problems(prepared.problems, hints=True)
    count = counted(len(prepared.workshop.instruments), "instrument")
    click.echo(f"Read {count}: {count_in_words(prepared.problems)}.")


@click.command()
@click.argument("serial")
@click.option("--bench", "for_the_bench", is_flag=True, help="The figures of its bench page instead.")
@click.option("--csv", "as_csv", is_flag=True, help="The fret table, for a spreadsheet, instead of everything.")
@shop_option
def results(serial: str, for_the_bench: bool, as_csv: bool, folder: Path) -> None:
    """Print what is worked out for one instrument, as JSON with units and sources.

    SERIAL may be shortened where it is clear: 014 for 2026-014.
    """
    workshop = open_here(folder, private_files=False)
    instrument = find(workshop, serial)
    assert workshop.shop is not None, "without a shop file no instrument is found"
    published = publish(instrument, workshop.shop)
    if for_the_bench:
        click.echo(as_json(publish_bench(instrument, workshop.shop)), nl=False)
    elif not as_csv:
        click.echo(as_json(published), nl=False)
    elif published.frets is None:
        wrong(f"{published.serial} has no fret table: its record needs spec.scale_length and spec.frets")
    else:
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows(as_csv_rows(published.frets.table))
        click.echo(text.getvalue(), nl=False)
