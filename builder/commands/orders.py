"""The commands that begin an instrument: new, from a pattern or blank, and repeat, from an earlier one."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import click

from builder.commands.asked import (
    find_folder,
    refusals_told,
    require_records,
    shop_option,
    wrong,
)
from builder.entries.begun import Particulars
from builder.entries.keeping import Refused
from builder.entries.moments import day_of
from builder.entries.orders import MOST_AT_ONCE, Begun, Setting, Wishes, begin
from builder.entries.serials import remember
from builder.entries.starts import Start, blank, from_instrument, from_pattern
from builder.lengths import Unit
from builder.words import counted, in_a_row

_scale_option = click.option("--scale", metavar="LENGTH", help="Its scale length, 26 in.")
_ordered_option = click.option("--ordered", metavar="DAY", help="The day it was ordered, 2026-03-04.")
_buyer_option = click.option("--buyer", metavar="NAME", help="Who ordered it; stands in the private file alone.")
_serial_option = click.option("--serial", metavar="SERIAL", help="Its serial; usually the next one.")
_set_option = click.option(
    "--set", "settings", multiple=True, metavar="FIELD=VALUE",
    help='What is to be otherwise: spec.wood.back.species="black cherry". May be given several times.',
)  # fmt: skip


def today() -> date:
    """The day by the shop's clock."""
    return date.today()


def is_a_terminal() -> bool:
    """Whether somebody sits there who can be asked."""
    return sys.stdin.isatty()


@click.command()
@click.option("--pattern", metavar="NAME", help="The house pattern it starts from.")
@click.option("--kind", metavar="TEXT", help="What it is, where it starts from no pattern: mountain dulcimer.")
@click.option("--name", metavar="TEXT", help="What it is called, if it has a name.")
@_scale_option
@_set_option
@_ordered_option
@_buyer_option
@_serial_option
@shop_option
def new(
    pattern: str | None, kind: str | None, name: str | None, scale: str | None, settings: tuple[str, ...],
    ordered: str | None, buyer: str | None, serial: str | None, folder: Path,
) -> None:  # fmt: skip
    """Begin an instrument: a record and a private file with the next serial.

    From a house pattern or from nothing; on a terminal it asks for what is not said.
    """
    require_records(folder)
    if pattern is None and kind is None:
        if not is_a_terminal():
            wrong("nothing says what it is to be; add --pattern NAME, or --kind with what it is")
        pattern, kind, name, scale = _asked_for(folder, name, scale)
    elif pattern is not None and kind is not None:
        settings = (f"kind={kind}", *settings)

    def start(unit: Unit) -> Start:
        return from_pattern(folder.resolve(), pattern) if pattern else blank(str(kind), scale, unit)

    wishes = Wishes(Particulars(name, _day(ordered), buyer), scale, _settings(settings), serial=serial)
    _begin(folder, start, wishes)


@click.command()
@click.argument("serial")
@_scale_option
@_set_option
@click.option("--count", type=click.IntRange(1, MOST_AT_ONCE), default=1, help="How many; more than one make a batch.")
@click.option("--batch", metavar="NAME", help="What the batch is called: a class, an edition.")
@click.option("--same-buyer", is_flag=True, help="It is for the buyer of the earlier one.")
@_buyer_option
@_ordered_option
@click.option("--serial", "own", metavar="SERIAL", help="The serial of the new one; usually the next one.")
@shop_option
def repeat(
    serial: str, scale: str | None, settings: tuple[str, ...], count: int, batch: str | None, same_buyer: bool,
    buyer: str | None, ordered: str | None, own: str | None, folder: Path,
) -> None:  # fmt: skip
    """Build one again: the specification of SERIAL with the next serial, and nothing that was its own.

    SERIAL may be shortened where it is clear: 014 for 2026-014.
    """
    require_records(folder)
    shop = folder.resolve()
    earlier = find_folder(shop, serial)
    if same_buyer and buyer:
        wrong("--same-buyer and --buyer exclude each other; write one of them")
    if count > 1 and batch is None:
        batch = f"{count} like {earlier}, {today().year}"
    particulars = Particulars(ordered=_day(ordered), buyer=buyer, batch=batch)
    wishes = Wishes(particulars, scale, _settings(settings), earlier if same_buyer else None, own, count)
    _begin(folder, lambda unit: from_instrument(shop, earlier), wishes)


def _asked_for(
    folder: Path, name: str | None, scale: str | None
) -> tuple[str | None, str | None, str | None, str | None]:
    """Pattern or kind, name and scale length, asked on the terminal; what is left empty is left out."""
    patterns = sorted(each.stem for each in (folder / "records" / "patterns").glob("*.yaml"))
    pattern = kind = None
    if patterns:
        pattern = _ask(f"Start from which pattern ({in_a_row(patterns, 'or')}; nothing for none)")
    if pattern is None:
        kind = click.prompt("What is it to be (mountain dulcimer, tenor ukulele …)", err=True)
    name = name or _ask("Its name (nothing for none)")
    usual = "nothing for that of the pattern" if pattern else "nothing if it is not settled"
    return pattern, kind, name, scale or _ask(f"Its scale length ({usual})")


def _ask(question: str) -> str | None:
    said = click.prompt(question, default="", show_default=False, err=True).strip()
    return said or None


def _day(said: str | None) -> date | None:
    from datetime import datetime

    try:
        return day_of(said, datetime.now()) if said is not None else None
    except Refused as trouble:
        wrong(f"--ordered: {trouble}")


def _settings(written: tuple[str, ...]) -> tuple[Setting, ...]:
    settings = []
    for each in written:
        field, sign, value = each.partition("=")
        if not sign:
            wrong(f'«{each}» says no value; write it like --set spec.wood.back.species="black cherry"')
        settings.append(Setting(field.strip(), value))
    return tuple(settings)


def _begin(folder: Path, start: Callable[[Unit], Start], wishes: Wishes) -> None:
    shop = folder.resolve()
    with refusals_told():
        begun = begin(shop, start, wishes, today().year)
    remember(shop, begun.serials[0])
    _tell(begun, wishes)


def _tell(begun: Begun, wishes: Wishes) -> None:
    """What was written, what is to be decided, and what to do next."""
    first, many = begun.serials[0], len(begun.serials) > 1
    what = f"{counted(len(begun.serials), 'instrument')}, {in_a_row(begun.serials)}" if many else first
    start = begun.start
    click.echo(f"Began {what}{f', started from {start.said}' if start.name else ''}.")
    for serial in begun.serials:
        click.echo(f"  records/instruments/{serial}/record.yaml and private.yaml")
    for remark in begun.remarks:
        click.echo(f"Note: {remark}.")
    if begun.questions:
        click.echo("To decide; the same stands at the top of the record:")
        for each in begun.questions:
            click.echo(f"  - {each.field}: {each.words}")
    papers = f"{','.join(begun.serials)} batch" if many else f"{first} bench"
    click.echo(f"Next: write what is settled into {'each' if many else 'the'} record; then boutbook check.")
    click.echo(f"For the bench: boutbook sheet {papers}")
