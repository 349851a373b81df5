"""What is kept of a certificate beside its record, in `certificate/`: the shapes, and how they are read and checked.

    issued.json         number, day and fingerprint, and the SHA-256 of snapshot and certificate
    snapshot.json       what was published of the instrument, byte for byte
    certificate.html    the certificate as it was handed over
    amendment-1.json    what changed later and why, and the SHA-256 of its snapshot and of the link before it
    snapshot-1.json     what is published since then
    checksums.txt       the SHA-256 of every file above, as `sha256sum --check` reads them

Nothing here raises for what a file contains: it is said as a problem of that file.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from builder.certificates.fingerprint import fingerprint_of
from builder.problems import Problem
from builder.published import Published
from builder.published.issued import PublishedAmendment, PublishedChange
from builder.published.reading import NotReadable, UnknownFormat, read_as, read_json, read_published

T = TypeVar("T")

FOLDER = "certificate"
ISSUED, SNAPSHOT, CERTIFICATE, CHECKSUMS = "issued.json", "snapshot.json", "certificate.html", "checksums.txt"
#: Version of `issued.json` and `amendment-N.json`.
FORMAT = 1

#: No file of ours is larger; more is not read.
MOST_BYTES = 20_000_000

_CHECKSUM_LINE = re.compile(r"([0-9a-f]{64})  ([a-z0-9.-]+)\n")
_OF_AN_AMENDMENT = re.compile(r"(?:amendment|snapshot)-([1-9][0-9]{0,2})\.json")
_PUT_BACK = "put it back from a backup"


@dataclass(frozen=True, slots=True)
class Issued:
    """`issued.json`: the certificate's number and day (ISO), and what tells its two files from any other."""

    format: int
    number: str
    serial: str
    date: str
    fingerprint: str
    snapshot_sha256: str
    certificate_sha256: str


@dataclass(frozen=True, slots=True)
class Amendment:
    """`amendment-N.json`. `previous_sha256` is that of the file of the amendment before it, or of `issued.json`."""

    format: int
    number: int
    date: str
    reason: str
    changes: tuple[PublishedChange, ...]
    fingerprint: str
    snapshot_sha256: str
    previous_sha256: str

    @property
    def published(self) -> PublishedAmendment:
        """The amendment as a page tells of it."""
        return PublishedAmendment(self.number, self.date, self.reason, self.changes, self.fingerprint)


@dataclass(frozen=True, slots=True)
class StoredCertificate:
    """A certificate as it lies beside its record, every file with its bytes, and nothing wrong with it."""

    files: Mapping[str, bytes]
    issued: Issued
    amendments: tuple[Amendment, ...]

    @property
    def certificate(self) -> bytes:
        """The certificate as it was handed over."""
        return self.files[CERTIFICATE]

    @property
    def snapshot(self) -> bytes:
        """What is published: as issued, or as last amended."""
        return self.files[snapshot_name(len(self.amendments))]

    @property
    def published(self) -> Published:
        """The same, read back."""
        return read_published(self.snapshot).published


@dataclass(frozen=True, slots=True)
class StoredRead:
    """What was found in a folder: nothing, a certificate, or problems."""

    stored: StoredCertificate | None = None
    problems: tuple[Problem, ...] = ()


def snapshot_name(number: int) -> str:
    """The file of a snapshot: the one issued is number 0."""
    return f"snapshot-{number}.json" if number else SNAPSHOT


def amendment_name(number: int) -> str:
    """The file of an amendment, counted from 1; the link before the first is the certificate itself."""
    return f"amendment-{number}.json" if number else ISSUED


def called(name: str) -> str:
    """What a maker calls a file of a certificate."""
    if name == CERTIFICATE:
        return "the certificate as it was issued"
    if name == ISSUED:
        return "what was written down when the certificate was issued"
    number = _OF_AN_AMENDMENT.fullmatch(name)
    if number is None:
        return "the snapshot that was issued"
    return f"the {'amendment' if name.startswith('amendment') else 'snapshot of amendment'} {number[1]}"


