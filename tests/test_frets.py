"""Where the frets go, against values from outside and by another route."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.answers import Outside
from builder.calculations.frets import (
    Fret,
    FretNumber,
    Layout,
    distance_from_nut_mm,
    numbered_frets,
    read_fret_number,
    semitones_of,
    with_added,
)
from builder.calculations.temperaments import equal_ratio
from tests import strategies
from tests.conftest import published_values

FRACTIONS = published_values("fret-fractions.csv")

layouts: st.SearchStrategy[Layout] = st.sampled_from(["chromatic", "diatonic"])


def place_mm(scale_length_mm: float, semitones: int) -> float:
    return distance_from_nut_mm(scale_length_mm, equal_ratio(semitones, 12))


@pytest.mark.parametrize("row", FRACTIONS, ids=lambda row: f"fret {row['fret_semitone']}")
def test_equal_tempered_frets_lie_where_the_table_says(row: dict[str, str]) -> None:
    """Source: published_values/fret-fractions.csv (computed apart from here), to half its last digit."""
    fret = int(row["fret_semitone"])
    assert place_mm(1.0, fret) == pytest.approx(float(row["fraction_of_scale_from_nut"]), abs=0.5e-10)
    assert place_mm(650.0, fret) == pytest.approx(float(row["mm_at_650"]), abs=0.5e-4)
    assert place_mm(25.5 * 25.4, fret) / 25.4 == pytest.approx(float(row["in_at_25.5"]), abs=0.51e-5)
    assert place_mm(27 * 25.4, fret) / 25.4 == pytest.approx(float(row["in_at_27"]), abs=0.51e-5)


def test_another_route_each_fret_takes_the_same_part_of_what_is_left() -> None:
    """The trade's old way, fret after fret: 1/18 of the rest, or 1/17.817154 to be exact (computed)."""
    left_mm = 650.0
    for semitone in range(1, 49):
        left_mm -= left_mm / 17.817153745105767
        assert place_mm(650.0, semitone) == pytest.approx(650.0 - left_mm, abs=1e-9)


def test_the_old_rule_of_eighteen_leaves_the_octave_flat() -> None:
    """1/18 of the rest each time leaves 0.50363627 of the string (fret-fractions.csv, computed): we do not do that."""
    left_of_the_string = 1 - float(FRACTIONS[12]["rule_of_18_fraction"])
    assert left_of_the_string == pytest.approx((17 / 18) ** 12, abs=1e-9)
    assert place_mm(1.0, 12) == pytest.approx(0.5, abs=1e-15)


@given(strategies.scale_lengths_mm)
def test_the_octave_lies_at_half_the_string_and_two_at_three_quarters(scale_length_mm: float) -> None:
    assert place_mm(scale_length_mm, 12) == pytest.approx(scale_length_mm / 2, rel=1e-14)
    assert place_mm(scale_length_mm, 24) == pytest.approx(scale_length_mm * 3 / 4, rel=1e-14)
    assert place_mm(scale_length_mm, 0) == 0


@given(strategies.scale_lengths_mm, st.integers(0, 36))
def test_an_octave_up_is_half_way_to_the_saddle(scale_length_mm: float, semitone: int) -> None:
    left_mm = scale_length_mm - place_mm(scale_length_mm, semitone)
    assert scale_length_mm - place_mm(scale_length_mm, semitone + 12) == pytest.approx(left_mm / 2, rel=1e-12)


@given(strategies.scale_lengths_mm, layouts, st.integers(1, 28))
def test_places_rise_and_gaps_shrink(scale_length_mm: float, layout: Layout, last: int) -> None:
    frets = numbered_frets(layout, FretNumber(2 * last))
    places = [0.0, *(place_mm(scale_length_mm, fret.semitones) for fret in frets), scale_length_mm]
    assert places == sorted(set(places))
    if layout == "chromatic":
        gaps = [after - before for before, after in itertools.pairwise(places[:-1])]
        assert gaps == sorted(gaps, reverse=True)


def test_the_diatonic_board_plays_the_mixolydian_scale_from_the_open_string() -> None:
    """Source: music21's MixolydianScale, over two octaves and a half."""
    from music21.scale import MixolydianScale

    tonic_to_top = MixolydianScale("D3").getPitches("D3", "A5")
    semitones = [int(pitch.ps - tonic_to_top[0].ps) for pitch in tonic_to_top]
    ours = [0, *(fret.semitones for fret in numbered_frets("diatonic", FretNumber(2 * 18)))]
    assert ours == semitones
    assert ours[:8] == [0, 2, 4, 5, 7, 9, 10, 12]


EXIST = ["½", "1½", "3½", "4½", "6½", "7½", "8½", "10½", "11½", "13½", "14½", "15½", "17½"]
DO_NOT_EXIST = ["2½", "5½", "9½", "12½", "16½"]


@pytest.mark.parametrize("text", EXIST)
def test_half_frets_that_exist_lie_a_semitone_from_both_neighbours(text: str) -> None:
    """Common practice; follows from the Mixolydian scale."""
    number = read_fret_number(text)
    semitones = semitones_of(number, "diatonic")
    assert isinstance(semitones, int)
    assert semitones_of(FretNumber(number.halves - 1), "diatonic") == semitones - 1
    assert semitones_of(FretNumber(number.halves + 1), "diatonic") == semitones + 1


@pytest.mark.parametrize("text", DO_NOT_EXIST)
def test_half_frets_that_do_not_exist_say_why(text: str) -> None:
    number = read_fret_number(text)
    assert semitones_of(number, "diatonic") == Outside(
        f"there is no fret {text}: frets {number.whole} and {number.whole + 1} are a semitone apart already"
    )


def test_no_half_fret_up_to_seventeen_and_a_half_is_forgotten() -> None:
    assert {str(FretNumber(halves)) for halves in range(1, 36, 2)} == {*EXIST, *DO_NOT_EXIST}


def test_a_chromatic_board_has_every_semitone_and_no_halves() -> None:
    assert [fret.semitones for fret in numbered_frets("chromatic", FretNumber(48))] == list(range(1, 25))
    assert isinstance(semitones_of(FretNumber(3), "chromatic"), Outside)


def test_added_frets_stand_in_board_order_each_once() -> None:
    frets = numbered_frets("diatonic", FretNumber(16))
    half = Fret(FretNumber(13), 11, 5)
    names = [str(fret.number) for fret in with_added(frets, [half, half])]
    assert names == ["1", "2", "3", "4", "5", "6", "6½", "7", "8"]
