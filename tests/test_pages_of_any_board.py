"""Pages of boards out of the common: two scale lengths, part of a fret, a short string, octave pairs, temperaments."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree.ElementTree import Element

import pytest

from builder import addresses
from builder.pages.cards import scale_of
from builder.published import Measure, Published, PublishedShop
from builder.seam import Page
from tests.page_reading import part, rows, tree, words
from tests.small_shop import pages_of, publish_all


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Published], PublishedShop]:
    """Every instrument of a small shop, by serial."""
    return publish_all(tmp_path_factory.mktemp("shop"))


@pytest.fixture(scope="module")
def pages(house: tuple[dict[str, Published], PublishedShop]) -> dict[str, Page]:
    """Every page of that shop, by address."""
    return pages_of(*house)


def of(pages: dict[str, Page], serial: str, section: str) -> Element:
    return part(pages[addresses.instrument_page(serial)], section)


def test_two_scale_lengths_are_said_from_the_shorter_to_the_longer(pages: dict[str, Page]) -> None:
    said = "25 to 26 1/2 in (635 to 673.1 mm), square at fret 7"
    assert f"Scale length{said}" in "".join(of(pages, "2020-001", "").itertext())
    assert said in words(tree(pages[addresses.INSTRUMENTS].sections[1].html))
    assert said in words(part(pages[addresses.INSTRUMENTS], "side-by-side"))
    assert f"for scale lengths of {said}" in words(of(pages, "2020-001", "frets"))


@pytest.mark.parametrize(
    ("bass", "treble", "said"),
    [("26 1/2 in", "25 in", "25 to 26 1/2 in"), ("686 mm", "25 in", "25 in to 686 mm"),
     ("2 ft 3 in", "2 ft 1 in", "2 ft 1 in to 2 ft 3 in"), ("686.5 mm", "650 mm", "650 to 686.5 mm")],
)  # fmt: skip
def test_the_unit_is_said_once_where_that_is_plain(
    house: tuple[dict[str, Published], PublishedShop], bass: str, treble: str, said: str
) -> None:
    multi = house[0]["2020-001"].multi_scale
    assert multi
    scales = replace(multi, bass=Measure(bass, bass, 680.0), treble=Measure(treble, treble, 640.0))
    scale = scale_of(replace(house[0]["2020-001"], multi_scale=scales))
    assert scale
    assert scale.said == said


def test_a_chart_of_two_scale_lengths_names_its_two_sides_above_its_columns(pages: dict[str, Page]) -> None:
    (chart,) = of(pages, "2020-001", "frets").iter("table")
    sides, head, *lines = rows(chart)
    assert [each for each in sides if each] == ["along the bass edge", "along the treble edge"]
    assert head.count("bench rule in") == 2
    assert head[-1] == "lean °"
    assert next(line for line in lines if line[0] == "7")[-1] == "0.0"


def test_the_drawing_names_what_is_out_of_the_common(pages: dict[str, Page]) -> None:
    assert "Fret 1½ lies under courses 2 and 3 only" in words(of(pages, "2020-002", "fretboard"))
    said = words(of(pages, "2020-003", "fretboard"))
    assert "a zero fret" in said
    assert "starts at a nut of its own at fret 5" in said
    assert "its length is not recorded" in said
    assert "zero fret" not in words(of(pages, "2020-002", "fretboard"))


def test_octave_pairs_and_short_strings_are_told_apart(pages: dict[str, Page]) -> None:
    courses = rows(next(of(pages, "2020-004", "strings").iter("table")))
    assert [line[:3] for line in courses[1:]] == [
        ["G2", "98.00", "octave pair"], ["G3", "196.00", "of the same pair"], ["D3", "146.83", "2 alike"],
    ]  # fmt: skip
    banjo = rows(next(of(pages, "2020-003", "strings").iter("table")))
    assert [line[-1] for line in banjo[1:]] == ["at fret 5", *["at the nut"] * 4]


def test_there_is_a_map_of_notes_for_each_tuning_and_the_first_is_open(pages: dict[str, Page]) -> None:
    folds = [fold for fold in of(pages, "2020-001", "notes").iter("details") if "Every note" in words(fold)]
    assert ["open" in fold.attrib for fold in folds] == [True, False]
    assert "spelled from B." in words(folds[0])
    assert "spelled from A." in words(folds[1])
    assert "Every note" not in words(of(pages, "2020-004", "notes"))  # in 19 steps notes have no such names


def test_how_the_strings_lie_is_said_with_the_margins(pages: dict[str, Page]) -> None:
    said = words(of(pages, "2020-001", "strings"))
    assert "1 1/2 in (38.1 mm) at the nut and 2 1/8 in (53.98 mm) at the saddle, with equal gaps" in said
    assert "beyond the bass string" in said


def test_what_a_hand_cannot_span_is_said_in_words(pages: dict[str, Page]) -> None:
    head, one, other = rows(next(of(pages, "2020-001", "reach").iter("table")))
    assert head == ["frets", "26 1/2 in this one", "24 in"]
    assert "a stretch" not in " ".join(one)
    assert other[1].startswith("a stretch ")
    assert "beyond it on this instrument: 1-7." in words(of(pages, "2020-001", "reach"))


def test_slot_and_wire_are_told_to_whoever_frets_it_anew(pages: dict[str, Page]) -> None:
    said = "".join(of(pages, "2020-001", "repair").itertext())
    assert "Slot and wireThe slot takes the tang, and the barbs hold." in said
    assert re.search(r"Wire to buy for 20 frets\d+ in \([\d.]+ mm\)", said)


def test_what_stepping_and_sawing_cost_is_said(pages: dict[str, Page]) -> None:
    said = words(of(pages, "2020-001", "rules"))
    assert re.search(r"Stepped with the bench rule, the worst fret here would come to lie [\d.]+ cents off", said)
    assert re.search(r"would cost up to \d+\.\d cents", said)
    assert "Sawing beside the line" not in words(of(pages, "2020-003", "rules"))  # no slot width, no such sum


def test_only_a_board_out_of_equal_steps_says_how_it_is_tempered(pages: dict[str, Page]) -> None:
    with_tuning = [
        serial
        for serial in ("2020-001", "2020-002", "2020-003", "2020-004")
        if any(section.id == "tuning" for section in pages[addresses.instrument_page(serial)].sections)
    ]
    assert with_tuning == ["2020-002", "2020-004"]
    table = next(of(pages, "2020-002", "tuning").iter("table"))
    assert rows(table)[1] == ["1", "major second", "1.1111", "182.4", "−17.6"]  # 10/9: the tonic is at fret 3


def test_in_a_division_without_names_for_its_notes_no_column_is_empty(pages: dict[str, Page]) -> None:
    tuning = of(pages, "2020-004", "tuning")
    head, *lines = rows(next(tuning.iter("table")))
    assert head == ["fret", "ratio", "above open cents", "against equal cents"]
    assert all(all(line) for line in lines)
    assert "interval named here" not in words(tuning)
