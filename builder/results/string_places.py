"""Where every string lies in its nut slot, on its saddle and in its pin hole: points of the board, for full-size paper.

A place is a point in millimetres, `x` along the centre line from the nut, `y` across, the bass side above zero.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.slanted import Line, Point
from builder.calculations.strings import Course, SingleString
from builder.record.strings import BridgeSpec
from builder.results.fretboard import FretboardResults
from builder.results.frets import FretResults
from builder.results.setback import SetbackResults, StringSetback
from builder.results.spacing import SpacingResults

#: What stands in for the width of a board whose width is not known; frets are then drawn so long and no longer.
STAND_IN_WIDTH_MM = 50.0


@dataclass(frozen=True, slots=True)
class StringPlace:
    """One string. `start` is where it begins to sound (nut set back, or the fret of a short string).

    `bare_saddle` is its saddle place without setback, `saddle` with it; `setback_mm` is None where it could not be
    worked out, and the two are then alike. `pin` is None where the record does not say how far behind the end of the
    scale length pins are. `along_nut_mm` counts from the bass edge of the nut (None for a short string, and where the
    width is not known), `along_saddle_mm` from the first string along the saddle line.
    """

    course: int
    string: SingleString
    is_short: bool
    start: Point
    bare_saddle: Point
    saddle: Point
    pin: Point | None
    setback_mm: float | None
    nut_mm: float
    nut_to_saddle_mm: float
    along_nut_mm: float | None
    along_saddle_mm: float


def nut_of(frets: FretResults, board: FretboardResults | Missing, spacing: SpacingResults | Missing) -> Line:
    """The nut from edge to edge; where the board's widths are not known, a line across the strings or so."""
    if isinstance(board, FretboardResults):
        return Line(board.outline[0], board.outline[1])
    if frets.nut is not None:
        return frets.nut
    spread_mm = 0.0 if isinstance(spacing, Missing) else spacing.spread_at_nut_mm
    half_mm = max(STAND_IN_WIDTH_MM, spread_mm) / 2
    return Line(Point(0.0, half_mm), Point(0.0, -half_mm))


def frets_of_plain_board(frets: FretResults, nut: Line) -> tuple[Line, ...]:
    """Fret lines where the board's widths are not known: as long as the nut, or from outer string to outer string."""
    if frets.slanted:
        return frets.slanted
    return tuple(
        Line(
            Point(fret.places[0].from_nut_mm + nut.bass.x, nut.bass.y),
            Point(fret.places[0].from_nut_mm + nut.treble.x, nut.treble.y),
        )
        for fret in frets.frets
    )


def bare_saddle_of(frets: FretResults, spacing: SpacingResults | Missing, nut: Line) -> Line:
    """The saddle without setback, under the outer strings; where those are not known, as long as the nut."""
    if frets.saddle is not None:
        return frets.saddle
    x_mm = frets.lines[0].scale_length_mm
    half_mm = nut.bass.y if isinstance(spacing, Missing) else spacing.spread_at_saddle_mm / 2
    return Line(Point(x_mm, half_mm), Point(x_mm, -half_mm))


def place_strings(
    frets: FretResults,
    board: FretboardResults | Missing,
    spacing: SpacingResults | Missing,
    setback: SetbackResults | Missing,
    courses: tuple[Course, ...],
    bridge: BridgeSpec | None,
) -> tuple[StringPlace, ...]:
    """Carry each string straight from nut to saddle, and on by its setback; empty where the spacing is not known.

    On a board of one scale length setback counts along the centre line, as its places do; between two scale lengths
    it counts along each string.
    """
    if isinstance(spacing, Missing):
        return ()
    edge = board.outline[0] if isinstance(board, FretboardResults) else None
    nut = frets.nut or Line(Point(0.0, spacing.spread_at_nut_mm / 2), Point(0.0, -spacing.spread_at_nut_mm / 2))
    saddle = bare_saddle_of(frets, spacing, nut)
    first_mm = saddle.bass.distance_mm(saddle.treble) / spacing.spread_at_saddle_mm
    parts = {fret.number: 1.0 - 1.0 / fret.ratio for fret in frets.frets}
    behind_mm = bridge.pins_behind_saddle.mm if bridge and bridge.pins_behind_saddle else None
    found = []
    for each in spacing.strings:
        starts_at = courses[each.course - 1].starts_at
        line = Line(
            nut.at(each.at_nut_mm / spacing.spread_at_nut_mm),
            saddle.at(each.at_saddle_mm / spacing.spread_at_saddle_mm),
        )
        length_mm = line.bass.distance_mm(line.treble) if frets.saddle else frets.lines[0].scale_length_mm
        part = parts.get(starts_at, 0.0) if starts_at else 0.0
        set_back = _setback_of(setback, each.course, each.string)
        taken_mm, nut_mm = (set_back.taken_mm, set_back.nut_mm) if set_back else (0.0, 0.0)
        found.append(
            StringPlace(
                each.course, each.string, starts_at is not None,
                line.at(part + nut_mm / length_mm), line.treble, line.at(1.0 + taken_mm / length_mm),
                None if behind_mm is None else line.at(1.0 + behind_mm / length_mm),
                set_back.taken_mm if set_back else None, nut_mm, (1.0 - part) * length_mm + taken_mm - nut_mm,
                edge.distance_mm(line.bass) if edge and starts_at is None else None,
                each.at_saddle_mm * first_mm,
            )
        )  # fmt: skip
    return tuple(found)


def _setback_of(setback: SetbackResults | Missing, course: int, string: SingleString) -> StringSetback | None:
    """What was worked out for a string; strings alike in one course share it."""
    if isinstance(setback, Missing):
        return None
    return next((each for each in setback.strings if each.above.course == course and each.above.string == string), None)
