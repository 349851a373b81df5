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
from builder.published import PublishedDrawing, PublishedFretLine, PublishedFretNote
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


#: Strings are drawn as thick as they are, but never thinner than this part of the drawing's length.
_STRING_PER_LENGTH = 1 / 1400
#: Height of a note's name, as a part of the room between two courses, and at the most of the drawing's length.
_NOTE_PER_COURSE, _NOTE_PER_LENGTH, _LETTER_WIDTH = 0.8, 1 / 62, 0.68


@dataclass(frozen=True, slots=True)
class _Label:
    words: str
    x: float
    is_half: bool
    row: int


def fretboard_svg(drawing: PublishedDrawing, *, name: str, labels: bool, notes: bool = False) -> Markup:
    """Draw a fretboard. `name` tells its parts from those of any other drawing on the page.

    `labels` adds the frets' numbers, `notes` the names of the notes of the first tuning.
    """
    letters_mm = drawing.length_mm * _LETTERS_PER_LENGTH if labels else 0.0
    corners = drawing.outline
    left_mm = min(point.x for point in corners) - _NUT_MM - _MARGIN_MM
    right_mm = max(point.x for point in corners) + _MARGIN_MM
    half_mm = max(abs(point.y) for point in corners)
    numbers = _labels(drawing.frets, letters_mm) if labels else ()
    note_mm = _note_height_mm(drawing)
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
        half_mm=half_mm,
        fret_mm=drawing.length_mm * _FRET_PER_LENGTH if labels else _SMALL_FRET_MM,
        string_mm=drawing.length_mm * _STRING_PER_LENGTH,
        nut_mm=_NUT_MM,
        marker_mm=min(drawing.width_at_nut_mm / 10, 3.5),
        end=_broken_end(drawing) if not drawing.length_is_known else "",
        notes=tuple(_without_overlap(drawing.notes, note_mm)) if notes else (),
        note_mm=note_mm,
        left_mm=left_mm,
        top_mm=-half_mm - _MARGIN_MM - above_mm,
        width_mm=right_mm - left_mm,
        height_mm=2 * (half_mm + _MARGIN_MM) + above_mm + below_mm,
    )


def _in_words(drawing: PublishedDrawing) -> str:
    halves = sum(fret.is_half for fret in drawing.frets)
    partial = sum(fret.is_partial for fret in drawing.frets)
    words = f"The fretboard drawn to scale, nut to the left: {len(drawing.frets)} frets"
    if halves:
        words += ", one of them a half fret" if halves == 1 else f", {halves} of them half frets"
    if partial:
        words += f", {partial} under some strings only"
    if any(fret.degrees for fret in drawing.frets):
        words += ", leaning like a fan"
    return words


def _note_height_mm(drawing: PublishedDrawing) -> float:
    """Names are as high as the room between neighbouring courses allows."""
    across = sorted({note.at.y for note in drawing.notes if note.at.x == drawing.notes[0].at.x})
    room_mm = min((after - before for before, after in pairwise(across)), default=drawing.width_at_nut_mm)
    return min(room_mm * _NOTE_PER_COURSE, drawing.length_mm * _NOTE_PER_LENGTH)


def _without_overlap(notes: Iterable[PublishedFretNote], note_mm: float) -> Iterator[PublishedFretNote]:
    """Names with room for them; high up, where frets crowd, every other one stands for its neighbours."""
    drawn: list[tuple[float, float]] = []
    for note in notes:
        half_mm = note_mm * _LETTER_WIDTH * len(note.name[:-1]) / 2
        x, y = note.at.x, note.at.y
        if all(abs(y - other_y) > note_mm / 2 or x - half_mm > end_mm for end_mm, other_y in drawn):
            drawn.append((x + half_mm, y))
            yield note


def _labels(frets: Iterable[PublishedFretLine], letters_mm: float) -> tuple[_Label, ...]:
    """Numbers for the frets; one that would touch its neighbour stands in a second row, further from the board.

    Numbers stand at the end of the fret that is nearest to them: those of half frets above, at the treble end.
    """
    free_from_mm = {(is_half, row): float("-inf") for is_half in (True, False) for row in (0, 1)}
    labels = []
    for fret in frets:
        x_mm = fret.treble.x if fret.is_half else fret.bass.x
        width_mm = letters_mm * sum(_HALF_WIDTH if sign == "½" else _DIGIT_WIDTH for sign in fret.name)
        start_mm, end_mm = x_mm - width_mm / 2, x_mm + width_mm / 2 + _AIR * letters_mm
        row = next((row for row in (0, 1) if start_mm >= free_from_mm[fret.is_half, row]), None)
        if row is not None:  # else there is no room even so, and its neighbours' numbers tell
            free_from_mm[fret.is_half, row] = end_mm
            labels.append(_Label(fret.name, x_mm, fret.is_half, row))
    return tuple(labels)


def _rows(labels: Iterable[_Label], *, half: bool) -> int:
    return max((label.row + 1 for label in labels if label.is_half == half), default=0)


def _broken_end(drawing: PublishedDrawing) -> str:
    """The end of a board of unknown length: a wavy line, from the treble edge to the bass edge."""
    return " ".join(_waves(drawing.length_mm, drawing.outline[2].y, drawing.outline[3].y))


def _waves(x: float, start: float, end: float) -> Iterator[str]:
    steps = [start + (end - start) * n / _WAVES for n in range(_WAVES + 1)]
    for number, (before, after) in enumerate(pairwise(steps)):
        bulge = x + (3 if number % 2 else -3)
        yield f"Q{bulge:.3f} {(before + after) / 2:.3f} {x:.3f} {after:.3f}"
