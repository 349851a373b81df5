"""Shops to build sites from: a copy of the demo, and the command run as a maker runs it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Collection
from pathlib import Path

REPOSITORY = Path(__file__).parents[1]


def copy_demo(to: Path, *, only: Collection[str] | None = None) -> Path:
    """The demo shop in a folder of its own, without anything built; `only` names the instruments to take along."""
    to.mkdir(parents=True)
    shutil.copytree(REPOSITORY / "records", to / "records")
    for instrument in (to / "records" / "instruments").iterdir():
        if only is not None and instrument.name not in only:
            shutil.rmtree(instrument)
    shutil.copy(REPOSITORY / "mkdocs.yml", to / "mkdocs.yml")
    return to


def run_module(module: str, *arguments: str, folder: Path, code: int | None = 0) -> subprocess.CompletedProcess[str]:
    """Run a module as a command in a folder; `code` is the exit code it must have."""
    done = subprocess.run(
        [sys.executable, "-m", module, *arguments],
        cwd=folder,
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=os.environ | {"PYTHONIOENCODING": "utf-8", "NO_MKDOCS_2_WARNING": "1"},
        timeout=120,
        check=False,
    )
    assert code is None or done.returncode == code, f"exit {done.returncode}\n{done.stdout}\n{done.stderr}"
    assert "Traceback" not in done.stdout + done.stderr
    return done


def boutbook(*arguments: str, folder: Path, code: int | None = 0) -> subprocess.CompletedProcess[str]:
    """Run `boutbook` in a folder."""
    return run_module("builder", *arguments, folder=folder, code=code)


def files_below(folder: Path) -> dict[str, bytes]:
    """Every file of a folder with its bytes."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
