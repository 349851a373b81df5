"""The command `boutbook`: reads what was asked, calls the rooms of the house, and says plainly what came of it.

Exit codes: 0 fine, 1 the records have problems, 2 the command was used wrongly.
"""

from __future__ import annotations

import csv
import io
import os
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from builder.beside import prepare
from builder.problems import Problem, count_in_words, did_you_mean, in_words
from builder.publish import publish, publish_shop
from builder.publish.bench import publish_bench
from builder.published import as_json
from builder.safe_files import InUse, new_folder_for, write_file
from builder.templates import as_csv_rows
from builder.words import counted
from builder.workshop import Instrument, Workshop, open_shop

if TYPE_CHECKING:
    from builder.seam import Edition
    from builder.sheets.paper import Paper

RECORDS_HAVE_PROBLEMS = 1
USED_WRONGLY = 2

_shop_option = click.option(
    "--shop",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path(),
    help="The shop folder, the one that has records/ in it. Usually where you are.",
)


_edition_option = click.option(
    "--edition",
    type=click.Choice(["buyer", "shop"]),
    default="buyer",
    help="For buyers, or for the shop: every instrument, with what the bench needs. Each has its own folder.",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="boutbook")
def boutbook() -> None:
    """One folder of plain records in; pages, certificates and bench numbers for your instruments out."""


@boutbook.command()
@_edition_option
@_shop_option
def build(edition: Edition, folder: Path) -> None:
    """Build the site for buyers. The old site stays until the new one is whole."""
    from builder import mkdocs_plugin  # MkDocs takes a while to load; other commands do without

    workshop = _open(folder, private_files=edition == "shop")
    prepared = prepare(workshop, edition)
    _stop_on_problems(prepared.problems)
    try:
        site = mkdocs_plugin.site_folder(folder.resolve(), edition)
        with new_folder_for(site) as new:
            mkdocs_plugin.build(folder.resolve(), prepared, edition, new)
    except (mkdocs_plugin.NoShopHere, InUse) as error:
        _wrong(f"{error}")
    except mkdocs_plugin.BuildFailed as error:
        click.echo(str(error), err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)
    shown = sum(edition == "shop" or each.record.is_for_buyers for each in workshop.instruments)
    kept = len(workshop.instruments) - shown
    named = "the shop edition" if edition == "shop" else "the site"
    click.echo(f"Built {named} with {counted(shown, 'instrument')}{f' ({kept} not for buyers yet)' if kept else ''}.")
    click.echo(f"Open {_from_here(site / 'index.html')} in a browser.")


def _host_and_port(context: click.Context, parameter: click.Parameter, value: str | None) -> str | None:
    if value is not None and not re.fullmatch(r"[\w.:\[\]-]+:\d{1,5}", value, re.ASCII):
        raise click.BadParameter(f"«{value}» is not a host and a port, like 127.0.0.1:8000")
    return value


@boutbook.command()
@click.option(
    "--address", metavar="HOST:PORT", callback=_host_and_port, help="Where to show it; usually 127.0.0.1:8000."
)
@_edition_option
@_shop_option
def serve(edition: Edition, folder: Path, address: str | None) -> None:
    """Show the site while you work on it. A saved record shows at once; Ctrl-C ends it."""
    from builder import mkdocs_plugin

    _open(folder, private_files=False)
    try:
        mkdocs_plugin.serve(folder.resolve(), edition, address, click.echo)
    except mkdocs_plugin.NoShopHere as error:
        _wrong(f"{error}")
    except mkdocs_plugin.BuildFailed as error:
        click.echo(str(error), err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)
    except OSError as error:
        _wrong(f"the site cannot be shown there: {error.strerror}; choose another with --address 127.0.0.1:8001")


@boutbook.command()
@_shop_option
def check(folder: Path) -> None:
    """Read every record, the private files too, and say everything that is wrong."""
    prepared = prepare(_open(folder, private_files=True), "shop")
    _stop_on_problems(prepared.problems, hints=True)
    count = counted(len(prepared.workshop.instruments), "instrument")
    click.echo(f"Read {count}: {count_in_words(prepared.problems)}.")


