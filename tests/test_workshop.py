"""A shop opened again: what did not change is not worked out again, and whatever changed is."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.workshop import Instrument, open_shop

RECORD = "records/instruments/2026-018/record.yaml"


def instrument(shop: Path) -> Instrument:
    opened = open_shop(shop, private_files=False)
    assert not opened.has_errors, opened.problems
    return next(each for each in opened.instruments if each.record.serial == "2026-018")


def test_a_record_that_did_not_change_is_not_worked_out_again(good_shop: Path) -> None:
    before = instrument(good_shop)
    other = good_shop / "records" / "instruments" / "2026-015" / "record.yaml"
    other.write_text(other.read_text("utf-8") + "# a remark\n", "utf-8")
    assert instrument(good_shop).results is before.results


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        (RECORD, "crown_height: 0.039 in", "crown_height: 0.041 in"),
        ("records/shop.yaml", "force: 60 lb", "force: 70 lb"),
        ("records/wood.yaml", "moisture: 8 %", "moisture: 9 %"),
        ("records/room.csv", "44 %", "45 %"),
        ("records/outlines/swallow.svg", "720mm", "730mm"),
    ],
)
def test_whatever_the_results_rest_on_works_them_out_again(good_shop: Path, file: str, old: str, new: str) -> None:
    before = instrument(good_shop)
    path = good_shop / file
    assert old in path.read_text("utf-8")
    path.write_text(path.read_text("utf-8").replace(old, new), "utf-8")
    assert instrument(good_shop).results is not before.results
