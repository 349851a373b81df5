"""A board of two scale lengths: every fret a straight line across both outer strings, leaning as it must.

Places are points in millimetres: `x` along the centre line of the board, 0 where the nut crosses it, `y` across it,
above zero on the bass side. The outer strings run straight from nut to saddle, and each has its own scale length
along itself. A board of one scale length is the case in which both are alike.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from builder.calculations.frets import distance_from_nut_mm


@dataclass(frozen=True, slots=True)
class Point:
    """A place on the board in millimetres."""

    x: float
    y: float

    def distance_mm(self, other: Point) -> float:
        """How far another place is."""
        return math.hypot(self.x - other.x, self.y - other.y)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line across the board, from its bass side to its treble side."""

    bass: Point
    treble: Point

    @property
    def degrees(self) -> float:
        """How far it leans: 0 is square to the centre line, above zero the bass end lies nearer the saddle."""
        return math.degrees(math.atan2(self.bass.x - self.treble.x, self.bass.y - self.treble.y))

    def at(self, part: float) -> Point:
        """The place so far along it: 0 its bass end, 1 its treble end; beyond both it goes straight on."""
        return Point(
            self.bass.x + part * (self.treble.x - self.bass.x), self.bass.y + part * (self.treble.y - self.bass.y)
        )


@dataclass(frozen=True, slots=True)
class OuterStrings:
    """The two outer strings of a board: scale lengths along them, and how far apart they are at nut and saddle.

    Each string's lean, |spread at saddle − spread at nut| / 2 over its scale length, must be below one.
    """

    bass_mm: float
    treble_mm: float
    spread_at_nut_mm: float
    spread_at_saddle_mm: float

    def lines_mm(self, ratios: Sequence[float], square_ratio: float) -> tuple[Line, tuple[Line, ...], Line]:
        """Nut, frets and saddle (without setback) as lines between the outer strings.

        `ratios` are the frets' frequency ratios; the fret of `square_ratio` (1: the nut) stands square to the board.
        """
        square_bass = self._along(self.bass_mm, square_ratio)
        square_treble = self._along(self.treble_mm, square_ratio)
        shift = square_bass - square_treble
        middle = shift / 2

        def line(ratio: float) -> Line:
            part = 1.0 - 1.0 / ratio
            half_mm = (self.spread_at_nut_mm + part * (self.spread_at_saddle_mm - self.spread_at_nut_mm)) / 2
            return Line(
                Point(self._along(self.bass_mm, ratio) - middle, half_mm),
                Point(self._along(self.treble_mm, ratio) + shift - middle, -half_mm),
            )

        return line(1.0), tuple(map(line, ratios)), line(math.inf)

    def _along(self, scale_length_mm: float, ratio: float) -> float:
        """How far along the centre line a fret on one of the strings lies from that string's own nut."""
        return distance_from_nut_mm(scale_length_mm, ratio) * self._straightness(scale_length_mm)

    def _straightness(self, scale_length_mm: float) -> float:
        lean = (self.spread_at_saddle_mm - self.spread_at_nut_mm) / 2 / scale_length_mm
        return math.sqrt(1.0 - lean * lean)


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of a board that widens or narrows evenly: its widths square across at the nut and at `length_mm`."""

    width_at_nut_mm: float
    width_at_end_mm: float
    length_mm: float

    def carried_to(self, line: Line) -> Line:
        """A line carried on, or cut back, to the board's two edges."""
        return Line(self._meeting(line, 1), self._meeting(line, -1))

    def _meeting(self, line: Line, side: int) -> Point:
        slope = (self.width_at_end_mm - self.width_at_nut_mm) / 2 / self.length_mm
        across = line.treble.y - line.bass.y
        along = line.treble.x - line.bass.x
        # On the edge y = side·(half the width at nut + slope·x); on the line both grow evenly with the part t.
        t = (side * (self.width_at_nut_mm / 2 + slope * line.bass.x) - line.bass.y) / (across - side * slope * along)
        return line.at(t)
