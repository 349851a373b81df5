"""`boutbook issue`: what it fixes stays as it was handed over, every later change is told, and the rest is refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder.beside import Prepared, prepare
from builder.certificates.stored import files_in
from builder.command_line import boutbook
from builder.pages.instrument import instrument_page
from builder.problems import in_words
from builder.seam import Edition, Page
from builder.site import Site, site_of
from builder.workshop import open_shop
from tests.page_reading import part, words
from tests.shops import files_below
from tests.small_shop import BARE as EVERY_BARE
from tests.small_shop import DULCIMER as EVERY_DULCIMER
from tests.small_shop import RACK, SHOP

SERIAL, OTHER = "2016-014", "2014-001"
#: Days that are past on every computer.
DULCIMER, BARE = (text.replace("2026-", "2016-").replace("2024-", "2014-") for text in (EVERY_DULCIMER, EVERY_BARE))


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop with a dulcimer, and an instrument of which next to nothing is known."""
    return lay_down(tmp_path / "shop", DULCIMER, BARE)


def lay_down(folder: Path, *records: str) -> Path:
    for text in records:
        instrument = folder / "records" / "instruments" / text.split("serial: ")[1].split("\n")[0]
        instrument.mkdir(parents=True)
        (instrument / "record.yaml").write_text(text, encoding="utf-8")
    (folder / "records" / "shop.yaml").write_text(SHOP, encoding="utf-8")
    (folder / "records" / "wood.yaml").write_text(RACK, encoding="utf-8")
    return folder


def said_by(shop: Path, *arguments: str, code: int = 0) -> str:
    """Everything a command says, without the place of the shop; `code` is the exit code it must have."""
    done = CliRunner().invoke(boutbook, [*arguments, "--shop", str(shop)])
    assert done.exit_code == code, done.output
    return done.output.replace(f"{shop}/", "")


def output_of(shop: Path, *arguments: str) -> str:
    """The same, whatever came of it."""
    return CliRunner().invoke(boutbook, [*arguments, "--shop", str(shop)]).output.replace(f"{shop}/", "")


def certificate_folder(shop: Path, serial: str = SERIAL) -> Path:
    return shop / "records" / "instruments" / serial / "certificate"


def rewrite(shop: Path, old: str, new: str, file: str = f"records/instruments/{SERIAL}/record.yaml") -> None:
    text = (shop / file).read_text("utf-8")
    assert old in text
    (shop / file).write_text(text.replace(old, new), "utf-8")


def prepared(shop: Path, edition: Edition = "buyer") -> Prepared:
    return prepare(open_shop(shop, private_files=edition == "shop"), edition)


def site(shop: Path, edition: Edition = "buyer") -> Site:
    ready = prepared(shop, edition)
    assert not ready.has_errors, ready.problems
    return site_of(ready, edition)


def page_of(site: Site, serial: str = SERIAL) -> Page:
    return next(page for page in site.pages if page.path == f"instruments/{serial}.html")


def certificates_in(site: Site) -> dict[str, bytes]:
    return {each.path: each.read() for each in site.assets if each.path.startswith("certificates/")}


def about_the_certificate(site: Site, serial: str = SERIAL) -> str:
    return words(part(page_of(site, serial), "certificate"))


def test_it_says_what_was_issued_and_where_it_is_kept(shop: Path) -> None:
    said = said_by(shop, "issue", "014", "--date", "2016-05-09")
    issued = json.loads((certificate_folder(shop) / "issued.json").read_bytes())
    assert said == (
        "Issued certificate C-2016-014, Heron, 9 May 2016.\n"
        f"Fingerprint {issued['fingerprint']}\n"
        f"Kept in records/instruments/{SERIAL}/certificate; it belongs into every backup. boutbook build shows it.\n"
    )
    assert issued["number"] == "C-2016-014"
    assert issued["date"] == "2016-05-09"


def test_the_day_is_today_unless_it_is_given(shop: Path) -> None:
    said_by(shop, "issue", SERIAL)
    date = json.loads((certificate_folder(shop) / "issued.json").read_bytes())["date"]
    rewrite(shop, "name: Heron", "name: Kite")
    said_by(shop, "issue", SERIAL, "--amend", "Renamed")
    assert json.loads((certificate_folder(shop) / "amendment-1.json").read_bytes())["date"] >= date > "2016-05-09"


def test_same_record_same_day_same_files(shop: Path, tmp_path: Path) -> None:
    again = lay_down(tmp_path / "elsewhere" / "shop", DULCIMER, BARE)
    for each in (shop, again):
        said_by(each, "issue", SERIAL, "--date", "2016-05-09")
    assert files_below(certificate_folder(shop)) == files_below(certificate_folder(again))


