"""Bad files and exactly what is said about them: `records/bad/<kind of file>/<name>.yaml` and `.txt` beside it.

Each file takes the place of a good one in a good shop, and the report is of the whole shop. See records/README.md.
"""

from __future__ import annotations

import os
import shutil
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from builder.problems import CODES, Problem, count_in_words, in_words
from builder.workshop import open_shop
from tests.conftest import RECORDS

BAD = RECORDS / "bad"
CASES = sorted(BAD.glob("*/*.yaml"))

#: Kind of file ─► where a file of this kind stands in the shop.
STANDS_AT = {
    "shop": "records/shop.yaml",
    "wood": "records/wood.yaml",
    "pattern": "records/patterns/teardrop.yaml",
    "record": "records/instruments/2026-014/record.yaml",
    "private": "records/instruments/2026-014/private.yaml",
    "repair": "records/repairs/R-1.yaml",
    "shop-private": "records/private.yaml",
}

#: Codes that no single bad file brings about, and where they are tested.
REPORTED_ELSEWHERE = {
    "address-taken": "builder.site reports it",
    "photo-kind": "test_photos_of_a_shop.py: photographs are not opened by reading",
    "photo-broken": "test_photos_of_a_shop.py, as above",
    "photo-too-large": "test_kept_pictures.py, as above",
    "mark-unusable": "test_mark.py: the mark is not opened by reading",
    "recording-kind": "test_recordings_of_a_shop.py: recordings are not opened by reading",
    "recording-broken": "test_recordings_of_a_shop.py, as above",
    "recording-too-large": "test_recordings_of_a_shop.py, as above",
    "not-as-issued": "test_stored_certificate.py: it takes a certificate that was issued",
    "changed-since-issued": "test_issue.py: the same",
    "bad-address": "test_unlisted.py: it stands in a file that is no YAML",
    "address-moved": "site/test_unlisted_pages.py: it takes a certificate that was issued",
    "address-told": "site/test_unlisted_pages.py: it takes the address of an unlisted instrument",
    "no-address": "test_unlisted.py: it takes a command that draws none",
}


def problems_in(shop_folder: Path) -> tuple[Problem, ...]:
    return open_shop(shop_folder, private_files=True).problems


@cache
def problems_with(bad: Path) -> tuple[Problem, ...]:
    """What is said when a bad file takes the place of a good one; found once, and asked about in several ways."""
    with TemporaryDirectory() as folder:
        shop = shutil.copytree(RECORDS / "good_shop", Path(folder) / "shop")
        shutil.copyfile(bad, shop / STANDS_AT[bad.parent.name])
        return problems_in(shop)


def report(problems: tuple[Problem, ...]) -> str:
    return "\n".join([*map(in_words, problems), count_in_words(problems)]) + "\n"


def test_the_good_shop_has_no_problems(good_shop: Path) -> None:
    assert problems_in(good_shop) == ()


@pytest.mark.parametrize("bad", CASES, ids=lambda bad: f"{bad.parent.name}/{bad.stem}")
def test_a_bad_file_is_reported_in_these_very_words(bad: Path) -> None:
    said = report(problems_with(bad))
    expected = bad.with_suffix(".txt")
    if os.environ.get("BOUTBOOK_UPDATE_GOLDEN"):
        expected.write_bytes(said.encode())
    assert said == expected.read_text(encoding="utf-8")


@pytest.mark.parametrize("bad", CASES, ids=lambda bad: f"{bad.parent.name}/{bad.stem}")
def test_a_bad_file_is_reported_at_a_place_that_exists(bad: Path) -> None:
    problems = problems_with(bad)
    assert problems
    lines = bad.read_bytes().removeprefix(b"\xef\xbb\xbf").decode("utf-8", "replace").replace("\r\n", "\n").split("\n")
    for problem in problems:
        assert "\n" not in problem.message + problem.hint, "a problem is said in one line"
        if problem.file == STANDS_AT[bad.parent.name] and problem.line:
            assert problem.line <= len(lines)
            assert 1 <= problem.column <= len(lines[problem.line - 1]) + 1


def test_every_report_has_its_file() -> None:
    assert sorted(BAD.glob("*/*.txt")) == [case.with_suffix(".txt") for case in CASES]


def test_ten_mistakes_are_ten_problems_each_at_its_line_and_column() -> None:
    problems = problems_with(BAD / "record" / "ten-mistakes.yaml")
    assert [(problem.line, problem.column, problem.code) for problem in problems] == [
        (4, 1, "unknown-key"),
        (5, 13, "unknown-word"),
        (6, 18, "not-understood"),
        (8, 17, "not-understood"),
        (9, 39, "not-understood"),
        (10, 21, "not-understood"),
        (11, 12, "wrong-shape"),
        (13, 45, "out-of-range"),
        (16, 7, "missing-key"),
        (17, 3, "duplicate-key"),
    ]


def test_a_file_over_a_megabyte_is_refused_unread(good_shop: Path) -> None:
    record = good_shop / STANDS_AT["record"]
    record.write_bytes(record.read_bytes() + b"# " + b"x" * 1_000_000)
    (problem,) = problems_in(good_shop)
    assert in_words(problem) == (
        "records/instruments/2026-014/record.yaml: the file is larger than 1 MB; "
        "a record is text alone; photos go into photos/ [unreadable-file]"
    )


def test_a_file_of_just_under_a_megabyte_is_read(good_shop: Path) -> None:
    record = good_shop / STANDS_AT["record"]
    content = record.read_bytes() + b"# "
    record.write_bytes(content + b"x" * (1_000_000 - len(content)))
    assert problems_in(good_shop) == ()


def test_every_code_is_brought_about_by_a_bad_file() -> None:
    seen = {problem.code for bad in CASES for problem in problems_with(bad)}
    assert seen == CODES.keys() - REPORTED_ELSEWHERE.keys()


def test_a_warning_says_so() -> None:
    problem = Problem("date-order", "record.yaml", 3, 5, "odd", "look again", severity="warning", source_line="a: b c")
    assert in_words(problem) == "record.yaml:3:5: warning: odd; look again [date-order]\n    a: b c\n        ^"
    assert count_in_words([problem]) == "1 warning"


def test_an_unknown_code_is_a_slip_of_ours() -> None:
    with pytest.raises(ValueError, match="no such problem code"):
        Problem("no-such-code", "record.yaml", 1, 1, "odd")
