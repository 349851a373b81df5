"""The commands that make sites: build, serve, pages."""

from __future__ import annotations

import re
import sys
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.apart import NotApart, see_apart, see_that_records_are_safe
from builder.commands.asked import (
    RECORDS_HAVE_PROBLEMS,
    at_option,
    edition_option,
    from_here,
    moment_said,
    open_here,
    prepare_here,
    shop_option,
    stop_on_problems,
    with_drawn_addresses,
    wrong,
)
from builder.safe_files import InUse, new_folder_for
from builder.words import counted

if TYPE_CHECKING:
    from builder.seam import Edition
    from builder.workshop import Workshop


@click.command()
@edition_option
@at_option
@shop_option
def build(edition: Edition, said_at: str | None, folder: Path) -> None:
    """Build the site for buyers. The old site stays until the new one is whole."""
    from builder import mkdocs_plugin  # MkDocs takes a while to load; other commands do without

    at = _moment_of_the_bench(edition, said_at)
    workshop = with_drawn_addresses(open_here(folder, private_files=edition == "shop"), folder)
    _stop_on_errors_of(workshop, edition)
    try:
        site = mkdocs_plugin.site_folder(folder.resolve(), edition)
        prepared = prepare_here(workshop, edition)
        stop_on_problems(prepared.problems)
        with new_folder_for(site) as new:
            mkdocs_plugin.build(folder.resolve(), prepared, edition, new, at)
    except (mkdocs_plugin.NoShopHere, NotApart, InUse) as error:
        wrong(f"{error}")
    except mkdocs_plugin.BuildFailed as error:
        click.echo(str(error), err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)
    shown = [each.record for each in workshop.instruments if edition == "shop" or each.record.is_for_buyers]
    unlisted, kept = sum(record.is_unlisted for record in shown), len(workshop.instruments) - len(shown)
    named = "the shop edition" if edition == "shop" else "the site"
    besides = [f"{unlisted} of them unlisted"] if unlisted else []
    besides += [f"{kept} not for buyers yet"] if kept else []
    aside = f" ({', '.join(besides)})" if besides else ""
    click.echo(f"Built {named} with {counted(len(shown), 'instrument')}{aside}.")
    click.echo(f"Open {from_here(site / 'index.html')} in a browser.")


def _moment_of_the_bench(edition: Edition, said_at: str | None) -> datetime | None:
    """The moment the bench board is for; the buyer's edition has none, for it knows no clock."""
    if edition == "shop":
        return moment_said(said_at)
    if said_at is not None:
        wrong("--at is for the bench board, which buyers do not see; add --edition shop")
    return None


def _stop_on_errors_of(workshop: Workshop, edition: Edition) -> None:
    """Leave where the records have errors, before anything is said of the place to build in."""
    if workshop.has_errors:
        stop_on_problems(prepare_here(workshop, edition).problems)


def _host_and_port(context: click.Context, parameter: click.Parameter, value: str | None) -> str | None:
    if value is not None and not re.fullmatch(r"[\w.:\[\]-]+:\d{1,5}", value, re.ASCII):
        raise click.BadParameter(f"«{value}» is not a host and a port, like 127.0.0.1:8000")
    return value


@click.command()
@click.option(
    "--address", metavar="HOST:PORT", callback=_host_and_port, help="Where to show it; usually 127.0.0.1:8000."
)
@edition_option
@at_option
@shop_option
def serve(edition: Edition, said_at: str | None, folder: Path, address: str | None) -> None:
    """Show the site while you work on it. A saved record shows at once; Ctrl-C ends it."""
    from builder import mkdocs_plugin

    at = _moment_of_the_bench(edition, said_at)
    clock = (lambda: at) if said_at else partial(_moment_of_the_bench, edition, None)
    with_drawn_addresses(open_here(folder, private_files=False), folder)
    try:
        mkdocs_plugin.serve(folder.resolve(), edition, address, click.echo, clock)
    except mkdocs_plugin.NoShopHere as error:
        wrong(f"{error}")
    except mkdocs_plugin.BuildFailed as error:
        click.echo(str(error), err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)
    except OSError as error:
        wrong(f"the site cannot be shown there: {error.strerror}; choose another with --address 127.0.0.1:8001")


@click.command()
@click.option(
    "--to",
    "target",
    required=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder to write; must be new, empty, or of an earlier run.",
)
@shop_option
def pages(target: Path, folder: Path) -> None:
    """Write the site as a plain folder of Markdown and files, for another generator of sites."""
    from builder import mkdocs_plugin, plain_folder
    from builder.prose import care_of, read_prose
    from builder.site import problems_with_prose, site_of

    workshop = with_drawn_addresses(open_here(folder, private_files=False), folder)
    _stop_on_errors_of(workshop, "buyer")
    try:
        editions = mkdocs_plugin.site_folders(folder.resolve()).items()
        see_that_records_are_safe(folder, {"the folder of --to": target})
        for edition, place in editions:
            see_apart({"the folder of --to": target, mkdocs_plugin.SAID_OF[edition]: place})
        prepared = prepare_here(workshop, "buyer")
        stop_on_problems(prepared.problems)
        own_pages = mkdocs_plugin.prose_folder(folder.resolve())
        site, prose = site_of(prepared, care=care_of(own_pages)), read_prose(own_pages)
        stop_on_problems(problems_with_prose(site, prose))
        plain_folder.write_plain_folder(site, prose, target.resolve())
    except (mkdocs_plugin.NoShopHere, NotApart, plain_folder.NotOurs, InUse) as error:
        wrong(f"{error}")
    except mkdocs_plugin.BuildFailed as error:
        click.echo(str(error), err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)
    count = len(site.pages) + sum(not each.is_draft for each in prose)
    click.echo(f"Wrote {counted(count, 'page')} and {counted(len(site.assets), 'file')} to {target}.")
