"""Nothing is lost or half written: what stood there stays until the new stands whole."""

from __future__ import annotations

import ast
from pathlib import Path

import filelock
import pytest

from builder import safe_files
from builder.file_calls import FileCalls
from builder.safe_files import InUse, new_folder_for, put_right, write_file

#: Calls that change something on the disk.
CHANGES = {
    "mkdir", "open", "write", "write_bytes", "write_text", "fsync", "replace", "rename", "unlink", "rmdir", "rmtree",
    "hardlink_to", "link_to", "symlink_to", "touch", "chmod", "copymode", "acquire", "FileLock",
}  # fmt: skip


def test_every_change_on_the_disk_goes_through_the_calls_that_can_be_stopped() -> None:
    source = ast.parse(Path(safe_files.__file__).read_text("utf-8"))
    called = [node.func for node in ast.walk(source) if isinstance(node, ast.Call)]
    direct = [
        ast.unparse(each)
        for each in called
        if isinstance(each, ast.Attribute)
        and each.attr in CHANGES
        and not (isinstance(each.value, ast.Name) and each.value.id == "calls")
    ]
    assert direct == []


def contents(folder: Path) -> dict[str, str]:
    return {file.name: file.read_text() for file in sorted(folder.iterdir())}


@pytest.fixture(params=["exchange", "two renames"])
def way_of_swapping(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Both ways a folder is put in place: in one step where the system can, else in two."""
    if request.param == "two renames":
        monkeypatch.setattr(FileCalls, "exchange", lambda calls, one, other: False)
    return str(request.param)


def test_a_new_folder_takes_the_place_of_the_old_one_whole(tmp_path: Path, way_of_swapping: str) -> None:
    place = tmp_path / "site"
    for version in ("first", "second"):
        with new_folder_for(place) as new:
            (new / version).write_text(version)
    assert contents(place) == {"second": "second"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_an_error_while_filling_leaves_the_old_folder(tmp_path: Path, way_of_swapping: str) -> None:
    place = tmp_path / "site"
    place.mkdir()
    (place / "old").write_text("old")

    def stopped_half_way() -> None:
        with new_folder_for(place) as new:
            (new / "half").write_text("half")
            raise RuntimeError("stopped")

    with pytest.raises(RuntimeError):
        stopped_half_way()
    assert contents(place) == {"old": "old"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_run_stopped_between_the_two_renames_is_put_right_at_the_next_start(tmp_path: Path) -> None:
    (tmp_path / "site.old").mkdir()
    (tmp_path / "site.old" / "old").write_text("old")
    (tmp_path / "site.ready").mkdir()
    put_right(tmp_path / "site")
    assert contents(tmp_path / "site") == {"old": "old"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_half_a_folder_of_a_stopped_run_is_in_nobodys_way(tmp_path: Path) -> None:
    (tmp_path / "site.new").mkdir()
    (tmp_path / "site.new" / "half").write_text("half")
    with new_folder_for(tmp_path / "site") as new:
        (new / "whole").write_text("whole")
    assert contents(tmp_path / "site") == {"whole": "whole"}


def test_two_runs_do_not_write_one_folder_at_once(tmp_path: Path) -> None:
    with (
        filelock.FileLock(tmp_path / "site.lock"),
        pytest.raises(InUse, match="another run is writing site"),
        new_folder_for(tmp_path / "site"),
    ):
        pytest.fail("the second run must not get as far as this")
    assert not (tmp_path / "site").exists()


def test_a_file_is_replaced_whole_and_leaves_no_temporary_behind(tmp_path: Path) -> None:
    file = tmp_path / "below" / "record.yaml"
    write_file(file, b"first")
    write_file(file, b"second")
    assert contents(file.parent) == {"record.yaml": "second"}


def test_a_disk_that_is_full_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "record.yaml"
    write_file(file, b"old")

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write_file(file, b"new")
    assert file.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["record.yaml"]
