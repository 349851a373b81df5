"""Levelling: what rocks, what to seat anew, and the least filing, against closed forms, brute force and shapely."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations, pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiPoint

from builder.calculations.answers import Outside
from builder.calculations.frets import distance_from_nut_mm
from builder.calculations.levelling import (
    FallAway,
    LevelledSide,
    allowance_mm,
    crown_left_mm,
    feeler_gap_mm,
    greatest_convex_minorant_mm,
    least_filed_mm,
    level_side,
    planned_mm,
    proud_mm,
    relief_mm,
)
from builder.calculations.temperaments import equal_ratio

EVEN = tuple(25.0 * n for n in range(1, 8))
BOARD = tuple(distance_from_nut_mm(650.0, equal_ratio(n, 12)) for n in range(1, 21))
TOLERANCE_MM = 0.05
#: A thousandth of what a feeler can show.
CLOSE = 1e-5

heights = st.lists(st.floats(-0.5, 0.5), min_size=len(BOARD), max_size=len(BOARD)).map(tuple)
few = st.integers(3, 7)
small_boards = few.flatmap(
    lambda n: st.tuples(
        st.lists(st.floats(2, 40), min_size=n, max_size=n).map(lambda gaps: tuple(np.cumsum(gaps))),
        st.lists(st.floats(-0.5, 0.5), min_size=n, max_size=n),
    )
)


def levelled(places: Sequence[float], given_mm: Sequence[float], fall_away: FallAway | None = None) -> LevelledSide:
    side = level_side(places, given_mm, TOLERANCE_MM, fall_away)
    assert isinstance(side, LevelledSide)
    return side


# Closed forms


def test_proud_of_three_frets() -> None:
    """The straight line through (0, 0) and (60, 0.3) is at 0.2 over 40: from the equation of the line."""
    assert proud_mm((0.0, 40.0, 60.0), (0.0, 0.25, 0.3)) == pytest.approx([0.05])
    assert proud_mm((0.0, 40.0, 60.0), (0.0, 0.1, 0.3)) == pytest.approx([-0.1])


def test_the_mean_of_the_neighbours_would_be_wrong() -> None:
    """On real gaps a straight tilted board rocks nowhere; measured from the plain mean, it would seem to."""
    tilted = [0.01 * place for place in BOARD]
    assert proud_mm(BOARD, tilted) == pytest.approx([0.0] * 18, abs=1e-12)
    means = [tilted[n] - (tilted[n - 1] + tilted[n + 1]) / 2 for n in range(1, 19)]
    assert min(means) > 0.003


@settings(max_examples=40)
@given(heights)
def test_proud_against_shapely(given_mm: tuple[float, ...]) -> None:
    """Outside: shapely places a point on the line between two others by its share of the way."""
    points = list(zip(BOARD, given_mm, strict=True))
    for n, proud in enumerate(proud_mm(BOARD, given_mm), 1):
        share = (BOARD[n] - BOARD[n - 1]) / (BOARD[n + 1] - BOARD[n - 1])
        line = LineString([points[n - 1], points[n + 1]]).interpolate(share, normalized=True)
        assert proud == pytest.approx(given_mm[n] - line.y, abs=1e-9)


@given(st.floats(0.001, 0.5), st.floats(5, 40), st.floats(5, 40))
def test_feeler_gap_by_similar_triangles(proud: float, before: float, after: float) -> None:
    """The rocker as a straight line in numpy: laid over middle and either neighbour, read over the other one."""
    at = (0.0, before, before + after)
    over_far = np.polyval(np.polyfit(at[:2], (0.0, proud), 1), at[2])
    over_near = np.polyval(np.polyfit(at[1:], (proud, 0.0), 1), at[0])
    assert feeler_gap_mm(proud, before, after) == pytest.approx(max(over_far, over_near), rel=1e-6)
    assert feeler_gap_mm(proud, before, after) >= 2 * proud * (1 - 1e-12)
    assert feeler_gap_mm(-proud, before, after) == 0


def test_relief_of_a_parabola() -> None:
    """A parabola 0.25 mm deep between its ends dips by that in the middle, and as much below as above."""
    dip = [0.25 * (2 * n / 10 - 1) ** 2 for n in range(11)]
    assert relief_mm(range(11), dip) == pytest.approx(0.25)
    assert relief_mm(range(11), [-each for each in dip]) == pytest.approx(-0.25)
    assert relief_mm(range(11), [0.1 * n for n in range(11)]) == pytest.approx(0, abs=1e-12)
    assert relief_mm((0.0, 1.0), (0.0, 1.0)) == 0


def test_planned_fall_away_is_straight_to_the_last_fret() -> None:
    assert planned_mm(EVEN, FallAway(4, 0.2)) == pytest.approx([0, 0, 0, 0, 0, -0.1, -0.2])
    assert planned_mm(EVEN, None) == (0.0,) * 7


@given(st.lists(st.floats(2, 40), min_size=3, max_size=24), st.floats(0, 0.2))
def test_the_allowance_is_just_so_proud(gaps: list[float], allowed: float) -> None:
    places = list(np.cumsum(gaps))
    shape = allowance_mm(places, [allowed] * (len(places) - 2))
    scale = max(1.0, *(abs(each) for each in shape))
    assert proud_mm(places, shape) == pytest.approx([allowed] * (len(places) - 2), abs=1e-12 * scale)


# Least filing, by other routes


@settings(max_examples=40)
@given(small_boards)
def test_the_thread_is_the_lower_side_of_shapelys_convex_hull(board: tuple[tuple[float, ...], list[float]]) -> None:
    """Outside: shapely's convex hull (GEOS); its lower side is the greatest convex minorant."""
    places, given_mm = board
    deep = min(given_mm) - 10
    hull = MultiPoint(list(zip(places, given_mm, strict=True))).convex_hull
    for place, thread in zip(places, greatest_convex_minorant_mm(places, given_mm), strict=True):
        cut = hull.intersection(LineString([(place, deep), (place, 10)]))
        assert thread == pytest.approx(cut.bounds[1], abs=1e-6)


