"""The command that fixes what is handed over: issue."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import NoReturn

import click

from builder.beside import Prepared, prepare
from builder.certificates.issuing import ChangedMeanwhile, amendment_files, issue_files, store
from builder.certificates.standing import Standing, certificate_folder
from builder.commands.asked import (
    RECORDS_HAVE_PROBLEMS,
    find,
    from_here,
    open_here,
    shop_option,
    stop_on_problems,
    with_drawn_address,
    wrong,
)
from builder.publish import publish, publish_shop
from builder.published.issued import PublishedChange
from builder.safe_files import InUse
from builder.templates import day_in_words
from builder.words import counted
from builder.workshop import Instrument, Workshop

MOST_LETTERS_OF_A_REASON = 400


def _day(context: click.Context, parameter: click.Parameter, value: str | None) -> date:
    today = date.today()
    if value is None:
        return today
    try:
        day = date.fromisoformat(value)
    except ValueError:
        raise click.BadParameter(f"«{value}» is not a day, like {today}") from None
    if day.isoformat() != value:
        raise click.BadParameter(f"write the day as {day}")
    if day > today:
        raise click.BadParameter(f"{value} is still to come")
    return day


def _reason(context: click.Context, parameter: click.Parameter, value: str | None) -> str | None:
    if value is None:
        return None
    reason = " ".join(value.split(" ")).strip()
    if not reason:
        raise click.BadParameter("say why, for whoever reads the page in twenty years")
    if not reason.isprintable():
        raise click.BadParameter("there is a sign in it that cannot be seen; write it in one line")
    if len(reason) > MOST_LETTERS_OF_A_REASON:
        raise click.BadParameter(f"it has {len(reason)} letters, and {MOST_LETTERS_OF_A_REASON} are the most")
    return reason


@click.command()
@click.argument("serial")
@click.option("--date", "day", metavar="YYYY-MM-DD", callback=_day, help="The day it is handed over; usually today.")
@click.option(
    "--amend", "reason", metavar="WHY", callback=_reason, help="Tell what changed since, and why; it is shown."
)
@shop_option
def issue(serial: str, day: date, reason: str | None, folder: Path) -> None:
    """Fix the certificate of an instrument on the day it is handed over; it is shown as it was from then on.

    What is published of the instrument and the finished certificate are kept beside its record, in the folder
    certificate. Nothing private is in them. SERIAL may be shortened where it is clear.
    """
    workshop = open_here(folder, private_files=True)
    instrument = find(workshop, serial)
    prepared = _prepared(workshop, instrument)
    standing = prepared.issued.get(instrument.record.serial)
    if reason is None:
        _issue(prepared, instrument, standing, day)
    else:
        _amend(prepared, instrument, standing, day, reason)


def _prepared(workshop: Workshop, instrument: Instrument) -> Prepared:
    """One instrument as if it were alone in the shop; leaves where it or a file of the shop itself is wrong."""
    own, others = f"records/instruments/{instrument.record.serial}/", "records/instruments/"
    problems = [each for each in workshop.problems if each.file.startswith(own) or not each.file.startswith(others)]
    prepared = prepare(replace(workshop, instruments=(instrument,), problems=tuple(problems)), "shop")
    stop_on_problems(tuple(each for each in prepared.problems if each.code != "changed-since-issued"))
    return prepared


def _issue(prepared: Prepared, instrument: Instrument, standing: Standing | None, day: date) -> None:
    record, shop = instrument.record, prepared.workshop.shop
    assert shop is not None, "without a shop file no instrument is found"
    if standing:
        number, issued = standing.issue.number, day_in_words(standing.issue.date)
        _refuse(
            f"certificate {number} was issued on {issued}, and is not issued twice; "
            f'tell of a later change with boutbook issue {record.serial} --amend "…"'
        )
    if record.visibility == "shop only":
        _refuse(f"{record.serial} is for the shop only; write visibility: public, or unlisted, to hand it over")
    if not record.dates.finished or not record.dates.delivered:
        lacking = "delivered" if record.dates.finished else "finished"
        _refuse(f"{record.serial} is not {lacking}; write the day it was into its record: dates.{lacking}")
    if day < record.dates.finished:
        finished = day_in_words(record.dates.finished.isoformat())
        _refuse(f"{record.serial} was finished on {finished}; no certificate of it can be older than that")
    instrument = with_drawn_address(instrument, prepared.workshop.folder)
    files = issue_files(publish(instrument, shop), publish_shop(shop, prepared.mark), day.isoformat())
    _store(prepared, instrument, files, None)


def _amend(prepared: Prepared, instrument: Instrument, standing: Standing | None, day: date, reason: str) -> None:
    serial, shop = instrument.record.serial, prepared.workshop.shop
    assert shop is not None, "without a shop file no instrument is found"
    if standing is None:
        _refuse(f"no certificate of {serial} is issued yet; write boutbook issue {serial} first")
    changes = standing.issue.not_amended
    if not changes:
        _refuse(f"nothing has changed since {_last(standing)}; there is nothing to amend")
    last = standing.issue.amendments[-1].date if standing.issue.amendments else standing.issue.date
    if day.isoformat() < last:
        _refuse(f"{_last(standing)} is of {day_in_words(last)}; an amendment of it cannot be older")
    files = amendment_files(standing.stored, publish(instrument, shop), day.isoformat(), reason, changes)
    _store(prepared, instrument, files, standing)


def _last(standing: Standing) -> str:
    number = standing.issue.number
    return (
        f"amendment {len(standing.issue.amendments)} of {number}"
        if standing.issue.amendments
        else f"certificate {number}"
    )


def _store(prepared: Prepared, instrument: Instrument, files: dict[str, bytes], before: Standing | None) -> None:
    """Put the files beside the record, and say what was done."""
    folder = certificate_folder(instrument, prepared.workshop.folder)
    try:
        store(folder, files, instead_of=before.stored if before else None)
    except InUse as error:
        wrong(f"{error}")
    except ChangedMeanwhile as error:
        _refuse(f"{error}")
    except OSError as error:
        _refuse(f"it could not be written: {error.strerror}; nothing was changed")
    shown = prepare(replace(prepared.workshop, instruments=(instrument,)), "shop").issued[instrument.record.serial]
    issued, title = shown.issue, instrument.record.title
    if issued.amendments:
        last = issued.amendments[-1]
        click.echo(f"Amendment {last.number} of certificate {issued.number}, {title}, {day_in_words(last.date)}:")
        for line in _changes(last.changes):
            click.echo(f"  {line}")
        click.echo(f"Fingerprint {last.fingerprint}")
    else:
        click.echo(f"Issued certificate {issued.number}, {title}, {day_in_words(issued.date)}.")
        click.echo(f"Fingerprint {issued.fingerprint}")
    click.echo(f"Kept in {from_here(folder)}; it belongs into every backup. boutbook build shows it.")


def _changes(changes: tuple[PublishedChange, ...]) -> list[str]:
    """What changed, a line each; of what is worked out the number."""
    written = [each for each in changes if each.is_written]
    lines = [f"{each.what}: {each.was or 'not said'} → {each.now or 'not said'}" for each in written]
    worked_out = len(changes) - len(written)
    return [*lines, *([f"{counted(worked_out, 'thing')} worked out anew"] if worked_out else [])]


def _refuse(message: str) -> NoReturn:
    click.echo(f"boutbook: {message}", err=True)
    sys.exit(RECORDS_HAVE_PROBLEMS)
