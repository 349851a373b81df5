"""How long each string sounds: its own scale length, less what lies before the fret where a short string starts."""

from __future__ import annotations

from builder.calculations.answers import Missing
from builder.calculations.strings import Course
from builder.record import MultiScale, Spec
from builder.results.frets import FretResults
from builder.results.spacing import SpacingResults


def sounding_lengths_mm(
    spec: Spec, courses: tuple[Course, ...], frets: FretResults | Missing, spacing: SpacingResults | Missing
) -> tuple[float | None, ...]:
    """The open length of every string, bass first, without setback.

    Between two scale lengths a string has its own, by where it lies; where the spacing is not known the strings are
    taken as evenly spaced. None where a string starts at a fret that is not known, and where there is no scale length.
    """
    whole_mm = _whole_lengths_mm(spec, courses, frets, spacing)
    starts = [course.starts_at for course in courses for _ in course.strings]
    ratios = {} if isinstance(frets, Missing) else {fret.number: fret.ratio for fret in frets.frets}
    return tuple(
        length_mm if start is None or length_mm is None else _rest(length_mm, ratios.get(start))
        for length_mm, start in zip(whole_mm, starts, strict=True)
    )


def _rest(length_mm: float, ratio: float | None) -> float | None:
    return None if ratio is None else length_mm / ratio


def _whole_lengths_mm(
    spec: Spec, courses: tuple[Course, ...], frets: FretResults | Missing, spacing: SpacingResults | Missing
) -> tuple[float | None, ...]:
    """Every string from nut to saddle."""
    scale = spec.scale_length
    numbers = [number for number, course in enumerate(courses) for _ in course.strings]
    if scale is None:
        return (None,) * len(numbers)
    if not isinstance(scale, MultiScale):
        return (scale.mm,) * len(numbers)
    if not isinstance(frets, Missing) and not isinstance(spacing, Missing) and frets.nut and frets.saddle:
        return tuple(
            frets.nut.at(each.at_nut_mm / spacing.spread_at_nut_mm).distance_mm(
                frets.saddle.at(each.at_saddle_mm / spacing.spread_at_saddle_mm)
            )
            for each in spacing.strings
        )
    steps = max(len(courses) - 1, 1)
    return tuple(scale.bass.mm + number / steps * (scale.treble.mm - scale.bass.mm) for number in numbers)
