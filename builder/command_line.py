"""The command `boutbook`: the group of all commands, and what is said of what nobody expected.

Exit codes: 0 fine, 1 the records have problems, 2 the command was used wrongly.
"""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable

import click

from builder.commands import (
    adding,
    beginning,
    board,
    comparing,
    exporting,
    importing,
    issuing,
    orders,
    papers,
    reading,
    site,
    verifying,
)
from builder.commands.asked import RECORDS_HAVE_PROBLEMS


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="boutbook")
def boutbook() -> None:
    """One folder of plain records in; pages, certificates and bench numbers for your instruments out."""


for each in (
    site.build,
    site.serve,
    reading.check,
    reading.results,
    papers.sheet,
    orders.new,
    orders.repeat,
    adding.add,
    board.board,
    comparing.compare,
    exporting.export,
    importing.import_,
    issuing.issue,
    verifying.verify,
    site.pages,
    beginning.init,
    beginning.schema,
):
    boutbook.add_command(each)


def main(run: Callable[[], None] = boutbook) -> None:
    """Run the command. What nobody expected is said in one line, and how to see more of it."""
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8")
    try:
        run()
    except Exception as error:
        if os.environ.get("BOUTBOOK_DEBUG"):
            raise
        said = f"{type(error).__name__}: {error}"
        click.echo(
            f"boutbook: something went wrong inside the program ({said}). Your files are as they were.", err=True
        )
        click.echo("This is a fault of the program. To see more of it, set BOUTBOOK_DEBUG=1 and run again.", err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)
