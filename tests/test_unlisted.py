"""The address of an unlisted instrument: read, refused, drawn once, and the same for ever after."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from click.testing import CliRunner
from mkdocs.config import load_config

from builder import command_line
from builder.beside import prepare
from builder.problems import Problem, in_words
from builder.reading.address import LETTERS, read_address
from builder.safe_files import write_once
from builder.site import site_of
from builder.unlisted import with_address, with_addresses, without_address
from builder.workshop import Instrument, Workshop, open_shop
from tests.shops import run_module

ENDING = "7zb40grrxwmd2sqt7p0drqmb27"
KEEP_IT = "; put the file back as it was; without it a new address is drawn, and printed codes lead nowhere"
SAID = "records/instruments/2026-014/address.txt"


def unlist(shop: Path, visibility: str = "unlisted") -> Path:
    """Make an instrument of the good shop unlisted, or public again; gives the file its address stands in."""
    folder = shop / "records" / "instruments" / "2026-014"
    record = folder / "record.yaml"
    record.write_text(re.sub(r"(?m)^visibility: .*$", f"visibility: {visibility}", record.read_text("utf-8")), "utf-8")
    return folder / "address.txt"


def opened(shop: Path) -> Workshop:
    return open_shop(shop, private_files=False)


def heron(workshop: Workshop) -> Instrument:
    return next(each for each in workshop.instruments if each.record.serial == "2026-014")


def said_of(problems: tuple[Problem, ...]) -> list[str]:
    return [in_words(problem) for problem in problems]


@pytest.mark.parametrize(
    "content",
    [f"{ENDING}\n", ENDING, f"{ENDING}\r\n", f"\ufeff{ENDING}\n", f"  {ENDING} \n\n", f"{'7' * 64}\n"],
    ids=["a line", "no end of line", "carriage return", "byte order mark", "blanks around it", "64 letters"],
)
def test_an_address_is_read_as_any_editor_leaves_it(tmp_path: Path, content: str) -> None:
    (tmp_path / "address.txt").write_bytes(content.encode())
    assert read_address(tmp_path / "address.txt", SAID) == (content.strip("\ufeff \r\n"), ())


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", ":1:1: there is no address in the first line"),
        (b"\n" + ENDING.encode(), ":1:1: there is no address in the first line"),
        (ENDING.encode() + b"\nand more\n", ":2:1: there is more than one line"),
        (b"7zb40grrxwmd2sqt7p0drqmb2", ":1:1: there are 25 letters where 26 to 64 belong"),
        (b"7" * 65, ":1:1: there are 65 letters where 26 to 64 belong"),
        (b"  " + ENDING.encode().upper(), ":1:4: «Z» is no letter of an address"),
        (b"7zb40grrxwmd2sqt7p0drqmbo1", ":1:25: «o» is no letter of an address"),
        (b"../" + ENDING.encode(), ":1:1: «.» is no letter of an address"),
        (b"7zb4\x00grrxwmd2sqt7p0drqmb27", ":1:5: U+0000 is no letter of an address"),
        (b"\xff" + ENDING.encode(), ":1:1: «\ufffd» is no letter of an address"),
        ("7zb40grrxwmd2sqt7p0drqmb2\u202e".encode(), ":1:26: U+202E is no letter of an address"),
    ],
)
def test_a_bad_address_is_refused_at_its_place_and_not_shown(good_shop: Path, content: bytes, said: str) -> None:
    unlist(good_shop).write_bytes(content)
    workshop = opened(good_shop)
    assert said_of(workshop.problems) == [f"{SAID}{said}{KEEP_IT} [bad-address]"]
    assert with_addresses(workshop, good_shop) is workshop, "nothing is drawn over it"
    assert (good_shop / SAID).read_bytes() == content


def test_what_cannot_be_opened_is_said(good_shop: Path) -> None:
    file = unlist(good_shop)
    file.mkdir()
    (problem,) = opened(good_shop).problems
    assert (problem.code, problem.file) == ("unreadable-file", SAID)
    file.rmdir()
    file.symlink_to("nowhere")
    assert said_of(opened(good_shop).problems) == [f"{SAID}: this link leads nowhere{KEEP_IT} [unreadable-file]"]


def test_two_instruments_do_not_share_one_address(good_shop: Path) -> None:
    file = unlist(good_shop)
    for serial in ("2026-014", "2026-015"):
        (file.parents[1] / serial / "address.txt").write_text(ENDING)
    assert said_of(opened(good_shop).problems) == [
        "records/instruments/2026-015/address.txt:1:1: the same letters stand in "
        "records/instruments/2026-014/address.txt; remove this file if it was copied along; "
        "a new address is drawn with the next build [bad-address]"
    ]


def test_an_address_is_drawn_once_and_outlives_every_change_of_mind(good_shop: Path) -> None:
    file = unlist(good_shop)
    before = opened(good_shop)
    assert heron(before).lacks_address
    drawn = heron(with_addresses(before, good_shop))
    kept = file.read_text()
    assert drawn.address == f"2026-014-{kept.strip()}"
    assert len(kept) == 27
    assert [path.name for path in file.parent.iterdir() if path.name.startswith(".")] == []
    assert heron(with_addresses(before, good_shop)).address == drawn.address, "whoever comes later finds it"
    assert heron(with_addresses(opened(good_shop), good_shop)).address == drawn.address
    for visibility in ("public", "shop only", "unlisted"):
        unlist(good_shop, visibility)
        workshop = opened(good_shop)
        assert with_addresses(workshop, good_shop).instruments == workshop.instruments
        assert heron(workshop).address == drawn.address, "codes with it are printed"
    assert file.read_text() == kept


def test_every_letter_is_left_to_chance(good_shop: Path) -> None:
    """300 addresses: all differ, and each letter turns up about as often as any other (7800/32 = 244, sd 15.4)."""
    file = unlist(good_shop)
    instrument, drawn = heron(opened(good_shop)), []
    for _ in range(300):
        drawn.append(with_address(instrument, good_shop).address_ending or "")
        file.unlink()
    counts = Counter("".join(drawn))
    assert len(set(drawn)) == 300
    assert set(counts) == set(LETTERS)
    assert min(counts.values()) > 244 - 7 * 15.4
    assert max(counts.values()) < 244 + 7 * 15.4


DRAWS = """
import pathlib, sys, time
from builder.unlisted import with_address
from builder.workshop import open_shop
shop, mine = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
instrument = next(each for each in open_shop(shop, private_files=False).instruments if each.lacks_address)
mine.touch()
while not (shop / "go").exists():
    time.sleep(0.0005)
