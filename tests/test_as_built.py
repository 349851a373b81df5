"""Frets as measured: each error and its band, worst and usual, against the law of the string and other libraries."""

from __future__ import annotations

import math
import statistics
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.answers import Outside
from builder.calculations.as_built import (
    PlaceError,
    error_of,
    first_not_increasing,
    furthest_off,
    root_mean_square,
)
from builder.calculations.rules import cents_if_moved

MARK_MM = 25.4 / 64

errors_mm = st.floats(-3, 3)
soundings = st.floats(60, 1000)


def error(measured: float, place: float, sounding: float, mark: float | None = MARK_MM) -> PlaceError:
    answer = error_of(measured, place, sounding, mark)
    assert isinstance(answer, PlaceError)
    return answer


def test_a_string_stopped_at_two_thirds_instead_of_the_whole() -> None:
    """OpenStax, College Physics: a string cut to 2L/3 sounds 3/2 of the frequency; a fifth is 701.955 cents (Ellis)."""
    length = 600.0
    assert error(length / 3, 0, length, None).cents == pytest.approx(1200 * math.log2(1.5), abs=1e-9)
    assert error(length / 3, 0, length, None).cents == pytest.approx(701.955, abs=5e-4)


@given(errors_mm, soundings)
def test_cents_by_the_slope_of_the_law(off: float, sounding: float) -> None:
    """Independent: cents are the integral of 1200/ln 2 · dx/x, done here by Simpson's rule in numpy."""
    x = np.linspace(sounding - off, sounding, 201)
    weights = np.ones(201)
    weights[1:-1:2], weights[2:-1:2] = 4, 2
    integral = float(np.sum(weights / x) * (x[1] - x[0]) / 3)
    assert error(100 + off, 100, sounding).cents == pytest.approx(1200 / math.log(2) * integral, abs=1e-6)


@given(errors_mm, soundings)
def test_short_of_the_place_is_flat_and_past_it_sharp(off: float, sounding: float) -> None:
    found = error(200 + off, 200, sounding)
    assert found.error_mm == pytest.approx(off, abs=1e-12)
    assert found.cents == cents_if_moved(sounding, found.error_mm)
    if abs(off) > 1e-6:
        assert (found.cents > 0) == (off > 0)


@given(errors_mm, soundings, st.floats(0.01, 2))
def test_the_band_holds_every_place_the_rule_leaves_open(off: float, sounding: float, mark: float) -> None:
    found = error(200 + off, 200, sounding, mark)
    assert found.least_cents is not None
    assert found.most_cents is not None
    assert found.least_cents <= found.cents <= found.most_cents
    for share in (-0.5, -0.3, 0, 0.2, 0.5):
        truly = cents_if_moved(sounding, found.error_mm + share * mark)
        assert found.least_cents - 1e-9 <= truly <= found.most_cents + 1e-9
        assert found.at_least_cents - 1e-9 <= abs(truly) <= found.at_most_cents + 1e-9
    assert found.can_be_read == (abs(found.error_mm) > mark / 2)
    assert (found.at_least_cents == 0) == (not found.can_be_read)


@given(errors_mm, soundings, st.floats(0.01, 1), st.floats(1, 2))
def test_a_coarser_rule_never_narrows_the_band(off: float, sounding: float, mark: float, times: float) -> None:
    fine, coarse = error(200 + off, 200, sounding, mark), error(200 + off, 200, sounding, mark * times)
    assert coarse.at_most_cents >= fine.at_most_cents
    assert coarse.at_least_cents <= fine.at_least_cents


@given(errors_mm, soundings)
def test_any_unit_will_do(off: float, sounding: float) -> None:
    in_mm = error(200 + off, 200, sounding)
    in_inches = error((200 + off) / 25.4, 200 / 25.4, sounding / 25.4, MARK_MM / 25.4)
    assert in_inches.cents == pytest.approx(in_mm.cents, abs=1e-8)
    assert in_inches.at_most_cents == pytest.approx(in_mm.at_most_cents, abs=1e-8)


def test_without_a_rule_there_is_no_band() -> None:
    found = error(201, 200, 300, None)
    assert (found.least_cents, found.most_cents, found.can_be_read) == (None, None, None)
    assert found.at_most_cents == found.at_least_cents == abs(found.cents)


@pytest.mark.parametrize("measured", [300.0, 299.9, 400.0])
def test_at_the_saddle_or_past_it_there_is_no_note(measured: float) -> None:
    answer = error_of(measured, 200, 100, MARK_MM)
    assert isinstance(answer, Outside)
    assert "saddle" in answer.reason


numbers = st.lists(st.floats(-50, 50), min_size=1, max_size=40)


@given(numbers)
def test_root_mean_square_against_the_statistics_library(values: list[float]) -> None:
    """Outside: mean and population variance of Python's `statistics`; the mean square is their square and sum."""
    mean_square = statistics.fmean(values) ** 2 + statistics.pvariance(values)
    assert root_mean_square(values) == pytest.approx(math.sqrt(mean_square), abs=1e-6)
    assert root_mean_square(values) == pytest.approx(float(np.sqrt(np.mean(np.square(values)))), abs=1e-9)


@given(numbers)
def test_the_usual_error_is_never_more_than_the_worst(values: list[float]) -> None:
    assert root_mean_square(values) <= max(abs(each) for each in values) * (1 + 1e-12)
    assert root_mean_square(values) >= abs(statistics.fmean(values)) - 1e-9


def test_root_mean_square_of_a_pair_by_hand() -> None:
    """3 and 4: the root of 25/2, exact arithmetic."""
    assert root_mean_square((3.0, -4.0)) ** 2 == pytest.approx(float(Fraction(25, 2)))


def test_the_worst_is_found_and_of_two_alike_the_nearer() -> None:
    found = [error(100 + off, 100, 300) for off in (0.1, -0.8, 0.3)]
    assert furthest_off(found) == 1
    assert furthest_off([found[0], found[0]]) == 0


def test_first_not_increasing() -> None:
    assert first_not_increasing([1.0, 2.0, 3.0]) is None
    assert first_not_increasing([1.0, 3.0, 3.0, 2.0]) == 2
