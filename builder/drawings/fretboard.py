"""The fretboard drawn to scale, nut to the left: board, nut, frets, markers, and the frets' numbers if wished.

The drawing's own unit is the millimetre. Numbered frets carry their number below the board and half frets above it,
so that neither crowds the other, and half frets are broken lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from markupsafe import Markup

from builder.drawings.naming import id_prefix
from builder.published import PublishedDrawing, PublishedFretLine, PublishedFretNote, PublishedPoint
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
#: Behind a zero fret the board goes on a little, so that fret and nut are seen apart.
_BEHIND_ZERO_FRET_MM = 5.0
#: Radius of a marker; where frets are close, it keeps to this part of the way to the nearest of them.
_MARKER_PER_WIDTH, _MOST_MARKER_MM, _LEAST_MARKER_MM, _MARKER_PER_ROOM = 1 / 10, 3.5, 1.5, 0.75
_WAVES = 6

#: Strings are drawn as thick as they are, but never thinner than this part of the drawing's length.
_STRING_PER_LENGTH = 1 / 1400
#: Size of a note's name, as a part of the room between two courses, and at the most of the drawing's length. Capitals
#: are about two thirds as high as the type is large, so there is still air between the courses.
_NOTE_PER_COURSE, _NOTE_PER_LENGTH = 1.0, 1 / 62
#: Of that size: the width of a letter or sign, the air between two names, half the height of a capital with its rim.
_LETTER_WIDTH, _NOTE_AIR, _HALF_NOTE = 0.58, 0.3, 0.46


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
    fret_mm = drawing.length_mm * _FRET_PER_LENGTH if labels else _SMALL_FRET_MM
    behind_mm = _BEHIND_ZERO_FRET_MM if drawing.zero_fret else 0.0
    corners = drawing.outline
    left_mm = min(point.x for point in corners) - behind_mm - _NUT_MM - _MARGIN_MM
    right_mm = max(point.x for point in corners) + _MARGIN_MM
    half_mm = max(abs(point.y) for point in corners)
    numbers = _labels(drawing.frets, letters_mm) if labels else ()
    named = tuple(_notes_by_fret(drawing)) if notes else ()
    note_mm = _note_mm(drawing, named)
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
        fret_mm=fret_mm,
        string_mm=drawing.length_mm * _STRING_PER_LENGTH,
        nut_mm=_NUT_MM,
        behind_mm=behind_mm,
        marker_mm=_marker_mm(drawing, fret_mm),
        end=_broken_end(drawing) if not drawing.length_is_known else "",
        with_notes=notes,
        notes=tuple(_within_edges(drawing, _with_room(named, note_mm), note_mm)),
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


def _marker_mm(drawing: PublishedDrawing, fret_mm: float) -> float:
    """One size for all markers, small enough that none lies over a fret."""
    rooms = (
        abs(_along(fret.bass, fret.treble, marker.y) - marker.x) - fret_mm / 2
        for marker in drawing.markers
        for fret in drawing.frets
    )
    room_mm = min(rooms, default=_MOST_MARKER_MM)
    largest_mm = min(drawing.width_at_nut_mm * _MARKER_PER_WIDTH, _MOST_MARKER_MM)
    return min(largest_mm, max(room_mm * _MARKER_PER_ROOM, _LEAST_MARKER_MM))


def _along(one: PublishedPoint, other: PublishedPoint, y: float) -> float:
    """How far along the board the straight line through two points is at `y` across it."""
    return one.x + (other.x - one.x) * (y - one.y) / (other.y - one.y)


def _notes_by_fret(drawing: PublishedDrawing) -> Iterator[tuple[PublishedFretLine, tuple[PublishedFretNote, ...]]]:
    """Each fret with the notes that stand before it, from the first fret on."""
    waiting = list(drawing.notes)
    for fret in drawing.frets:
        here = tuple(note for note in waiting if note.at.x < _along(fret.bass, fret.treble, note.at.y))
        if fret.is_partial:  # the other courses pass it by, and their next names stand just behind it
            here = tuple(note for note in here if fret.treble.y <= note.at.y <= fret.bass.y)
        waiting = [note for note in waiting if note not in here]
        yield fret, here


_Named = Sequence[tuple[PublishedFretLine, tuple[PublishedFretNote, ...]]]


def _note_mm(drawing: PublishedDrawing, named: _Named) -> float:
    """Size of the names: as large as the room between neighbouring courses allows where they lie closest."""
    rooms = (
        abs(one.at.y - other.at.y) * _NOTE_PER_COURSE for _, notes in named for one, other in pairwise(notes)
    )  # courses are named in their order across the board
    largest_mm = drawing.length_mm * _NOTE_PER_LENGTH
    return min((largest_mm, *rooms))


def _with_room(named: _Named, note_mm: float) -> Iterator[PublishedFretNote]:
    """The names that have room. Where frets crowd, all of a fret's names are left out, those of half frets first."""
    drawn: list[tuple[float, float, float]] = []
    for _, notes in sorted(named, key=lambda each: each[0].is_half):
        places = [_place_of(note, note_mm) for note in notes]
        if not any(_touch(place, other, note_mm) for place in places for other in drawn):
            drawn += places
            yield from notes


def _place_of(note: PublishedFretNote, note_mm: float) -> tuple[float, float, float]:
    """From where to where a name reaches along the board, with half the air between two, and its place across."""
    half_mm = note_mm * (_LETTER_WIDTH * len(note.name[:-1]) + _NOTE_AIR) / 2
    return note.at.x - half_mm, note.at.x + half_mm, note.at.y


def _touch(one: tuple[float, float, float], other: tuple[float, float, float], note_mm: float) -> bool:
    return one[0] < other[1] and other[0] < one[1] and abs(one[2] - other[2]) < note_mm / 2


def _within_edges(
    drawing: PublishedDrawing, notes: Iterable[PublishedFretNote], note_mm: float
) -> Iterator[PublishedFretNote]:
    """Names of outer courses moved inwards where they would stand over the edge of the board."""
    nut_bass, nut_treble, end_treble, end_bass = drawing.outline
    for note in notes:
        lowest = _across(nut_bass, end_bass, note.at.x) - note_mm * _HALF_NOTE
        highest = _across(nut_treble, end_treble, note.at.x) + note_mm * _HALF_NOTE
        yield replace(note, at=PublishedPoint(note.at.x, max(highest, min(lowest, note.at.y))))


def _across(one: PublishedPoint, other: PublishedPoint, x: float) -> float:
    """How far across the board an edge through two points is at `x` along it."""
    return one.y + (other.y - one.y) * (x - one.x) / (other.x - one.x)


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
