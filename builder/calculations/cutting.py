"""Blanks to cut before a part is shaped, and how much wood to buy for them.

A blank is longer, wider and thicker than its part by the shop's allowances. What it takes out of the board is more
again: the rough thickness it was bought in, the saw cuts that free it, and the waste around knots and checks.
"""

from __future__ import annotations

from dataclasses import dataclass

#: A board foot is 144 cubic inches: a board a foot square and an inch thick (NIST Handbook 130). An inch is 25.4 mm.
CUBIC_MM_PER_BOARD_FOOT = 144 * 25.4**3


@dataclass(frozen=True, slots=True)
class Piece:
    """A part as it will be: how many, and its finished length along the grain, width, and thickness.

    `rough_mm` is the thickness of the stock it is cut from, where that is known; else it is resawn from something
    thicker.
    """

    part: str
    count: int
    length_mm: float
    width_mm: float
    thickness_mm: float
    rough_mm: float | None = None
    species: str | None = None
    billet: str | None = None


@dataclass(frozen=True, slots=True)
class Allowances:
    """What is left on a blank in each direction, how wide the saw cuts, and the share of waste (0.2: a fifth more)."""

    length_mm: float = 0.0
    width_mm: float = 0.0
    thickness_mm: float = 0.0
    kerf_mm: float = 0.0
    waste: float = 0.0


@dataclass(frozen=True, slots=True)
class Blank:
    """What is sawn out for one piece: length, width and thickness with their allowances."""

    length_mm: float
    width_mm: float
    thickness_mm: float
    resawn: bool


def blank_of(piece: Piece, allowances: Allowances) -> Blank:
    """The blank of a piece: finished size plus allowance each way; its thickness is that of the rough stock if known.

    Lengths above zero. Common practice (blanks); how much to leave depends on the wood and on the planes.
    """
    resawn = piece.rough_mm is None
    thickness_mm = piece.thickness_mm + allowances.thickness_mm if piece.rough_mm is None else piece.rough_mm
    return Blank(piece.length_mm + allowances.length_mm, piece.width_mm + allowances.width_mm, thickness_mm, resawn)


def stock_mm3(blank: Blank, count: int, allowances: Allowances) -> float:
    """Cubic millimetres of rough stock for so many like blanks: size plus a saw cut each way, then the waste.

    A crosscut and a rip free a blank from its board; where it is resawn, one more cut frees it from the plank. The cut
    is counted for every blank, so any number laid side by side in a board, with cuts between them, needs no more.
    """
    kerf_mm = allowances.kerf_mm
    thickness_mm = blank.thickness_mm + (kerf_mm if blank.resawn else 0.0)
    one = (blank.length_mm + kerf_mm) * (blank.width_mm + kerf_mm) * thickness_mm
    return one * count * (1 + allowances.waste)


def board_feet(cubic_mm: float) -> float:
    """A volume in board feet. Source: board-foot.

    Merchants count boards thinner than an inch as an inch thick (common practice); this is the true volume.
    """
    return cubic_mm / CUBIC_MM_PER_BOARD_FOOT
