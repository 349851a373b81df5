"""Strings side by side, by brute force."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from builder.calculations.spacing import centres_mm, equal_centre_mm, equal_gap_mm

diameters = st.lists(st.floats(0.2, 2.0), min_size=2, max_size=12)


@given(diameters, st.floats(20, 90))
def test_gaps_are_alike_and_add_up_to_the_spread(strings: list[float], spread_mm: float) -> None:
    gap = equal_gap_mm(spread_mm, strings, ())
    centres = centres_mm(spread_mm, [gap] * (len(strings) - 1), strings)
    gaps = [
        (after - other / 2) - (before + one / 2)
        for (before, after), (one, other) in zip(pairwise(centres), pairwise(strings), strict=True)
    ]
    assert gaps == pytest.approx([gap] * (len(strings) - 1), abs=1e-9)
    assert (centres[0], centres[-1]) == (0.0, spread_mm)


@given(diameters, st.floats(20, 90))
def test_the_gap_is_the_one_that_brute_force_finds(strings: list[float], spread_mm: float) -> None:
    """Independent route: halve the interval until the last string lies where it should."""

    def end_mm(gap: float) -> float:
        reached = 0.0
        for one, other in pairwise(strings):
            reached += one / 2 + gap + other / 2
        return reached

    low, high = -100.0, 100.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if end_mm(middle) < spread_mm else (low, middle)
    assert equal_gap_mm(spread_mm, strings, ()) == pytest.approx(low, abs=1e-9)


def test_three_strings_worked_by_hand() -> None:
    """0.022, 0.012 and 0.010 in over 1.125 in: (1.125 − 0.011 − 0.012 − 0.005) / 2 = 0.5485 in."""
    assert equal_gap_mm(1.125, (0.022, 0.012, 0.010), ()) == pytest.approx(0.5485)


@given(st.floats(1, 3), st.floats(20, 60))
def test_the_gap_inside_a_pair_is_kept(pair_gap: float, spread_mm: float) -> None:
    strings = (1.0, 0.4, 0.3, 0.3)
    gap = equal_gap_mm(spread_mm, strings, (pair_gap,))
    assume(gap > 0)
    centres = centres_mm(spread_mm, (gap, gap, pair_gap), strings)
    assert centres[3] - centres[2] == pytest.approx(pair_gap + 0.3)


def test_middles_of_courses_lie_evenly() -> None:
    assert equal_centre_mm(30.0, 0.0, 0.0, 4) == 10.0
    assert equal_centre_mm(30.0, 2.0, 4.0, 4) == pytest.approx(9.0)
