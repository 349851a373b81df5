"""The strings of one instrument and what they are tuned to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.pitch import Note, frequency_hz
from builder.calculations.strings import Course, Tuning
from builder.problems import Finding
from builder.record import Spec
from builder.shop import Shop


@dataclass(frozen=True, slots=True)
class TunedTo:
    """One tuning: its notes, bass first, and their frequencies."""

    tuning: Tuning
    frequencies_hz: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class StringResults:
    """Courses, bass first, with the frequency each is strung for; and every tuning."""

    set_name: str | None
    courses: tuple[Course, ...]
    frequencies_hz: tuple[float, ...]
    tunings: tuple[TunedTo, ...]


def work_out_strings(spec: Spec, shop: Shop) -> tuple[StringResults | Missing, tuple[Finding, ...]]:
    """Strings by name or one by one, and the frequencies of every tuning."""
    set_name = spec.strings if isinstance(spec.strings, str) else None
    courses = _courses(spec, shop.string_sets)
    if not courses:
        return Missing(("spec.strings",)), ()
    findings = []
    for number, tuning in enumerate(spec.tunings):
        if len(tuning.notes) != len(courses):
            message = f"this tuning has {_count(len(tuning.notes), 'note')} for {_count(len(courses), 'course')}"
            findings.append(Finding("does-not-fit", f"spec.tunings[{number}]", message, "write one note a course"))

    def pitches(notes: tuple[Note, ...]) -> tuple[float, ...]:
        return tuple(frequency_hz(note, shop.concert_pitch) for note in notes)

    tunings = tuple(TunedTo(tuning, pitches(tuning.notes)) for tuning in spec.tunings)
    return (
        StringResults(set_name, courses, pitches(tuple(course.note for course in courses)), tunings),
        tuple(findings),
    )


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _courses(spec: Spec, sets: Mapping[str, tuple[Course, ...]]) -> tuple[Course, ...]:
    return sets.get(spec.strings, ()) if isinstance(spec.strings, str) else spec.strings
