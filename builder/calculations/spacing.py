"""How strings lie side by side: where each centre goes so that the gaps, or the centres, come out even."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise


def centres_mm(spread_mm: float, gaps_mm: Sequence[float], diameters_mm: Sequence[float]) -> tuple[float, ...]:
    """Centres of the strings from the first one, for given clear gaps; the last lies at `spread_mm`.

    `gaps_mm` holds one gap between each string and the next, `diameters_mm` one diameter a string.
    """
    steps = [gap + (one + other) / 2 for gap, (one, other) in zip(gaps_mm, pairwise(diameters_mm), strict=True)]
    reached = (0.0, *accumulate(steps))
    return (*reached[:-1], spread_mm) if len(reached) > 1 else reached


def clear_gaps_mm(centres_mm: Sequence[float], diameters_mm: Sequence[float]) -> tuple[float, ...]:
    """How much room is left between each string and the next; below zero they would touch.

    One centre and one diameter a string, in order across the board; one gap fewer comes back.
    """
    strings = zip(pairwise(centres_mm), pairwise(diameters_mm), strict=True)
    return tuple(after - before - (one + other) / 2 for (before, after), (one, other) in strings)


def equal_gap_mm(spread_mm: float, diameters_mm: Sequence[float], within_courses_mm: Sequence[float]) -> float:
    """The clear gap between courses that makes all such gaps alike.

    `spread_mm` runs from centre to centre of the outer strings; `within_courses_mm` holds the clear gaps between the
    strings of each course (none where every course is one string). Below zero the strings do not fit. Arithmetic:
    what the strings and the gaps inside courses leave, shared out evenly. Needs two courses or more.
    """
    thickness_mm = sum((one + other) / 2 for one, other in pairwise(diameters_mm))
    gaps = len(diameters_mm) - 1 - len(within_courses_mm)
    return (spread_mm - thickness_mm - sum(within_courses_mm)) / gaps


def equal_centre_mm(spread_mm: float, first_width_mm: float, last_width_mm: float, courses: int) -> float:
    """How far the middles of neighbouring courses lie apart when all do alike.

    Widths run from centre to centre of the outer strings of the first and the last course (0 for a single string).
    """
    return (spread_mm - (first_width_mm + last_width_mm) / 2) / (courses - 1)
