"""Whatever stops `issue`, and wherever: the certificate that was, or the one that was to be, and never half of one."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.certificates.issuing import amendment_files, issue_files, store
from builder.certificates.stored import StoredCertificate, check_stored, read_stored
from builder.published.issued import PublishedChange
from builder.safe_files import new_folder_for, where_it_stands
from tests.certificate_samples import NEARLY_EMPTY, SHOP
from tests.shops import run_module
from tests.small_shop import BARE
from tests.stopped_calls import ASK_FOR_NO_ROOM, Dead, How, StoppedCalls, with_calls
from tests.test_issue import SERIAL, certificate_folder, lay_down, output_of, said_by

NUMBER = NEARLY_EMPTY.serial
#: An instrument of which next to nothing is known, handed over on a day that is past on every computer.
RECORD = BARE.replace("2024-001", SERIAL).replace("2024-", "2014-")


@pytest.fixture
def states(monkeypatch: pytest.MonkeyPatch) -> list[StoredCertificate | None]:
    """Nothing, a certificate, the same amended; the sheet itself is kept short, for it is written very often."""
    monkeypatch.setattr("builder.certificates.issuing.certificate_html", lambda *arguments, **named: "a certificate")
    first = check_stored(issue_files(NEARLY_EMPTY, SHOP, "2016-05-09"), "", NUMBER).stored
    assert first
    change = PublishedChange("Weight", "2 lb", "3 lb", is_written=True)
    second = check_stored(amendment_files(first, NEARLY_EMPTY, "2017-01-01", "Why", (change,)), "", NUMBER).stored
    assert second
    return [None, first, second]


def standing(folder: Path) -> StoredCertificate | None:
    """What a reader finds, a whole certificate or none."""
    read = read_stored(where_it_stands(folder), "", NUMBER)
    assert read.problems == ()
    return read.stored


def quickly(do: Callable[[], None]) -> None:
    """Do something without waiting for the disk; it must go well."""
    assert with_calls(StoppedCalls(), do) is None


def put(folder: Path, before: StoredCertificate | None, after: StoredCertificate | None) -> Callable[[], None]:
    assert after
    return lambda: store(folder, after.files, instead_of=before)


@pytest.mark.parametrize("how", ["dead", "full disk"])
@pytest.mark.parametrize("exchanges", [True, False], ids=["exchange", "two renames"])
@pytest.mark.parametrize("step", [1, 2], ids=["issue", "amend"])
def test_stopped_at_every_call_the_old_or_the_new_stands(
    tmp_path: Path, states: list[StoredCertificate | None], step: int, exchanges: bool, how: How
) -> None:
    before, after = states[step - 1 : step + 1]
    every = StoppedCalls(exchanges=exchanges)
    whole = tmp_path / "whole" / "certificate"
    if before:
        quickly(put(whole, None, before))
    assert with_calls(every, put(whole, before, after)) is None
    assert standing(whole) == after
    assert {"lock", "make_folder", "open", "write", "flush", "replace", "rename", "unlock"} <= set(every.made)
    ends = set()
    for at in range(len(every.made)):
        folder = tmp_path / str(at) / "certificate"
        if before:
            quickly(put(folder, None, before))
        end = with_calls(StoppedCalls(at, how, exchanges=exchanges), put(folder, before, after))
        found = standing(folder)
        assert found in (before, after), f"after call {at}, {every.made[at]}"
        ends.add(found == after)
        if isinstance(end, OSError):
            assert found == before, "what is told as a failure has changed nothing"
        if end is None:
            assert found == after
        if how == "dead":
            assert isinstance(end, Dead)
        if found == before:
            quickly(put(folder, before, after))  # the next start
        assert standing(folder) == after
        if how == "full disk":
            assert [path.name for path in folder.parent.iterdir()] == ["certificate"]
    assert ends == {True, False}


def test_what_a_stopped_run_left_is_gone_after_the_next(tmp_path: Path, states: list[StoredCertificate | None]) -> None:
    _, first, second = states
    count = StoppedCalls()
    with_calls(count, put(tmp_path / "count" / "certificate", None, first))
    for at in range(len(count.made)):
        folder = tmp_path / str(at) / "certificate"
        with_calls(StoppedCalls(at), put(folder, None, first))
        if standing(folder) is None:
            quickly(put(folder, None, first))
        quickly(put(folder, first, second))
        assert standing(folder) == second
        assert [path.name for path in folder.parent.iterdir()] == ["certificate"]


def test_a_full_disk_is_told_in_a_line_and_changes_nothing(tmp_path: Path) -> None:
    def stopped_at(at: int | None) -> tuple[StoppedCalls, Path, str]:
        """A new shop where `issue` meets a full disk at a call."""
        shop, calls = lay_down(tmp_path / str(at), RECORD), StoppedCalls(at, "full disk")
        said: list[str] = []
        end = with_calls(calls, lambda: said.append(output_of(shop, "issue", SERIAL)))
        assert end is None
        return calls, certificate_folder(shop), said[0]

    every, _, said = stopped_at(None)
    assert said.startswith("Issued certificate C-2016-014")
    refused = 0
    for at, name in enumerate(every.made):
        if name not in ASK_FOR_NO_ROOM:
            _, folder, said = stopped_at(at)
            refused += 1
            assert said == "boutbook: it could not be written: No space left on device; nothing was changed\n"
            assert [path.name for path in folder.parent.iterdir()] == ["record.yaml"]
    assert refused > 20


def test_of_two_who_issue_at_once_the_second_is_told(tmp_path: Path) -> None:
    shop = lay_down(tmp_path / "shop", RECORD)
    with new_folder_for(certificate_folder(shop)) as new:
        said = said_by(shop, "issue", SERIAL, code=2)
        assert said == "boutbook: another run is writing certificate at this moment\n"
        (new / "half").write_text("half")


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork here")
def test_killed_ten_times_for_real_and_eight_at_once(tmp_path: Path) -> None:
    """A process that swaps one whole certificate for another without end, killed in the middle of it, ten times."""
    done = run_module("tests.kill_and_race", str(tmp_path), folder=Path(__file__).parent.parent)
    assert done.stdout.splitlines() == ["10 killed, each time a whole certificate stood there", "1 of 8 issued it"]
