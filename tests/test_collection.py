"""A whole shop folder: what belongs together, what does not agree, and folders of every odd kind."""

from __future__ import annotations

import builtins
import io
import shutil
from pathlib import Path
from typing import Any

import pytest

from builder.problems import in_words
from builder.workshop import open_shop
from tests.conftest import RECORDS


def reports(shop: Path, *, private_files: bool = True) -> list[str]:
    return [in_words(each).split("\n")[0] for each in open_shop(shop, private_files=private_files).problems]


def instruments(shop: Path) -> Path:
    return shop / "records" / "instruments"


def write_record(shop: Path, folder: str, text: str) -> None:
    (instruments(shop) / folder).mkdir(exist_ok=True)
    (instruments(shop) / folder / "record.yaml").write_text(text, encoding="utf-8")


def test_every_instrument_is_there_in_the_order_of_its_folder(good_shop: Path) -> None:
    workshop = open_shop(good_shop, private_files=False)
    assert [each.record.serial for each in workshop.instruments] == ["2025-007", "2026-014", "2026-015", "2026-018"]
    assert not workshop.has_errors


def test_an_instrument_knows_the_billets_it_came_from_and_no_others(good_shop: Path) -> None:
    heron = open_shop(good_shop, private_files=False).instruments[1]
    assert list(heron.neighbours.billets) == ["W-031"]


def test_a_folder_that_is_not_its_serial(good_shop: Path) -> None:
    (instruments(good_shop) / "2026-015").rename(instruments(good_shop) / "2026-051")
    assert reports(good_shop) == [
        "records/instruments/2026-051/record.yaml:3:9: the folder is called «2026-051», the serial is «2026-015»; "
        "write serial: 2026-051, or rename the folder to 2026-015 [folder-serial]"
    ]


def test_two_folders_with_one_serial(good_shop: Path) -> None:
    shutil.copytree(instruments(good_shop) / "2026-015", instruments(good_shop) / "2026-016")
    said = reports(good_shop)
    assert [line.rpartition(" ")[2] for line in said] == ["[duplicate-serial]", "[folder-serial]"]
    assert said[0].startswith(
        "records/instruments/2026-016/record.yaml:3:9: the serial «2026-015» belongs to "
        "records/instruments/2026-015/record.yaml already; give each its own"
    )


def test_two_serials_that_differ_only_in_the_size_of_letters(good_shop: Path) -> None:
    for serial in ("Heron-1", "heron-1"):
        write_record(good_shop, serial, f"format: 1\nserial: {serial}\nkind: guitar\n")
    if len(list(instruments(good_shop).glob("?eron-1"))) < 2:
        pytest.skip("this disk holds the two folders for one")
    assert [line.rpartition(" ")[2] for line in reports(good_shop)] == ["[duplicate-serial]"]


def test_a_stray_file_among_the_instruments(good_shop: Path) -> None:
    (instruments(good_shop) / "notes.txt").write_text("look here")
    (instruments(good_shop) / ".DS_Store").write_text("not this one")
    assert reports(good_shop) == [
        "records/instruments/notes.txt: this file does not belong here; "
        "move it; each instrument has a folder of its own here [unreadable-file]"
    ]


def test_a_folder_without_a_record(good_shop: Path) -> None:
    (instruments(good_shop) / "2026-016").mkdir()
    assert reports(good_shop) == [
        "records/instruments/2026-016/record.yaml: there is no such file; "
        "write it, or remove its folder [unreadable-file]"
    ]


def test_a_record_that_is_a_folder(good_shop: Path) -> None:
    (instruments(good_shop) / "2026-016" / "record.yaml").mkdir(parents=True)
    (said,) = reports(good_shop)
    assert said.startswith("records/instruments/2026-016/record.yaml: the file cannot be opened: ")


@pytest.mark.parametrize("name", ["instruments/2026-014/record.yaml", "wood.yaml", "instruments/2026-014/private.yaml"])
def test_a_link_that_leads_nowhere(good_shop: Path, name: str) -> None:
    path = good_shop / "records" / name
    path.unlink()
    path.symlink_to("nowhere.yaml")
    assert (
        f"records/{name}: this link leads nowhere; put the file itself here, or remove the link [unreadable-file]"
        in reports(good_shop)
    )