def as_stored(value: Issued | Amendment) -> bytes:
    """The one way such a value is written down."""
    return (json.dumps(dataclasses.asdict(value), ensure_ascii=False, indent=2) + "\n").encode()


def sha256_of(content: bytes) -> str:
    """SHA-256 (FIPS 180-4) in hexadecimal digits."""
    return hashlib.sha256(content).hexdigest()


def checksums_of(files: Mapping[str, bytes]) -> bytes:
    """`checksums.txt` of these files, by name."""
    return _checksums({name: sha256_of(content) for name, content in files.items()})


def is_ours(name: str) -> bool:
    """Whether a file is meant to be part of a certificate; hidden ones are the computer's own business."""
    return not name.startswith(".")


def files_in(folder: Path) -> dict[str, bytes]:
    """Every file of a certificate with its bytes; none where there is no such folder. Raises OSError."""
    if not os.path.lexists(folder):
        return {}
    return {path.name: _read_file(path) for path in sorted(folder.iterdir()) if is_ours(path.name)}


def _read_file(path: Path) -> bytes:
    with path.open("rb") as stream:
        return stream.read(MOST_BYTES + 1)


def read_stored(folder: Path, said: str, serial: str) -> StoredRead:
    """Read the certificate in a folder, if there is one; `said` is how the folder is called in problems."""
    try:
        files = files_in(folder)
    except OSError as error:
        name = Path(error.filename or folder).name.encode("utf-8", "replace").decode()
        where = said if name == folder.name else f"{said}/{name}"
        message, hint = f"this cannot be opened: {error.strerror}", "see whether you may read it, or move it"
        return StoredRead(None, (Problem("unreadable-file", where, 0, 0, message, hint),))
    return check_stored(files, said, serial) if files else StoredRead()


def check_stored(files: Mapping[str, bytes], said: str, serial: str) -> StoredRead:
    """The certificate that these files are, or everything that is wrong with them, each file once."""
    check = _Check(files, said, serial)
    check.checksums()
    check.certificate()
    for number in _amendment_numbers(files):
        check.amendment(number)
    check.nothing_else()
    if check.found:
        return StoredRead(None, tuple(problem for _, problem in sorted(check.found.items())))
    issued = read_as(Issued, files[ISSUED])
    amendments = tuple(read_as(Amendment, files[amendment_name(number)]) for number in _amendment_numbers(files))
    return StoredRead(StoredCertificate(files, issued, amendments))


def _amendment_numbers(files: Mapping[str, bytes]) -> range:
    """Numbers of the amendments, from 1 up to the last that there is any file of."""
    found = [_OF_AN_AMENDMENT.fullmatch(name) for name in files]
    return range(1, max((int(each[1]) for each in found if each), default=0) + 1)