def by_trying_all(
    places: Sequence[float], given_mm: Sequence[float], allowed: Sequence[float]
) -> tuple[float, ...] | None:
    """Least filing by linear programming's own theorem: the best lies where some frets are left as they are and all
    others stand just so proud as allowed. Every choice of frets to leave is solved with numpy and tried."""
    count, best = len(places), None
    for left in (choice for size in range(count - 1) for choice in combinations(range(1, count - 1), size)):
        matrix, right = np.eye(count), np.array(given_mm, dtype=float)
        for n in set(range(1, count - 1)) - set(left):
            width = places[n + 1] - places[n - 1]
            matrix[n, n - 1], matrix[n, n + 1] = (
                -(places[n + 1] - places[n]) / width,
                -(places[n] - places[n - 1]) / width,
            )
            right[n] = allowed[n - 1]
        shape = np.linalg.solve(matrix, right)
        fits = all(shape <= np.array(given_mm) + 1e-9)
        sits = all(each <= most + 1e-9 for each, most in zip(proud_mm(places, list(shape)), allowed, strict=True))
        if fits and sits and (best is None or shape.sum() > sum(best)):
            best = tuple(float(each) for each in shape)
    return best


@settings(max_examples=40)
@given(small_boards, st.sampled_from([0.0, 0.02, 0.05]))
def test_least_filing_against_every_choice_of_frets_left_alone(
    board: tuple[tuple[float, ...], list[float]], allowed: float
) -> None:
    places, given_mm = board
    best = by_trying_all(places, given_mm, [allowed] * (len(places) - 2))
    assert best is not None
    assert least_filed_mm(places, given_mm, [allowed] * (len(places) - 2)) == pytest.approx(best, abs=1e-6)


@pytest.mark.parametrize(
    "given_mm", [(2, 3, 1, 2), (0, 2, 3, 0), (3, 3, 0, 3, 3), (0, 3, 1, 3, 0), (1, 0, 2, 0, 1), (0, 3, 0, 3, 3)]
)
@pytest.mark.parametrize("allowed", [0, 1])
def test_least_filing_against_every_shape_on_a_grid(given_mm: tuple[int, ...], allowed: int) -> None:
    """No shape on a grid that sits files less anywhere, let alone in all."""
    places = range(len(given_mm))
    filed = least_filed_mm(places, given_mm, [allowed] * (len(given_mm) - 2))
    steps = [range(-3, most + 1) for most in given_mm]
    sitting = [shape for shape in product(*steps) if all(each <= allowed for each in proud_mm(places, shape))]
    assert len(sitting) > 10
    assert all(each <= most + 1e-9 for shape in sitting for each, most in zip(shape, filed, strict=True))


# Properties of a levelled board


@settings(max_examples=40)
@given(heights)
def test_filing_never_raises_and_then_nothing_rocks(given_mm: tuple[float, ...]) -> None:
    side = levelled(BOARD, given_mm)
    seated = list(given_mm)
    for each in side.reseat:
        assert each.low_by_mm > 0
        seated[each.fret] += each.low_by_mm
    assert min(side.file_mm) >= 0
    assert side.height_after_mm == pytest.approx(
        [height - off for height, off in zip(seated, side.file_mm, strict=True)], abs=CLOSE
    )
    assert max(proud_mm(BOARD, side.height_after_mm)) <= TOLERANCE_MM + CLOSE
    assert len({each.fret for each in side.reseat}) == len(side.reseat)
    again = least_filed_mm(BOARD, side.height_after_mm, [TOLERANCE_MM] * 18)
    assert again == pytest.approx(side.height_after_mm, abs=CLOSE)


