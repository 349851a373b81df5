"""Bars to lay a rule on before a full-size sheet is used, and what to print with if they came out wrong.

A printer that shrinks a drawing by 0.2 % puts the last fret of a 23 in board 0.046 in short, and no eye sees it.
So every sheet carries a bar of 4 in, one of 100 mm that stands upright (paper is fed one way, and may stretch in that
way only), and one as long as the page, on which a small error shows.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from builder.lengths import MM_PER_INCH, Length, Unit, said_in, trimmed
from builder.sheets.pen import Pen, width_mm

INCH_BAR_MM = 4 * 25.4
MILLIMETRE_BAR_MM = 100.0

ACTUAL_SIZE = "Print at actual size (100 %), never “fit to page”."

_LINE_MM, _TICK_MM = 0.2, 3.0
_TEXT, _SMALL = 8.0, 7.5
#: Of the marks a rule has, how many the columns of the correction table lie apart, on bars up to so long.
_SHORT_BAR_MM = 310.0
_CELL_MM = 15.5
#: Heights above the lower edge of the room the bars are given.
_LONG_BAR_Y, _UPPER_Y, BARS_HEIGHT_MM = 2.0, 11.0, 20.0


@dataclass(frozen=True, slots=True)
class Correction:
    """What a bar measures on the printed sheet, in words and in millimetres, and the scale to print it with then."""

    measured: str
    measured_mm: float
    percent: float


def scale_to_print_with(true_mm: float, measured_mm: float) -> float:
    """The scale, in per cent, that makes a bar right which came out at `measured_mm`: true length over measured."""
    return 100.0 * true_mm / measured_mm


def page_long_bar(room_mm: float, unit: Unit) -> Length:
    """The longest bar for a page: whole half inches, or whole 10 mm."""
    if unit == "in":
        return Length(Fraction(room_mm) // (MM_PER_INCH / 2) * (MM_PER_INCH / 2), "in")
    return Length(Fraction(room_mm // 10 * 10), "mm")


def corrections(bar: Length, unit: Unit, columns: int) -> tuple[Correction, ...]:
    """What to print with if the page-long bar measures a few marks of a rule more or less, the shortest first."""
    is_long = bar.mm > _SHORT_BAR_MM
    marks = {"in": MM_PER_INCH / (32 if is_long else 64), "mm": Fraction(1 if is_long else Fraction(1, 2))}
    steps = [step for step in range(-(columns // 2), columns // 2 + 1) if step]
    measured = [Length(bar.exact_mm + step * marks[unit]) for step in steps]
    return tuple(Correction(said_in(each, unit), each.mm, scale_to_print_with(bar.mm, each.mm)) for each in measured)


def draw_upright_bar(pen: Pen, x: float, bottom: float) -> None:
    """The 100 mm bar, standing to the right of `x`, with its length written along it. It takes 6 mm."""
    at = x + 4.0
    pen.line(((at, bottom), (at, bottom + MILLIMETRE_BAR_MM)), _LINE_MM)
    for y in (bottom, bottom + MILLIMETRE_BAR_MM):
        pen.line(((at - _TICK_MM / 2, y), (at + _TICK_MM / 2, y)), _LINE_MM)
    said = "100 mm (3.937 in): check this one too, across the paper"
    pen.words(said, at - 1.2, bottom + MILLIMETRE_BAR_MM / 2, _SMALL, align="middle", degrees=90)


def draw_bars(pen: Pen, left: float, bottom: float, right: float, unit: Unit) -> None:
    """The page-long bar, above it the 4 in bar and, beside that, the correction table of the page-long bar."""
    bar = page_long_bar(right - left, unit)
    other: Unit = "mm" if unit == "in" else "in"
    also = f"{trimmed(bar.mm, 2)} mm" if other == "mm" else f"{bar.inches:.3f} in"
    _bar(pen, left, bottom + _LONG_BAR_Y, bar.mm, f"page-long bar: {said_in(bar, unit)} ({also})")
    _bar(pen, left, bottom + _UPPER_Y, INCH_BAR_MM, "4 in (101.6 mm)")
    _table(pen, left + INCH_BAR_MM + 6.0, bottom + _UPPER_Y - 1.0, right, bar, unit)


def _bar(pen: Pen, x: float, y: float, length_mm: float, said: str) -> None:
    pen.line(((x, y), (x + length_mm, y)), _LINE_MM)
    for end in (x, x + length_mm):
        pen.line(((end, y - _TICK_MM / 2), (end, y + _TICK_MM / 2)), _LINE_MM)
    pen.words(said, x + length_mm / 2, y + 1.0, _TEXT, align="middle")


def _table(pen: Pen, left: float, y: float, right: float, bar: Length, unit: Unit) -> None:
    heads = ("page-long bar measures", "print again at")
    head_mm = max(width_mm(each, _SMALL) for each in heads) + 1.5
    columns = min(int((right - left - head_mm) / _CELL_MM) // 2 * 2, 8)
    for head, row_y in zip(heads, (y + 4.2, y), strict=True):
        pen.words(head, left, row_y, _SMALL)
    for number, each in enumerate(corrections(bar, unit, columns)):
        middle = left + head_mm + (number + 0.5) * _CELL_MM
        pen.words(each.measured, middle, y + 4.2, _SMALL, align="middle")
        pen.words(f"{each.percent:.2f} %", middle, y, _SMALL, face="bold", align="middle")
    end = left + head_mm + columns * _CELL_MM
    pen.line(((left, y + 3.0), (end, y + 3.0)), 0.1)