@boutbook.command()
@click.argument("serial")
@click.option("--bench", "for_the_bench", is_flag=True, help="The figures of its bench page instead.")
@click.option("--csv", "as_csv", is_flag=True, help="The fret table, for a spreadsheet, instead of everything.")
@_shop_option
def results(serial: str, for_the_bench: bool, as_csv: bool, folder: Path) -> None:
    """Print what is worked out for one instrument, as JSON with units and sources.

    SERIAL may be shortened where it is clear: 014 for 2026-014.
    """
    workshop = _open(folder, private_files=False)
    instrument = _find(workshop, serial)
    assert workshop.shop is not None, "without a shop file no instrument is found"
    published = publish(instrument, workshop.shop)
    if for_the_bench:
        click.echo(as_json(publish_bench(instrument, workshop.shop)), nl=False)
    elif not as_csv:
        click.echo(as_json(published), nl=False)
    elif published.frets is None:
        _wrong(f"{published.serial} has no fret table: its record needs spec.scale_length and spec.frets")
    else:
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows(as_csv_rows(published.frets.table))
        click.echo(text.getvalue(), nl=False)


BATCH, BLANK = "batch", "-"


@boutbook.command()
@click.argument("serials", metavar="SERIAL")
@click.argument("kind")
@click.option("--paper", type=click.Choice(["a4", "letter"]), help="Usually the paper of the shop's own units.")
@click.option("--no-names", is_flag=True, help="Leave the buyer's name and wishes out, as for a class.")
@click.option("--to", "target", type=click.Path(path_type=Path), help="File to write; usually in the folder sheets.")
@_shop_option
def sheet(serials: str, kind: str, paper: Paper | None, no_names: bool, target: Path | None, folder: Path) -> None:
    """Write one paper of an instrument: full-size templates, bench sheet, label, cards.

    SERIAL may be shortened where it is clear. Several serials with commas between them make one sheet of labels
    (label) or the papers of a batch (batch); - stands for another maker's instrument (repair-ticket). A KIND that is
    not known is answered with those there are.
    """
    from builder.prose import care_of
    from builder.publish.batch import publish_batch
    from builder.publish.papers import publish_papers
    from builder.sheets import kinds
    from builder.sheets.paper import CannotBePrinted, paper_for

    if kind not in (BATCH, *kinds.KINDS):
        _wrong(f"there is no paper «{kind}»; write one of {', '.join((*kinds.KINDS, BATCH))}")
    workshop = _open(folder, private_files=kind in ("bench", BATCH))
    shop = workshop.shop
    if shop is None:
        _stop_on_problems(workshop.problems)
    assert shop is not None, "without a shop file there are problems"
    sized = paper or paper_for(shop.unit)
    found = [] if serials == BLANK else [_find(workshop, serial.strip()) for serial in serials.split(",")]
    care = care_of(folder / "records" / "pages")
    papers = [publish_papers(each, shop, care=care, names=not no_names) for each in found]
    ending = "html" if kind == BATCH else kinds.KINDS[kind].ending
    try:
        if kind == BATCH and papers:
            content = kinds.batch_sheet(publish_batch(found, shop), papers)
        elif kind == "label" and papers:
            content = kinds.labels(papers, sized)
        elif len(papers) == 1:
            content = kinds.KINDS[kind].make(papers[0], sized)
        elif not papers and kind == "repair-ticket":
            content = kinds.blank_repair_ticket(publish_shop(shop))
        else:
            _wrong(f"«{kind}» is made for one instrument; write one serial")
    except CannotBePrinted as trouble:
        _wrong(f"{trouble.message}; {trouble.hint}" if trouble.hint else trouble.message)
    depends = kind == "label" or (kind != BATCH and kinds.KINDS[kind].depends_on_paper)
    named = "-".join(each.record.serial for each in found) if len(found) < 3 else f"{found[0].record.serial}-and-more"
    name = f"{named or 'blank'}-{kind}{f'-{sized}' if depends else ''}.{ending}"
    place = target or folder / "sheets" / name
    write_file(place, content)
    click.echo(f"Wrote {_from_here(place.resolve())}.")


