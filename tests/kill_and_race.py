"""Run by `test_stopped.py` in a process of its own, for it forks: processes killed while they write, and a race."""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path

import builder.certificates.issuing as issuing
from builder.certificates.stored import StoredCertificate, check_stored, read_stored
from builder.safe_files import InUse, where_it_stands
from tests.certificate_samples import NEARLY_EMPTY, SHOP

NUMBER = NEARLY_EMPTY.serial


def whole(files: dict[str, bytes]) -> StoredCertificate:
    read = check_stored(files, "", NUMBER)
    assert read.stored
    return read.stored


def standing(folder: Path) -> StoredCertificate | None:
    read = read_stored(where_it_stands(folder), "", NUMBER)
    assert read.problems == (), read.problems
    return read.stored


def swap_without_end(folder: Path, one: StoredCertificate, other: StoredCertificate) -> None:
    while True:
        before = standing(folder)
        issuing.store(folder, (other if before == one else one).files, instead_of=before)


def kill_ten(folder: Path) -> None:
    one = whole(issuing.issue_files(NEARLY_EMPTY, SHOP, "2016-05-09"))
    other = whole(issuing.amendment_files(one, NEARLY_EMPTY, "2017-01-01", "Why", ()))
    for number in range(10):
        child = os.fork()
        if child == 0:
            swap_without_end(folder, one, other)
        deadline = time.monotonic() + 20
        while standing(folder) is None and time.monotonic() < deadline:
            time.sleep(0.001)
        time.sleep(0.003 + 0.0037 * number)
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        assert os.WTERMSIG(status) == signal.SIGKILL
        assert standing(folder) in (one, other)
    issuing.store(folder, one.files, instead_of=standing(folder))
    assert [path.name for path in folder.parent.iterdir()] == [folder.name]
    print("10 killed, each time a whole certificate stood there")  # noqa: T201 - its reader waits for it


def race(folder: Path) -> None:
    children = []
    begin = time.monotonic() + 0.05
    for day in range(1, 9):
        child = os.fork()
        if child == 0:
            files = issuing.issue_files(NEARLY_EMPTY, SHOP, f"2016-05-{day:02}")
            time.sleep(max(0.0, begin - time.monotonic()))
            try:
                issuing.store(folder, files, instead_of=None)
            except (InUse, issuing.ChangedMeanwhile):
                os._exit(1)
            os._exit(0)
        children.append((f"2016-05-{day:02}", child))
    won = [day for day, child in children if os.waitpid(child, 0)[1] == 0]
    stored = standing(folder)
    assert stored
    assert [stored.issued.date] == won
    print(f"{len(won)} of {len(children)} issued it")  # noqa: T201 - as above


if __name__ == "__main__":
    kill_ten(Path(sys.argv[1]) / "killed" / "certificate")
    race(Path(sys.argv[1]) / "raced" / "certificate")
