"""What every command shares: where the shop is, which instrument is meant, and how it is said that something is wrong.

Exit codes: 0 fine, 1 the records have problems, 2 the command was used wrongly.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import datetime
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, NoReturn

import click

from builder.beside import Prepared, prepare
from builder.entries.keeping import HasErrors, Refused
from builder.entries.moments import moment_of
from builder.entries.serials import meant_by
from builder.problems import Problem, count_in_words, did_you_mean, in_words
from builder.reading.folder import instrument_folders
from builder.safe_files import InUse, Resumed
from builder.unlisted import with_address, with_addresses
from builder.words import in_a_row
from builder.workshop import Instrument, Workshop, open_shop

if TYPE_CHECKING:
    from builder.seam import Edition

RECORDS_HAVE_PROBLEMS = 1
USED_WRONGLY = 2

#: How long photographs may take before it is told how far they are, and how often it is told where nobody watches.
A_WHILE_SECONDS = 2
SECONDS_BETWEEN_LINES = 10

shop_option = click.option(
    "--shop",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path(),
    help="The shop folder, the one that has records/ in it. Usually where you are.",
)

edition_option = click.option(
    "--edition",
    type=click.Choice(["buyer", "shop"]),
    default="buyer",
    help="For buyers, or for the shop: every instrument, with what the bench needs. Each has its own folder.",
)

at_option = click.option(
    "--at", "said_at", metavar="TIME", help="For which moment: 2026-03-04 14:30, or 14:30 of today; usually now."
)


def now() -> datetime:
    """The moment by the shop's clock."""
    return datetime.now()


def moment_said(said: str | None) -> datetime:
    """The moment that is asked for, else now, to the minute; leaves where it is none."""
    try:
        return moment_of(said, now()).replace(second=0, microsecond=0)
    except Refused as trouble:
        wrong(f"--at: {trouble}")


def open_here(folder: Path, *, private_files: bool) -> Workshop:
    """The shop in a folder, read and worked out; leaves where the folder is no shop."""
    require_records(folder)
    return open_shop(folder.resolve(), private_files=private_files)


def prepare_here(workshop: Workshop, edition: Edition) -> Prepared:
    """The shop ready for a site; where its photographs take a while, it is told how far they are."""
    told_at, bar = monotonic(), None
    with ExitStack() as shown:

        def tell(done: int, of: int) -> None:
            nonlocal told_at, bar
            waited = monotonic() - told_at
            if bar is None and sys.stderr.isatty() and waited > A_WHILE_SECONDS:
                bar = shown.enter_context(click.progressbar(length=of, label="Photographs", file=sys.stderr))
            if bar is not None:
                bar.update(done - bar.pos)
            elif waited > SECONDS_BETWEEN_LINES:
                told_at = monotonic()
                click.echo(f"{done} of {of} photographs are ready.", err=True)

        return prepare(workshop, edition, tell)


def require_records(folder: Path) -> None:
    """Leave with a plain word where a folder is no shop."""
    if not (folder / "records").is_dir():
        wrong(f"there is no records folder in {folder.resolve()}; go to your shop folder, or name it with --shop")


def with_drawn_addresses(workshop: Workshop, folder: Path) -> Workshop:
    """The shop with an address for every unlisted instrument; says of which it was drawn just now."""
    before = workshop.instruments
    workshop = with_addresses(workshop, folder.resolve())
    for earlier, now in zip(before, workshop.instruments, strict=True):
        _say_if_drawn(earlier, now)
    return workshop


def with_drawn_address(instrument: Instrument, folder: Path) -> Instrument:
    """The instrument with its address, drawn if it is unlisted and has none; leaves where that cannot be kept."""
    try:
        found = with_address(instrument, folder.resolve())
    except OSError as error:
        wrong(f"the address of {instrument.record.serial} cannot be written: {error.strerror}")
    _say_if_drawn(instrument, found)
    return found


def _say_if_drawn(before: Instrument, after: Instrument) -> None:
    if before.lacks_address and not after.lacks_address:
        serial = after.record.serial
        click.echo(f"Wrote the address of {serial}, which is unlisted, to its address.txt. Keep it: codes lead there.")


def stop_on_problems(problems: tuple[Problem, ...], *, hints: bool = False) -> None:
    """Say every problem, and every hint where they are wanted; leave if any of them is an error."""
    problems = tuple(problem for problem in problems if hints or problem.severity != "hint")
    for problem in problems:
        click.echo(in_words(problem) + "\n", err=True)
    if any(problem.severity == "error" for problem in problems):
        click.echo(f"{count_in_words(problems)}. Nothing was changed.", err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)


def find(workshop: Workshop, serial: str) -> Instrument:
    """The instrument of a serial, whole or shortened; leaves with a plain word where it is not clear."""
    if workshop.shop is None:
        stop_on_problems(workshop.problems)
    meant = meant_by(serial, [each.record.serial for each in workshop.instruments])
    found = [each for each in workshop.instruments if each.record.serial in meant]
    if len(found) > 1:
        wrong(f"«{serial}» may be {', '.join(meant)}; write more of it")
    if not found:
        of_it = tuple(problem for problem in workshop.problems if f"/{serial}/" in f"/{problem.file}")
        stop_on_problems(of_it)
        serials = [each.record.serial for each in workshop.instruments]
        wrong(f"there is no instrument «{serial}»; {did_you_mean(serial, serials)}")
    file = f"records/instruments/{found[0].record.serial}/"
    stop_on_problems(tuple(problem for problem in workshop.problems if problem.file.startswith(file)))
    return found[0]


def find_folder(shop: Path, serial: str) -> str:
    """The folder of the instrument of a serial, whole or shortened, without reading any record."""
    folders = instrument_folders(shop)
    meant = meant_by(serial, folders)
    if len(meant) > 1:
        wrong(f"«{serial}» may be {', '.join(meant)}; write more of it")
    if not meant:
        wrong(f"there is no instrument «{serial}»; {did_you_mean(serial, folders)}")
    return meant[0]


def from_here(path: Path) -> Path:
    """A path as short as it can be said from where the maker is."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path


@contextmanager
def refusals_told() -> Iterator[None]:
    """While the maker's files are written: what stands in the way is said in a line, and the command leaves."""
    try:
        yield
    except HasErrors as trouble:
        stop_on_problems(trouble.problems)
        raise
    except Resumed as trouble:
        wrong(resumed_in_words(trouble))
    except (Refused, InUse) as trouble:
        wrong(refused_in_words(trouble))
    except OSError as trouble:
        wrong(f"it could not be written: {trouble.strerror}; nothing was changed")


def refused_in_words(trouble: Exception) -> str:
    """Why something was not written."""
    said = str(trouble)
    return f"{said}{'' if said.endswith('?') else '.'} Nothing was written"


def resumed_in_words(trouble: Resumed) -> str:
    """What a run that was stopped had ready, which may be the very thing that is asked for again."""
    names = in_a_row(trouble.names)
    return f"an earlier run was stopped; what it had ready is in its place now: {names}. Say it again if it is not that"


def wrong(message: str) -> NoReturn:
    """Say in a line how the command was used wrongly, and leave."""
    click.echo(f"boutbook: {message}", err=True)
    sys.exit(USED_WRONGLY)
