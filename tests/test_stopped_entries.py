"""Whatever stops `add`, `new` and `repeat`, and wherever: nothing is lost, half written, or there twice."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder import command_line
from builder.entries import daily, orders, starts
from builder.entries.keeping import write_entry
from builder.entries.orders import Wishes
from builder.entries.photographs import add_photos
from builder.problems import Problem
from builder.safe_files import Resumed
from builder.workshop import open_shop
from tests.photo_samples import drawn, saved
from tests.shops import files_below
from tests.stopped_calls import Dead, How, StoppedCalls, with_calls

SHOP = "format: 1\nname: A\nmaker: B\nunits: inches\nrules: [{name: tape, marks: 1/32 in}]\nworking_rule: tape\n"
RECORD = (
    "format: 1\nserial: 2026-014\nkind: cittern\nspec:\n  tunings: [D3 A3]   # low\n\nstory: To be told.   # soon\n"
)
DAY = date(2026, 3, 4)
HOW = pytest.mark.parametrize("how", ["dead", "full disk"])


def lay_down(folder: Path) -> Path:
    """A shop with one instrument, 2026-014, and a photograph beside it."""
    instrument = folder / "records" / "instruments" / "2026-014"
    instrument.mkdir(parents=True)
    (folder / "records" / "shop.yaml").write_text(SHOP, "utf-8")
    (instrument / "record.yaml").write_text(RECORD, "utf-8")
    (folder / "back.png").write_bytes(saved(drawn(8, 6), "PNG"))
    return folder


def add(shop: Path) -> None:
    write_entry(shop, "2026-014", daily.log("Looked at it", DAY))


def add_service(shop: Path) -> None:
    write_entry(shop, "2026-014", daily.service("New strings", DAY))


def begin_hours(shop: Path) -> None:
    write_entry(shop, "2026-014", daily.hours("3", DAY, None))


def add_photo(shop: Path) -> None:
    add_photos(shop, "2026-014", [shop / "back.png"], DAY, {"shows": "The back", "draft": "yes"})


def add_photo_without_words(shop: Path) -> None:
    add_photos(shop, "2026-014", [shop / "back.png", shop / "back.png"], DAY, {})


def begin_two(shop: Path) -> None:
    orders.begin(shop, lambda unit: starts.from_instrument(shop, "2026-014"), Wishes(count=2), 2026)


def records(shop: Path) -> dict[str, bytes]:
    """What lies in the folder of the instruments."""
    return files_below(shop / "records" / "instruments")


def seen(shop: Path) -> dict[str, bytes]:
    """The same without what is hidden or lies beside a file while it is written: what a reader sees."""
    return {
        name: content
        for name, content in records(shop).items()
        if not any(part.startswith(".") for part in name.split("/")) and not name.endswith(".before")
    }


def errors(shop: Path) -> list[Problem]:
    return [each for each in open_shop(shop, private_files=True).problems if each.severity == "error"]


def try_again(shop: Path, do: Callable[[Path], None]) -> None:
    """The next start: the same once more, or the word that it has been done now."""
    end = with_calls(StoppedCalls(), lambda: do(shop))
    assert end is None or isinstance(end, Resumed), end


@HOW
@pytest.mark.parametrize("do", [add, begin_hours, begin_two, add_photo, add_photo_without_words])
def test_stopped_at_every_call_it_is_done_whole_or_not_at_all(
    tmp_path: Path, do: Callable[[Path], None], how: How
) -> None:
    every, whole = StoppedCalls(), lay_down(tmp_path / "whole")
    before = records(whole)
    assert with_calls(every, lambda: do(whole)) is None
    after = records(whole)
    assert set(before) | {"2026-014/record.yaml"} <= set(after)
    assert after != before
    ends = set()
    for at, call in enumerate(every.made):
        shop = lay_down(tmp_path / f"{at}")
        stopped = StoppedCalls(at, how)
        end = with_calls(stopped, lambda shop=shop: do(shop))  # type: ignore[misc]
        where = f"{how} at call {at}, {call}"
        if how == "dead":
            assert isinstance(end, Dead), where
        elif isinstance(end, OSError):
            assert seen(shop) == before, f"{where}: what is told as a failure has changed nothing"
        else:
            assert end is None, where
            assert seen(shop) == after, where
        found = seen(shop)
        for name, content in found.items():
            assert content in (before.get(name), after.get(name)), f"{where}: {name}"
        ends.add(found == after)
        if found != after:
            try_again(shop, do)
        assert seen(shop) == after, where
        assert errors(shop) == [], where
        try_again(shop, add_service)
        left = set(records(shop)) - set(after)
        assert left == set(), f"{where}: {left}"
    assert ends == {True, False}


def test_an_entry_said_again_after_a_stop_is_there_once(tmp_path: Path) -> None:
    """The run wrote it, and was stopped before it could say so: its maker says it again."""
    every = StoppedCalls()
    with_calls(every, lambda: add(lay_down(tmp_path / "whole")))
    written = 0
    for at, call in enumerate(every.made):
        shop = lay_down(tmp_path / str(at))
        with_calls(StoppedCalls(at), lambda shop=shop: add(shop))  # type: ignore[misc]
        beside = (shop / "records/instruments/2026-014/record.yaml.before").exists()
        written += beside and b"Looked" in records(shop)["2026-014/record.yaml"]
        if call != "unlock":
            try_again(shop, add)
        assert records(shop)["2026-014/record.yaml"].count(b"Looked at it") == 1
    assert written > 0


@pytest.mark.parametrize("words", [["add", "014", "log", "x"], ["repeat", "014"], ["new", "--kind", "cittern"]])
def test_a_full_disk_is_told_in_a_line(tmp_path: Path, words: list[str]) -> None:
    shop, calls = lay_down(tmp_path / "shop"), StoppedCalls(how="full disk")
    before = records(shop)

    def run() -> None:
        said.append(CliRunner().invoke(command_line.boutbook, [*words, "--shop", str(shop)]).output)

    said: list[str] = []
    with_calls(calls, run)
    shop = lay_down(tmp_path / "full")
    with_calls(StoppedCalls(calls.made.index("write"), "full disk"), run)
    assert said[1] == "boutbook: it could not be written: No space left on device; nothing was changed\n"
    assert records(shop) == before
