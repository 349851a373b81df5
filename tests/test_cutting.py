"""Blanks and board feet, by hand, by brute force and by the definition of the board foot."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.cutting import Allowances, Blank, Piece, blank_of, board_feet, stock_mm3

INCH = 25.4
HOUSE = Allowances(1 * INCH, INCH / 4, INCH / 16, INCH / 8, 0.2)
SIZES = st.floats(1, 3000)


@pytest.mark.parametrize(
    ("inches", "feet"),
    [((12, 12, 1), 1), ((96, 6, 1), 4), ((120, 8, 2), 13 + 1 / 3), ((144, 1, 1), 1), ((72, 10, 1.25), 6.25)],
)
def test_board_feet_of_boards(inches: tuple[float, float, float], feet: float) -> None:
    """A board foot is 144 in³ (NIST Handbook 130); 1e-12 relative. A 1 × 6 eight feet long has 4 of them."""
    length, width, thickness = (each * INCH for each in inches)
    assert board_feet(length * width * thickness) == pytest.approx(feet, rel=1e-12)
    assert board_feet(stock_mm3(Blank(length, width, thickness, False), 1, Allowances())) == pytest.approx(feet)


def test_a_back_worked_by_hand() -> None:
    """29 × 7 × 0.1 in of 1/4 in stock: (30 + 1/8) · (7 1/4 + 1/8) · 1/4 · 1.2 / 144 = 0.4629 board feet."""
    back = Piece("back", 1, 29 * INCH, 7 * INCH, 0.1 * INCH, INCH / 4)
    blank = blank_of(back, HOUSE)
    assert [mm / INCH for mm in (blank.length_mm, blank.width_mm, blank.thickness_mm)] == pytest.approx(
        [30, 7.25, 0.25]
    )
    assert board_feet(stock_mm3(blank, 1, HOUSE)) == pytest.approx(30.125 * 7.375 * 0.25 * 1.2 / 144, rel=1e-12)


def test_a_resawn_side_worked_by_hand() -> None:
    """31 × 2 × 0.085 in, resawn: the leaf is 0.085 + 1/16 in, and a cut of 1/8 in frees it."""
    side = Piece("sides", 2, 31 * INCH, 2 * INCH, 0.085 * INCH)
    blank = blank_of(side, HOUSE)
    assert blank.resawn
    wanted = 2 * 32.125 * 2.375 * (0.085 + 0.0625 + 0.125) * 1.2 / 144
    assert board_feet(stock_mm3(blank, 2, HOUSE)) == pytest.approx(wanted, rel=1e-12)


@given(SIZES, SIZES, st.floats(0.5, 100), st.integers(1, 6), st.integers(1, 6), st.floats(0, 5))
def test_any_layout_of_blanks_fits_in_what_is_bought(
    length: float, width: float, thickness: float, rows: int, columns: int, kerf: float
) -> None:
    """Brute force: blanks in rows and columns on one board, with a cut between neighbours and none at the edges."""
    allowances = Allowances(kerf_mm=kerf)
    board = (rows * length + (rows - 1) * kerf) * (columns * width + (columns - 1) * kerf) * thickness
    bought = stock_mm3(Blank(length, width, thickness, False), rows * columns, allowances)
    around = rows * columns * ((length + kerf) * (width + kerf) - length * width) * thickness
    assert board <= bought * (1 + 1e-12)
    assert bought - board <= around * (1 + 1e-9) + bought * 1e-12


@given(SIZES, SIZES, st.floats(0.2, 100), st.integers(1, 40), st.floats(0.1, 2), st.booleans())
def test_scaling(length: float, width: float, thickness: float, count: int, more: float, resawn: bool) -> None:
    """A batch takes so many times one; more allowance never takes less; inches or millimetres, the same board feet."""
    piece = Piece("part", 1, length, width, thickness, None if resawn else thickness * 1.5)
    blank = blank_of(piece, HOUSE)
    one, batch = (stock_mm3(blank, n, HOUSE) for n in (1, count))
    assert batch == pytest.approx(count * one, rel=1e-12)
    wider = Allowances(
        HOUSE.length_mm + more, HOUSE.width_mm + more, HOUSE.thickness_mm + more, HOUSE.kerf_mm + more, 0.3
    )
    assert stock_mm3(blank_of(piece, wider), 1, wider) > one
    doubled = Piece("part", 1, length * 2, width * 2, thickness * 2, piece.rough_mm and piece.rough_mm * 2)
    twice = Allowances(HOUSE.length_mm * 2, HOUSE.width_mm * 2, HOUSE.thickness_mm * 2, HOUSE.kerf_mm * 2, 0.2)
    assert stock_mm3(blank_of(doubled, twice), 1, twice) == pytest.approx(8 * one, rel=1e-12)
