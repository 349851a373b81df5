"""Whether what was issued is still what it was: every stored file against what the others say of it, in plain words.

What agrees is said too, for a silence could mean that nobody looked. A file from elsewhere, such as the one a buyer
kept, is compared byte for byte with everything that was ever issued.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.certificates.fingerprint import GROUPS, SIGNS, SIGNS_IN_A_GROUP
from builder.certificates.stored import (
    CERTIFICATE,
    CHECKSUMS,
    ISSUED,
    SNAPSHOT,
    StoredCertificate,
    amendment_name,
    called,
    check_stored,
    sha256_of,
    snapshot_name,
)
from builder.problems import Problem
from builder.templates import day_in_words
from builder.words import counted

_GROUP = f"[{SIGNS}]{{{SIGNS_IN_A_GROUP}}}"
_FINGERPRINT = re.compile(rf"(?<![{SIGNS}]){_GROUP}(?: {_GROUP}){{{GROUPS - 1}}}(?![{SIGNS}])")


@dataclass(frozen=True, slots=True)
class Verified:
    """What was found of one certificate: what agrees, a sentence each, and what does not."""

    title: str
    agrees: tuple[str, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class FileCompared:
    """What a file from elsewhere is, in words, and whether it is one that was issued."""

    words: str
    is_issued: bool


def verify_stored(files: Mapping[str, bytes], said: str, serial: str) -> Verified:
    """Every file of a certificate, as they lie in its folder; `said` is how the folder is called in problems."""
    read = check_stored(files, said, serial)
    if read.stored is None:
        return Verified(serial, (), read.problems)
    issued = read.stored.issued
    title = f"{serial}: certificate {issued.number}, issued {day_in_words(issued.date)}"
    return Verified(title, tuple(_agreements(read.stored)), ())


def _agreements(stored: StoredCertificate) -> Iterator[str]:
    issued, amendments = stored.issued, stored.amendments
    yield f"{CERTIFICATE} is as it was issued, to the last byte"
    yield f"{SNAPSHOT} is as it was issued; its fingerprint is {issued.fingerprint}"
    for each in amendments:
        link = ISSUED if each.number == 1 else amendment_name(each.number - 1)
        yield (
            f"{amendment_name(each.number)} of {day_in_words(each.date)} is as it was written, and follows {link}; "
            f"its fingerprint is {each.fingerprint}"
        )
        yield f"{snapshot_name(each.number)} is what it says"
    yield f"{CHECKSUMS} agrees with {counted(len(stored.files) - 1, 'file')}"


def compare_file(content: bytes, issued: Mapping[str, Mapping[str, bytes]]) -> FileCompared:
    """A file against every certificate of the shop; `issued` has the files of each by serial."""
    for serial, files in issued.items():
        for name, known in files.items():
            if content == known and name != CHECKSUMS:
                return FileCompared(f"of {serial} this is {called(name)}, to the last byte ({_digest(content)})", True)
    bears = set(_FINGERPRINT.findall(content.decode("utf-8", "replace")))
    for serial, files in issued.items():
        for name in (CERTIFICATE, *(name for name in files if name != CERTIFICATE)):
            known = files.get(name, b"")
            if bears & set(_FINGERPRINT.findall(known.decode("utf-8", "replace"))) and name in (CERTIFICATE, ISSUED):
                return FileCompared(
                    f"it bears the fingerprint of {serial}, and is not {called(CERTIFICATE)}: "
                    f"{_first_difference(content, files[CERTIFICATE])}",
                    False,
                )
    return FileCompared("no certificate of this shop is this file, and it bears the fingerprint of none", False)


def _digest(content: bytes) -> str:
    return f"SHA-256 {sha256_of(content)}"


def _first_difference(content: bytes, known: bytes) -> str:
    """Where two files part, as an editor counts: `they differ first in line 12, at byte 8 of it`."""
    same = next((at for at, (one, other) in enumerate(zip(content, known, strict=False)) if one != other), None)
    if same is None:
        return f"it has {len(content)} bytes instead of {len(known)}"
    before = known[:same]
    line, column = before.count(b"\n") + 1, same - (before.rfind(b"\n") + 1) + 1
    return f"they differ first in line {line}, at byte {column} of it"
