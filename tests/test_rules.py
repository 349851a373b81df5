"""The nearest mark of a rule, what is left over, and what it costs in cents."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.frets import distance_from_nut_mm
from builder.calculations.rules import (
    Graduation,
    cents_between,
    cents_if_moved,
    coarsest_within,
    nearest_mark,
    number_on_rule,
    read_beside,
    stepped_mm,
)
from builder.calculations.temperaments import equal_ratio
from builder.reading.converters import LEAST_GRADUATION_MM, MOST_GRADUATION_MM
from tests import strategies

SIXTY_FOURTHS = Graduation(Fraction(1, 64), "in")
HALF_MILLIMETRES = Graduation(Fraction(1, 2), "mm")


def test_the_tenth_semitone_of_a_27_inch_scale() -> None:
    """Common practice, from dulcimer makers' fret sheets: 11.847 in, nearest 64th mark 11 27/32, 0.003 in left over."""
    scale_length_mm = 27 * 25.4
    place_mm = distance_from_nut_mm(scale_length_mm, equal_ratio(10, 12))
    reading = read_beside(place_mm, scale_length_mm - place_mm, SIXTY_FOURTHS)
    assert f"{place_mm / 25.4:.3f}" == "11.847"
    assert reading.mark == "11 27/32"
    assert f"{reading.left_over_mm / 25.4:.3f}" == "0.003"
    # By hand: 1200·log2((27 − 11.84676)/(27 − 11.84375)) = −0.344, the mark being short of the place.
    assert reading.cents == pytest.approx(-0.344, abs=0.0005)


@given(st.floats(0.01, 300), strategies.graduations)
def test_another_route_no_other_mark_is_nearer(place_mm: float, graduation: Graduation) -> None:
    """Every mark of the rule is tried, with exact fractions."""
    place = Fraction(place_mm)
    count = int(place / graduation.exact_mm)
    candidates = range(max(0, count - 3), count + 4)
    nearest = min(candidates, key=lambda mark: (abs(mark * graduation.exact_mm - place), mark))
    assert nearest_mark(place_mm, graduation) == nearest


def test_all_marks_of_a_yard_are_tried_once() -> None:
    for place_mm in (0.1984374, 0.1984376, 123.456, 300.9, 914.3):
        place = Fraction(place_mm)
        brute = min(range(36 * 64 + 1), key=lambda mark: abs(Fraction(mark, 64) * Fraction("25.4") - place))
        assert nearest_mark(place_mm, SIXTY_FOURTHS) == brute


def test_midway_between_two_marks_the_one_nearer_the_nut() -> None:
    assert nearest_mark(0.25, HALF_MILLIMETRES) == 0
    assert nearest_mark(0.75, HALF_MILLIMETRES) == 1
    assert nearest_mark(0.25 + 1e-8, HALF_MILLIMETRES) == 1


@pytest.mark.parametrize("inches", range(18, 33))
def test_the_octave_midway_between_two_marks_in_inches_is_decided_by_the_rule_and_not_by_a_float(inches: int) -> None:
    """Half of so many 64ths is so many 128ths: every odd one lies midway between two marks of a 1/64 in rule."""
    for sixty_fourths in range(inches * 64, (inches + 1) * 64):
        scale_length_mm = float(Fraction(sixty_fourths, 64) * Fraction("25.4"))
        octave_mm = distance_from_nut_mm(scale_length_mm, equal_ratio(12, 12))
        assert nearest_mark(octave_mm, SIXTY_FOURTHS) == sixty_fourths // 2, sixty_fourths


@given(strategies.scale_lengths_mm, st.integers(1, 36), strategies.graduations)
def test_what_is_left_over_is_at_most_half_a_graduation(
    scale_length_mm: float, semitone: int, graduation: Graduation
) -> None:
    place_mm = distance_from_nut_mm(scale_length_mm, equal_ratio(semitone, 12))
    reading = read_beside(place_mm, scale_length_mm - place_mm, graduation)
    assert abs(reading.left_over_mm) <= float(graduation.exact_mm) / 2 + 1e-9
    assert reading.mark_mm + reading.left_over_mm == pytest.approx(place_mm, abs=1e-9)


@given(strategies.scale_lengths_mm, st.integers(1, 36), strategies.graduations)
def test_a_mark_short_of_the_place_is_flat_and_one_past_it_sharp(
    scale_length_mm: float, semitone: int, graduation: Graduation
) -> None:
    place_mm = distance_from_nut_mm(scale_length_mm, equal_ratio(semitone, 12))
    reading = read_beside(place_mm, scale_length_mm - place_mm, graduation)
    if reading.left_over_mm > 1e-9:
        assert reading.cents < 0
    elif reading.left_over_mm < -1e-9:
        assert reading.cents > 0
    # Another route: pitch of the string stopped at the mark against the pitch wished for, as frequencies.
    sounding_hz, wished_hz = 1 / (scale_length_mm - reading.mark_mm), 1 / (scale_length_mm - place_mm)
    assert reading.cents == pytest.approx(1200 * (math.log2(sounding_hz) - math.log2(wished_hz)), abs=1e-6)


@given(st.integers(0, 64 * 60), st.sampled_from([4, 8, 16, 32, 64]))
def test_the_printed_mark_is_the_mark_in_lowest_terms(count: int, parts: int) -> None:
    printed = number_on_rule(Fraction(count, parts), Graduation(Fraction(1, parts), "in"))
    whole, _, fraction = printed.partition(" ") if " " in printed or "/" not in printed else ("0", "", printed)
    value = Fraction(whole) + Fraction(fraction or 0)
    assert value == Fraction(count, parts)
    if fraction:
        numerator, denominator = map(int, fraction.split("/"))
        assert math.gcd(numerator, denominator) == 1
        assert numerator < denominator


