"""Pictures kept from run to run: nothing opened twice, what is damaged made anew, two runs at a time in peace."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from builder import kept
from builder import kept_pictures as room
from builder.kept import DAYS_KEPT
from builder.kept_pictures import KeptPicture, kept_pictures
from builder.photos import NotShown, Picture, pictures_of
from builder.reading.beside import FileBeside
from tests.photo_samples import drawn, saved
from tests.shops import REPOSITORY, files_below

ONE, OTHER = saved(drawn(700, 500)), saved(drawn(610, 700))


class Counted:
    """Counts what is opened."""

    def __init__(self) -> None:
        self.opened: list[bytes] = []
        self.read: list[str] = []

    def pictures_of(self, content: bytes) -> tuple[Picture, ...]:
        self.opened.append(content)
        return pictures_of(content)


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Counted:
    counted = Counted()
    monkeypatch.setattr(room, "pictures_of", counted.pictures_of)
    return counted


def lying(shop: Path, **contents: bytes) -> list[FileBeside]:
    """Photographs of these names in a folder of the shop."""
    found = []
    for name, content in contents.items():
        path = shop / f"{name}.jpg"
        if not path.exists() or path.read_bytes() != content:
            path.write_bytes(content)
        status = path.stat()
        found.append(FileBeside(path.name, path.name, path, status.st_size, status.st_mtime_ns))
    return found


def pictures(shop: Path, **contents: bytes) -> dict[str, list[tuple[int, int, bytes]]]:
    """Size and bytes of every picture of every photograph, by name."""
    answers = kept_pictures(lying(shop, **contents), shop)
    shown = {}
    for name, answer in answers.items():
        assert not isinstance(answer, NotShown), answer
        shown[name] = [(each.width_px, each.height_px, bytes_of(each)) for each in answer]
    return shown


def bytes_of(picture: KeptPicture) -> bytes:
    return picture.content if isinstance(picture.content, bytes) else picture.content.read_bytes()


def freshly(content: bytes) -> list[tuple[int, int, bytes]]:
    return [(each.width_px, each.height_px, each.content) for each in pictures_of(content)]


def test_nothing_is_opened_twice(tmp_path: Path, counted: Counted) -> None:
    first = pictures(tmp_path, one=ONE, other=OTHER)
    assert first == {"one.jpg": freshly(ONE), "other.jpg": freshly(OTHER)}
    assert counted.opened == [ONE, OTHER]
    assert pictures(tmp_path, one=ONE, other=OTHER) == first
    assert counted.opened == [ONE, OTHER]


def test_a_photograph_that_did_not_change_is_not_even_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = pictures(tmp_path, one=ONE)
    monkeypatch.setattr(kept, "read_bytes", lambda photo: pytest.fail(f"{photo.name} was read"))
    assert pictures(tmp_path, one=ONE) == first


def test_the_same_photograph_under_another_name_is_not_opened_again(tmp_path: Path, counted: Counted) -> None:
    both = pictures(tmp_path, one=ONE, again=ONE)
    assert both["one.jpg"] == both["again.jpg"]
    (tmp_path / "one.jpg").rename(tmp_path / "moved.jpg")
    assert pictures(tmp_path, moved=ONE)["moved.jpg"] == both["one.jpg"]
    os.utime(tmp_path / "moved.jpg", (1, 1))
    assert pictures(tmp_path, moved=ONE)["moved.jpg"] == both["one.jpg"]
    assert counted.opened == [ONE]


def test_a_photograph_that_changed_is_opened(tmp_path: Path, counted: Counted) -> None:
    assert pictures(tmp_path, one=ONE)["one.jpg"] == freshly(ONE)
    assert pictures(tmp_path, one=OTHER)["one.jpg"] == freshly(OTHER)
    assert pictures(tmp_path, one=ONE)["one.jpg"] == freshly(ONE)
    assert counted.opened == [ONE, OTHER]


def test_a_kept_picture_that_is_damaged_or_gone_is_made_anew(tmp_path: Path, counted: Counted) -> None:
    good = pictures(tmp_path, one=ONE)
    kept = sorted((tmp_path / ".boutbook" / "photos").glob("*.jpg"))
    assert len(kept) == 2
    spoilers: tuple[Callable[[Path], object], ...] = (
        lambda file: file.write_bytes(b""),
        lambda file: file.write_bytes(file.read_bytes()[:-100]),
        lambda file: file.write_bytes(OTHER),
        lambda file: file.write_bytes(file.read_bytes()[:-3] + b"x\xff\xd9"),
        lambda file: file.unlink(),
    )
    for number, spoil in enumerate(spoilers):
        spoil(kept[number % 2])
        assert pictures(tmp_path, one=ONE) == good
        assert len(counted.opened) == number + 2
    os.utime(kept[0], (1, 1))
    assert pictures(tmp_path, one=ONE) == good
    assert len(counted.opened) == 6, "whole, though of another day, a picture is kept"


@pytest.mark.parametrize(
    "written",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'{"seen": 1, "entries": 2}',
        b'{"seen": {"one.jpg": [1, 2]}, "entries": {}}',
        b'{"seen": {}, "entries": {"x": [["1x2.jpg", "x", 3, 4, 1e999]]}}',
        b"\xff\xfe",
        b"[" * 100_000,
    ],
)
def test_a_list_that_cannot_be_read_costs_time_and_nothing_else(tmp_path: Path, written: bytes) -> None:
    good = pictures(tmp_path, one=ONE)
    listed = tmp_path / ".boutbook" / "photos" / "list.json"
    whole = listed.read_bytes()
    listed.write_bytes(written)
    assert pictures(tmp_path, one=ONE) == good
    assert json.loads(listed.read_bytes())["seen"] == json.loads(whole)["seen"]


def test_a_slip_in_the_list_leads_to_no_wrong_picture(tmp_path: Path) -> None:
    """Every number and digest of the list in turn is another; what is shown stays the same."""
    good = pictures(tmp_path, one=ONE)
    listed = tmp_path / ".boutbook" / "photos" / "list.json"
    whole = json.loads(listed.read_bytes())
    (key, entries), (seen,) = next(iter(whole["entries"].items())), whole["seen"].values()
    for place in range(len(entries[0]) + len(seen)):
        spoilt = json.loads(json.dumps(whole))
        row, at = (spoilt["entries"][key][0], place) if place < 5 else (spoilt["seen"]["one.jpg"], place - 5)
        row[at] = row[at] + 1 if isinstance(row[at], int) else "0" * 64
        listed.write_text(json.dumps(spoilt))
        assert pictures(tmp_path, one=ONE) == good


def test_other_settings_make_other_pictures(tmp_path: Path, counted: Counted, monkeypatch: pytest.MonkeyPatch) -> None:
    pictures(tmp_path, one=ONE)
    monkeypatch.setattr(room, "MADE_WITH", "2, a later library")
    pictures(tmp_path, one=ONE)
    assert counted.opened == [ONE, ONE]


def test_what_cannot_be_shown_says_why_and_keeps_nothing(tmp_path: Path, counted: Counted) -> None:
    answers = kept_pictures(lying(tmp_path, one=ONE, bad=ONE[:500], worse=ONE[:500], empty=b""), tmp_path)
    said = {name: str(answer).split(";")[0] for name, answer in answers.items() if isinstance(answer, NotShown)}
    assert said == {"bad.jpg": "is cut off or damaged", "worse.jpg": "is cut off or damaged", "empty.jpg": "is empty"}
    assert counted.opened == [ONE, ONE[:500], b""], "the same bytes are tried once"


def test_a_photograph_that_is_gone_or_far_too_large_is_said_so(tmp_path: Path) -> None:
    gone = FileBeside("gone.jpg", "gone.jpg", tmp_path / "gone.jpg", 10, 10)
    film = FileBeside("film.jpg", "film.jpg", tmp_path / "film.jpg", 2_000_000_000, 10)
    answers = kept_pictures([gone, film], tmp_path)
    said = {name: (answer.code, str(answer)) for name, answer in answers.items() if isinstance(answer, NotShown)}
    assert said == {
        "gone.jpg": ("unreadable-file", "cannot be opened: No such file or directory; see whether you may read it"),
        "film.jpg": (
            "photo-too-large", "is larger than 400 MB; a photograph is smaller; move it out of photos",
        ),
    }  # fmt: skip


def test_where_nothing_can_be_kept_pictures_are_made_all_the_same(tmp_path: Path) -> None:
    (tmp_path / ".boutbook").write_text("a file stands where the folder belongs")
    assert pictures(tmp_path, one=ONE, again=ONE) == {"one.jpg": freshly(ONE), "again.jpg": freshly(ONE)}


def test_a_full_disk_keeps_nothing_and_shows_everything(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(path: Path, content: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(kept, "write_file", full)
    assert pictures(tmp_path, one=ONE, other=OTHER) == {"one.jpg": freshly(ONE), "other.jpg": freshly(OTHER)}
    assert list((tmp_path / ".boutbook" / "photos").glob("*.jpg*")) == []


def test_what_nobody_has_asked_for_in_a_month_is_dropped(
    tmp_path: Path, counted: Counted, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / ".boutbook" / "photos"
    pictures(tmp_path, one=ONE, other=OTHER)
    for file in folder.glob("*.jpg"):
        os.utime(file, (1_000_000, 1_000_000))
    today = kept._today()
    monkeypatch.setattr(kept, "_today", lambda: today + DAYS_KEPT - 1)
    pictures(tmp_path, one=ONE)
    assert len(list(folder.glob("*.jpg"))) == 4
    monkeypatch.setattr(kept, "_today", lambda: today + DAYS_KEPT + 1)
    pictures(tmp_path, one=ONE)
    assert len(list(folder.glob("*.jpg"))) == 2
    assert "other.jpg" not in json.loads((folder / "list.json").read_bytes())["seen"]
    assert counted.opened == [ONE, OTHER]
    assert pictures(tmp_path, other=OTHER)["other.jpg"] == freshly(OTHER)


def test_what_is_kept_stays_out_of_git(tmp_path: Path) -> None:
    pictures(tmp_path, one=ONE)
    subprocess.run(["git", "init", "-q", str(tmp_path)], check=True)
    said = subprocess.run(
        ["git", "status", "--porcelain", "--untracked-files=all"],
        cwd=tmp_path,
        check=True,
        capture_output=True,
        text=True,
    )
    assert said.stdout == "?? one.jpg\n"


def test_a_shop_without_photographs_has_no_folder_for_them(tmp_path: Path) -> None:
    assert kept_pictures([], tmp_path) == {}
    assert files_below(tmp_path) == {}


TWO_AT_A_TIME = """
import sys
from collections.abc import Callable
from pathlib import Path
from builder.kept_pictures import kept_pictures
from builder.reading.beside import FileBeside
shop = Path(sys.argv[1])
photos = [FileBeside(p.name, p.name, p, p.stat().st_size, p.stat().st_mtime_ns) for p in sorted(shop.glob("*.jpg"))]
sys.stdin.readline()
for _ in range(3):
    answers = kept_pictures(photos, shop)
    print(*(each.content.read_bytes()[-2:].hex() for answer in answers.values() for each in answer))
"""


def test_two_runs_at_a_time_do_each_other_no_harm(tmp_path: Path) -> None:
    contents = {f"photo{number}": saved(drawn(610 + number, 400)) for number in range(6)}
    lying(tmp_path, **contents)
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", TWO_AT_A_TIME, str(tmp_path)],
            cwd=REPOSITORY, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for _ in range(3)
    ]  # fmt: skip
    for run in runs:
        assert run.stdin is not None
        run.stdin.write("go\n")
        run.stdin.flush()
    whole = "ffd9 " * 11 + "ffd9\n"
    for run in runs:
        said, trouble = run.communicate(timeout=60)
        assert (run.returncode, trouble, said) == (0, "", whole * 3)
    assert pictures(tmp_path, **contents) == {f"{name}.jpg": freshly(content) for name, content in contents.items()}
    left = {path.suffix for path in (tmp_path / ".boutbook" / "photos").iterdir()}
    assert left <= {".jpg", ".json", ""}
