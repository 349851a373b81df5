"""What all tests share: the demo and its site, a good shop folder of the tests' own, how many examples are tried."""

from __future__ import annotations

import csv
import os
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from builder.workshop import Workshop, open_shop
from tests.shops import FEW, copy_demo, made_once, run_module

RECORDS = Path(__file__).parent / "records"

# The same examples in every run, so that a red test is red for everybody. BOUTBOOK_EXAMPLES=20000 is the big run,
# with fresh ones.
_examples = os.environ.get("BOUTBOOK_EXAMPLES")
settings.register_profile(
    "boutbook",
    max_examples=int(_examples or 120),
    derandomize=_examples is None,
    database=None,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("boutbook")

#: Begun before all others, for a worker that begins a long one last is waited for.
LONGEST_FIRST = ("test_style.py", "browser/test_site_over_file.py", "site/test_serve.py", "site", "privacy", "browser")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the longest tests first, and leave the others as they come."""
    tests = Path(__file__).parent
    places = [tests / each for each in LONGEST_FIRST]
    items.sort(key=lambda item: [not item.path.is_relative_to(place) for place in places])


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


@pytest.fixture
def whole_shop(tmp_path: Path) -> Path:
    """A copy of the demo to do things to and compare with `demo_site`."""
    return copy_demo(tmp_path / "shop")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """The same with few instruments, which is built sooner: one of two scale lengths, one not for buyers yet."""
    return copy_demo(tmp_path / "shop", only=FEW)


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's site, built once by `boutbook build` as a maker runs it; for looking at only."""

    def build(folder: Path) -> None:
        run_module("builder", "build", folder=copy_demo(folder / "shop"))

    return made_once(tmp_path_factory, "demo", build) / "shop" / "site"