@given(st.integers(0, 20_000), st.sampled_from(["0.1", "0.5", "1", "2"]))
def test_a_metric_mark_is_printed_exactly(count: int, size: str) -> None:
    graduation = Graduation(Fraction(size), "mm")
    printed = number_on_rule(count * graduation.size, graduation)
    assert Fraction(printed) == count * graduation.size
    assert ("." in printed) == ("." in size), "all marks of a rule have the same decimals"


@pytest.mark.parametrize(
    ("sounding", "wished", "cents"),
    [(100, 100, 0), (200, 100, -1200), (100, 200, 1200), (100, 150, 701.955001), (100, 125, 386.313714)],
)
def test_cents(sounding: float, wished: float, cents: float) -> None:
    """An octave has 1200 cents, a pure fifth 701.955001, a pure third 386.313714 (A. J. Ellis, 1885; computed)."""
    assert cents_between(sounding, wished) == pytest.approx(cents, abs=1e-6)


def test_a_rule_far_too_coarse_has_its_mark_past_the_saddle() -> None:
    assert read_beside(95, 100 - 95, Graduation(Fraction(100), "mm")).cents == math.inf


def test_no_rule_that_can_be_written_down_reaches_past_the_saddle() -> None:
    """The shortest string a record may have, at the highest fret, on the coarsest rule: cents stay a number."""
    for coarsest in (Graduation(Fraction(MOST_GRADUATION_MM), "mm"), Graduation(Fraction(LEAST_GRADUATION_MM), "mm")):
        for semitone in range(1, 50):
            place_mm = distance_from_nut_mm(100, equal_ratio(semitone, 12))
            assert math.isfinite(read_beside(place_mm, 100 - place_mm, coarsest).cents)


@given(strategies.scale_lengths_mm, strategies.graduations, st.lists(st.integers(1, 30), min_size=1, unique=True))
def test_stepping_adds_up_gaps_rounded_one_by_one(
    scale_length_mm: float, graduation: Graduation, frets: list[int]
) -> None:
    """Independent route: every gap rounded by trying all marks near it, in floats."""
    places = [distance_from_nut_mm(scale_length_mm, equal_ratio(n, 12)) for n in sorted(frets)]
    step_mm = float(graduation.exact_mm)
    reached, before, expected = 0.0, 0.0, []
    for place in places:
        gap = place - before
        marks = range(int(gap / step_mm) - 1, int(gap / step_mm) + 3)
        reached += min(marks, key=lambda mark: (round(abs(mark * step_mm - gap), 9), mark)) * step_mm
        expected.append(reached)
        before = place
    assert stepped_mm(places, graduation) == pytest.approx(expected, abs=1e-6)


def test_stepping_the_octave_of_a_27_inch_board_worked_by_hand() -> None:
    """With a 1/32 in rule the gaps 48 46 43 41 38 36 34 32 31 29 27 26 (32nds) add up to 13.469 in, 4.0 cents flat."""
    scale_mm = 27 * 25.4
    places = [distance_from_nut_mm(scale_mm, equal_ratio(n, 12)) for n in range(1, 13)]
    octave_mm = stepped_mm(places, Graduation(Fraction(1, 32), "in"))[-1]
    assert octave_mm / 25.4 == pytest.approx(sum((48, 46, 43, 41, 38, 36, 34, 32, 31, 29, 27, 26)) / 32)
    assert octave_mm / 25.4 == pytest.approx(13.469, abs=0.0005)
    assert cents_if_moved(scale_mm / 2, octave_mm - scale_mm / 2) == pytest.approx(-4.0, abs=0.05)


def test_half_a_kerf_at_the_octave_worked_by_hand() -> None:
    """27 in, slot 0.023 in: 1200·log2(13.5 / 13.4885) = 1.5 cents."""
    assert cents_if_moved(13.5, 0.0115) == pytest.approx(1.4754, abs=1e-4)
    assert math.isinf(cents_if_moved(10.0, 10.0))


@given(st.lists(st.floats(0, 20), min_size=1, max_size=6), st.floats(0.1, 10))
def test_the_coarsest_rule_within_tolerance_by_brute_force(worst: list[float], tolerance: float) -> None:
    graduations = [Graduation(Fraction(1, 2 ** (n + 1)), "in") for n in range(len(worst))]
    chosen = coarsest_within(worst, graduations, tolerance)
    good = [n for n in range(len(worst)) if worst[n] <= tolerance]
    assert chosen == (good[0] if good else None)


def test_the_rule_of_eighteen_falls_short_of_the_octave() -> None:
    """Each fret an eighteenth of what is left (V. Galilei, 1581): the twelfth lies short of half the string.

    Source: fret-fractions.csv, computed; 12 frets of 18/17 are 1187.1 cents, 12.9 short of an octave.
    """
    left = 1.0
    for _ in range(12):
        left -= left / 18
    assert cents_between(left, 1.0) == pytest.approx(1187.0, abs=0.6)
    assert 1 - left < distance_from_nut_mm(1.0, 2.0)


def test_a_stopped_string_sounds_as_one_over_its_length() -> None:
    """OpenStax, College Physics, ch. 17 (guitar): stopped at two thirds of its length, 225/L Hz becomes 337.5/L Hz."""
    ratio = 337.5 / 225
    assert distance_from_nut_mm(1.0, ratio) == pytest.approx(1 - 2 / 3)
    assert cents_between(2 / 3, 1.0) == pytest.approx(701.955, abs=0.001)