for number in range(60):
    place = shop / str(number)
    (place / "records" / "instruments" / "2026-014").mkdir(parents=True, exist_ok=True)
    print(with_address(instrument, place).address)
"""


def test_two_runs_that_draw_at_the_same_moment_get_one_address(good_shop: Path, tmp_path: Path) -> None:
    unlist(good_shop)
    ready = [tmp_path / name for name in ("one", "other")]
    runs = [
        subprocess.Popen([sys.executable, "-c", DRAWS, good_shop, mine], stdout=subprocess.PIPE, text=True)
        for mine in ready
    ]
    while not all(mine.exists() for mine in ready):
        assert all(run.poll() is None for run in runs)
    (good_shop / "go").touch()
    one, other = (run.communicate(timeout=60)[0].split() for run in runs)
    assert one == other
    assert len(set(one)) == 60
    assert not list(good_shop.rglob("*.new"))


def test_a_disk_that_gives_a_file_no_second_name_will_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(path: Path, target: Path) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refused)
    assert write_once(tmp_path / "address.txt", b"first")
    assert not write_once(tmp_path / "address.txt", b"second")
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"address.txt": b"first"}


def test_a_write_that_fails_leaves_nothing_and_is_said(good_shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(number: int) -> None:
        raise OSError(28, "No space left on device")

    file = unlist(good_shop)
    monkeypatch.setattr(os, "fsync", full)
    before = sorted(path.name for path in file.parent.iterdir())
    said = said_of(with_addresses(opened(good_shop), good_shop).problems)
    assert said == [
        f"{SAID}: the address of this unlisted instrument cannot be written: No space left on device; "
        "see whether you may write here [no-address]"
    ]
    assert sorted(path.name for path in file.parent.iterdir()) == before


def test_no_site_is_made_without_an_address(good_shop: Path) -> None:
    assert heron(opened(good_shop)).address == "2026-014"
    unlist(good_shop)
    with pytest.raises(ValueError, match="without an address"):
        site_of(prepare(opened(good_shop), "buyer"))
    assert heron(opened(good_shop)).address == "2026-014-not-drawn-yet", "never the plain address, which can be guessed"


def test_only_commands_that_need_an_address_draw_one(good_shop: Path) -> None:
    file = unlist(good_shop)
    for command in (["check"], ["results", "2026-014"]):
        done = CliRunner().invoke(command_line.boutbook, [*command, "--shop", str(good_shop)])
        assert done.exit_code == 0, done.output
        assert not file.exists()
    drawn = "Wrote the address of 2026-014, which is unlisted, to its address.txt. Keep it: codes lead there.\n"
    for serial, begins in (("2026-015", "Wrote"), ("2026-014", drawn), ("2026-014", "Wrote")):
        done = CliRunner().invoke(command_line.boutbook, ["sheet", serial, "label", "--shop", str(good_shop)])
        assert done.exit_code == 0, done.output
        assert done.output.startswith(begins)
        assert file.exists() == (serial == "2026-014")


@pytest.fixture
def shop_with_settings(good_shop: Path) -> Path:
    """The good shop as MkDocs knows it."""
    (good_shop / "mkdocs.yml").write_text(
        "site_name: Good\ndocs_dir: records/pages\ntheme: {name: material}\nplugins: [search, offline, boutbook]\n"
    )
    (good_shop / "records" / "pages").mkdir(exist_ok=True)
    return good_shop


NOT_DRAWN = (
    f"{SAID}: this unlisted instrument has no address yet; run boutbook build once, which draws one [no-address]"
)


def test_mkdocs_by_itself_writes_nothing_among_the_records(shop_with_settings: Path) -> None:
    file = unlist(shop_with_settings)
    assert said_of(without_address(opened(shop_with_settings))) == [NOT_DRAWN]
    assert NOT_DRAWN in run_module("mkdocs", "build", folder=shop_with_settings, code=1).stderr
    assert not file.exists()


def test_an_instrument_unlisted_while_its_shop_is_served_gets_its_address_from_our_own_command_alone(
    shop_with_settings: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "0")  # else it would be set, and stay so for the tests that follow
    file = unlist(shop_with_settings)
    for ours in ({}, {"boutbook_edition": "buyer"}):
        config = load_config(str(shop_with_settings / "mkdocs.yml"), extra=dict(ours))
        config.plugins.on_startup(command="serve", dirty=False)
        assert config.plugins.on_config(config).extra["boutbook_problems"] == ([] if ours else [NOT_DRAWN])
        assert file.exists() == bool(ours)
