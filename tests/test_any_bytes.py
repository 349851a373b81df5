"""Whatever bytes stand in a file, reading it gives a value or problems, and raises nothing.

`BOUTBOOK_EXAMPLES=20000 python -m pytest tests/test_any_bytes.py` is the big run.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from builder.lengths import Unit
from builder.problems import in_words
from builder.publish import publish
from builder.publish.bench import publish_bench
from builder.published import as_json
from builder.reading import yaml_text
from builder.reading.folder import read_bytes
from builder.record import Pattern, PrivateFile, Record
from builder.shop import Shop, WoodRack
from builder.workshop import open_shop
from tests import strategies
from tests.conftest import RECORDS

SHAPES: list[type[Any]] = [Shop, WoodRack, Pattern, Record, PrivateFile]
units: st.SearchStrategy[Unit] = st.sampled_from(["in", "mm"])


def check(content: bytes, shape: type[Any], unit: Unit) -> None:
    read = read_bytes(content, "any.yaml", shape, unit)
    assert (read.value is None) == bool(read.problems), "a value, or a reason why not"
    for problem in read.problems:
        assert problem.message
        assert problem.hint, "what to write instead"
        assert in_words(problem).startswith("any.yaml:")
        assert in_words(problem).count("\n") in (0, 2), "a line, or a line with the place shown under it"
        if problem.line:
            assert 1 <= problem.column <= len(read.lines[problem.line - 1]) + 1


@pytest.mark.parametrize("shape", SHAPES)
@given(content=strategies.any_files, unit=units)
def test_reading_any_bytes_gives_a_value_or_problems(shape: type[Any], content: bytes, unit: Unit) -> None:
    check(content, shape, unit)


@given(content=strategies.any_files, shape=st.sampled_from(SHAPES))
def test_so_does_the_slow_parser_that_is_there_without_a_compiler(content: bytes, shape: type[Any]) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(yaml_text, "_LOADER", yaml.SafeLoader)
        check(content, shape, "in")


@pytest.fixture(scope="module")
def shop_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for all examples; its record is written anew for each."""
    records = tmp_path_factory.mktemp("any") / "records"
    (records / "instruments" / "2026-014").mkdir(parents=True)
    for name in ("shop.yaml", "wood.yaml"):
        (records / name).write_bytes((RECORDS / "good_shop" / "records" / name).read_bytes())
    return records.parent


@given(content=strategies.spoilt_good_files())
def test_any_record_is_worked_out_and_published_or_reported(shop_folder: Path, content: bytes) -> None:
    (shop_folder / "records" / "instruments" / "2026-014" / "record.yaml").write_bytes(content)
    workshop = open_shop(shop_folder, private_files=True)
    assert workshop.shop is not None
    assert workshop.instruments or workshop.problems
    for instrument in workshop.instruments:
        as_json(publish(instrument, workshop.shop))
        as_json(publish_bench(instrument, workshop.shop))


@given(log=strategies.any_files, outline=strategies.any_files)
def test_any_room_log_and_any_tracing_are_read_or_reported(shop_folder: Path, log: bytes, outline: bytes) -> None:
    records = shop_folder / "records"
    (records / "outlines").mkdir(exist_ok=True)
    good = (RECORDS / "good_shop" / "records" / "instruments" / "2026-018" / "record.yaml").read_text("utf-8")
    traced = re.sub(r"outline: \{.*\}", "outline: {traced: bird.svg, length: 28 in}", good)
    (records / "instruments" / "2026-014" / "record.yaml").write_text(traced.replace("2026-018", "2026-014"), "utf-8")
    (records / "room.csv").write_bytes(log)
    (records / "outlines" / "bird.svg").write_bytes(outline)
    try:
        workshop = open_shop(shop_folder, private_files=True)
        assert all(problem.message for problem in workshop.problems)
    finally:
        (records / "room.csv").unlink()
        (records / "outlines" / "bird.svg").unlink()