@settings(max_examples=40)
@given(heights, st.floats(-1, 1), st.floats(-0.01, 0.01))
def test_a_straight_tilt_or_shift_changes_nothing(given_mm: tuple[float, ...], shift: float, tilt: float) -> None:
    rounded = [round(each, 3) for each in given_mm]
    moved = [each + shift + tilt * place for each, place in zip(rounded, BOARD, strict=True)]
    assert proud_mm(BOARD, moved) == pytest.approx(proud_mm(BOARD, rounded), abs=1e-9)
    free = [TOLERANCE_MM] * 18
    taken = [
        [before - after for before, after in zip(each, least_filed_mm(BOARD, each, free), strict=True)]
        for each in (rounded, moved)
    ]
    assert taken[1] == pytest.approx(taken[0], abs=1e-9)
    assert relief_mm(BOARD, moved) == pytest.approx(relief_mm(BOARD, rounded), abs=1e-9)


@settings(max_examples=40)
@given(heights)
def test_any_unit_will_do(given_mm: tuple[float, ...]) -> None:
    in_mm = least_filed_mm(BOARD, given_mm, [TOLERANCE_MM] * 18)
    places, tops = [each / 25.4 for each in BOARD], [each / 25.4 for each in given_mm]
    in_inches = least_filed_mm(places, tops, [TOLERANCE_MM / 25.4] * 18)
    assert [each * 25.4 for each in in_inches] == pytest.approx(in_mm, abs=1e-9)
    assert [each * 25.4 for each in proud_mm(places, tops)] == pytest.approx(proud_mm(BOARD, given_mm), abs=1e-12)


@settings(max_examples=40)
@given(heights, st.floats(0, 0.1), st.floats(0, 0.1))
def test_more_tolerance_never_files_more(given_mm: tuple[float, ...], one: float, other: float) -> None:
    strict, loose = sorted((one, other))
    after_strict, after_loose = (least_filed_mm(BOARD, given_mm, [each] * 18) for each in (strict, loose))
    assert all(low <= high + 1e-9 for low, high in zip(after_strict, after_loose, strict=True))


@settings(max_examples=40)
@given(heights, st.integers(0, 19), st.floats(0, 0.2))
def test_a_lower_fret_never_leaves_more_of_the_others(given_mm: tuple[float, ...], fret: int, by: float) -> None:
    lower = [each - by * (n == fret) for n, each in enumerate(given_mm)]
    after = [least_filed_mm(BOARD, each, [TOLERANCE_MM] * 18) for each in (lower, given_mm)]
    assert all(low <= high + 1e-9 for low, high in zip(*after, strict=True))


@pytest.mark.parametrize(
    "given_mm",
    [
        (0.0,) * 20,
        tuple(0.2 - 0.001 * place for place in BOARD),
        tuple(0.3 * (2 * place / BOARD[-1] - 1) ** 2 for place in BOARD),
    ],
    ids=["level", "tilted", "with relief"],
)
def test_a_good_board_needs_nothing(given_mm: tuple[float, ...]) -> None:
    side = levelled(BOARD, given_mm)
    assert (side.reseat, sum(side.file_mm), any(side.rocks)) == ((), 0, False)


# What to seat anew


def test_proud_low_proud_is_one_low_fret_and_nothing_is_filed() -> None:
    """The pattern + − + (common practice: seat the one low fret, do not file its two neighbours)."""
    side = levelled(EVEN, (0, 0, 0, -0.3, 0, 0, 0))
    assert [math.copysign(1, each or 0) for each in side.proud_mm[2:5]] == [1, -1, 1]
    assert side.rocks == (False, False, True, False, True, False, False)
    (low,) = side.reseat
    assert low.fret == 3
    assert low.low_by_mm == pytest.approx(0.3)
    assert sum(side.file_mm) == 0 < side.filing_without_reseating_mm


@pytest.mark.parametrize("fret", range(20))
@pytest.mark.parametrize("low", [0.15, 0.3, 0.6])
def test_any_one_low_fret_is_found_wherever_it_is(fret: int, low: float) -> None:
    side = levelled(BOARD, [-low * (n == fret) for n in range(20)])
    assert [each.fret for each in side.reseat] == [fret]
    assert side.reseat[0].low_by_mm == pytest.approx(low)
    assert sum(side.file_mm) == 0


