"""What a buyer may see: all of it named, none of it private, pure JSON, and the same bytes every time."""

from __future__ import annotations

import dataclasses
import json
import math
import os
import subprocess
import sys
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from builder.lengths import Length, read_length, said_in
from builder.publish import publish, publish_shop
from builder.published import Published, as_json
from builder.record import Record
from builder.sources import SOURCES
from builder.workshop import Workshop, open_shop
from tests.conftest import RECORDS, published_values


@pytest.fixture(scope="module")
def published(workshop: Workshop) -> dict[str, Published]:
    assert workshop.shop is not None
    return {each.record.serial: publish(each, workshop.shop) for each in workshop.instruments}


def test_the_printed_form_is_pure_json(published: dict[str, Published]) -> None:
    for one in published.values():
        value = json.loads(as_json(one), parse_constant=lambda constant: pytest.fail(f"{constant} is no JSON"))
        assert list(value) == [field.name for field in dataclasses.fields(Published)]
        assert json.dumps(value, ensure_ascii=False, indent=2) + "\n" == as_json(one)
        assert value["format"] == 1


def test_what_is_published_cannot_be_changed(published: dict[str, Published]) -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        published["2026-014"].serial = "x"  # type: ignore[misc]


def test_nothing_private_and_nothing_of_another_billet_is_published(workshop: Workshop) -> None:
    with_private = open_shop(RECORDS / "good_shop", private_files=True)
    for shop in (workshop, with_private):
        assert shop.shop is not None
        printed = [as_json(publish(each, shop.shop)) for each in shop.instruments] + [as_json(publish_shop(shop.shop))]
        assert not any("canary" in one.casefold() for one in printed)