UNFINISHED = "2016-014 is not finished; write the day it was into its record: dates.finished"
UNDELIVERED = "2016-014 is not delivered; write the day it was into its record: dates.delivered"
REFUSED: list[tuple[Callable[[Path], None], tuple[str, ...], str]] = [
    (lambda shop: rewrite(shop, "dates: {finished: 2016-04-30, delivered: 2016-05-09}", "dates: {}"), (), UNFINISHED),
    (lambda shop: rewrite(shop, ", delivered: 2016-05-09", ""), (), UNDELIVERED),
    (lambda shop: rewrite(shop, "name: Heron", "visibility: shop only"), (),
     "2016-014 is for the shop only; write visibility: public, or unlisted, to hand it over"),
    (lambda shop: None, ("--date", "2016-04-29"),
     "2016-014 was finished on 30 April 2016; no certificate of it can be older than that"),
    (lambda shop: None, ("--amend", "Why not"),
     "no certificate of 2016-014 is issued yet; write boutbook issue 2016-014 first"),
]  # fmt: skip


@pytest.mark.parametrize(("spoil", "arguments", "message"), REFUSED)
def test_it_is_refused_with_the_reason(
    shop: Path, spoil: Callable[[Path], None], arguments: tuple[str, ...], message: str
) -> None:
    spoil(shop)
    assert said_by(shop, "issue", SERIAL, *arguments, code=1) == f"boutbook: {message}\n"
    assert not certificate_folder(shop).exists()


@pytest.mark.parametrize(
    ("file", "content"),
    [
        (f"records/instruments/{SERIAL}/record.yaml", f"{DULCIMER}colour: red\n"),
        (f"records/instruments/{SERIAL}/private.yaml", "format: 1\nprice: 9\n"),
        ("records/shop.yaml", f"{SHOP}colour: red\n"),
        ("records/wood.yaml", f"{RACK}colour: red\n"),
        ("records/private.yaml", "format: 1\ncolour: red\n"),
    ],
)
def test_with_a_mistake_in_any_file_it_rests_on_it_is_refused(shop: Path, file: str, content: str) -> None:
    (shop / file).write_text(content, "utf-8")
    said = said_by(shop, "issue", SERIAL, code=1)
    assert f"{file}:" in said
    assert said.endswith("1 error. Nothing was changed.\n")
    assert not certificate_folder(shop).exists()


def test_a_mistake_in_another_record_is_in_nobodys_way(shop: Path) -> None:
    (shop / "records" / "instruments" / OTHER / "record.yaml").write_text("serial", "utf-8")
    said_by(shop, "issue", SERIAL)


def test_it_is_issued_once(shop: Path) -> None:
    said_by(shop, "issue", SERIAL, "--date", "2016-05-09")
    before = files_below(shop)
    assert said_by(shop, "issue", SERIAL, code=1) == (
        "boutbook: certificate C-2016-014 was issued on 9 May 2016, and is not issued twice; "
        'tell of a later change with boutbook issue 2016-014 --amend "…"\n'
    )
    assert files_below(shop) == before


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--date", "9.5.2016"), "Invalid value for '--date': «9.5.2016» is not a day, like "),
        (("--date", "20160509"), "Invalid value for '--date': write the day as 2016-05-09"),
        (("--date", "2999-01-01"), "Invalid value for '--date': 2999-01-01 is still to come"),
        (("--amend", " "), "Invalid value for '--amend': say why, for whoever reads the page in twenty years"),
        (("--amend", "a\nb"), "Invalid value for '--amend': there is a sign in it that cannot be seen"),
        (("--amend", "a\u202eb"), "Invalid value for '--amend': there is a sign in it that cannot be seen"),
        (("--amend", "a" * 401), "Invalid value for '--amend': it has 401 letters, and 400 are the most"),
    ],
)
def test_a_slip_in_the_command_is_told(shop: Path, arguments: tuple[str, ...], message: str) -> None:
    assert message in said_by(shop, "issue", SERIAL, *arguments, code=2)
    assert not certificate_folder(shop).exists()


def test_an_instrument_that_is_not_there_is_a_slip_too(shop: Path) -> None:
    assert "there is no instrument «2016-015»" in said_by(shop, "issue", "2016-015", code=2)


@pytest.fixture
def issued(shop: Path) -> Path:
    """The shop with the dulcimer's certificate issued."""
    said_by(shop, "issue", SERIAL, "--date", "2016-05-09")
    return shop


