"""The fingerprint: its signs are those of the digest, and no reader can mistake one for another."""

from __future__ import annotations

import hashlib
import subprocess
from dataclasses import replace
from shutil import which

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.certificates.fingerprint import SIGNS, fingerprint_of, snapshot_of
from tests.certificate_samples import USUAL


@given(st.binary(max_size=300))
def test_a_fingerprint_is_the_first_160_bits_of_the_digest(snapshot: bytes) -> None:
    signs = fingerprint_of(snapshot).replace(" ", "")
    bits = "".join(f"{SIGNS.index(sign):05b}" for sign in signs)
    digest = "".join(f"{byte:08b}" for byte in hashlib.sha256(snapshot).digest())
    assert len(signs) == 32
    assert digest.startswith(bits)


def test_the_digest_is_that_of_fips_180_4() -> None:
    """The one-block example message «abc» that goes with the standard."""
    signs = fingerprint_of(b"abc").replace(" ", "")
    number = 0
    for sign in signs:
        number = number * 32 + SIGNS.index(sign)
    assert f"{number:040x}" == "ba7816bf8f01cfea414140de5dae2223b00361a3"


@pytest.mark.skipif(which("sha256sum") is None, reason="there is no sha256sum here")
def test_anybody_can_check_the_digest_with_a_tool_of_their_own() -> None:
    snapshot = snapshot_of(USUAL)
    said = subprocess.run(["sha256sum"], input=snapshot, capture_output=True, check=True).stdout.decode()
    bits = "".join(f"{SIGNS.index(sign):05b}" for sign in fingerprint_of(snapshot).replace(" ", ""))
    assert f"{int(bits, 2):040x}" == said[:40]


def test_it_is_grouped_and_has_no_letter_that_is_taken_for_another() -> None:
    assert [len(group) for group in fingerprint_of(b"").split(" ")] == [4] * 8
    assert len(set(SIGNS)) == 32
    assert not set("ILOU") & set(SIGNS)


def test_an_address_that_cannot_be_guessed_is_not_in_the_snapshot() -> None:
    assert snapshot_of(replace(USUAL, address=f"{USUAL.serial}-k7f3q")) == snapshot_of(USUAL)
