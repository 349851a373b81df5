"""The command for every day: `add` writes one entry into a record at its place."""

from __future__ import annotations

import dataclasses
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TextIO

import click

from builder.commands.asked import (
    find_folder,
    refusals_told,
    require_records,
    shop_option,
    wrong,
)
from builder.editing.layout import Plain
from builder.entries import daily
from builder.entries.keeping import Asked, Written, write_entry
from builder.entries.moments import day_of, moment_of
from builder.entries.serials import last_used, remember
from builder.problems import did_you_mean, in_words
from builder.record import Coat, GlueUp
from builder.words import in_a_row

#: What each field of an entry holds, as the command's help says it.
_WHAT = {
    "parts": "What was glued together, with commas between: linings, sides.",
    "glue": "With what: a glue of the shop file, or any other.",
    "product": "What was laid on; usually that of the record's finish schedule.",
    "temperature": "Of the room: 68 F or 20 C.",
    "humidity": "Of the room: 44 %.",
    "wood_moisture": "Of the wood, by a meter: 7.5 %.",
    "clamps_off": "When the clamps came off: 2026-03-05 09:00, or the time alone.",
}

_new_option = click.option("--new", "is_new", is_flag=True, help="It is no slip: the name is a new one.")
_date_option = click.option("--date", "said_day", metavar="DAY", help="The day, 2026-03-04; usually today.")
_at_option = click.option("--at", "said_at", metavar="TIME", help="2026-03-04 14:30, or 14:30 of today; usually now.")


def now() -> datetime:
    """The moment by the shop's clock."""
    return datetime.now()


