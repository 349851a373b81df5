"""`boutbook add photo`: copied, dated, in order, with their words or not at all."""

from __future__ import annotations

import stat
from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder import command_line
from builder.commands import adding
from builder.workshop import open_shop
from tests.photo_samples import drawn, saved
from tests.shops import files_below

RECORD = "format: 1\nserial: 2026-014\nkind: cittern\n\nstory: To be told.   # soon\n"
SHOP = "format: 1\nname: A\nmaker: B\nunits: inches\nrules: [{name: tape, marks: 1/32 in}]\nworking_rule: tape\n"


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with one instrument, and a folder `phone` with photographs beside it."""
    monkeypatch.setattr(adding, "now", lambda: datetime(2026, 3, 4, 14, 30))
    folder = tmp_path / "shop" / "records" / "instruments" / "2026-014"
    folder.mkdir(parents=True)
    (folder / "record.yaml").write_text(RECORD, "utf-8")
    (tmp_path / "shop" / "records" / "shop.yaml").write_text(SHOP, "utf-8")
    phone = tmp_path / "phone"
    phone.mkdir()
    for number, name in enumerate(
        ("IMG_0417.JPG", "Linings, going in (2).jpeg", "Über den Rand.png", "20260304_101500.jpg")
    ):
        kind = "PNG" if name.endswith("png") else "JPEG"
        (phone / name).write_bytes(saved(drawn(40 + number, 30), kind))
    (phone / "notes.txt").write_text("no picture")
    (phone / "empty.jpg").write_bytes(b"")
    return tmp_path


def add(bench: Path, *words: str) -> tuple[int, str]:
    names = {path.name for path in (bench / "phone").iterdir()}
    words = tuple(str(bench / "phone" / word) if word in names else word for word in words)
    said = CliRunner().invoke(command_line.boutbook, ["add", "014", "photo", *words, "--shop", str(bench / "shop")])
    assert said.exception is None or isinstance(said.exception, SystemExit), said.exception
    return said.exit_code, said.output


def photos(bench: Path) -> dict[str, bytes]:
    return files_below(bench / "shop" / "records" / "instruments" / "2026-014" / "photos")


def record(bench: Path) -> str:
    return (bench / "shop" / "records" / "instruments" / "2026-014" / "record.yaml").read_text("utf-8")


def test_photographs_are_copied_as_they_are_under_day_number_and_what_their_name_tells(bench: Path) -> None:
    before = files_below(bench / "phone")
    code, said = add(bench, "IMG_0417.JPG", "Linings, going in (2).jpeg", "Über den Rand.png")
    assert code == 0, said
    assert photos(bench) == {
        "2026-03-04-1.jpg": before["IMG_0417.JPG"],
        "2026-03-04-2-linings-going-in-2.jpeg": before["Linings, going in (2).jpeg"],
        "2026-03-04-3-uber-den-rand.png": before["Über den Rand.png"],
    }
    assert files_below(bench / "phone") == before
    assert record(bench) == RECORD
    assert add(bench, "20260304_101500.jpg")[0] == 0
    assert add(bench, "IMG_0417.JPG", "--date", "2026-03-01")[0] == 0
    assert {"2026-03-04-4.jpg", "2026-03-01-1.jpg"} <= set(photos(bench))
    shown = open_shop(bench / "shop", private_files=False).instruments[0].photos
    assert [photo.file.name for photo in shown][:3] == [
        "2026-03-01-1.jpg",
        "2026-03-04-1.jpg",
        "2026-03-04-2-linings-going-in-2.jpeg",
    ]


def test_words_for_a_photograph_go_into_the_record(bench: Path) -> None:
    code, said = add(bench, "IMG_0417.JPG", "--shows", "Kerfed linings, going in", "--alt", "Clothes pegs")
    assert code == 0
    assert said == (
        "2026-014: 2026-03-04-1-kerfed-linings-going-in.jpg. Written to records/instruments/2026-014/photos, and the "
        "words to records/instruments/2026-014/record.yaml.\n"
    )
    assert add(bench, "IMG_0417.JPG", "20260304_101500.jpg", "--draft")[0] == 0
    assert record(bench) == RECORD.replace("\nstory", (
        "\nphotos:\n"
        '  2026-03-04-1-kerfed-linings-going-in.jpg: {shows: "Kerfed linings, going in", alt: Clothes pegs}\n'
        "  2026-03-04-2.jpg: {draft: yes}\n  2026-03-04-3.jpg: {draft: yes}\n\nstory"
    ))  # fmt: skip
    workshop = open_shop(bench / "shop", private_files=False)
    assert not workshop.has_errors
    assert [photo.words.draft for photo in workshop.instruments[0].photos] == [False, True, True]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["notes.txt"], "«notes.txt» is no picture of a kind known here; name a photograph. Nothing was written"),
        (["IMG_0417.JPG", "empty.jpg"], "«empty.jpg» is empty; copy it from the camera or phone again, or remove it. "
         "Nothing was written"),
        (["IMG_0417.JPG", "IMG_0417.JPG", "--shows", "x"],
         "these words cannot be true of several photographs; add them one by one"),
        (["IMG_0417.JPG", "--shows", "x" * 401],
         "«shows» has 401 letters; at most 400 fit where it is printed. Nothing was written"),
        (["IMG_0417.JPG", "--date", "4.3.2026"],
         "«4.3.2026» is not a date; write year-month-day, like 2026-03-06. Nothing was written"),
    ],
)  # fmt: skip
def test_what_cannot_be_shown_or_said_is_refused(bench: Path, words: list[str], message: str) -> None:
    before = files_below(bench / "shop" / "records")
    code, said = add(bench, *words)
    assert code == 2
    assert said.splitlines()[-1] == f"boutbook: {message}"
    assert files_below(bench / "shop" / "records") == before


def test_a_record_with_errors_gets_no_words(bench: Path) -> None:
    file = bench / "shop" / "records" / "instruments" / "2026-014" / "record.yaml"
    file.write_text(RECORD.replace("kind", "knd"), "utf-8")
    code, said = add(bench, "IMG_0417.JPG", "--draft")
    assert (code, "did you mean «kind»?" in said, photos(bench)) == (1, True, {})


def test_a_photograph_of_a_closed_folder_can_be_read_by_its_maker(bench: Path) -> None:
    assert add(bench, "IMG_0417.JPG")[0] == 0
    file = bench / "shop/records/instruments/2026-014/photos/2026-03-04-1.jpg"
    assert stat.S_IMODE(file.stat().st_mode) & stat.S_IRUSR
