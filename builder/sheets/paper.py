"""The paper a workshop prints on: its sizes, and how near the edge a printer can put ink."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from builder.lengths import Unit

#: A4: 210 × 297 mm (ISO 216:2007). Letter: 8.5 × 11 in (ANSI/ASME Y14.1, size A).
Paper = Literal["a4", "letter"]

PAPERS: tuple[Paper, ...] = ("a4", "letter")


class CannotBePrinted(Exception):
    """Something does not fit the paper. `message` names the field and its limit, `hint` says what to do instead."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class PaperSize:
    """A sheet of paper, upright, in millimetres; `margin_mm` is the edge on which printers put no ink.

    Common practice: office printers leave 4 to 6 mm white; 7 mm is kept free here, on all four sides.
    """

    paper: Paper
    name: str
    width_mm: float
    height_mm: float
    margin_mm: float = 7.0

    @property
    def printable_width_mm(self) -> float:
        """What a printer reaches of the width."""
        return self.width_mm - 2 * self.margin_mm

    @property
    def printable_height_mm(self) -> float:
        """What a printer reaches of the height."""
        return self.height_mm - 2 * self.margin_mm


PAPER_SIZES: dict[Paper, PaperSize] = {
    "a4": PaperSize("a4", "A4", 210.0, 297.0),
    "letter": PaperSize("letter", "Letter", 8.5 * 25.4, 11 * 25.4),
}


def paper_for(unit: Unit) -> Paper:
    """The paper a shop most likely has: Letter where it works in inches, else A4."""
    return "letter" if unit == "in" else "a4"
