"""The command that looks whether what was issued is still what it was: verify."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import click

from builder.certificates.standing import look_up
from builder.certificates.stored import FOLDER, MOST_BYTES, files_in
from builder.certificates.verifying import Verified, compare_file, verify_stored
from builder.commands.asked import RECORDS_HAVE_PROBLEMS, require_records, shop_option, wrong
from builder.problems import Problem, did_you_mean, in_words
from builder.safe_files import where_it_stands
from builder.words import counted
from builder.workshop import open_shop


@click.command()
@click.argument("what", metavar="[SERIAL or FILE]", required=False)
@shop_option
def verify(what: str | None, folder: Path) -> None:
    """Look whether what was issued is still what it was, byte for byte, and say in plain words what agrees.

    Without an argument every certificate of the shop. A SERIAL may be shortened where it is clear. A FILE, such as
    the certificate a buyer kept, is compared with everything that was ever issued.
    """
    require_records(folder)
    stored = dict(_stored_folders(folder.resolve() / "records" / "instruments"))
    if what is not None and Path(what).is_file():
        _compare(Path(what), stored)
        return
    chosen = list(stored) if what is None else [_find(what, list(stored))]
    if not chosen:
        wrong("no certificate is issued yet; boutbook issue SERIAL issues one")
    later = _changed_since(folder, chosen)
    fine = 0
    for serial in chosen:
        verified = _verified(serial, stored[serial])
        _say(verified, later.get(serial))
        fine += not verified.problems
    if fine < len(chosen):
        click.echo(f"{counted(len(chosen) - fine, 'certificate')} not as issued.", err=True)
        sys.exit(RECORDS_HAVE_PROBLEMS)
    click.echo(
        f"{counted(fine, 'certificate')} verified: as far as these files tell, what is stored is what was issued."
    )
    click.echo("Whoever can change this folder can change all of it: compare the fingerprint with the one on paper.")


def _stored_folders(instruments: Path) -> Iterator[tuple[str, Path]]:
    """Serial and folder of everything issued, whether or not its record can be read."""
    for each in sorted(instruments.iterdir()) if instruments.is_dir() else []:
        place = where_it_stands(each / FOLDER)
        if place.is_dir():
            yield each.name, place


def _find(serial: str, serials: list[str]) -> str:
    found = [each for each in serials if each == serial] or [each for each in serials if each.endswith(serial)]
    if len(found) > 1:
        wrong(f"«{serial}» may be {', '.join(found)}; write more of it")
    if not found and Path(serial).suffix:
        wrong(f"there is no file {serial}")
    if not found:
        hint = did_you_mean(serial, serials) or "boutbook issue issues one"
        wrong(f"there is no certificate of «{serial}», and no file of this name; {hint}")
    return found[0]


def _verified(serial: str, place: Path) -> Verified:
    said = f"records/instruments/{serial}/{FOLDER}"
    try:
        return verify_stored(files_in(place), said, serial)
    except OSError as error:
        message, hint = f"this cannot be opened: {error.strerror}", "see whether you may read it"
        return Verified(serial, (), (Problem("unreadable-file", said, 0, 0, message, hint),))


def _changed_since(folder: Path, serials: list[str]) -> dict[str, str]:
    """What to say of the record beside a certificate that agrees: whether it says the same today."""
    workshop = open_shop(folder.resolve(), private_files=False)
    said = {}
    for each in workshop.instruments if workshop.shop else ():
        if each.record.serial in serials and workshop.shop:
            standing = look_up(each, workshop.shop, folder.resolve()).standing
            if standing and standing.issue.unamended:
                said[str(each.record.serial)] = "; ".join(change.what for change in standing.issue.unamended)
    return said


def _say(verified: Verified, changed: str | None) -> None:
    click.echo(verified.title)
    for line in verified.agrees:
        click.echo(f"  agrees: {line}")
    if verified.agrees and changed:
        click.echo(f"  note: the record says otherwise today, and no amendment tells of it: {changed}")
    for problem in verified.problems:
        click.echo(f"  DOES NOT AGREE: {in_words(problem)}")


def _compare(file: Path, stored: dict[str, Path]) -> None:
    try:
        with file.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
        issued = {serial: files_in(place) for serial, place in stored.items()}
    except OSError as error:
        wrong(f"{error.filename} cannot be opened: {error.strerror}")
    found = compare_file(content, issued)
    click.echo(f"{file.name}: {found.words}.")
    if not found.is_issued:
        sys.exit(RECORDS_HAVE_PROBLEMS)
