"""What a page tells whoever repairs the instrument: glues, finish, frets, strings, braces, moisture."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from builder.limits import Serial
from builder.publish.repair import repair_of
from builder.published import Figures, FigureTable
from builder.record import Record
from builder.results import work_out
from builder.shop import Shop
from builder.sources import SOURCES
from builder.tables.glues import KINDS
from builder.workshop import Instrument, Workshop, open_shop
from tests.shops import REPOSITORY


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(REPOSITORY, private_files=False)


def found(demo: Workshop, serial: str) -> tuple[Instrument, Shop]:
    assert demo.shop
    return next(each for each in demo.instruments if each.record.serial == serial), demo.shop


def of(demo: Workshop, serial: str) -> Figures:
    figures = repair_of(*found(demo, serial))
    assert figures is not None
    return figures


def table(figures: Figures, key: str) -> FigureTable:
    return next(each for each in figures.tables if each.key == key)


def facts(figures: Figures) -> dict[str, tuple[str, str]]:
    return {fact.key: (fact.said, fact.also) for fact in figures.facts}


def test_each_glue_is_told_with_its_joints_and_how_it_comes_apart(demo: Workshop) -> None:
    hide, fish = table(of(demo, "2025-002"), "glues").table.rows
    assert hide[0] == "hot hide glue"
    assert str(hide[1]).startswith("braces and soundboard; sides, neck and soundboard; back and sides;")
    assert "140 to 160 °F (60 to 70 °C)" in str(hide[2])
    assert fish[:2] == ("fish glue", "fretboard and neck")
    assert str(fish[2]).startswith("With lukewarm water"), "the shop's own words lead"


def test_a_glue_nobody_knows_is_not_guessed_at(demo: Workshop) -> None:
    instrument, shop = found(demo, "2025-002")
    figures = repair_of(instrument, replace(shop, glues={}))
    assert figures is not None
    hide, fish = table(figures, "glues").table.rows
    assert hide[2] == KINDS["hot hide"].comes_apart.says
    assert fish[2] == "Not known here; ask the maker."


def test_degrees_of_glue_agree_with_each_other() -> None:
    """°F and °C are one temperature, to the ten degrees that the words claim: exact by definition."""
    spans = [re.search(r"(\d+) to (\d+) °F \((\d+) to (\d+) °C\)", each.comes_apart.says) for each in KINDS.values()]
    known = [tuple(map(int, span.groups())) for span in spans if span]
    assert known
    for low_f, high_f, low_c, high_c in known:
        assert (low_f - 32) / 1.8 == pytest.approx(low_c, abs=5)
        assert (high_f - 32) / 1.8 == pytest.approx(high_c, abs=5)


def test_finish_frets_and_set_up_stand_in_both_units(demo: Workshop) -> None:
    said = facts(of(demo, "2024-003"))
    assert said["finish"][0] == "oil varnish: Wiping oil varnish, 4 coats"
    assert said["touch_up"][0].startswith("Rub the spot back")
    assert said["wire"][0] == "dulcimer narrow, nickel silver"
    assert said["crown"] == ("0.080 in wide, 0.040 in high", "2.03 mm, 1.02 mm")
    assert said["tang"][0] == "0.020 in thick, 0.031 in over the barbs, 0.060 in deep"
    assert said["slots"] == ("0.023 in wide, 0.090 in deep", "0.58 mm, 2.29 mm")
    assert said["crowns"][0] == "0.038 in high"
    assert said["radius"][0] == "flat"
    assert said["action_7"] == ("0.092 in", "2.34 mm")
    assert said["bridge"][0].startswith("not glued")
    assert said["nut_from_tail"][0] == "30 1/2 in along the body"
    assert said["tail_block"][0] == "1 1/2 in along each side"
    assert facts(of(demo, "2023-002"))["hardware_truss_rod"][0].startswith("Two-way")


def test_the_saddle_stands_where_the_setback_puts_it(demo: Workshop) -> None:
    instrument, _ = found(demo, "2024-003")
    lines = table(of(demo, "2024-003"), "strings_and_saddle").table
    assert [column.key for column in lines.columns][-2:] == ["nut_to_saddle", "setback"]
    setback = next(fact for fact in of_subject(instrument, demo) if fact.startswith("28.667"))
    assert lines.rows[0][1] == "D3 22w"
    assert float(lines.rows[0][-2]) == pytest.approx(28.667, abs=0.0005)
    assert f"{float(lines.rows[0][-1]):.3f} in longer" in setback
    assert len(lines.rows) == 3, "two strings alike of one course are one line"
    without = table(of(demo, "2023-002"), "strings_and_saddle").table
    assert "nut_to_saddle" not in {column.key for column in without.columns}


def of_subject(instrument: Instrument, demo: Workshop) -> Iterator[str]:
    from builder.publish.setback import setback_of

    figures = setback_of(instrument.results.setback, "in")
    assert figures is not None
    yield from (fact.said for fact in figures.facts)


def test_braces_lie_where_the_record_says(demo: Workshop) -> None:
    lines = table(of(demo, "2024-003"), "brace_places").table
    assert lines.rows[0] == ("tail brace", "back", 5.0, -3.25, 5.0, 3.25, 0.3125, 0.5)
    fans = [row for row in table(of(demo, "2025-002"), "brace_places").table.rows if "fan" in str(row[0])]
    assert len(fans) == 4, "mirror images are drilled into too"


def test_moisture_is_that_of_gluing(demo: Workshop) -> None:
    rows = table(of(demo, "2024-003"), "wood_moisture").table.rows
    assert rows[0] == ("soundboard", "red spruce (Picea rubens)", 7.0, "meter on the part", rows[0][4])


def test_cautions_are_those_of_glue_finish_and_dust(demo: Workshop) -> None:
    loosening, dust = of(demo, "2024-003").cautions
    assert "try them first where nobody looks" in loosening
    assert "safety data sheets" in loosening
    assert "can catch fire" in loosening, "rags wet with oil"
    assert "walnut is suspected" in dust


def test_what_was_not_recorded_is_not_spoken_of(demo: Workshop) -> None:
    assert demo.shop
    bare = Record("1", Serial("2024-001"), "cittern")
    instrument, _ = found(demo, "2024-003")
    nothing = replace(instrument, record=bare, results=work_out(bare.spec, demo.shop))
    assert repair_of(nothing, demo.shop) is None


def test_every_figure_has_a_source(demo: Workshop) -> None:
    for instrument in (each for each in demo.instruments if each.record.is_for_buyers):
        figures = of(demo, str(instrument.record.serial))
        used = {fact.source for fact in figures.facts}
        used |= {column.source for each in figures.tables for column in each.table.columns}
        assert used <= SOURCES.keys()
