"""A certificate of long ago is still read: one of every format is kept, and pages are made from it as they are now."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from builder.certificates import stored
from builder.certificates.fingerprint import fingerprint_of
from builder.certificates.stored import StoredCertificate, read_stored
from builder.certificates.told import differences
from builder.pages.instrument import instrument_page
from builder.publish import publish, publish_shop
from builder.published import FORMAT
from builder.published.beside import PublishedBeside
from builder.published.issued import PublishedIssue
from builder.published.reading import read_published
from builder.sheets.certificate import certificate_html
from builder.sheets.string_card import string_card_html
from builder.workshop import open_shop
from tests.conftest import RECORDS
from tests.page_reading import part, words

ISSUED = RECORDS / "issued"
FORMATS = sorted(ISSUED.iterdir())

#: What nobody may change any more: SHA-256 (FIPS 180-4) of what was kept, by file.
KEPT = {
    "format-1": {
        "issued.json": "925147cf42b5ae69dd3b8926ac574c1f6fe562ec2b1b8f41294927cb18208dbf",
        "snapshot.json": "445fe411e29326fc2182af95ce17ecd6f2a2040ee009d947f578e5436986f357",
        "certificate.html": "04357edff9d089f3a0113aa1f5bc2f894445c8faba5da116b324a4388854779d",
        "amendment-1.json": "6ace9c470d323809e43a739a1256ab20266e51254aad2d3ceeea66bd25de4e9b",
        "snapshot-1.json": "c29147399342f1456c21f9d5c0aaa5020995136530f52acc01f5d621a23c7d36",
        "checksums.txt": "7107ebf39f79b137e0edc73472a655ffb85e21828aad9251309e98b39598bd3f",
    }
}


def test_one_of_every_format_is_kept() -> None:
    written = {json.loads((folder / "snapshot.json").read_bytes())["format"] for folder in FORMATS}
    around = {json.loads((folder / "issued.json").read_bytes())["format"] for folder in FORMATS}
    assert written == set(range(1, FORMAT + 1))
    assert around == set(range(1, stored.FORMAT + 1))
    assert [folder.name for folder in FORMATS] == sorted(KEPT)


@pytest.mark.parametrize("folder", FORMATS, ids=lambda folder: folder.name)
def test_what_is_kept_is_what_was_issued(folder: Path) -> None:
    kept = {path.name: path.read_bytes() for path in folder.iterdir() if not path.name.startswith(".")}
    assert {name: hashlib.sha256(content).hexdigest() for name, content in kept.items()} == KEPT[folder.name]


def stored_in(folder: Path) -> StoredCertificate:
    serial = json.loads((folder / "issued.json").read_bytes())["serial"]
    read = read_stored(folder, folder.name, serial)
    assert read.problems == ()
    assert read.stored
    return read.stored


@pytest.mark.parametrize("folder", FORMATS, ids=lambda folder: folder.name)
def test_it_is_read_and_its_fingerprint_is_that_of_its_snapshot(folder: Path) -> None:
    found = stored_in(folder)
    assert found.issued.number == "C-2026-018"
    assert found.issued.date == "2026-05-30"
    assert fingerprint_of(found.files["snapshot.json"]) == found.issued.fingerprint
    assert [(each.date, each.reason) for each in found.amendments] == [
        ("2026-09-01", "A new nut, for the first one split")
    ]
    assert found.published.name == "Lapwing"
    assert dict(found.published.hardware)["nut"] == "ebony"
    assert dict(read_published(found.files["snapshot.json"]).published.hardware)["nut"] == "bone"
    assert b"Lapwing" in found.certificate
    assert found.issued.fingerprint.encode() in found.certificate


@pytest.mark.parametrize("folder", FORMATS, ids=lambda folder: folder.name)
def test_pages_and_papers_are_made_from_it(folder: Path) -> None:
    found = stored_in(folder)
    workshop = open_shop(RECORDS / "good_shop", private_files=False)
    assert workshop.shop
    shop = publish_shop(workshop.shop)
    amendments = tuple(each.published for each in found.amendments)
    issue = PublishedIssue(found.issued.number, found.issued.date, found.issued.fingerprint, amendments)
    page = instrument_page(found.published, shop, PublishedBeside(issue=issue))
    ids = {section.id for section in page.sections}
    assert {"specification", "woods", "fretboard", "frets", "strings", "as-built", "certificate", "body"} <= ids
    assert "Nutboneebony" in words(part(page, "certificate"))
    assert "Lapwing" in certificate_html(found.published, shop)
    assert "D3" in string_card_html(found.published, shop)


@pytest.mark.parametrize("folder", FORMATS, ids=lambda folder: folder.name)
def test_it_is_held_against_what_is_published_today(folder: Path) -> None:
    found = stored_in(folder)
    workshop = open_shop(RECORDS / "good_shop", private_files=False)
    assert workshop.shop
    now = next(each for each in workshop.instruments if each.record.serial == found.issued.serial)
    told = [each.change.what for each in differences(read_published(found.snapshot), publish(now, workshop.shop))]
    assert {"Name", "Weight", "Nut", "Story"} <= set(told)
