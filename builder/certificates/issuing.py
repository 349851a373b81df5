"""A certificate is issued once and amended later: which files that makes, and how they are put beside the record."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from builder.certificates.fingerprint import fingerprint_of, snapshot_of
from builder.certificates.stored import (
    CERTIFICATE,
    CHECKSUMS,
    FORMAT,
    ISSUED,
    SNAPSHOT,
    Amendment,
    Issued,
    StoredCertificate,
    amendment_name,
    as_stored,
    checksums_of,
    files_in,
    sha256_of,
    snapshot_name,
)
from builder.published import Published, PublishedShop
from builder.published.issued import PublishedChange
from builder.safe_files import new_folder_for, write_file
from builder.sheets.certificate import certificate_html

#: Keeps a program that looks after versions from changing line ends, and so the checksums.
_LEAVE_AS_THEY_ARE = {".gitattributes": b"* -text\n"}


class ChangedMeanwhile(Exception):
    """Another run issued or amended this certificate since it was read."""


def number_of(serial: str) -> str:
    """The number of a certificate: an instrument has one."""
    return f"C-{serial}"


def issue_files(published: Published, shop: PublishedShop, date: str) -> dict[str, bytes]:
    """Every file of a certificate issued on a day (ISO)."""
    snapshot, number = snapshot_of(published), number_of(published.serial)
    fingerprint = fingerprint_of(snapshot)
    certificate = certificate_html(published, shop, fingerprint=fingerprint, number=number, issued=date).encode()
    issued = Issued(FORMAT, number, published.serial, date, fingerprint, sha256_of(snapshot), sha256_of(certificate))
    return _with_checksums({ISSUED: as_stored(issued), SNAPSHOT: snapshot, CERTIFICATE: certificate})


def amendment_files(
    stored: StoredCertificate, published: Published, date: str, reason: str, changes: tuple[PublishedChange, ...]
) -> dict[str, bytes]:
    """The same with one amendment more; what is stored stays as it is."""
    before, number, snapshot = len(stored.amendments), len(stored.amendments) + 1, snapshot_of(published)
    amendment = Amendment(
        format=FORMAT,
        number=number,
        date=date,
        reason=reason,
        changes=changes,
        fingerprint=fingerprint_of(snapshot),
        snapshot_sha256=sha256_of(snapshot),
        previous_sha256=sha256_of(stored.files[amendment_name(before)]),
    )
    kept = {name: content for name, content in stored.files.items() if name != CHECKSUMS}
    return _with_checksums({**kept, amendment_name(number): as_stored(amendment), snapshot_name(number): snapshot})


def _with_checksums(files: Mapping[str, bytes]) -> dict[str, bytes]:
    return {**files, CHECKSUMS: checksums_of(files)}


def store(folder: Path, files: Mapping[str, bytes], *, instead_of: StoredCertificate | None) -> None:
    """Put the files where a certificate is kept, whole, in the place of those that were read there before.

    Raises ChangedMeanwhile where others stand there by now, and InUse where another run is writing them.
    """
    with new_folder_for(folder) as new:
        if files_in(folder) != (instead_of.files if instead_of else {}):
            raise ChangedMeanwhile(f"another run wrote {folder.name} in the meantime; nothing was changed")
        for name, content in (_LEAVE_AS_THEY_ARE | dict(files)).items():
            write_file(new / name, content)
