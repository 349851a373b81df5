"""The fretboard drawn to scale, nut to the left: board, nut, frets, markers, and the frets' numbers if wished.

The drawing's own unit is the millimetre. Numbered frets carry their number below the board and half frets above it,
so that neither crowds the other, and half frets are broken lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from markupsafe import Markup

from builder.drawings.naming import id_prefix
from builder.published import PublishedDrawing, PublishedFretLine
from builder.templates import render

#: Height of the numbers, as a part of the drawing's length: 12 px where the drawing is 680 px wide.
_LETTERS_PER_LENGTH = 1 / 56
#: Width of a digit and of the sign ½, as a part of the letters' height, with a little air.
_DIGIT_WIDTH, _HALF_WIDTH, _AIR = 0.52, 0.82, 0.35
#: Height of a row of numbers, as a part of the letters' height.
_ROW = 1.15
#: Thickness of fret lines as a part of the drawing's length; real wire would vanish on a phone.
_FRET_PER_LENGTH = 1 / 330
#: The same where drawings of several boards stand side by side.
_SMALL_FRET_MM = 2.4
_NUT_MM, _MARGIN_MM = 5.0, 2.0
_WAVES = 6


@dataclass(frozen=True, slots=True)
class _Label:
    words: str
    x: float
    is_half: bool
    row: int


def fretboard_svg(drawing: PublishedDrawing, *, name: str, labels: bool) -> Markup:
    """Draw a fretboard. `name` tells its parts from those of any other drawing on the page."""
    letters_mm = drawing.length_mm * _LETTERS_PER_LENGTH if labels else 0.0
    widest_mm = max(drawing.width_at_nut_mm, drawing.width_at_end_mm)
    numbers = _labels(drawing.frets, letters_mm) if labels else ()
    above_mm = letters_mm * (0.4 + _ROW * _rows(numbers, half=True))
    below_mm = letters_mm * (0.4 + _ROW * _rows(numbers, half=False))
    return render(
        "drawings/fretboard.svg",
        id=f"{id_prefix(name)}-board",
        title=_in_words(drawing),
        drawing=drawing,
        labels=numbers,
        row_mm=letters_mm * _ROW,
        letters_mm=letters_mm,
        half_mm=widest_mm / 2,
        fret_mm=drawing.length_mm * _FRET_PER_LENGTH if labels else _SMALL_FRET_MM,
        nut_mm=_NUT_MM,
        marker_mm=min(drawing.width_at_nut_mm / 10, 3.5),
        end=_broken_end(drawing) if not drawing.length_is_known else "",
        left_mm=-_NUT_MM - _MARGIN_MM,
        top_mm=-widest_mm / 2 - _MARGIN_MM - above_mm,
        width_mm=drawing.length_mm + _NUT_MM + 2 * _MARGIN_MM,
        height_mm=widest_mm + 2 * _MARGIN_MM + above_mm + below_mm,
    )


def _in_words(drawing: PublishedDrawing) -> str:
    halves = sum(fret.is_half for fret in drawing.frets)
    frets = f"{len(drawing.frets)} frets"
    if halves:
        frets += ", one of them a half fret" if halves == 1 else f", {halves} of them half frets"
    return f"The fretboard drawn to scale, nut to the left: {frets}"


def _labels(frets: Iterable[PublishedFretLine], letters_mm: float) -> tuple[_Label, ...]:
    """Numbers for the frets; one that would touch its neighbour stands in a second row, further from the board."""
    free_from_mm = {(is_half, row): float("-inf") for is_half in (True, False) for row in (0, 1)}
    labels = []
    for fret in frets:
        width_mm = letters_mm * sum(_HALF_WIDTH if sign == "½" else _DIGIT_WIDTH for sign in fret.name)
        start_mm, end_mm = fret.from_nut_mm - width_mm / 2, fret.from_nut_mm + width_mm / 2 + _AIR * letters_mm
        row = next((row for row in (0, 1) if start_mm >= free_from_mm[fret.is_half, row]), None)
        if row is not None:  # else there is no room even so, and its neighbours' numbers tell
            free_from_mm[fret.is_half, row] = end_mm
            labels.append(_Label(fret.name, fret.from_nut_mm, fret.is_half, row))
    return tuple(labels)


def _rows(labels: Iterable[_Label], *, half: bool) -> int:
    return max((label.row + 1 for label in labels if label.is_half == half), default=0)


def _broken_end(drawing: PublishedDrawing) -> str:
    """The end of a board of unknown length: a wavy line, from the far edge to the near one."""
    x, half = drawing.length_mm, drawing.width_at_end_mm / 2
    return " ".join(_waves(x, -half, half))


def _waves(x: float, start: float, end: float) -> Iterator[str]:
    steps = [start + (end - start) * n / _WAVES for n in range(_WAVES + 1)]
    for number, (before, after) in enumerate(pairwise(steps)):
        bulge = x + (3 if number % 2 else -3)
        yield f"Q{bulge:.3f} {(before + after) / 2:.3f} {x:.3f} {after:.3f}"
