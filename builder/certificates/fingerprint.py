"""The fingerprint of what is published of an instrument: short enough to compare by eye, too long to be met twice.

It is the beginning of the SHA-256 digest (FIPS 180-4) of the snapshot: 160 bits, written in 32 signs of an alphabet
without I, L, O and U, which are taken for 1, 0 and V; eight groups of four.
"""

from __future__ import annotations

import dataclasses
import hashlib

from builder.limits import UNMISTAKABLE
from builder.published import Published, as_json

SIGNS = UNMISTAKABLE
SIGNS_IN_A_GROUP, GROUPS = 4, 8
_BITS_A_SIGN = 5


def snapshot_of(published: Published) -> bytes:
    """The bytes that are kept of what is published: its printed form.

    Its address is that of any other instrument of the number, so that an address nobody can guess is not kept.
    """
    return as_json(dataclasses.replace(published, address=published.serial)).encode()


def fingerprint_of(snapshot: bytes) -> str:
    """The fingerprint of a snapshot, such as `7ZK4 0M3D … 91TQ`."""
    number = int.from_bytes(hashlib.sha256(snapshot).digest()[: SIGNS_IN_A_GROUP * GROUPS * _BITS_A_SIGN // 8], "big")
    signs = []
    for _ in range(SIGNS_IN_A_GROUP * GROUPS):
        number, place = divmod(number, len(SIGNS))
        signs.append(SIGNS[place])
    signs.reverse()
    groups = ("".join(signs[at : at + SIGNS_IN_A_GROUP]) for at in range(0, len(signs), SIGNS_IN_A_GROUP))
    return " ".join(groups)
