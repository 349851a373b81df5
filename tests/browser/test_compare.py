"""On an instrument's page a visitor compares the certificate they have with the one issued, offline too."""

from __future__ import annotations

import hashlib
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Browser, Page

from builder.certificates.stored import CERTIFICATE, FOLDER
from tests.shops import boutbook, copy_demo

SERIAL = "2026-001"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A demo shop of one instrument, whose certificate is issued and amended."""
    folder = copy_demo(tmp_path_factory.mktemp("compare") / "shop", only=(SERIAL,))
    record = folder / "records" / "instruments" / SERIAL / "record.yaml"
    if not (record.parent / FOLDER).is_dir():
        boutbook("issue", SERIAL, "--date", "2026-05-16", folder=folder)
    record.write_text(record.read_text("utf-8").replace("name: ", "name: New ", 1), "utf-8")
    boutbook("issue", SERIAL, "--amend", "It was given a longer name", folder=folder)
    boutbook("build", folder=folder)
    return folder


@pytest.fixture(scope="module")
def opened(browser: Browser, shop: Path) -> Page:
    page = browser.new_page()
    page.goto((shop / "site" / "instruments" / f"{SERIAL}.html").as_uri())
    return page


def answer(page: Page, file: Path) -> str:
    page.locator(".bb-compare [role=status]").evaluate("each => { each.textContent = '' }")
    page.set_input_files("#compare-certificate", file)
    page.locator(".bb-compare [role=status]", has_text="agree").wait_for(timeout=10_000)
    return page.inner_text(".bb-compare [role=status]")


def test_a_certificate_and_every_other_file_issued_is_recognised(opened: Page, shop: Path, tmp_path: Path) -> None:
    stored = shop / "records" / "instruments" / SERIAL / FOLDER
    agrees = "They agree: this is the certificate as it was issued, to the last byte."
    assert answer(opened, stored / CERTIFICATE) == agrees
    assert "the snapshot that was issued" in answer(opened, stored / "snapshot.json")
    assert "the amendment 1" in answer(opened, stored / "amendment-1.json")
    copy = tmp_path / "copy.html"
    copy.write_bytes((stored / CERTIFICATE).read_bytes() + b"\n")
    assert answer(opened, copy).startswith("They do not agree: this file bears the same fingerprint")
    other = tmp_path / "other.html"
    other.write_bytes(b"something else")
    assert answer(opened, other) == "They do not agree: this file is not what was issued for this instrument."


def test_every_single_byte_of_an_amendment_counts_on_the_page(opened: Page, shop: Path) -> None:
    """Every byte changed, one after the other: the page takes none of them for the file that was issued."""
    whole = (shop / "records" / "instruments" / SERIAL / FOLDER / "amendment-1.json").read_bytes()
    taken_for_it = opened.evaluate(
        """whole => {
            const place = document.querySelector(".bb-compare"), issued = JSON.parse(place.dataset.issued);
            const bytes = Uint8Array.from(whole), compared = window.boutbookCompare.compared;
            const agrees = () => compared(bytes, issued, place.dataset.fingerprint).agrees;
            const wrong = [];
            bytes.forEach((byte, at) => { bytes[at] ^= 1; if (agrees()) wrong.push(at); bytes[at] ^= 1; });
            return {wrong: wrong, still: agrees(), tried: bytes.length};
        }""",
        list(whole),
    )
    assert taken_for_it == {"wrong": [], "still": True, "tried": len(whole)}


def test_the_digest_is_that_of_a_library(opened: Page) -> None:
    """Against hashlib (OpenSSL), at every length around the ends of a block."""
    random = Random(3)
    texts = [random.randbytes(length) for length in (*range(70), *range(118, 132), 1_000, 65_536)]
    digests = opened.evaluate(
        "texts => texts.map(text => window.boutbookCompare.sha256(Uint8Array.from(text)))",
        [list(text) for text in texts],
    )
    assert digests == [hashlib.sha256(text).hexdigest() for text in texts]


def test_without_scripts_nothing_of_it_is_seen(browser: Browser, shop: Path) -> None:
    page = browser.new_context(java_script_enabled=False).new_page()
    page.goto((shop / "site" / "instruments" / f"{SERIAL}.html").as_uri())
    assert not page.is_visible(".bb-compare")
