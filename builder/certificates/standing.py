"""How a certificate stands today: what is stored beside the record, what it says of it, and whether both agree."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from pathlib import Path

from builder import addresses
from builder.certificates.stored import CHECKSUMS, FOLDER, StoredCertificate, called, read_stored, sha256_of
from builder.certificates.told import Difference, differences
from builder.problems import Finding, Problem
from builder.publish import publish
from builder.published import Published
from builder.published.issued import PublishedChange, PublishedIssue, PublishedStored
from builder.published.reading import read_published
from builder.reading.address import ADDRESS_FILE
from builder.safe_files import where_it_stands
from builder.shop import Shop
from builder.words import counted
from builder.workshop import Instrument

#: Of how many changes in one line of a record a message tells.
MOST_TOLD = 3


@dataclass(frozen=True, slots=True)
class Standing:
    """A certificate once issued: its files, what is published by it, and what a page tells of it."""

    stored: StoredCertificate
    published: Published
    issue: PublishedIssue


@dataclass(frozen=True, slots=True)
class Looked:
    """What was found where an instrument's certificate is kept; no `standing` where there is none, or none readable."""

    standing: Standing | None = None
    problems: tuple[Problem, ...] = ()


def certificate_folder(instrument: Instrument, shop_folder: Path) -> Path:
    """Where the certificate of an instrument is kept."""
    return shop_folder / "records" / "instruments" / instrument.record.serial / FOLDER


def look_up(instrument: Instrument, shop: Shop, shop_folder: Path) -> Looked:
    """The certificate of an instrument, and whether its record still says the same. Never raises for what is there."""
    serial = instrument.record.serial
    place = where_it_stands(certificate_folder(instrument, shop_folder))
    read = read_stored(place, f"records/instruments/{serial}/{FOLDER}", serial)
    stored = read.stored
    if stored is None:
        return Looked(None, read.problems)
    told = differences(read_published(stored.snapshot), publish(instrument, shop))
    issue = PublishedIssue(
        number=stored.issued.number,
        date=stored.issued.date,
        fingerprint=stored.issued.fingerprint,
        amendments=tuple(each.published for each in stored.amendments),
        not_amended=tuple(each.change for each in told),
        files=tuple(
            PublishedStored(called(name), sha256_of(content))
            for name, content in stored.files.items()
            if name != CHECKSUMS
        ),
    )
    standing = Standing(stored, replace(stored.published, address=instrument.address), issue)
    return Looked(standing, (*_moved(instrument, stored.certificate), *_problems(instrument, told, issue)))


def _moved(instrument: Instrument, certificate: bytes) -> Iterator[Problem]:
    """Whether the page stands where the code on the certificate leads: it does not where it became unlisted since."""
    page = addresses.instrument_page(instrument.address)
    if instrument.file is not None and page.encode() not in certificate:
        message = "the code printed on its certificate leads to another address than its page has now"
        hint = f"put {ADDRESS_FILE} back as it was, if that is gone; else tell its owner the new address"
        yield instrument.file.problem_at(Finding("address-moved", "visibility", message, hint, "warning"))


def _problems(instrument: Instrument, told: Sequence[Difference], issue: PublishedIssue) -> Iterator[Problem]:
    """What the record says otherwise than was issued: a warning for each line it is written in, a hint for sums."""
    last = f"amendment {len(issue.amendments)} of certificate" if issue.amendments else "certificate"
    serial, file = instrument.record.serial, instrument.file
    if file is None:
        return
    placed = [(file.problem_at(Finding("changed-since-issued", each.field, "")), each) for each in told]
    written = sorted((each for each in placed if each[1].change.is_written), key=lambda each: each[0].in_reading_order)
    for _, alike in groupby(written, key=lambda each: each[0].in_reading_order):
        here = list(alike)
        said = "; ".join(_in_words(each.change) for _, each in here[:MOST_TOLD])
        more = f"; and {len(here) - MOST_TOLD} more" if len(here) > MOST_TOLD else ""
        yield replace(
            here[0][0],
            severity="warning",
            message=f"this changed since {last} {issue.number}: {said}{more}",
            hint=f'tell why with boutbook issue {serial} --amend "…", or write it as it was',
        )
    sums = [each.change for each in told if not each.change.is_written]
    if sums and not written:
        first = f"{sums[0].what}{' and others' if len(sums) > 1 else ''}"
        message = f"{counted(len(sums), 'thing')} would be worked out otherwise today than in {last} {issue.number}"
        hint = f'its page shows what was issued; boutbook issue {serial} --amend "…" tells of the new'
        code = "changed-since-issued"
        yield Problem(code, file.file, 0, 0, f"{message} ({first})", hint, severity="hint")


def _in_words(change: PublishedChange) -> str:
    """`Weight, from «2 lb 7 oz» to «2 lb 8 oz»`."""
    if not change.was:
        return f"{change.what}, now «{change.now}», which was not said before"
    if not change.now:
        return f"{change.what}, «{change.was}», which is not said any more"
    return f"{change.what}, from «{change.was}» to «{change.now}»"