@boutbook.command()
@click.option(
    "--to",
    "target",
    required=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder to write; must be new, empty, or of an earlier run.",
)
@_shop_option
def pages(target: Path, folder: Path) -> None:
    """Write the site as a plain folder of Markdown and files, for another generator of sites."""
    from builder import mkdocs_plugin, plain_folder
    from builder.prose import read_prose
    from builder.site import site_of, taken_addresses

    prepared = prepare(_open(folder, private_files=False), "buyer")
    _stop_on_problems(prepared.problems)
    try:
        site, prose = site_of(prepared), read_prose(mkdocs_plugin.prose_folder(folder.resolve()))
        _stop_on_problems(taken_addresses(site, prose))
        plain_folder.write_plain_folder(site, prose, target.resolve())
    except (mkdocs_plugin.NoShopHere, plain_folder.NotOurs, InUse) as error:
        _wrong(f"{error}")
    except mkdocs_plugin.BuildFailed as error:
        click.echo(str(error), err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)
    count = len(site.pages) + sum(not each.is_draft for each in prose)
    click.echo(f"Wrote {counted(count, 'page')} and {counted(len(site.assets), 'file')} to {target}.")


@boutbook.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def init(folder: Path) -> None:
    """Lay down a new shop folder, with every file explained, that builds at once."""
    starter = Path(__file__).parent / "starter"
    files = {
        file: folder / _name_in_shop(file.relative_to(starter)) for file in sorted(starter.rglob("*")) if file.is_file()
    }
    there = [target for target in files.values() if target.exists()]
    if there:
        _wrong(f"{there[0]} is there already; nothing was written. Choose a new folder")
    for file, target in files.items():
        write_file(target, file.read_bytes())
    click.echo(f"Laid down a new shop in {folder}. Next:")
    click.echo(f"  1. Write your shop's name and rules into {folder / 'records' / 'shop.yaml'}.")
    click.echo(f"  2. boutbook build --shop {folder}")


def _name_in_shop(path: Path) -> Path:
    """The starter's `gitignore` becomes `.gitignore`, which a package would not carry under its own name."""
    return path.with_name(".gitignore") if path.name == "gitignore" else path


def _open(folder: Path, *, private_files: bool) -> Workshop:
    if not (folder / "records").is_dir():
        _wrong(f"there is no records folder in {folder.resolve()}; go to your shop folder, or name it with --shop")
    return open_shop(folder.resolve(), private_files=private_files)


def _stop_on_problems(problems: tuple[Problem, ...], *, hints: bool = False) -> None:
    """Say every problem, and every hint where they are wanted; leave if any of them is an error."""
    problems = tuple(problem for problem in problems if hints or problem.severity != "hint")
    for problem in problems:
        click.echo(in_words(problem) + "\n", err=True)
    if any(problem.severity == "error" for problem in problems):
        click.echo(f"{count_in_words(problems)}. Nothing was changed.", err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)


def _find(workshop: Workshop, serial: str) -> Instrument:
    """The instrument of a serial, whole or shortened; leaves with a plain word where it is not clear."""
    if workshop.shop is None:
        _stop_on_problems(workshop.problems)
    found = [each for each in workshop.instruments if each.record.serial == serial]
    found = found or [each for each in workshop.instruments if each.record.serial.endswith(serial)]
    if len(found) > 1:
        _wrong(f"«{serial}» may be {', '.join(each.record.serial for each in found)}; write more of it")
    if not found:
        of_it = tuple(problem for problem in workshop.problems if f"/{serial}/" in f"/{problem.file}")
        _stop_on_problems(of_it)
        serials = [each.record.serial for each in workshop.instruments]
        _wrong(f"there is no instrument «{serial}»; {did_you_mean(serial, serials)}")
    file = f"records/instruments/{found[0].record.serial}/"
    _stop_on_problems(tuple(problem for problem in workshop.problems if problem.file.startswith(file)))
    return found[0]


def _from_here(path: Path) -> Path:
    """A path as short as it can be said from where the maker is."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path


def _wrong(message: str) -> NoReturn:
    click.echo(f"boutbook: {message}", err=True)
    sys.exit(USED_WRONGLY)


def main(run: Callable[[], None] = boutbook) -> None:
    """Run the command. What nobody expected is said in one line, and how to see more of it."""
    for stream in (sys.stdout, sys.stderr):
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
