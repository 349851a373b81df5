"""Bodies and sound holes of a known shape, by their sizes in millimetres."""

from __future__ import annotations

import math
from typing import Literal

from builder.calculations.answers import Outside
from builder.calculations.curves import Spot, flattened
from builder.calculations.outline import Outline, ellipse, outline_of, rectangle, through_half_widths

HoleShape = Literal["circle", "ellipse", "slot", "rectangle", "diamond", "heart"]


def round_body(length_mm: float, width_mm: float) -> Outline | Outside:
    """An ellipse, or a circle where both sizes are alike."""
    return outline_of(ellipse((length_mm / 2, 0.0), length_mm, width_mm))


def square_body(length_mm: float, width_mm: float, corner_mm: float = 0.0) -> Outline | Outside:
    """A rectangle, with rounded corners where these have a radius. Outside where the corners do not fit."""
    if corner_mm > min(length_mm, width_mm) / 2:
        return Outside("the corners are rounder than the body is wide or long")
    return outline_of(rectangle((length_mm / 2, 0.0), length_mm, width_mm, corner_mm))


def tapered_body(length_mm: float, tail_mm: float, head_mm: float) -> Outline | Outside:
    """Straight sides from the width at the tail end to that at the head end."""
    return through_half_widths(((0.0, tail_mm / 2), (length_mm, head_mm / 2)), "pointed")


def teardrop(
    length_mm: float, width_mm: float, widest_at_mm: float, tail_mm: float = 0.0, head_mm: float = 0.0
) -> Outline | Outside:
    """One swelling, widest at a place between the ends. An end of width 0 closes round."""
    return through_half_widths(((0.0, tail_mm / 2), (widest_at_mm, width_mm / 2), (length_mm, head_mm / 2)))


def hourglass(
    length_mm: float,
    lower_bout: tuple[float, float],
    waist: tuple[float, float],
    upper_bout: tuple[float, float],
    tail_mm: float = 0.0,
    head_mm: float = 0.0,
) -> Outline | Outside:
    """Two bouts and a waist between them, each as its place from the tail end and its width. Ends as in a teardrop.

    Outside where the waist is not the narrowest of the three.
    """
    if not waist[1] < min(lower_bout[1], upper_bout[1]):
        return Outside("the waist is not narrower than both bouts")
    stations = [(at, width / 2) for at, width in (lower_bout, waist, upper_bout)]
    return through_half_widths(((0.0, tail_mm / 2), *stations, (length_mm, head_mm / 2)))


def hole(shape: HoleShape, at: Spot, long_mm: float, wide_mm: float, tilt_degrees: float = 0.0) -> tuple[Spot, ...]:
    """The edge of a sound hole around the place `at`, tilted by an angle that turns its head end to the bass side.

    A slot has round ends, half circles as wide as it is. A heart has its point at the tail end; it is two half
    circles over two quarters of a wave, and fills its length and width.
    """
    if shape in ("circle", "ellipse"):
        spots = ellipse((0.0, 0.0), long_mm, wide_mm)
    elif shape == "slot":
        spots = rectangle((0.0, 0.0), long_mm, wide_mm, min(long_mm, wide_mm) / 2)
    elif shape == "rectangle":
        spots = rectangle((0.0, 0.0), long_mm, wide_mm)
    elif shape == "diamond":
        spots = [(-long_mm / 2, 0.0), (0.0, wide_mm / 2), (long_mm / 2, 0.0), (0.0, -wide_mm / 2)]
    else:
        spots = _heart(long_mm, wide_mm)
    turn = math.radians(tilt_degrees)
    cos, sin = math.cos(turn), math.sin(turn)
    return tuple((at[0] + x * cos - y * sin, at[1] + x * sin + y * cos) for x, y in spots)


#: Where the round lobes of a heart begin, as a part of its length from the point.
_LOBES_AT = 0.7


def _heart(long_mm: float, wide_mm: float) -> list[Spot]:
    """Point at the tail end: from there along the bass side over its lobe to the middle, and its mirror image back."""
    lobes = (_LOBES_AT - 0.5) * long_mm

    def flank(part: float) -> Spot:
        return -long_mm / 2 + _LOBES_AT * long_mm * part, wide_mm / 2 * math.sin(math.pi / 2 * part)

    def lobe(angle: float) -> Spot:
        return lobes + (1 - _LOBES_AT) * long_mm * math.sin(angle), wide_mm / 4 * (1 + math.cos(angle))

    bass = [*flattened(flank, 0.0, 1.0), *flattened(lobe, 0.0, math.pi)[1:]]
    return [*bass, *((x, -y) for x, y in reversed(bass[1:-1]))]
