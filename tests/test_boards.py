"""Whole boards, worked out from records: two scale lengths, short strings, partial frets, spellings, tempered frets."""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.collection import Neighbours
from builder.publish import publish
from builder.published import Published, Table, as_json
from builder.reading.folder import read_bytes
from builder.record import Record
from builder.results import work_out
from builder.shop import Shop
from builder.workshop import Instrument, Workshop, open_shop
from tests.shops import REPOSITORY

SHOP = b"""format: 1
name: Shop
maker: Maker
units: inches
rules: [{name: bench rule, marks: 1/64 in}, {name: tape, marks: 1 mm}]
working_rule: bench rule
"""


def published(spec: str, shop: bytes = SHOP) -> Published:
    """A specification as it would be published; nothing may be wrong with it."""
    shop_read = read_bytes(shop, "shop.yaml", Shop, "in")
    unit = shop_read.value.unit if shop_read.value else "in"
    text = "format: 1\nserial: a\nkind: k\nspec:\n" + "\n".join(f"  {line}" for line in spec.strip().splitlines())
    record = read_bytes(text.encode(), "record.yaml", Record, unit)
    assert record.value is not None, record.problems
    assert shop_read.value is not None, shop_read.problems
    results = work_out(record.value.spec, shop_read.value)
    # boards of any length are laid out here; which strings they bear is asked elsewhere
    assert [each for each in results.findings if not each.field.startswith("spec.strings")] == []
    return publish(Instrument(record.value, results, Neighbours()), shop_read.value)


def column(table: Table | None, key: str) -> list[str | float]:
    assert table is not None
    place = [each.key for each in table.columns].index(key)
    return [row[place] for row in table.rows]


@given(st.integers(400, 900), st.integers(20, 60), st.sampled_from(["0", "7", "12"]))
def test_a_multi_scale_board_with_equal_scales_is_the_single_scale_board(
    scale_mm: int, spread_mm: int, square: str
) -> None:
    rest = f"""
frets: {{layout: chromatic, last: 12}}
fretboard: {{length: {scale_mm} mm, width_at_nut: {spread_mm + 8} mm, width_at_end: {spread_mm + 8} mm}}
strings: [D3 22w, D4 10]
spacing: {{at_nut: {spread_mm} mm, at_saddle: {spread_mm} mm}}
"""
    one = published(f"scale_length: {scale_mm} mm{rest}")
    two = published(f"scale_length: {{bass: {scale_mm} mm, treble: {scale_mm} mm, square_at: {square}}}{rest}")
    assert one.frets
    assert two.frets
    for side in ("bass", "treble"):
        assert column(two.frets.table, f"{side}_from_nut_mm") == pytest.approx(column(one.frets.table, "from_nut_mm"))
        assert column(two.frets.table, f"{side}_mark") == column(one.frets.table, "mark")
    assert column(two.frets.table, "degrees") == pytest.approx([0.0] * 12, abs=1e-6)
    assert one.drawing
    assert two.drawing
    assert [dataclasses.astuple(each.bass) for each in two.drawing.frets] == [
        pytest.approx(dataclasses.astuple(each.bass), abs=1e-5) for each in one.drawing.frets
    ]


def test_without_its_widths_a_multi_scale_board_is_measured_along_its_strings() -> None:
    board = published(
        "scale_length: {bass: 27 in, treble: 25 1/2 in, square_at: 7}\nfrets: {layout: chromatic, last: 12}"
    )
    assert board.frets
    assert board.frets.measured_along == "the strings"
    assert column(board.frets.table, "bass_from_nut_in")[-1] == pytest.approx(13.5)
    assert column(board.frets.table, "treble_from_nut_in")[-1] == pytest.approx(12.75)
    assert board.drawing is None


@given(st.integers(300, 900))
def test_the_unit_of_the_shop_changes_no_place(scale_mm: int) -> None:
    spec = f"scale_length: {scale_mm} mm\nfrets: {{layout: diatonic, add: [6½], last: 14, temperament: meantone}}"
    inch = published(spec)
    metric = published(spec, SHOP.replace(b"units: inches", b"units: millimetres"))
    assert inch.frets
    assert metric.frets
    assert column(inch.frets.table, "from_nut_mm") == column(metric.frets.table, "from_nut_mm")
    assert column(inch.frets.table, "mark") == column(metric.frets.table, "mark")


