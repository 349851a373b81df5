"""Unlisted instruments: each has a page, at an address that nobody can guess. It is drawn once and stays for life.

It stands in `address.txt` of the instrument's folder: in no private file, for a buyer's site is built without opening
one, and with the records, so that a copy of the shop brings back the page behind every code that was printed. Should
the file be lost, it is written again from the certificate, if one was issued.
"""

from __future__ import annotations

import dataclasses
import re
import secrets
from pathlib import Path

from builder import addresses
from builder.certificates.standing import certificate_folder
from builder.certificates.stored import CERTIFICATE
from builder.problems import Problem
from builder.reading.address import ADDRESS_FILE, LETTERS, LETTERS_DRAWN, MOST_LETTERS, read_address
from builder.safe_files import where_it_stands, write_once
from builder.workshop import Instrument, Workshop


def with_addresses(workshop: Workshop, folder: Path) -> Workshop:
    """The shop with an address for every unlisted instrument, drawn and kept in `folder` where there was none.

    A shop with errors is left as it is. What keeps an address from being written is among the problems.
    """
    if workshop.has_errors:
        return workshop
    instruments, problems = [], [*workshop.problems]
    for each in workshop.instruments:
        try:
            instruments.append(with_address(each, folder))
        except OSError as error:
            message = f"the address of this unlisted instrument cannot be written: {error.strerror}"
            problems.append(Problem("no-address", _file_of(each), 0, 0, message, "see whether you may write here"))
            instruments.append(each)
    return dataclasses.replace(workshop, instruments=tuple(instruments), problems=tuple(problems))


def with_address(instrument: Instrument, folder: Path) -> Instrument:
    """The instrument with its address, drawn if it is unlisted and has none. Raises OSError where it cannot be kept.

    Where another run draws at the same moment, both get what the first of them wrote.
    """
    if not instrument.lacks_address:
        return instrument
    file = folder / _file_of(instrument)
    ending = _printed_on_its_certificate(instrument, folder)
    ending = ending or "".join(secrets.choice(LETTERS) for _ in range(LETTERS_DRAWN))
    write_once(file, f"{ending}\n".encode())
    ending, problems = read_address(file, _file_of(instrument))
    if ending is None:
        raise OSError(0, problems[0].message if problems else "the file is gone again", str(file))
    return dataclasses.replace(instrument, address_ending=ending)


def _printed_on_its_certificate(instrument: Instrument, folder: Path) -> str | None:
    """The ending that the certificate was issued with, if there is one and it has one."""
    certificate = where_it_stands(certificate_folder(instrument, folder)) / CERTIFICATE
    try:
        content = certificate.read_bytes() if certificate.is_file() else b""
    except OSError:
        return None
    page = addresses.instrument_page(f"{instrument.record.serial}-ENDING")
    found = re.search(
        re.escape(page).replace("ENDING", f"([{LETTERS}]{{{LETTERS_DRAWN},{MOST_LETTERS}}})").encode(), content
    )
    return found.group(1).decode() if found else None


def without_address(workshop: Workshop) -> tuple[Problem, ...]:
    """What to say of unlisted instruments where no address may be drawn."""
    message, hint = "this unlisted instrument has no address yet", "run boutbook build once, which draws one"
    lacking = [each for each in workshop.instruments if each.lacks_address]
    return tuple(Problem("no-address", _file_of(each), 0, 0, message, hint) for each in lacking)


def _file_of(instrument: Instrument) -> str:
    return f"records/instruments/{instrument.record.serial}/{ADDRESS_FILE}"