@dataclass(frozen=True, slots=True)
class _Check:
    """The files of a certificate, each held against what the others say of it. The first problem of a file counts."""

    files: Mapping[str, bytes]
    said: str
    serial: str
    found: dict[str, Problem] = field(default_factory=dict)

    def checksums(self) -> None:
        """Every file against the list of checksums, and the list against the files."""
        if CHECKSUMS not in self.files:
            return self._wrong(CHECKSUMS, "the list of checksums is missing")
        listed = _listed(self.files[CHECKSUMS])
        if listed is None:
            return self._wrong(CHECKSUMS, "this is not a list of checksums as it was written")
        for name in listed.keys() - self.files.keys():
            self._wrong(name, f"the file is missing, and {CHECKSUMS} names it")
        for name, content in self.files.items():
            if name == CHECKSUMS or sha256_of(content) == listed.get(name):
                continue
            if name not in listed:
                self._wrong(
                    name, f"{CHECKSUMS} does not name this file", "move it, if it is no part of the certificate"
                )
            elif sha256_of(content.replace(b"\r\n", b"\n")) == listed[name]:
                self._wrong(name, "its line ends are not those it was written with")
            else:
                self._wrong(name, f"the file is not as it was issued: its SHA-256 is not the one in {CHECKSUMS}")
        return None

    def certificate(self) -> None:
        """`issued.json` against its two files."""
        issued = self._read(Issued, ISSUED)
        if issued is None:
            return
        if issued.serial != self.serial:
            hint = f"remove the folder «{FOLDER}» here, if it was copied along with the record"
            self._wrong(ISSUED, f"this certificate is that of {issued.serial}, not of {self.serial}", hint)
        self._agrees(CERTIFICATE, issued.certificate_sha256, ISSUED)
        self._agrees(SNAPSHOT, issued.snapshot_sha256, ISSUED)
        self._snapshot(SNAPSHOT, issued.fingerprint, ISSUED)

    def amendment(self, number: int) -> None:
        """`amendment-N.json` against its snapshot and the link before it."""
        name, before = amendment_name(number), amendment_name(number - 1)
        amendment = self._read(Amendment, name)
        if amendment is None:
            return
        if amendment.number != number:
            self._wrong(name, f"this is amendment {amendment.number}, not amendment {number}")
        if sha256_of(self.files.get(before, b"")) != amendment.previous_sha256:
            self._wrong(name, f"this amendment does not follow the {before} that is here")
        self._agrees(snapshot_name(number), amendment.snapshot_sha256, name)
        self._snapshot(snapshot_name(number), amendment.fingerprint, name)

    def nothing_else(self) -> None:
        """Files that no certificate has."""
        known = {ISSUED, SNAPSHOT, CERTIFICATE, CHECKSUMS}
        for name in self.files:
            if name not in known and not _OF_AN_AMENDMENT.fullmatch(name):
                self._wrong(name, "this file is no part of a certificate", "move it")

    def _read(self, shape: type[T], name: str) -> T | None:
        """A file of ours as what it is. None where it cannot be read."""
        if name not in self.files:
            self._wrong(name, "the file is missing")
            return None
        try:
            tree = read_json(self.files[name])
            if isinstance(tree, dict) and tree.get("format", FORMAT) != FORMAT:
                raise UnknownFormat(f"it is of format {tree['format']!r}, and this version knows format {FORMAT}")
            value = read_as(shape, self.files[name])
        except NotReadable as error:
            self._unreadable(name, error)
            return None
        return value

    def _agrees(self, name: str, sha256: str, by: str) -> None:
        if name not in self.files:
            self._wrong(name, f"the file is missing, and {by} names it")
        elif sha256_of(self.files[name]) != sha256:
            self._wrong(name, f"the file is not as it was issued: its SHA-256 is not the one in {by}")

    def _snapshot(self, name: str, fingerprint: str, by: str) -> None:
        """A snapshot must read back, be of this instrument, and have the fingerprint that was printed."""
        if name not in self.files or name in self.found:
            return
        if fingerprint_of(self.files[name]) != fingerprint:
            self._wrong(by, f"the fingerprint in this file is not that of {name}")
        try:
            serial = read_published(self.files[name]).published.serial
        except NotReadable as error:
            self._unreadable(name, error)
            return
        if serial != self.serial:
            self._wrong(name, f"this snapshot is of {serial}, not of {self.serial}")

    def _unreadable(self, name: str, error: NotReadable) -> None:
        if isinstance(error, UnknownFormat):
            hint = "use the version of Boutbook that wrote it, or a newer one"
            self._wrong(name, f"this file cannot be read here: {error}", hint, code="unknown-format")
        else:
            self._wrong(name, f"this file cannot be read: {error}")

    def _wrong(self, name: str, message: str, hint: str = _PUT_BACK, *, code: str = "not-as-issued") -> None:
        self.found.setdefault(name, Problem(code, f"{self.said}/{name}", 0, 0, message, hint))


def _listed(content: bytes) -> dict[str, str] | None:
    """File ─► SHA-256. None where the list is not as it was written, down to the last byte."""
    found = _CHECKSUM_LINE.findall(content.decode("ascii", "replace"))
    listed = {name: sha256 for sha256, name in found}
    return listed if _checksums(listed) == content else None


def _checksums(listed: Mapping[str, str]) -> bytes:
    return "".join(f"{sha256}  {name}\n" for name, sha256 in sorted(listed.items())).encode()
