"""What full-size drawings are made of: strokes, circles and words, each at its place in millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.sheets.pen import CAPITAL, POINTS_PER_MM, Align, Face, Pen, Place, width_mm

#: Left, bottom, right and top of whatever something reaches.
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through places. `dash` is drawn and left out in turn; `grey` 0 is black, 1 white."""

    places: tuple[Place, ...]
    width_mm: float = 0.2
    closed: bool = False
    dash: tuple[float, ...] = ()
    grey: float = 0.0

    @property
    def box(self) -> Box:
        """The least and greatest it reaches: left, bottom, right, top."""
        along, across = zip(*self.places, strict=True)
        return min(along), min(across), max(along), max(across)


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle around a place, open or filled."""

    x: float
    y: float
    radius_mm: float
    line_mm: float = 0.2
    filled: bool = False

    @property
    def box(self) -> Box:
        """The least and greatest it reaches: left, bottom, right, top."""
        return self.x - self.radius_mm, self.y - self.radius_mm, self.x + self.radius_mm, self.y + self.radius_mm


@dataclass(frozen=True, slots=True)
class Lettering:
    """A line of text, `points` large: its base line starts, has its middle or ends at the place, turned by `degrees`.

    It is drawn whole or not at all where sheets overlap, so keep it shorter along the sheets than `OVERLAP_MM`.
    """

    text: str
    x: float
    y: float
    points: float = 9.0
    face: Face = "plain"
    align: Align = "left"
    degrees: float = 0.0

    @property
    def box(self) -> Box:
        """The least and greatest it reaches: left, bottom, right, top."""
        length = width_mm(self.text, self.points, self.face)
        before = {"left": 0.0, "middle": 0.5, "right": 1.0}[self.align] * length
        high = CAPITAL * self.points / POINTS_PER_MM
        cos, sin = math.cos(math.radians(self.degrees)), math.sin(math.radians(self.degrees))
        corners = [(a, b) for a in (-before, length - before) for b in (-0.3 * high, high)]
        along = [self.x + a * cos - b * sin for a, b in corners]
        across = [self.y + a * sin + b * cos for a, b in corners]
        return min(along), min(across), max(along), max(across)


Ink = Stroke | Disc | Lettering


def draw(pen: Pen, ink: Ink, dx: float, dy: float) -> None:
    """Put something on the page, moved by so many millimetres."""
    match ink:
        case Stroke():
            places = [(x + dx, y + dy) for x, y in ink.places]
            pen.line(places, ink.width_mm, closed=ink.closed, dash=ink.dash, grey=ink.grey)
        case Disc():
            pen.disc(ink.x + dx, ink.y + dy, ink.radius_mm, ink.line_mm, filled=ink.filled)
        case Lettering():
            pen.words(ink.text, ink.x + dx, ink.y + dy, ink.points, face=ink.face, align=ink.align, degrees=ink.degrees)
