"""`boutbook verify`: what agrees is said, what does not is found to the last byte, and a buyer's file is recognised."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from builder.certificates.stored import CERTIFICATE, CHECKSUMS, check_stored, files_in
from builder.certificates.verifying import compare_file, verify_stored
from tests.test_issue import BARE, DULCIMER, OTHER, SERIAL, certificate_folder, lay_down, rewrite, said_by

SAID = f"records/instruments/{SERIAL}/certificate"


@pytest.fixture(scope="module")
def issued(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A dulcimer whose certificate was amended once; for looking at only."""
    shop = lay_down(tmp_path_factory.mktemp("verify") / "shop", DULCIMER, BARE)
    said_by(shop, "issue", SERIAL, "--date", "2016-05-09")
    rewrite(shop, "name: Heron", "name: Grey Heron")
    said_by(shop, "issue", SERIAL, "--date", "2017-01-02", "--amend", "It was called so ever since")
    return shop


@pytest.fixture
def shop(issued: Path, tmp_path: Path) -> Path:
    """A copy of it to spoil."""
    return shutil.copytree(issued, tmp_path / "shop")


def test_what_agrees_is_said_file_by_file(issued: Path) -> None:
    said = said_by(issued, "verify", "014").splitlines()
    assert said[0] == f"{SERIAL}: certificate C-{SERIAL}, issued 9 May 2016"
    assert said[1] == "  agrees: certificate.html is as it was issued, to the last byte"
    assert said[2].startswith("  agrees: snapshot.json is as it was issued; its fingerprint is ")
    assert said[3].startswith(
        "  agrees: amendment-1.json of 2 January 2017 is as it was written, and follows issued.json"
    )
    assert said[4:] == [
        "  agrees: snapshot-1.json is what it says",
        "  agrees: checksums.txt agrees with 5 files",
        "1 certificate verified: as far as these files tell, what is stored is what was issued.",
        "Whoever can change this folder can change all of it: compare the fingerprint with the one on paper.",
    ]


def test_every_byte_of_an_amendment_counts(issued: Path) -> None:
    """Every single-byte change of one amendment is found, and named by its file."""
    files = files_in(certificate_folder(issued))
    whole = files["amendment-1.json"]
    assert verify_stored(files, SAID, SERIAL).problems == ()
    for at in range(len(whole)):
        changed = whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :]
        problems = verify_stored({**files, "amendment-1.json": changed}, SAID, SERIAL).problems
        assert f"{SAID}/amendment-1.json" in {problem.file for problem in problems}, at


@pytest.mark.parametrize("name", ["snapshot.json", "snapshot-1.json", CERTIFICATE, "issued.json", CHECKSUMS])
def test_bytes_of_every_other_file_count_too(issued: Path, name: str) -> None:
    files = files_in(certificate_folder(issued))
    whole = files[name]
    for at in range(0, len(whole), max(len(whole) // 60, 1)):
        changed = whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :]
        assert check_stored({**files, name: changed}, SAID, SERIAL).problems, at


def test_what_does_not_agree_is_said_with_what_to_do(shop: Path) -> None:
    file = certificate_folder(shop) / CERTIFICATE
    file.write_bytes(file.read_bytes().replace(b"Heron", b"Kite"))
    said = said_by(shop, "verify", code=1).splitlines()
    assert said == [
        SERIAL,
        f"  DOES NOT AGREE: {SAID}/certificate.html: the file is not as it was issued: its SHA-256 is not the one in "
        "checksums.txt; put it back from a backup [not-as-issued]",
        "1 certificate not as issued.",
    ]


def test_a_record_that_says_otherwise_today_is_noted(shop: Path) -> None:
    rewrite(shop, "name: Grey Heron", "name: White Heron")
    assert "note: the record says otherwise today, and no amendment tells of it: Name" in said_by(shop, "verify")


def test_a_certificate_is_verified_though_its_record_cannot_be_read(shop: Path) -> None:
    (shop / "records" / "instruments" / SERIAL / "record.yaml").write_text("][", "utf-8")
    assert "1 certificate verified" in said_by(shop, "verify", SERIAL)


def test_the_file_a_buyer_kept_is_recognised(shop: Path, tmp_path: Path) -> None:
    kept = tmp_path / "from the drawer.html"
    original = (certificate_folder(shop) / CERTIFICATE).read_bytes()
    kept.write_bytes(original)
    said = said_by(shop, "verify", str(kept))
    assert said.startswith(
        f"from the drawer.html: of {SERIAL} this is the certificate as it was issued, to the last byte"
    )
    kept.write_bytes(original.replace(b"Heron", b"Kitty"))
    line = original[: original.index(b"Heron")].count(b"\n") + 1
    said = said_by(shop, "verify", str(kept), code=1)
    assert f"it bears the fingerprint of {SERIAL}, and is not the certificate as it was issued" in said
    assert f"they differ first in line {line}, at byte" in said
    kept.write_bytes(b"<p>A page about birds</p>")
    assert "no certificate of this shop is this file" in said_by(shop, "verify", str(kept), code=1)


def test_every_stored_file_is_recognised_by_itself(issued: Path) -> None:
    files = files_in(certificate_folder(issued))
    words = {name: compare_file(content, {SERIAL: files}).words for name, content in files.items() if name != CHECKSUMS}
    assert "the amendment 1" in words["amendment-1.json"]
    assert "the snapshot of amendment 1" in words["snapshot-1.json"]
    assert "the snapshot that was issued" in words["snapshot.json"]


def test_what_is_not_there_is_said_plainly(shop: Path) -> None:
    assert "there is no certificate of «2014»" in said_by(shop, "verify", "2014", code=2)
    assert "there is no file copy.html" in said_by(shop, "verify", "copy.html", code=2)
    shutil.rmtree(certificate_folder(shop))
    assert "no certificate is issued yet; boutbook issue SERIAL issues one" in said_by(shop, "verify", code=2)


def test_serials_that_may_be_either_are_told(shop: Path) -> None:
    said_by(shop, "issue", OTHER, "--date", "2014-05-09")
    assert f"«1» may be {OTHER}" not in said_by(shop, "verify", "014")
    assert f"may be {OTHER}, {SERIAL}" in said_by(shop, "verify", "4" if OTHER.endswith("4") else "", code=2)
