"""Boards of two scale lengths, against a vector-geometry library and against boards of one."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString
from shapely import Point as Spot

from builder.calculations.frets import distance_from_nut_mm
from builder.calculations.slanted import Edges, Line, OuterStrings, Point
from builder.calculations.temperaments import equal_ratio

RATIOS = tuple(equal_ratio(n, 12) for n in range(1, 25))

boards = st.builds(OuterStrings, st.floats(400, 900), st.floats(400, 900), st.floats(20, 60), st.floats(30, 90))
squares = st.sampled_from((1.0, *RATIOS))


def line_string(line: Line, beyond: float = 3.0) -> LineString:
    """The same line for the library, carried on beyond both its ends."""
    one, other = line.at(-beyond), line.at(1 + beyond)
    return LineString([(one.x, one.y), (other.x, other.y)])


def across(board: OuterStrings, square: float) -> tuple[Line, tuple[Line, ...], Line]:
    return board.lines_mm(RATIOS, square)


@given(boards, squares)
def test_each_fret_lies_at_its_place_along_both_outer_strings(board: OuterStrings, square: float) -> None:
    """Independent route: distances along the strings as the library measures them."""
    nut, frets, saddle = across(board, square)
    for side, scale_length_mm in (("bass", board.bass_mm), ("treble", board.treble_mm)):
        start, end = getattr(nut, side), getattr(saddle, side)
        string = LineString([(start.x, start.y), (end.x, end.y)])
        assert string.length == pytest.approx(scale_length_mm, rel=1e-9)
        for fret, ratio in zip(frets, RATIOS, strict=True):
            spot = Spot(getattr(fret, side).x, getattr(fret, side).y)
            assert string.project(spot) == pytest.approx(distance_from_nut_mm(scale_length_mm, ratio), abs=1e-6)
            assert string.distance(spot) == pytest.approx(0, abs=1e-6)


@given(boards, squares, st.floats(40, 80), st.floats(50, 110))
def test_lines_are_carried_to_the_edges_where_the_library_says(
    board: OuterStrings, square: float, width_at_nut_mm: float, width_at_end_mm: float
) -> None:
    edges = Edges(width_at_nut_mm, width_at_end_mm, 600.0)
    nut, frets, _ = across(board, square)
    slope = (width_at_end_mm - width_at_nut_mm) / 2 / 600.0
    for line in (nut, *frets):
        carried = edges.carried_to(line)
        for side, end in ((1, carried.bass), (-1, carried.treble)):
            edge = LineString([(x, side * (width_at_nut_mm / 2 + slope * x)) for x in (-3000.0, 4000.0)])
            crossing = edge.intersection(line_string(line))
            assume(crossing.geom_type == "Point")  # a fret that leans as the edge does meets it nowhere, or everywhere
            assert (end.x, end.y) == pytest.approx((crossing.x, crossing.y), abs=1e-6)


@given(boards, squares)
def test_the_square_fret_is_square_and_the_nut_crosses_the_middle_at_nought(board: OuterStrings, square: float) -> None:
    nut, _, _ = across(board, square)
    standing, *_ = board.lines_mm((square,), square)[1]
    assert standing.degrees == pytest.approx(0, abs=1e-9)
    assert nut.at(0.5).x == pytest.approx(0, abs=1e-9)
    assert nut.at(0.5).y == pytest.approx(0, abs=1e-9)


@given(st.floats(400, 900), st.floats(20, 60), squares)
def test_equal_scales_and_parallel_strings_are_the_board_of_one_scale(
    scale_length_mm: float, spread_mm: float, square: float
) -> None:
    board = OuterStrings(scale_length_mm, scale_length_mm, spread_mm, spread_mm)
    _, frets, _ = across(board, square)
    for fret, ratio in zip(frets, RATIOS, strict=True):
        place = distance_from_nut_mm(scale_length_mm, ratio)
        assert (fret.bass.x, fret.treble.x) == pytest.approx((place, place), abs=1e-9)


@given(boards, squares)
def test_places_rise_on_both_sides(board: OuterStrings, square: float) -> None:
    _, frets, _ = across(board, square)
    for side in ("bass", "treble"):
        places = [getattr(fret, side).x for fret in frets]
        assert places == sorted(places)


def test_the_lean_of_the_nut_with_the_octave_square() -> None:
    """Worked by hand: 27 in and 25 1/2 in, strings parallel 1 1/2 in apart: arctan(0.75/1.5) = 26.565°."""
    nut, *_ = OuterStrings(27 * 25.4, 25.5 * 25.4, 38.1, 38.1).lines_mm((), 2.0)
    assert nut.degrees == pytest.approx(-math.degrees(math.atan2(0.75, 1.5)))
    assert Point(0, 3).distance_mm(Point(4, 0)) == 5
