"""The tools that hold the style: what they have to say is a failing test."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.shops import REPOSITORY


@pytest.mark.parametrize("tool", ["ruff check", "ruff format --check", "mypy"])
def test_the_tool_has_nothing_to_say(tool: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", *tool.split()], cwd=REPOSITORY, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
