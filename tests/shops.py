"""Shops to build sites from: a copy of the demo, and the command run as a maker runs it."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Collection, Iterator
from contextlib import chdir, contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from functools import _lru_cache_wrapper, partial
from pathlib import Path

import filelock
import pytest

from builder import command_line

REPOSITORY = Path(__file__).parents[1]
#: A few instruments of the demo, which are built sooner: one of two scale lengths, one not for buyers yet.
FEW = ("2023-002", "2024-003", "2026-001", "2026-004")


def copy_demo(to: Path, *, only: Collection[str] | None = None) -> Path:
    """The demo shop in a folder of its own, without anything built; `only` names the instruments to take along.

    Those come without their certificates, to be changed: what is issued is shown as it was, whatever a record says.
    """
    to.mkdir(parents=True)
    shutil.copytree(REPOSITORY / "records", to / "records")
    for instrument in (to / "records" / "instruments").iterdir():
        if only is not None and instrument.name not in only:
            shutil.rmtree(instrument)
        elif only is not None:
            shutil.rmtree(instrument / "certificate", ignore_errors=True)
    shutil.copy(REPOSITORY / "mkdocs.yml", to / "mkdocs.yml")
    return to


@dataclass(frozen=True, slots=True)
class Said:
    """What a command said, and its exit code."""

    stdout: str
    stderr: str
    returncode: int


def run_module(module: str, *arguments: str, folder: Path, code: int | None = 0, **environment: str) -> Said:
    """Run a module as a command in a folder, in a process of its own; `code` is the exit code it must have."""
    done = subprocess.run(
        [sys.executable, "-m", module, *arguments],
        cwd=folder,
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=os.environ | {"PYTHONIOENCODING": "utf-8", "NO_MKDOCS_2_WARNING": "1"} | environment,
        timeout=120,
        check=False,
    )
    return _as_expected(Said(done.stdout, done.stderr, done.returncode), code)


def boutbook(*arguments: str, folder: Path, code: int | None = 0) -> Said:
    """Run `boutbook` in a folder, within this process: another would load MkDocs and matplotlib first, each time.

    Through the same outer door, and with folder, surroundings and log put back afterwards. What was worked out before
    is still at hand, as under `serve`; where a test must not rest on that, it calls `forget_what_was_made` first, or
    runs the module `builder` in a process of its own.
    """
    stdout, stderr = (io.TextIOWrapper(io.BytesIO(), "utf-8", write_through=True) for _ in range(2))
    run = partial(command_line.boutbook.main, args=list(arguments), prog_name="boutbook")
    code_left: object = None
    with _surroundings_put_back(), chdir(folder), redirect_stdout(stdout), redirect_stderr(stderr):
        try:
            command_line.main(run)
        except SystemExit as left:
            code_left = left.code
    said = [stream.buffer.getvalue().decode("utf-8") for stream in (stdout, stderr)]
    return _as_expected(Said(said[0], said[1], int(str(code_left or 0))), code)


@contextmanager
def _surroundings_put_back() -> Iterator[None]:
    """A run leaves the surroundings as they were: MkDocs reads the time of the build from them."""
    before = dict(os.environ)
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    try:
        yield
    finally:
        os.environ.clear()
        os.environ.update(before)


def _as_expected(said: Said, code: int | None) -> Said:
    assert code is None or said.returncode == code, f"exit {said.returncode}\n{said.stdout}\n{said.stderr}"
    assert "Traceback" not in said.stdout + said.stderr
    return said


def forget_what_was_made() -> None:
    """Empty everything the program keeps in mind, as if its process began anew."""
    for name, module in list(sys.modules.items()):
        if name.partition(".")[0] == "builder":
            for kept in list(vars(module).values()):
                if isinstance(kept, _lru_cache_wrapper):
                    kept.cache_clear()


def made_once(temporary: pytest.TempPathFactory, name: str, make: Callable[[Path], None]) -> Path:
    """A folder filled by `make` once in a whole run, whichever worker asks first; the others wait. To look at only."""
    is_worker = "PYTEST_XDIST_WORKER" in os.environ
    shared = temporary.getbasetemp().parent if is_worker else temporary.mktemp("once")
    folder, whole = shared / name, shared / f"{name}.whole"
    with filelock.FileLock(shared / f"{name}.lock"):
        if not whole.exists():
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            make(folder)
            whole.touch()
    return folder


def files_below(folder: Path) -> dict[str, bytes]:
    """Every file of a folder with its bytes."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
