"""What a hand must span: the way between frets pressed together, for one scale length or several."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from builder.calculations.answers import Outside
from builder.calculations.frets import FretNumber, read_fret_number
from builder.lengths import NotUnderstood


@dataclass(frozen=True, slots=True)
class Shape:
    """Frets pressed together, one a string from the bass; 0 is an open string."""

    frets: tuple[FretNumber, ...]

    def __str__(self) -> str:
        return "-".join(map(str, self.frets))


def read_shape(text: str) -> Shape:
    """Read `1-3` or `2-0-5`. Raises NotUnderstood with a hint for anything else."""
    parts = re.split(r"\s*[-–]\s*", text.strip())
    if len(parts) < 2:
        raise NotUnderstood(f"«{text}» is not a pair or a shape of frets", "write the frets with hyphens: 1-3 or 2-0-5")
    return Shape(tuple(read_fret_number(part) for part in parts))


def span_mm(shape: Shape, places_mm: Mapping[FretNumber, float]) -> float | Outside:
    """How far apart, along the neck, the lowest and the highest fret pressed lie; open strings need no finger.

    Each finger is taken to lie as far behind its fret as the others do. `places_mm` holds each fret's distance from
    the nut. Answers Outside where a fret of the shape is not on the board. What it leaves out: the way across the
    strings, which adds a little. Common practice.
    """
    pressed = [fret for fret in shape.frets if fret.halves]
    absent = [fret for fret in pressed if fret not in places_mm]
    if absent:
        return Outside(f"there is no fret {absent[0]} on this board")
    places = [places_mm[fret] for fret in pressed]
    return max(places, default=0.0) - min(places, default=0.0)
