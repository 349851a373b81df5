"""Temperaments, against a published archive of scales and against tables of cents."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.frets import Fret, FretNumber, distance_from_nut_mm, fret_at
from builder.calculations.temperaments import (
    MEANTONE_FIFTH,
    PYTHAGOREAN_FIFTH,
    USUAL_FIFTHS,
    cents_against_equal,
    cents_of,
    equal_ratio,
    just_ratio,
    octaves_of,
    ratio_of_cents,
    ratio_of_fifths,
    steps_of_fifths,
)
from builder.tables.just_intonation import JUST_LISTS

VALUES = Path(__file__).parent / "published_values"

#: C, C sharp, D, E flat … as the archive's twelve-note lists name them: places on the line of fifths.
WITH_SHARPS = (0, 7, 2, -3, 4, -1, 6, 1, 8, 3, -2, 5)


def archived(name: str) -> list[float]:
    """Cents above the tonic of a list in the Scala archive, which music21 carries."""
    from music21.scale import scala  # slow to import

    parse: Any = scala.parse
    data = parse(name)
    return [float(cents) for cents in data.getCentsAboveTonic()]


def intervals() -> list[tuple[str, Fraction, float]]:
    with (VALUES / "intervals-cents.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [
        (row["interval"], Fraction(row["ratio"]), float(row["cents"]))
        for row in rows
        if row["ratio"].replace("/", "").isdigit()
    ]


@pytest.mark.parametrize("name", ["meanquar.scl"])
def test_meantone_is_the_archives(name: str) -> None:
    ours = [cents_of(ratio_of_fifths(n, WITH_SHARPS[n], MEANTONE_FIFTH)) for n in range(1, 12)]
    assert ours == pytest.approx(archived(name)[:11], abs=1e-4)


def test_pythagorean_tuning_is_the_archives() -> None:
    names = {1: 7, 3: -3, 6: 6, 8: 8, 10: -2}
    ours = [cents_of(ratio_of_fifths(n, names.get(n, USUAL_FIFTHS[n]), PYTHAGOREAN_FIFTH)) for n in range(1, 12)]
    assert ours == pytest.approx(archived("pyth_12.scl")[:11], abs=1e-4)


@pytest.mark.parametrize(
    ("name", "file"), [("duodene", "duodene.scl"), ("malcolm", "malcolm.scl"), ("ramos", "ramis.scl")]
)
def test_just_lists_are_the_archives(name: str, file: str) -> None:
    ours = [cents_of(float(ratio)) for ratio in JUST_LISTS[name].ratios]
    assert ours == pytest.approx(archived(file), abs=1e-4)
    from_nut = [cents_of(float(just_ratio(n, 0, JUST_LISTS[name].ratios))) for n in range(1, 13)]
    assert from_nut == pytest.approx(archived(file), abs=1e-4)


@pytest.mark.parametrize(("interval", "ratio", "cents"), intervals())
def test_cents_of_named_intervals(interval: str, ratio: Fraction, cents: float) -> None:
    """Source: 1200·log2 (A. J. Ellis), computed apart from this project; tolerance as printed."""
    assert cents_of(float(ratio)) == pytest.approx(cents, abs=1e-6), interval
    assert ratio_of_cents(cents) == pytest.approx(float(ratio), rel=1e-9)


def test_with_the_tonic_at_the_nut_fret_one_is_nine_eighths_and_at_fret_three_ten_ninths() -> None:
    ratios = JUST_LISTS["duodene"].ratios
    assert just_ratio(2, 0, ratios) == Fraction(9, 8)
    assert just_ratio(2, 5, ratios) == Fraction(10, 9)


@given(st.integers(0, 48), st.integers(-24, 24))
def test_just_octaves_are_pure_whatever_the_tonic(semitones: int, tonic: int) -> None:
    for each in JUST_LISTS.values():
        assert just_ratio(semitones + 12, tonic, each.ratios) == 2 * just_ratio(semitones, tonic, each.ratios)
        assert just_ratio(0, tonic, each.ratios) == 1


@pytest.mark.parametrize(
    ("divisions", "tone", "semitone"), [(12, 2, 1), (19, 3, 2), (31, 5, 3), (17, 3, 1), (53, 9, 4)]
)
def test_an_equal_division_has_its_fifth_nearest_to_three_halves(divisions: int, tone: int, semitone: int) -> None:
    """The usual tone and semitone of each division; its fifth is the step nearest to 3/2 (701.955 cents)."""
    fifth = steps_of_fifths(7, 1, tone, semitone)
    assert fifth == round(divisions * cents_of(1.5) / 1200)
    assert steps_of_fifths(12, 0, tone, semitone) == divisions


@given(st.integers(0, 30), st.floats(100, 2500))
def test_the_octave_lies_at_half_the_string_in_every_temperament(octaves_up: int, scale_length_mm: float) -> None:
    octave = [
        equal_ratio(12, 12),
        ratio_of_fifths(12, 0, MEANTONE_FIFTH),
        ratio_of_fifths(12, 0, PYTHAGOREAN_FIFTH),
        equal_ratio(steps_of_fifths(12, 0, 3, 2), 19),
        *(float(just_ratio(12, octaves_up % 12, each.ratios)) for each in JUST_LISTS.values()),
    ]
    for ratio in octave:
        assert distance_from_nut_mm(scale_length_mm, ratio) == pytest.approx(scale_length_mm / 2, rel=1e-12)


@pytest.mark.parametrize("fifth", [MEANTONE_FIFTH, PYTHAGOREAN_FIFTH])
def test_places_rise_along_the_board(fifth: float) -> None:
    frets = [ratio_of_fifths(n, USUAL_FIFTHS[n % 12], fifth) for n in range(37)]
    assert frets == sorted(frets)
    assert len(set(frets)) == len(frets)


@given(st.integers(0, 48), st.integers(-30, 30))
def test_fifths_and_octaves_make_up_the_semitones(semitones: int, turns: int) -> None:
    fifths = USUAL_FIFTHS[semitones % 12] + 12 * turns
    assert 7 * fifths + 12 * octaves_of(semitones, fifths) == semitones


def test_a_sharp_and_the_flat_above_it_are_two_notes_in_meantone_and_one_in_twelve() -> None:
    sharp, flat = fret_at(FretNumber(7), "diatonic", "sharp"), fret_at(FretNumber(7), "diatonic", "flat")
    assert isinstance(sharp, Fret)
    assert isinstance(flat, Fret)
    in_meantone = [ratio_of_fifths(each.semitones, each.fifths, MEANTONE_FIFTH) for each in (sharp, flat)]
    assert cents_of(in_meantone[1] / in_meantone[0]) == pytest.approx(41.058858, abs=1e-6)  # the diesis, 128/125
    assert equal_ratio(steps_of_fifths(6, 6, 2, 1), 12) == equal_ratio(steps_of_fifths(6, -6, 2, 1), 12)


@given(st.floats(1.0, 16.0))
def test_against_equal_is_never_more_than_half_a_semitone(ratio: float) -> None:
    assert abs(cents_against_equal(ratio)) <= 50.0 + 1e-9
    assert (
        cents_against_equal(2 * ratio) == pytest.approx(cents_against_equal(ratio), abs=1e-6)
        or abs(cents_against_equal(ratio)) > 49.999
    )
