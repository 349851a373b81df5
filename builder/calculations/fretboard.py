"""The board the frets sit in: how wide it is at a place, and where its markers go."""

from __future__ import annotations


def width_at_mm(from_nut_mm: float, length_mm: float, width_at_nut_mm: float, width_at_end_mm: float) -> float:
    """How wide a board with straight edges is at a distance from the nut.

    Linear between nut and end, for any length above zero; `width_at_end_mm` is the width at `length_mm`.
    """
    return width_at_nut_mm + (width_at_end_mm - width_at_nut_mm) * from_nut_mm / length_mm


def marker_place_mm(fret_before_mm: float, fret_mm: float) -> float:
    """Where a marker for a fret goes: midway between it and the fret before (or the nut). Common practice."""
    return (fret_before_mm + fret_mm) / 2