def test_a_short_string_and_a_partial_fret_leave_blanks_where_they_should() -> None:
    board = published("""
scale_length: 26 in
frets: {layout: chromatic, last: 12, partial: {2: [2, 3]}}
strings: [G4 10 from 5, D3 20w, G3 13]
tunings: [G4 D3 G3]
""")
    assert board.strings
    note_map = board.strings.tunings[0].note_map
    assert column(note_map, "course_1") == ["G4", "", "", "", "", "", "A♭4", "A4", "B♭4", "B4", "C5", "C♯5", "D5"]
    assert column(note_map, "course_2")[2] == "E3"
    assert column(note_map, "course_3")[12] == "G4"
    without = published("""
scale_length: 26 in
frets: {layout: chromatic, last: 12, partial: {2: [1]}}
strings: [D3 20w, G3 13]
tunings: [D3 G3]
""")
    assert without.strings
    assert column(without.strings.tunings[0].note_map, "course_2")[2] == ""


@given(st.sampled_from(["D3 A3 D4", "D3 G3 D4 in G", "C3 G3 C4", "Bb2 F3 Bb3"]))
def test_the_octave_fret_names_the_open_note_an_octave_up(tuning: str) -> None:
    board = published(f"""
scale_length: 26 in
frets: {{layout: diatonic, last: 8}}
strings: [D3 22w, A3 12, D4 10]
tunings: [{tuning}]
""")
    assert board.strings
    note_map = board.strings.tunings[0].note_map
    assert note_map
    open_notes, octave = note_map.rows[0][1:], note_map.rows[7][1:]
    for one, other in zip(open_notes, octave, strict=True):
        assert str(other) == f"{str(one)[:-1]}{int(str(one)[-1]) + 1}"


def test_intervals_of_the_open_strings_are_named() -> None:
    board = published(
        "scale_length: 26 in\nfrets: {layout: diatonic, last: 7}\nstrings: [D3, A3, D4]\ntunings: [D3 A3 D4]"
    )
    assert board.strings
    assert board.strings.tunings[0].intervals == ("unison", "fifth", "octave")


@pytest.mark.parametrize(
    ("temperament", "third"),
    [
        ("equal", 400.0),
        ("meantone", 386.3137),
        ("pythagorean", 407.8200),
        ("{just: duodene}", 386.3137),
        ("{equal: 19, tone: 3, semitone: 2}", 378.9474),
        ("{cents: [204, 390, 498]}", 390.0),
        ("{ratios: [9/8, 5/4, 4/3]}", 386.3137),
    ],
)
def test_the_third_of_each_temperament(temperament: str, third: float) -> None:
    """Cents of the major third: 1200·log2 of 2^(4/12), 5/4, 81/64, 2^(6/19); computed apart from this project."""
    board = published(f"scale_length: 27 in\nfrets: {{layout: diatonic, last: 3, temperament: {temperament}}}")
    assert board.frets
    place_mm = float(column(board.frets.table, "from_nut_mm")[1])
    assert 1200 * math.log2(685.8 / (685.8 - place_mm)) == pytest.approx(third, abs=1e-3)
    if board.frets.tuning:
        assert column(board.frets.tuning, "cents_above_open")[1] == pytest.approx(third, abs=1e-3)


def test_a_division_without_names_has_no_note_map() -> None:
    board = published("""
scale_length: 26 in
frets: {layout: chromatic, last: 19, temperament: {equal: 19}}
strings: [D3, A3]
tunings: [D3 A3]
""")
    assert board.strings
    assert board.strings.tunings[0].note_map is None
    assert board.frets
    assert column(board.frets.table, "from_nut_in")[-1] == pytest.approx(13.0)


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(REPOSITORY, private_files=False)


def test_every_demo_board_is_plain_json_and_lies_within_its_own_edges(demo: Workshop) -> None:
    assert demo.shop
    assert len(demo.instruments) >= 10
    for instrument in demo.instruments:
        board = publish(instrument, demo.shop)
        assert "NaN" not in as_json(board)
        assert "Infinity" not in as_json(board)
        if board.drawing is None:
            continue
        half_mm = max(board.drawing.width_at_nut_mm, board.drawing.width_at_end_mm) / 2
        for fret in board.drawing.frets:
            assert -half_mm <= fret.treble.y < fret.bass.y <= half_mm
        for string in board.drawing.strings:
            assert abs(string.start.y) < half_mm
            assert abs(string.end.y) < half_mm


def test_every_demo_fret_is_spanned_by_every_string(demo: Workshop) -> None:
    """The strings of a board end past its last fret, or at the board's end."""
    assert demo.shop
    for instrument in demo.instruments:
        drawing = publish(instrument, demo.shop).drawing
        for string in drawing.strings if drawing else ():
            assert drawing is not None
            assert string.end.x == pytest.approx(drawing.length_mm)