def leaves(value: Any) -> Iterator[Any]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from leaves(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from leaves(inner)
    else:
        yield value


def test_every_published_value_is_a_text_a_number_or_nothing(published: dict[str, Published]) -> None:
    for one in published.values():
        for leaf in leaves(json.loads(as_json(one))):
            assert leaf is None or isinstance(leaf, str | int | float)
            assert not isinstance(leaf, float) or math.isfinite(leaf)


def test_what_stays_in_the_workshop_is_not_there(published: dict[str, Published]) -> None:
    """Fields of the record that `Published` does not name: what was promised, who may see it, where it came from."""
    printed = as_json(published["2026-014"])
    for unpublished in ("2026-05-15", "teardrop", "W-031", "strung up", "receipt on file", "Stiff along the grain"):
        assert unpublished not in printed


def test_a_new_field_of_the_record_is_not_published_by_itself() -> None:
    """Whoever adds a field to the record decides here, on purpose, whether a buyer sees it."""
    seen = {
        "serial",
        "kind",
        "name",
        "made_by",
        "dates",
        "spec",
        "build",
        "as_built",
        "service",
        "story",
        "photos",
        "batch",
        "recordings",
    }
    kept = {"format", "visibility", "started_from"}
    assert {field.name for field in dataclasses.fields(Record)} == seen | kept


def test_half_a_record_is_published_as_far_as_it_goes(published: dict[str, Published]) -> None:
    half = published["2026-015"]
    assert half.title == "Ukulele 2026-015"
    nothing = (half.scale_length, half.frets, half.fretboard, half.drawing, half.strings, half.finish, half.story)
    assert nothing == (None,) * 7
    assert (half.woods, half.hardware, half.build_log) == ((), (), ())


def test_what_a_buyer_sees_of_a_whole_record(published: dict[str, Published]) -> None:
    heron = published["2026-014"]
    assert (heron.title, heron.made_by, heron.year) == ("Heron", "Ada Tester and a friend", 2026)
    assert heron.scale_length is not None
    assert (heron.scale_length.said, heron.scale_length.also, heron.scale_length.mm) == ("27 in", "685.8 mm", 685.8)
    assert heron.frets is not None
    assert heron.frets.added == ("1½", "6½", "13½")
    assert [rule.is_working_rule for rule in heron.frets.rules] == [True, False, False]
    soundboard = heron.woods[0]
    assert (soundboard.part, soundboard.species, soundboard.botanical, soundboard.cut) == (
        "soundboard", "western redcedar", "Thuja plicata", "quartersawn",
    )  # fmt: skip
    assert [(event.date, event.kind) for event in heron.build_log] == [
        ("2026-02-20", "step"), ("2026-03-04", "glue-up"), ("2026-03-06", "note"), ("2026-04-02", "coat"),
    ]  # fmt: skip
    assert heron.build_log[1].room == "68 °F (20 °C), 44 % humidity"
    assert heron.finish is not None
    assert heron.finish.words == "Rubbed out after a fortnight. Six coats on the soundboard."


def test_every_column_has_a_source_that_is_in_the_bibliography(published: dict[str, Published]) -> None:
    for one in published.values():
        if one.frets is None:
            continue
        keys = {source.key for source in one.sources}
        assert {source.key: source.citation for source in one.sources}.items() <= SOURCES.items()
        tables = [one.frets.table, one.frets.rule_costs, one.frets.stepped, one.frets.tuning]
        tables += [one.spacing.table if one.spacing else None, one.reach.table if one.reach else None]
        tables += [tuning.note_map for tuning in one.strings.tunings] if one.strings else []
        for table in filter(None, tables):
            assert {column.source for column in table.columns} <= keys
            assert len({column.key for column in table.columns}) == len(table.columns)
            assert all(len(row) == len(table.columns) for row in table.rows)


def test_the_numbers_in_a_row_agree_with_each_other(published: dict[str, Published]) -> None:
    heron = published["2026-014"]
    assert heron.frets is not None
    keys = [column.key for column in heron.frets.table.columns]
    for row in heron.frets.table.rows:
        cells = dict(zip(keys, row, strict=True))
        assert float(cells["from_nut_in"]) * 25.4 == pytest.approx(float(cells["from_nut_mm"]), abs=2e-5)
        mark = read_length(f"{cells['mark']} in", "in")
        assert mark.inches + float(cells["left_over"]) == pytest.approx(float(cells["from_nut_in"]), abs=2e-6)
        assert float(cells["cents"]) * float(cells["left_over"]) <= 0, "a mark short of the place is flat"


@pytest.mark.parametrize("row", published_values("inch-fractions.csv"), ids=lambda row: row["fraction_in"])
def test_decimal_equivalents_of_64ths(row: dict[str, str]) -> None:
    """Source: published_values/inch-fractions.csv (n/64 in, exact; 1 in = 25.4 mm by definition)."""
    length = read_length(f"{row['fraction_in']} in", "mm")
    assert length == read_length(f"{row['decimal_in_exact']} in", "mm")
    assert length == read_length(f"{row['mm_exact']} mm", "in")
    assert length == Length.from_inches(Fraction(int(row["sixtyfourths"]), 64))
    assert said_in(length, "in") == f"{row['fraction_in']} in"


PRINT_EVERYTHING = """
import sys
from pathlib import Path
from builder.publish import publish, publish_shop
from builder.published import as_json
from builder.workshop import open_shop
from builder.problems import in_words
sys.stdout.reconfigure(encoding="utf-8")
for folder in map(Path, sys.argv[1:]):
    workshop = open_shop(folder, private_files=True)
    if workshop.shop:
        print(as_json(publish_shop(workshop.shop)))
        print(*(as_json(publish(one, workshop.shop)) for one in workshop.instruments))
    print(*map(in_words, workshop.problems))
"""


def test_the_same_records_give_the_same_bytes_whatever_the_order_of_hashes(good_shop: Path) -> None:
    names = RECORDS / "bad" / "record" / "names-the-shop-does-not-list.yaml"
    (good_shop / "records" / "instruments" / "2026-014" / "record.yaml").write_bytes(names.read_bytes())
    command = [sys.executable, "-c", PRINT_EVERYTHING, str(RECORDS / "good_shop"), str(good_shop)]
    root = Path(__file__).parent.parent
    runs = [
        subprocess.run(command, cwd=root, check=True, capture_output=True, env={**os.environ, "PYTHONHASHSEED": order})
        for order in ("1", "2", "3", "4")
    ]
    assert len(runs[0].stdout) > 10_000
    assert {run.stdout for run in runs} == {runs[0].stdout}
