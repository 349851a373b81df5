"""Where each string lies at nut and saddle."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from builder.calculations.answers import Missing
from builder.calculations.spacing import centres_mm, clear_gaps_mm, equal_centre_mm, equal_gap_mm
from builder.calculations.strings import Course, SingleString
from builder.problems import Finding
from builder.record import Spacing, Spec


@dataclass(frozen=True, slots=True)
class SpacedString:
    """One string: its course counted from the bass, how far its centre lies from the first string's, and the gaps.

    The clear gap lies between this string and the one before it; the first has none.
    """

    course: int
    string: SingleString
    at_nut_mm: float
    at_saddle_mm: float
    gap_at_nut_mm: float | None
    gap_at_saddle_mm: float | None


@dataclass(frozen=True, slots=True)
class SpacingResults:
    """All strings, bass first, and the margins from the outer strings' outsides to the board's edges at the nut."""

    strings: tuple[SpacedString, ...]
    spread_at_nut_mm: float
    spread_at_saddle_mm: float
    bass_margin_mm: float | None
    treble_margin_mm: float | None

    def middle_of(self, course: int) -> tuple[float, float]:
        """How far the middle of a course lies from the first string, at nut and at saddle."""
        of_it = [each for each in self.strings if each.course == course]
        first, last = of_it[0], of_it[-1]
        return (first.at_nut_mm + last.at_nut_mm) / 2, (first.at_saddle_mm + last.at_saddle_mm) / 2


def work_out_spacing(spec: Spec, courses: tuple[Course, ...]) -> tuple[SpacingResults | Missing, tuple[Finding, ...]]:
    """Share the room between the strings by the rule the specification names."""
    spacing = spec.spacing
    if spacing is None or not courses:
        return Missing(("spec.spacing",) if spacing is None else ("spec.strings",)), ()
    strings = [(number, string) for number, course in enumerate(courses, 1) for string in course.strings]
    if len(courses) < 2:
        return Missing(("spec.strings",)), ()
    if any(len(course.strings) > 1 for course in courses) and spacing.pair_gap is None:
        return Missing(("spec.spacing.pair_gap",)), ()
    if spacing.rule == "equal gaps" and any(string.diameter_mm is None for _, string in strings):
        return Missing(("spec.strings",)), ()
    at_nut, at_saddle = (_centres(spread.mm, courses, spacing) for spread in (spacing.at_nut, spacing.at_saddle))
    findings = []
    diameters = [string.diameter_mm or 0.0 for _, string in strings]
    gaps_at_nut, gaps_at_saddle = (clear_gaps_mm(centres, diameters) for centres in (at_nut, at_saddle))
    for field, gaps in (("at_nut", gaps_at_nut), ("at_saddle", gaps_at_saddle)):
        if min(gaps) <= 0:
            message = "the strings do not fit side by side in this spread"
            hint = "make it wider, or the strings thinner"
            findings.append(Finding("does-not-fit", f"spec.spacing.{field}", message, hint))
    board = spec.fretboard
    margins: tuple[float | None, float | None] = (None, None)
    if board is not None and board.width_at_nut is not None:
        room_mm = (board.width_at_nut.mm - spacing.at_nut.mm) / 2
        margins = (room_mm - (strings[0][1].diameter_mm or 0) / 2, room_mm - (strings[-1][1].diameter_mm or 0) / 2)
        if room_mm <= 0:
            message = "the outer strings lie beyond the edges of the board at the nut"
            findings.append(
                Finding("does-not-fit", "spec.spacing.at_nut", message, "make it narrower than width_at_nut")
            )
    spaced = tuple(
        SpacedString(number, string, nut_mm, saddle_mm, nut_gap_mm, saddle_gap_mm)
        for (number, string), nut_mm, saddle_mm, nut_gap_mm, saddle_gap_mm in zip(
            strings, at_nut, at_saddle, (None, *gaps_at_nut), (None, *gaps_at_saddle), strict=True
        )
    )
    results = SpacingResults(spaced, spacing.at_nut.mm, spacing.at_saddle.mm, *margins)
    return results, tuple(findings)


def _centres(spread_mm: float, courses: tuple[Course, ...], spacing: Spacing) -> tuple[float, ...]:
    """Centres of all strings from the first one, for one end of the strings."""
    pair_gap_mm = spacing.pair_gap.mm if spacing.pair_gap else 0.0
    diameters = [string.diameter_mm or 0.0 for course in courses for string in course.strings]
    if spacing.rule == "equal gaps":
        within = [pair_gap_mm for course in courses for _ in course.strings[1:]]
        gap_mm = equal_gap_mm(spread_mm, diameters, within)
        gaps = [gap_mm if number == 0 else pair_gap_mm for course in courses for number, _ in enumerate(course.strings)]
        return centres_mm(spread_mm, gaps[1:], diameters)
    widths = [
        sum(pair_gap_mm + ((one.diameter_mm or 0) + (other.diameter_mm or 0)) / 2
            for one, other in pairwise(course.strings))
        for course in courses
    ]  # fmt: skip
    step_mm = equal_centre_mm(spread_mm, widths[0], widths[-1], len(courses))
    centres = []
    for number, (course, width_mm) in enumerate(zip(courses, widths, strict=True)):
        start_mm = widths[0] / 2 + number * step_mm - width_mm / 2
        inside = centres_mm(
            width_mm, [pair_gap_mm] * (len(course.strings) - 1), [s.diameter_mm or 0.0 for s in course.strings]
        )
        centres += [start_mm + each for each in inside]
    return tuple(centres)
