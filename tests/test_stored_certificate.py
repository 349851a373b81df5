"""A certificate is kept as it was handed over: it reads back the same, and no byte of it changes unseen."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from shutil import which

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.certificates.issuing import ChangedMeanwhile, amendment_files, issue_files, store
from builder.certificates.stored import (
    CERTIFICATE,
    CHECKSUMS,
    ISSUED,
    Issued,
    StoredCertificate,
    as_stored,
    check_stored,
    checksums_of,
    files_in,
    read_stored,
    sha256_of,
)
from builder.problems import in_words
from builder.publish import publish
from builder.published import Published, as_json
from builder.published.issued import PublishedChange
from builder.published.reading import NotReadable, read_published
from builder.workshop import open_shop
from tests.certificate_samples import FANNED, NEARLY_EMPTY, RUNNING, SHOP, USUAL, longest
from tests.conftest import RECORDS
from tests.small_shop import publish_all

SAID = "records/instruments/2026-001/certificate"
HEAVIER = PublishedChange("Weight", "2 lb 7 oz", "2 lb 8 oz", is_written=True)


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    """A certificate amended twice."""
    read = check_stored(issue_files(NEARLY_EMPTY, SHOP, "2026-05-09"), SAID, "2026-001")
    for day, name in (("2027-01-05", "Kite"), ("2028-03-01", "Red Kite")):
        assert read.stored, read.problems
        changed = replace(NEARLY_EMPTY, name=name)
        read = check_stored(
            amendment_files(read.stored, changed, day, "It was given a name", (HEAVIER,)), SAID, "2026-001"
        )
    assert read.stored, read.problems
    return dict(read.stored.files)


def wrong_with(files: dict[str, bytes], serial: str = "2026-001") -> list[str]:
    read = check_stored(files, SAID, serial)
    assert (read.stored is None) == bool(read.problems)
    return [in_words(problem).removeprefix(f"{SAID}/") for problem in read.problems]


@pytest.mark.parametrize("published", [NEARLY_EMPTY, USUAL, FANNED, longest(RUNNING)], ids=lambda each: each.title[:20])
def test_a_snapshot_reads_back_the_same(published: Published) -> None:
    back = read_published(as_json(published).encode())
    assert back.published == published
    assert as_json(back.published) == as_json(published)
    assert not back.absent | back.unknown


def test_every_snapshot_of_every_kind_of_board_reads_back_the_same(tmp_path: Path) -> None:
    by_serial, _ = publish_all(tmp_path)
    for published in by_serial.values():
        assert as_json(read_published(as_json(published).encode()).published) == as_json(published)


def test_a_snapshot_with_every_subject_reads_back_the_same() -> None:
    workshop = open_shop(RECORDS / "good_shop", private_files=False)
    assert workshop.shop
    for instrument in workshop.instruments:
        published = publish(instrument, workshop.shop)
        assert as_json(read_published(as_json(published).encode()).published) == as_json(published)


def test_names_of_other_versions_are_passed_over_and_said() -> None:
    tree = json.loads(as_json(USUAL))
    tree["photographs_of_tomorrow"] = [1]
    tree["woods"][0]["felled"] = 1987
    del tree["body_drawing"], tree["story"], tree["woods"][0]["origin"], tree["build_log"]
    back = read_published(json.dumps(tree).encode())
    assert back.published == replace(
        USUAL,
        body_drawing=None,
        story=None,
        build_log=(),
        woods=(replace(USUAL.woods[0], origin=None), *USUAL.woods[1:]),
    )
    assert back.absent == {"Published.body_drawing", "Published.story", "Published.build_log", "PublishedWood.origin"}
    assert back.unknown == {"Published.photographs_of_tomorrow", "PublishedWood.felled"}


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "it is not JSON"),
        (b"\xff", "it is not JSON"),
        (b"[" * 100_000, "it is not JSON"),
        (b"[]", "it is not a group of names"),
        (b'{"format": 2}', "it is of format 2, and this version knows format 1"),
        (b'{"format": 1}', "serial is missing"),
        (as_json(USUAL).replace('"year": 2026', '"year": NaN').encode(), "NaN is no number"),
        (as_json(USUAL).replace('"year": 2026', '"year": "2026"').encode(), "year is not a whole number"),
        (as_json(USUAL).replace('"year": 2026', '"year": true').encode(), "year is not a whole number"),
    ],
)
def test_what_is_no_snapshot_is_said_in_plain_words(content: bytes, said: str) -> None:
    with pytest.raises(NotReadable) as raised:
        read_published(content)
    assert str(raised.value) == said


def test_it_is_read_from_the_folder_it_was_put_into(tmp_path: Path, files: dict[str, bytes]) -> None:
    folder = tmp_path / "certificate"
    assert read_stored(folder, SAID, "2026-001").stored is None
    store(folder, files, instead_of=None)
    stored = read_stored(folder, SAID, "2026-001").stored
    assert stored
    assert dict(stored.files) == files
    assert stored.issued == Issued(
        1, "C-2026-001", "2026-001", "2026-05-09", stored.issued.fingerprint,
        sha256_of(files["snapshot.json"]), sha256_of(files[CERTIFICATE]),
    )  # fmt: skip
    assert [each.date for each in stored.amendments] == ["2027-01-05", "2028-03-01"]
    assert stored.amendments[0].changes == (HEAVIER,)
    assert stored.published.name == "Red Kite"
    assert stored.certificate == files[CERTIFICATE]


def test_the_certificate_says_its_number_day_and_fingerprint(files: dict[str, bytes]) -> None:
    issued = json.loads(files[ISSUED])
    said = files[CERTIFICATE].decode()
    assert "Certificate C-2026-001, issued 9 May 2026" in said
    assert f"Fingerprint {issued['fingerprint']}" in said


def test_same_instrument_same_day_same_bytes() -> None:
    assert issue_files(USUAL, SHOP, "2026-05-09") == issue_files(USUAL, SHOP, "2026-05-09")
    assert issue_files(USUAL, SHOP, "2026-05-09") != issue_files(USUAL, SHOP, "2026-05-10")


@pytest.mark.skipif(which("sha256sum") is None, reason="there is no sha256sum here")
def test_anybody_can_check_the_files_with_a_tool_of_their_own(tmp_path: Path, files: dict[str, bytes]) -> None:
    store(tmp_path / "certificate", files, instead_of=None)
    command = ["sha256sum", "--check", "--strict", CHECKSUMS]
    done = subprocess.run(command, cwd=tmp_path / "certificate", capture_output=True, text=True, check=True)
    assert done.stdout.count(": OK") == len(files) - 1


@pytest.mark.parametrize("name", [ISSUED, "amendment-1.json", "amendment-2.json", CHECKSUMS])
def test_every_changed_byte_is_found(files: dict[str, bytes], name: str) -> None:
    content = files[name]
    for place in range(len(content)):
        spoilt = bytearray(content)
        spoilt[place] ^= 1 << (place % 8)
        assert name in "".join(wrong_with({**files, name: bytes(spoilt)}))


@given(data=st.data())
def test_a_changed_byte_of_any_file_is_found(files: dict[str, bytes], data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(sorted(files)))
    place = data.draw(st.integers(0, len(files[name]) - 1))
    spoilt = bytearray(files[name])
    spoilt[place] ^= data.draw(st.integers(1, 255))
    assert wrong_with({**files, name: bytes(spoilt)})


@given(st.dictionaries(st.sampled_from((ISSUED, CHECKSUMS, CERTIFICATE, "snapshot.json", "amendment-1.json", "x")),
                       st.binary(max_size=80)))  # fmt: skip
def test_whatever_lies_there_nothing_raises(files: dict[str, bytes]) -> None:
    assert wrong_with(files)
    assert wrong_with({**files, CHECKSUMS: checksums_of(files)})


def without(*names: str) -> Callable[[dict[str, bytes]], dict[str, bytes]]:
    return lambda files: {name: content for name, content in files.items() if name not in names}


def swapped(one: str, other: str) -> Callable[[dict[str, bytes]], dict[str, bytes]]:
    return lambda files: {**files, one: files[other], other: files[one]}


def rewritten(change: Callable[[dict[str, bytes]], dict[str, bytes]]) -> Callable[[dict[str, bytes]], dict[str, bytes]]:
    """The same, by somebody who writes the list of checksums anew."""

    def spoil(files: dict[str, bytes]) -> dict[str, bytes]:
        spoilt = without(CHECKSUMS)(change(files))
        return {**spoilt, CHECKSUMS: checksums_of(spoilt)}

    return spoil


def later(files: dict[str, bytes]) -> dict[str, bytes]:
    return {**files, ISSUED: files[ISSUED].replace(b"2026-05-09", b"2026-05-08")}


NOT_ISSUED = "the file is not as it was issued: its SHA-256 is not the one in"
BACK = "put it back from a backup [not-as-issued]"


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (later, [f"issued.json: {NOT_ISSUED} checksums.txt; {BACK}",
                 f"amendment-1.json: this amendment does not follow the issued.json that is here; {BACK}"]),
        (without("amendment-2.json"), [f"amendment-2.json: the file is missing, and checksums.txt names it; {BACK}"]),
        (without(CHECKSUMS), [f"checksums.txt: the list of checksums is missing; {BACK}"]),
        (lambda files: {**files, "notes.txt": b"mine"},
         ["notes.txt: checksums.txt does not name this file; "
          "move it, if it is no part of the certificate [not-as-issued]"]),
        (lambda files: {**files, CERTIFICATE: files[CERTIFICATE].replace(b"\n", b"\r\n")},
         [f"certificate.html: its line ends are not those it was written with; {BACK}"]),
        (rewritten(later), [f"amendment-1.json: this amendment does not follow the issued.json that is here; {BACK}"]),
        (rewritten(without("amendment-1.json", "snapshot-1.json")),
         [f"amendment-1.json: the file is missing; {BACK}",
          f"amendment-2.json: this amendment does not follow the amendment-1.json that is here; {BACK}"]),
        (rewritten(swapped("snapshot-1.json", "snapshot-2.json")),
         [f"snapshot-1.json: {NOT_ISSUED} amendment-1.json; {BACK}",
          f"snapshot-2.json: {NOT_ISSUED} amendment-2.json; {BACK}"]),
        (rewritten(swapped("amendment-1.json", "amendment-2.json")),
         [f"amendment-1.json: this is amendment 2, not amendment 1; {BACK}",
          f"amendment-2.json: this is amendment 1, not amendment 2; {BACK}",
          f"snapshot-1.json: {NOT_ISSUED} amendment-1.json; {BACK}",
          f"snapshot-2.json: {NOT_ISSUED} amendment-2.json; {BACK}"]),
        (rewritten(lambda files: {**files, CERTIFICATE: b"mine"}),
         [f"certificate.html: {NOT_ISSUED} issued.json; {BACK}"]),
        (rewritten(lambda files: {**files, ISSUED: files[ISSUED].replace(b'"format": 1', b'"format": 9')}),
         ["issued.json: this file cannot be read here: it is of format 9, and this version knows format 1; "
          "use the version of Boutbook that wrote it, or a newer one [unknown-format]",
          f"amendment-1.json: this amendment does not follow the issued.json that is here; {BACK}"]),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_in_plain_words(
    files: dict[str, bytes], spoil: Callable[[dict[str, bytes]], dict[str, bytes]], said: list[str]
) -> None:
    assert sorted(wrong_with(spoil(files))) == sorted(said)


def test_a_folder_copied_along_with_a_record_is_told(files: dict[str, bytes]) -> None:
    said = wrong_with(files, serial="2026-002")
    assert (
        "issued.json: this certificate is that of 2026-001, not of 2026-002; "
        "remove the folder «certificate» here, if it was copied along with the record [not-as-issued]"
    ) in said


def test_hidden_files_of_the_computer_are_no_part_of_it(tmp_path: Path, files: dict[str, bytes]) -> None:
    folder = tmp_path / "certificate"
    store(folder, files, instead_of=None)
    (folder / ".thumbnails").write_bytes(b"")
    assert read_stored(folder, SAID, "2026-001").stored
    assert (folder / ".gitattributes").read_text() == "* -text\n"


def test_a_folder_in_the_place_of_a_file_is_told(tmp_path: Path, files: dict[str, bytes]) -> None:
    folder = tmp_path / "certificate"
    store(folder, files, instead_of=None)
    (folder / "old").mkdir()
    (problem,) = read_stored(folder, SAID, "2026-001").problems
    assert problem.file == f"{SAID}/old"
    assert "cannot be opened" in problem.message


def stored_of(files: dict[str, bytes]) -> StoredCertificate:
    read = check_stored(files, SAID, "2026-001")
    assert read.stored
    return read.stored


def test_what_another_run_wrote_in_the_meantime_is_not_written_over(tmp_path: Path) -> None:
    folder = tmp_path / "certificate"
    first = issue_files(NEARLY_EMPTY, SHOP, "2026-05-09")
    store(folder, first, instead_of=None)
    with pytest.raises(ChangedMeanwhile):
        store(folder, issue_files(NEARLY_EMPTY, SHOP, "2026-05-10"), instead_of=None)
    amended = amendment_files(stored_of(first), NEARLY_EMPTY, "2027-01-05", "Once", (HEAVIER,))
    store(folder, amended, instead_of=stored_of(first))
    with pytest.raises(ChangedMeanwhile):
        store(
            folder,
            amendment_files(stored_of(first), NEARLY_EMPTY, "2027-01-05", "Twice", ()),
            instead_of=stored_of(first),
        )
    assert files_in(folder) == amended
    assert [path.name for path in tmp_path.iterdir()] == ["certificate"]


def test_the_stored_forms_are_written_in_one_way(files: dict[str, bytes]) -> None:
    stored = stored_of(files)
    assert as_stored(stored.issued) == files[ISSUED]
    assert [as_stored(each) for each in stored.amendments] == [files["amendment-1.json"], files["amendment-2.json"]]
