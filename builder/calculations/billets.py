"""What is left of a board when parts are cut from it: volumes, for nobody can say how they were laid out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from builder.calculations.cutting import Allowances, Piece, blank_of, stock_mm3


@dataclass(frozen=True, slots=True)
class Balance:
    """Cubic millimetres: of the boards as they came, of the blanks sawn from them and their cuts, of the parts made."""

    boards_mm3: float
    blanks_mm3: float
    parts_mm3: float

    @property
    def left_mm3(self) -> float:
        """What is left, offcuts of every size; below zero where more was cut than there was."""
        return self.boards_mm3 - self.blanks_mm3

    @property
    def left_share(self) -> float:
        """The same as a share of the boards, 1 for all of them."""
        return self.left_mm3 / self.boards_mm3


def balance_of(
    length_mm: float, width_mm: float, thickness_mm: float, boards: int, pieces: Iterable[Piece], allowances: Allowances
) -> Balance:
    """Weigh the pieces cut from boards of one size against them; sizes above zero.

    Saw cuts count, waste around knots does not: it stays among the offcuts. Source: balance.
    """
    several = list(pieces)
    cuts = Allowances(allowances.length_mm, allowances.width_mm, allowances.thickness_mm, allowances.kerf_mm, waste=0.0)
    return Balance(
        length_mm * width_mm * thickness_mm * boards,
        sum(stock_mm3(blank_of(each, cuts), each.count, cuts) for each in several),
        sum(each.length_mm * each.width_mm * each.thickness_mm * each.count for each in several),
    )