class _Entries(click.Group):
    """Takes a serial before the word for the entry, where one is written."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        kinds = self.list_commands(ctx)
        if args[0] not in kinds:
            following = args[1] if len(args) > 1 and not args[1].startswith("-") else None
            slip = args[0] if following is None and _is_a_slip(args[0], kinds) else following
            if slip is None:
                wrong(f"what is to be added to «{args[0]}»? Write one of {in_a_row(kinds, 'or')} behind it")
            if slip not in kinds:
                wrong(f"there is no entry «{slip}»; {did_you_mean(slip, kinds)}")
            ctx.obj, *args = args
        return super().resolve_command(ctx, args)


def _is_a_slip(word: str, kinds: list[str]) -> bool:
    return did_you_mean(word, kinds).startswith("did")


@click.group(cls=_Entries, subcommand_metavar="[SERIAL] ENTRY …")
def add() -> None:
    """Write one entry into a record at its place; every other letter of the file stays as it is.

    SERIAL may be shortened where it is clear (014), and left out for the instrument used last.
    """


def _fields_of(shape: type, *, besides: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """An option for every field of an entry."""

    def with_options(command: Callable[..., None]) -> Callable[..., None]:
        for field in reversed(dataclasses.fields(shape)):
            if field.name != besides:
                option = f"--{field.name.replace('_', '-')}"
                command = click.option(option, field.name, metavar="TEXT", help=_WHAT[field.name])(command)
        return command

    return with_options


@add.command("glue-up")
@_fields_of(GlueUp, besides="at")
@_at_option
@_new_option
@shop_option
@click.pass_context
def glue_up(context: click.Context, /, folder: Path, said_at: str | None, is_new: bool, **said: str | None) -> None:
    """Parts glued together."""
    values: dict[str, Plain] = {name: value for name, value in said.items() if value is not None}
    for needed in ("parts", "glue"):
        if needed not in values:
            wrong(f"nothing says {'which parts were glued' if needed == 'parts' else 'with what'}; add --{needed}")
    values["parts"] = [each.strip() for each in str(values["parts"]).split(",") if each.strip()]
    _write(context, folder, lambda moment: daily.glue_up(values, moment_of(said_at, moment), is_new=is_new))


@add.command()
@_fields_of(Coat, besides="at")
@_at_option
@shop_option
@click.pass_context
def coat(context: click.Context, /, folder: Path, said_at: str | None, **said: str | None) -> None:
    """A coat of finish."""
    values: dict[str, Plain] = {name: value for name, value in said.items() if value is not None}
    _write(context, folder, lambda moment: daily.coat(values, moment_of(said_at, moment)))


@add.command()
@click.argument("words", nargs=-1, required=True)
@_date_option
@_new_option
@shop_option
@click.pass_context
def step(context: click.Context, words: tuple[str, ...], folder: Path, said_day: str | None, is_new: bool) -> None:
    """A step of the work that is done: ticked where it stands in the list, else put at its end."""
    _write(context, folder, lambda moment: daily.step(" ".join(words), day_of(said_day, moment), is_new=is_new))


@add.command()
@click.argument("words", nargs=-1, required=True)
@_date_option
@shop_option
@click.pass_context
def log(context: click.Context, words: tuple[str, ...], folder: Path, said_day: str | None) -> None:
    """A line for the log of the work, in your words."""
    _write(context, folder, lambda moment: daily.log(" ".join(words), day_of(said_day, moment)))


@add.command()
@click.argument("words", nargs=-1, required=True)
@_date_option
@shop_option
@click.pass_context
def service(context: click.Context, words: tuple[str, ...], folder: Path, said_day: str | None) -> None:
    """Work on an instrument since it was handed over; buyers see it."""
    _write(context, folder, lambda moment: daily.service(" ".join(words), day_of(said_day, moment)))


@add.command()
@_date_option
@shop_option
@click.pass_context
def finished(context: click.Context, folder: Path, said_day: str | None) -> None:
    """The day it was finished."""
    _write(context, folder, lambda moment: daily.dated("finished", day_of(said_day, moment)))


@add.command()
@_date_option
@shop_option
@click.pass_context
def delivered(context: click.Context, folder: Path, said_day: str | None) -> None:
    """The day it was handed over; buyers see it from then on."""
    _write(context, folder, lambda moment: daily.dated("delivered", day_of(said_day, moment)))


@add.command()
@click.argument("day")
@shop_option
@click.pass_context
def promised(context: click.Context, day: str, folder: Path) -> None:
    """The day it is promised for."""
    _write(context, folder, lambda moment: daily.dated("promised", day_of(day, moment)))


@add.command()
@click.argument("worked", nargs=-1, required=True)
@click.option("--step", "at_step", metavar="TEXT", help="At which step of the work.")
@_date_option
@_new_option
@shop_option
@click.pass_context
def hours(
    context: click.Context, worked: tuple[str, ...], folder: Path, at_step: str | None, said_day: str | None,
    is_new: bool,
) -> None:  # fmt: skip
    """Hours worked, 3 1/2 or 45 min, into the private file."""
    said = " ".join(worked)
    _write(context, folder, lambda moment: daily.hours(said, day_of(said_day, moment), at_step, is_new=is_new))


@add.command(
    epilog="WHAT is fret-positions, fret-heights, crown-height, action, relief, cents, weight, or bench-sheet: all "
    "blanks of its last list in one column."
)
@click.argument("what")
@click.argument("words", nargs=-1, metavar="[bass|treble] [VALUE]…")
@click.option("--values", metavar="TEXT", help="The values, with commas or spaces between.")
@click.option(
    "--from",
    "source",
    type=click.File(encoding="utf-8"),
    help="A file with the values, one a line; - for what is piped in.",
)
@click.option("--rule", metavar="TEXT", help="The rule they were read on: one of the shop file, or its marks, 1/64 in.")
@click.option("--above", metavar="TEXT", help="What heights were taken above: a straightedge on the nut and last fret.")
@click.option("--instead", is_flag=True, help="Write over what was measured before.")
@shop_option
@click.pass_context
def measurement(
    context: click.Context, what: str, words: tuple[str, ...], folder: Path, values: str | None,
    source: TextIO | None,
    rule: str | None, above: str | None, instead: bool,
) -> None:  # fmt: skip
    """Something measured on the instrument: one value, or a column pasted or from a file."""
    from builder.entries.measurements import MEASUREMENTS, Measured

    if what not in MEASUREMENTS:
        wrong(f"nothing is measured as «{what}»; {did_you_mean(what, MEASUREMENTS)}")
    side = words[0] if words and words[0] in ("bass", "treble") and what.startswith("fret-") else None
    said = values or " ".join(words[1:] if side else words)
    measured = Measured(said or _column_from(source), side, rule, above, instead)
    _write(context, folder, lambda moment: MEASUREMENTS[what](measured))


@add.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--shows", metavar="TEXT", help="What it shows; stands below it.")
@click.option("--alt", metavar="TEXT", help="What there is to see, for those who cannot see it.")
@click.option("--draft", is_flag=True, help="It stays in the workshop.")
@_date_option
@shop_option
@click.pass_context
def photo(
    context: click.Context, files: tuple[Path, ...], folder: Path, shows: str | None, alt: str | None, draft: bool,
    said_day: str | None,
) -> None:  # fmt: skip
    """Photographs, copied under a name that says the day and their order."""
    from builder.entries.photographs import add_photos

    said = {"shows": shows, "alt": alt, "draft": "yes" if draft else None}
    words = {name: value for name, value in said.items() if value is not None}
    if len(files) > 1 and (shows or alt):
        wrong("these words cannot be true of several photographs; add them one by one")
    _keep(context, folder, lambda shop, serial: add_photos(shop, serial, files, day_of(said_day, now()), words))


def _column_from(source: TextIO | None) -> str:
    """What stands in a file, is piped in, or is pasted on the terminal."""
    if source is None and sys.stdin.isatty():
        click.echo("Paste the values, then press Enter and Ctrl-D (on Windows Ctrl-Z and Enter).", err=True)
    try:
        return (source or sys.stdin).read()
    except UnicodeDecodeError:
        wrong("what is to be read is no text; save it as a plain text file")


def _write(context: click.Context, folder: Path, asked_at: Callable[[datetime], Asked]) -> None:
    """Write an entry into the instrument that is meant."""
    _keep(context, folder, lambda shop, serial: write_entry(shop, serial, asked_at(now())))


def _keep(context: click.Context, folder: Path, keep: Callable[[Path, str], Written]) -> None:
    """Keep something in the instrument that is meant, and say what was written where, or why it was not."""
    require_records(folder)
    shop = folder.resolve()
    said = context.find_object(str)
    last = last_used(shop) if said is None else None
    if said is None and last is None:
        wrong("which instrument? Write its serial: boutbook add 014 …")
    serial = last or find_folder(shop, str(said))
    with refusals_told():
        written = keep(shop, serial)
    remember(shop, serial)
    click.echo(f"{serial}{' (as last time)' if said is None else ''}: {written.said}. Written to {written.file}.")
    for remark in written.remarks:
        click.echo(in_words(remark) + "\n", err=True)