@pytest.mark.parametrize("fret", range(1, 19))
@pytest.mark.parametrize("proud", [0.15, 0.3, 0.6])
def test_one_proud_fret_is_filed_and_none_seated_anew(fret: int, proud: float) -> None:
    side = levelled(BOARD, [proud * (n == fret) for n in range(20)])
    assert side.reseat == ()
    assert [n for n, each in enumerate(side.file_mm) if each] == [fret]
    assert side.file_mm[fret] == pytest.approx(proud - TOLERANCE_MM)


def test_two_proud_frets_with_a_level_one_between_are_filed() -> None:
    side = levelled(EVEN, (0, 0, 0.3, 0, 0.3, 0, 0))
    assert side.reseat == ()
    assert side.file_mm == pytest.approx((0, 0, 0.25, 0, 0.25, 0, 0))


def test_two_low_frets_side_by_side() -> None:
    side = levelled(EVEN, (0, 0, -0.3, -0.3, 0, 0, 0))
    assert [(each.fret, round(each.low_by_mm, 9)) for each in side.reseat] == [(2, 0.3), (3, 0.3)]
    assert sum(side.file_mm) == 0


def test_a_low_fret_is_found_where_only_one_of_its_neighbours_rocks() -> None:
    """The board rises past the low fret, so that the next one is proud by less than the tolerance."""
    side = levelled(EVEN, (0, 0, 0, -0.3, -0.08, 0.04, 0.2))
    assert side.rocks == (False, False, True, False, False, False, False)
    assert [each.fret for each in side.reseat] == [3]
    assert sum(side.file_mm) == 0


def test_the_worst_low_fret_comes_first() -> None:
    given_mm = [0.0] * 20
    given_mm[4], given_mm[11] = -0.2, -0.5
    assert [each.fret for each in levelled(BOARD, given_mm).reseat] == [11, 4]


# Fall-away and crown


def test_a_level_board_is_filed_to_the_planned_fall_away() -> None:
    side = levelled(EVEN, (0,) * 7, FallAway(4, 0.2))
    assert side.file_mm == pytest.approx((0, 0, 0, 0, 0, 0.1, 0.2))
    assert side.reseat == ()


def test_a_board_that_falls_away_as_planned_needs_nothing_whatever_its_tilt() -> None:
    fall_away = FallAway(11, 0.2)
    planned = planned_mm(BOARD, fall_away)
    for tilt in (0, 0.002, -0.002):
        side = levelled(BOARD, [each + tilt * place for each, place in zip(planned, BOARD, strict=True)], fall_away)
        assert (side.reseat, sum(side.file_mm), any(side.rocks)) == ((), 0, False)


@settings(max_examples=40)
@given(heights, st.integers(2, 18), st.floats(0, 0.3))
def test_with_a_fall_away_nothing_stands_above_the_plan(given_mm: tuple[float, ...], starts_at: int, by: float) -> None:
    fall_away = FallAway(starts_at, by)
    side = levelled(BOARD, given_mm, fall_away)
    allowed = proud_mm(BOARD, planned_mm(BOARD, fall_away))
    assert min(side.file_mm) >= 0
    for proud, planned in zip(proud_mm(BOARD, side.height_after_mm), allowed, strict=True):
        assert proud <= planned + TOLERANCE_MM + CLOSE


def test_a_turn_sharper_than_planned_rocks() -> None:
    """A board that falls away by more than planned is proud where it turns."""
    fall = planned_mm(EVEN, FallAway(4, 0.6))
    assert levelled(EVEN, fall, FallAway(4, 0.6)).rocks[4] is False
    assert levelled(EVEN, fall, FallAway(4, 0.1)).rocks[4] is True


def test_crown_left() -> None:
    assert crown_left_mm(1.0, 0.15) == pytest.approx(0.85)


# What cannot be answered


@pytest.mark.parametrize(
    ("places", "fall_away", "why"),
    [
        ((10.0, 20.0), None, "three frets"),
        ((10.0, 10.5, 20.0), None, "1 mm"),
        ((10.0, 20.0, 30.0, 40.0), FallAway(1, 0.1), "third fret"),
        ((10.0, 20.0, 30.0, 40.0), FallAway(3, 0.1), "before its last"),
    ],
)
def test_outside(places: tuple[float, ...], fall_away: FallAway | None, why: str) -> None:
    answer = level_side(places, [0.0] * len(places), TOLERANCE_MM, fall_away)
    assert isinstance(answer, Outside)
    assert why in answer.reason


def test_gaps_of_the_rocker_are_reported_fret_by_fret() -> None:
    side = levelled(EVEN, (0, 0, 0.1, 0, 0, 0, 0))
    gaps = [after - before for before, after in pairwise(EVEN)]
    assert side.gap_mm[2] == pytest.approx(feeler_gap_mm(0.1, gaps[1], gaps[2])) == pytest.approx(0.2)
    assert [n for n, each in enumerate(side.gap_mm) if each] == [2]
