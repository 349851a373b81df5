"""What all tests share: a good shop folder of the tests' own, and how many examples hypothesis tries."""

from __future__ import annotations

import csv
import os
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from builder.workshop import Workshop, open_shop

RECORDS = Path(__file__).parent / "records"

# The same examples in every run, so that a red test is red for everybody. BOUTBOOK_EXAMPLES=20000 is the big run,
# with fresh ones.
_examples = os.environ.get("BOUTBOOK_EXAMPLES")
settings.register_profile(
    "boutbook",
    max_examples=int(_examples or 200),
    derandomize=_examples is None,
    database=None,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("boutbook")


def published_values(name: str) -> list[dict[str, str]]:
    """A table of `published_values/`, row by row."""
    text = (Path(__file__).parent / "published_values" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@pytest.fixture
def good_shop(tmp_path: Path) -> Path:
    """A copy of the good shop folder, to be spoilt."""
    return shutil.copytree(RECORDS / "good_shop", tmp_path / "shop")


@pytest.fixture(scope="module")
def workshop() -> Workshop:
    """The good shop, read and worked out."""
    return open_shop(RECORDS / "good_shop", private_files=False)