def test_the_site_carries_the_bytes_that_were_issued_and_no_others(
    issued: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stored = files_in(certificate_folder(issued))["certificate.html"]
    for module in ("builder.site._certificate_of", "builder.sheets.kinds.certificate_html"):
        monkeypatch.setattr(module, lambda *arguments, **named: "another template")
    monkeypatch.setattr("builder.certificates.issuing.certificate_html", lambda *arguments, **named: "another template")
    assert certificates_in(site(issued)) == {"certificates/2016-014.html": stored}
    assert certificates_in(site(issued, "shop")) == {
        "certificates/2016-014.html": stored,
        "certificates/2014-001.html": b"another template",
    }


def test_a_draft_is_for_the_shop_and_says_so(issued: Path) -> None:
    draft = certificates_in(site(issued, "shop"))[f"certificates/{OTHER}.html"].decode()
    assert 'aria-label="Draft"' in draft
    assert 'aria-label="Draft"' not in certificates_in(site(issued))[f"certificates/{SERIAL}.html"].decode()
    assert about_the_certificate(site(issued, "shop"), OTHER).startswith(
        "Not issued yet: boutbook issue 2014-001 fixes what is handed over."
    )
    assert "certificate" not in {section.id for section in page_of(site(issued), OTHER).sections}
    assert "certificates/" not in "".join(section.html for section in page_of(site(issued), OTHER).sections)


def test_what_is_for_the_shop_only_is_not_asked_to_be_issued(shop: Path) -> None:
    rewrite(shop, "name: Heron", "name: Heron\nvisibility: shop only")
    said = about_the_certificate(site(shop, "shop"))
    assert said == "None is issued while it is for the shop only: see its draft."


def test_the_page_says_number_day_and_fingerprint(issued: Path) -> None:
    fingerprint = json.loads((certificate_folder(issued) / "issued.json").read_bytes())["fingerprint"]
    assert about_the_certificate(site(issued)).startswith(
        "Certificate C-2016-014 was issued on 9 May 2016, and is kept as it was handed over: see it. "
        f"Nothing has changed since. Its fingerprint, as printed on it: {fingerprint}"
    )
    assert site(issued).newest_date == "2016-05-09"


def test_a_change_of_the_record_is_told_and_not_shown_as_if_it_were_issued(issued: Path) -> None:
    rewrite(issued, "nut: bone", "nut: ebony")
    rewrite(issued, "D4 10 x2", "D4 11 x2")
    assert said_by(issued, "check") == (
        "records/instruments/2016-014/record.yaml:11:28: warning: this changed since certificate C-2016-014: "
        "Course 3, from «D4 0.010 in plain steel + D4 0.010 in plain steel» "
        "to «D4 0.011 in plain steel + D4 0.011 in plain steel»; "
        'tell why with boutbook issue 2016-014 --amend "…", or write it as it was [changed-since-issued]\n'
        "      strings: [D3 22w, A3 12, D4 11 x2]\n"
        "                               ^\n\n"
        "records/instruments/2016-014/record.yaml:14:34: warning: this changed since certificate C-2016-014: "
        "Nut, from «bone» to «ebony»; "
        'tell why with boutbook issue 2016-014 --amend "…", or write it as it was [changed-since-issued]\n'
        "      hardware: {tuners: ebony pegs, nut: ebony}\n"
        "                                     ^\n\n"
        "Read 2 instruments: 2 warnings.\n"
    )
    assert "nutbone" in words(part(page_of(site(issued)), "hardware-and-finish"))
    said = about_the_certificate(site(issued))
    assert "Changed since the certificate, and not yet an amendment." in said
    assert "Nutboneebony" in said
    assert "Nothing has changed" not in said


def test_an_amendment_tells_what_changed_and_why_and_is_shown_from_then_on(issued: Path) -> None:
    rewrite(issued, "nut: bone", "nut: ebony")
    said = said_by(issued, "issue", SERIAL, "--date", "2017-01-05", "--amend", "The nut split & was <replaced>")
    fingerprint = json.loads((certificate_folder(issued) / "amendment-1.json").read_bytes())["fingerprint"]
    assert said == (
        "Amendment 1 of certificate C-2016-014, Heron, 5 January 2017:\n"
        "  Nut: bone → ebony\n"
        f"Fingerprint {fingerprint}\n"
        f"Kept in records/instruments/{SERIAL}/certificate; it belongs into every backup. boutbook build shows it.\n"
    )
    assert said_by(issued, "check") == "Read 2 instruments: no problems.\n"
    built = site(issued)
    assert "nutebony" in words(part(page_of(built), "hardware-and-finish"))
    told = about_the_certificate(built)
    assert "Amendment 1, 5 January 2017 The nut split & was <replaced> WhatWasIs Nutboneebony" in told
    assert fingerprint in told
    assert built.newest_date == page_of(built).date == "2017-01-05"
    assert b"ebony" not in certificates_in(built)[f"certificates/{SERIAL}.html"].replace(b"ebony pegs", b"")


def test_amendments_follow_one_another(issued: Path) -> None:
    rewrite(issued, "nut: bone", "nut: ebony")
    said_by(issued, "issue", SERIAL, "--date", "2017-01-05", "--amend", "It split")
    rewrite(issued, "nut: ebony", "nut: bone")
    assert "since amendment 1 of certificate C-2016-014" in said_by(issued, "check")
    assert said_by(issued, "issue", SERIAL, "--date", "2017-01-04", "--amend", "As before", code=1) == (
        "boutbook: amendment 1 of C-2016-014 is of 5 January 2017; an amendment of it cannot be older\n"
    )
    said_by(issued, "issue", SERIAL, "--date", "2017-01-05", "--amend", "As before")
    told = about_the_certificate(site(issued))
    assert told.index("It split") < told.index("As before")
    assert said_by(issued, "issue", SERIAL, "--amend", "Again", code=1) == (
        "boutbook: nothing has changed since amendment 2 of C-2016-014; there is nothing to amend\n"
    )


def test_what_is_only_worked_out_otherwise_is_a_hint_and_shown_as_issued(issued: Path) -> None:
    before = page_of(site(issued))
    rewrite(issued, "{name: metric rule, marks: 0.5 mm}", "{name: metric rule, marks: 1 mm}", "records/shop.yaml")
    assert said_by(issued, "check") == (
        "records/instruments/2016-014/record.yaml: hint: 2 things would be worked out otherwise today than in "
        "certificate C-2016-014 (What each rule would cost and others); its page shows what was issued; "
        'boutbook issue 2016-014 --amend "…" tells of the new [changed-since-issued]\n\n'
        "Read 2 instruments: 1 hint.\n"
    )
    assert page_of(site(issued)) == before
    assert "Worked out otherwise today, shown here as issued (2)" in about_the_certificate(site(issued, "shop"))


@pytest.mark.parametrize("name", ["certificate.html", "snapshot.json", "issued.json", "checksums.txt"])
def test_a_stored_file_that_was_changed_stops_everything(issued: Path, name: str) -> None:
    file = certificate_folder(issued) / name
    file.write_bytes(file.read_bytes().replace(b"e", b"E", 1))
    before = files_below(issued)
    ready = prepared(issued)
    assert ready.has_errors
    assert f"records/instruments/{SERIAL}/certificate/{name}" in {problem.file for problem in ready.problems}
    rewrite(issued, "nut: bone", "nut: ebony")
    for arguments in (
        ("check",),
        ("issue", SERIAL),
        ("issue", SERIAL, "--amend", "x"),
        ("sheet", SERIAL, "certificate"),
    ):
        said = said_by(issued, *arguments, code=1)
        assert "[not-as-issued]" in said
        assert f"certificate/{name}: " in said
    rewrite(issued, "nut: ebony", "nut: bone")
    assert files_below(issued) == before


def test_a_folder_copied_for_a_repeat_order_is_told(issued: Path) -> None:
    lay_down(issued, DULCIMER.replace(SERIAL, "2017-001"))
    certificate_folder(issued).rename(certificate_folder(issued, "2017-001"))
    said = "\n".join(in_words(problem) for problem in prepared(issued).problems)
    assert "this certificate is that of 2016-014, not of 2017-001; remove the folder «certificate» here" in said


def test_service_is_no_amendment(issued: Path) -> None:
    with (issued / "records" / "instruments" / SERIAL / "record.yaml").open("a", encoding="utf-8") as record:
        record.write("service: [{date: 2018-02-01, did: New strings}]\n")
    assert said_by(issued, "check") == "Read 2 instruments: no problems.\n"
    assert "New strings" in words(part(page_of(site(issued)), "service"))


def test_the_papers_for_the_buyer_are_those_issued(issued: Path) -> None:
    rewrite(issued, "name: Heron", "name: Kite")
    fingerprint = json.loads((certificate_folder(issued) / "issued.json").read_bytes())["fingerprint"]
    said_by(issued, "sheet", SERIAL, "certificate")
    said_by(issued, "sheet", SERIAL, "label")
    certificate = (issued / "sheets" / f"{SERIAL}-certificate.html").read_bytes()
    assert certificate == files_in(certificate_folder(issued))["certificate.html"]
    label = (issued / "sheets" / f"{SERIAL}-label-letter.html").read_text("utf-8")
    assert "Heron" in label
    assert f"Fingerprint {fingerprint}" in label
    said_by(issued, "sheet", OTHER, "certificate")
    assert 'aria-label="Draft"' in (issued / "sheets" / f"{OTHER}-certificate.html").read_text("utf-8")


def test_a_page_made_by_hand_has_no_certificate(issued: Path) -> None:
    ready = prepared(issued)
    standing = ready.issued[SERIAL]
    page = instrument_page(standing.published, site(issued).shop)
    assert "certificate" not in {section.id for section in page.sections}