def test_links_that_go_round_in_circles(good_shop: Path) -> None:
    (instruments(good_shop) / "round").symlink_to("round")
    (instruments(good_shop) / "2026-015" / "record.yaml").unlink()
    (instruments(good_shop) / "2026-015" / "record.yaml").symlink_to("record.yaml")
    assert len(reports(good_shop)) == 2


def test_instruments_that_are_a_file(good_shop: Path) -> None:
    shutil.rmtree(instruments(good_shop))
    instruments(good_shop).write_text("no folder")
    (said,) = reports(good_shop)
    assert said.startswith("records/instruments: the folder cannot be opened: ")


def test_a_folder_whose_name_is_no_text(good_shop: Path) -> None:
    try:
        (instruments(good_shop) / "2026-\udcff").mkdir()
    except (OSError, UnicodeError):
        pytest.skip("this disk has no such names")
    (said,) = reports(good_shop)
    assert said.encode().startswith(b"records/instruments/2026-?/record.yaml: ")


def test_no_shop_file(good_shop: Path) -> None:
    (good_shop / "records" / "shop.yaml").unlink()
    workshop = open_shop(good_shop, private_files=True)
    assert workshop.shop is None
    assert [in_words(each) for each in workshop.problems] == [
        "records/shop.yaml: there is no such file; every shop has one; write it [unreadable-file]"
    ]


def test_an_empty_folder(tmp_path: Path) -> None:
    assert reports(tmp_path) == [
        "records/shop.yaml: there is no such file; every shop has one; write it [unreadable-file]"
    ]


def test_a_shop_without_a_rack_or_instruments(good_shop: Path) -> None:
    (good_shop / "records" / "wood.yaml").unlink()
    shutil.rmtree(instruments(good_shop))
    assert reports(good_shop) == []


def test_a_broken_file_hides_no_problem_of_another(good_shop: Path) -> None:
    (good_shop / "records" / "shop.yaml").write_text("format: [")
    (good_shop / "records" / "wood.yaml").write_text("billets: 3")
    write_record(good_shop, "2026-015", "format: 1\nserial: 2026-015\nkind: ''\n")
    write_record(good_shop, "2025-007", "format: 1\nserial: 2025-007\nkind: guitar\nstarted_from: 2019-001\n")
    assert {line.partition(":")[0] for line in reports(good_shop)} == {
        "records/shop.yaml",
        "records/wood.yaml",
        "records/instruments/2026-015/record.yaml",
        "records/instruments/2025-007/record.yaml",
    }


def test_nothing_is_said_about_names_whose_file_cannot_be_read(good_shop: Path) -> None:
    (good_shop / "records" / "wood.yaml").write_text("billets: 3")
    assert [line.partition(":")[0] for line in reports(good_shop)] == ["records/wood.yaml"]


def test_problems_stand_in_reading_order(good_shop: Path) -> None:
    for serial in ("2025-007", "2026-014"):
        shutil.copyfile(
            RECORDS / "bad" / "record" / "ten-mistakes.yaml", instruments(good_shop) / serial / "record.yaml"
        )
    problems = open_shop(good_shop, private_files=True).problems
    places = [(each.file, each.line, each.column) for each in problems]
    assert places == sorted(places)
    assert len(problems) == 20


def test_private_files_are_read_when_asked_for_and_only_then(good_shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (instruments(good_shop) / "2026-014" / "private.yaml").write_text("fromat: 1")
    assert len(reports(good_shop, private_files=True)) == 2
    opened = []
    really_open = io.open

    def watched(path: Any, *rest: Any, **more: Any) -> Any:
        opened.append(str(path))
        return really_open(path, *rest, **more)

    monkeypatch.setattr(builtins, "open", watched)
    monkeypatch.setattr(io, "open", watched)
    assert reports(good_shop, private_files=False) == []
    assert any(path.endswith("record.yaml") for path in opened)
    assert not any(path.endswith("private.yaml") for path in opened)


@pytest.mark.parametrize("name", ["patterns/teardrop", "private", "instruments/2026-014/private"])
def test_a_file_that_ends_in_yml_is_not_passed_over_in_silence(name: str, good_shop: Path) -> None:
    (good_shop / "records" / f"{name}.yml").write_text("format: 1\n")
    (problem,) = open_shop(good_shop, private_files=False).problems
    said = f"records/{name}.yml: a file with this ending is not read; rename it to {Path(name).name}.yaml"
    assert in_words(problem) == f"{said} [unreadable-file]"
