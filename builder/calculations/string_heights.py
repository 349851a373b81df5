"""How high the strings lie: from the clearances wanted over two frets to the heights of nut and saddle.

The frets' crowns are taken to lie in one plane, and the open string as a straight line above it. Millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Outside


@dataclass(frozen=True, slots=True)
class HeightLine:
    """An open string above the crowns: how high its underside lies at the nut's place, and its rise per millimetre."""

    at_nut_mm: float
    rise: float

    def above_crowns_mm(self, place_mm: float) -> float:
        """Its height over the plane of the crowns, so far from the nut. Below zero it would lie lower than they."""
        return self.at_nut_mm + self.rise * place_mm


def height_line(places_mm: tuple[float, float], clearances_mm: tuple[float, float]) -> HeightLine | Outside:
    """The straight line of a string that clears two frets by so much; `places_mm` from the nut.

    h(x) = c₁ + (c₂ − c₁)·(x − x₁)/(x₂ − x₁). Over a nut that lies lower than the crowns h(0) is below zero. Two
    clearances at one place answer Outside. Source: string-heights.
    """
    (one_mm, other_mm), (at_one_mm, at_other_mm) = places_mm, clearances_mm
    if one_mm == other_mm:
        return Outside("two clearances at one fret make no line")
    rise = (at_other_mm - at_one_mm) / (other_mm - one_mm)
    return HeightLine(at_one_mm - rise * one_mm, rise)


def line_between(bass: HeightLine, treble: HeightLine, part: float) -> HeightLine:
    """The line of a string that lies `part` of the way across: 0 the bass string, 1 the treble string."""
    return HeightLine(
        bass.at_nut_mm + part * (treble.at_nut_mm - bass.at_nut_mm), bass.rise + part * (treble.rise - bass.rise)
    )
