"""The command that lays two instruments side by side: compare."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from pathlib import Path

import click

from builder.commands.asked import find, open_here, shop_option, wrong
from builder.comparing import compared
from builder.publish import publish
from builder.published.issued import PublishedChange
from builder.words import counted

#: So wide may the name of a thing and a value be on a terminal before they are wrapped by it.
_WIDEST = 46


@click.command()
@click.argument("one")
@click.argument("other")
@click.option("--csv", "as_csv", is_flag=True, help="For a spreadsheet.")
@click.option("--all", "with_sums", is_flag=True, help="What is worked out too, not only what is written.")
@shop_option
def compare(one: str, other: str, as_csv: bool, with_sums: bool, folder: Path) -> None:
    """Say what differs between two instruments, side by side. Serials may be shortened where it is clear."""
    workshop = open_here(folder, private_files=False)
    first, second = find(workshop, one), find(workshop, other)
    assert workshop.shop is not None, "without a shop file no instrument is found"
    if first is second:
        wrong(f"{first.record.serial} is both of them; name two instruments")
    serials = [str(each.record.serial) for each in (first, second)]
    changes = compared(publish(first, workshop.shop), publish(second, workshop.shop))
    written = [each for each in changes if each.is_written]
    shown = list(changes) if with_sums or as_csv else written
    if as_csv:
        text = io.StringIO()
        rows = ([each.what, each.was, each.now, "written" if each.is_written else "worked out"] for each in shown)
        csv.writer(text, lineterminator="\n").writerows([["what", *serials, "how it is known"], *rows])
        click.echo(text.getvalue(), nl=False)
        return
    if not changes:
        click.echo(f"{serials[0]} and {serials[1]} are alike in all that is written and worked out.")
        return
    for line in _side_by_side(serials, shown):
        click.echo(line)
    left = len(changes) - len(shown)
    if left:
        click.echo(f"\nFrom this {counted(left, 'figure')} differ too; boutbook compare --all shows them.")


def _side_by_side(serials: list[str], changes: Iterable[PublishedChange]) -> list[str]:
    """Three columns as wide as they must be, a value too long for its column on lines of its own."""
    rows = [("", *serials), *((each.what, each.was or "—", each.now or "—") for each in changes)]
    widths = [min(max(len(row[column]) for row in rows), _WIDEST) for column in range(2)]
    return [
        f"{row[0]:{widths[0]}}  {row[1]:{widths[1]}}  {row[2]}".rstrip()
        if len(row[0]) <= widths[0] and len(row[1]) <= widths[1]
        else f"{row[0]}\n{'':{widths[0]}}  {row[1]}\n{'':{widths[0]}}  {row[2]}"
        for row in rows
    ]
