"""The strings of one instrument, what they are tuned to, and the note of every fret."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.frets import FretNumber
from builder.calculations.intervals import interval_name, spelled
from builder.calculations.pitch import Note, frequency_hz
from builder.calculations.strings import Course, Tuning
from builder.problems import Finding
from builder.record import FretSpec, Spec
from builder.record.strings import LongCourse
from builder.results.frets import FretResults
from builder.shop import Shop
from builder.words import counted

OPEN = "open"


@dataclass(frozen=True, slots=True)
class TunedTo:
    """One tuning: frequencies of the open courses, their intervals above the lowest, and the note of every fret.

    `note_map` has a row per fret, open strings first: its name and a note a course, empty where a string does not
    reach or a partial fret does not lie. None where frets are not notes of twelve.
    """

    tuning: Tuning
    key: Note
    frequencies_hz: tuple[float, ...]
    intervals: tuple[str, ...]
    note_map: tuple[tuple[str, tuple[str, ...]], ...] | None


@dataclass(frozen=True, slots=True)
class StringResults:
    """Courses, bass first, with the frequency of each string; and every tuning."""

    set_name: str | None
    courses: tuple[Course, ...]
    frequencies_hz: tuple[tuple[float, ...], ...]
    tunings: tuple[TunedTo, ...]


def courses_of(spec: Spec, sets: Mapping[str, tuple[Course, ...]]) -> tuple[Course, ...]:
    """The courses of a specification, written out or by the name of a set."""
    if isinstance(spec.strings, str):
        return sets.get(spec.strings, ())
    return tuple(each.string if isinstance(each, LongCourse) else each for each in spec.strings)


def work_out_strings(
    spec: Spec, shop: Shop, frets: FretResults | Missing
) -> tuple[StringResults | Missing, tuple[Finding, ...]]:
    """Strings by name or one by one, the frequencies of every tuning, and the notes of the board in it."""
    courses = courses_of(spec, shop.string_sets)
    if not courses:
        return Missing(("spec.strings",)), ()
    findings = [*_partial_findings(spec.frets, len(courses)), *_start_findings(spec, courses, frets)]
    tunings = []
    for number, tuning in enumerate(spec.tunings):
        if len(tuning.notes) != len(courses):
            message = f"this tuning has {counted(len(tuning.notes), 'note')} for {counted(len(courses), 'course')}"
            findings.append(Finding("does-not-fit", f"spec.tunings[{number}]", message, "write one note a course"))
        elif not findings:
            tunings.append(_tuned_to(tuning, spec, courses, frets, shop))
    frequencies = tuple(
        tuple(frequency_hz(string.note, shop.concert_pitch) for string in course.strings) for course in courses
    )
    set_name = spec.strings if isinstance(spec.strings, str) else None
    return StringResults(set_name, courses, frequencies, tuple(tunings)), tuple(findings)


def _tuned_to(
    tuning: Tuning, spec: Spec, courses: tuple[Course, ...], frets: FretResults | Missing, shop: Shop
) -> TunedTo:
    key = tuning.key or tuning.notes[0]
    lowest = min(note.semitone for note in tuning.notes)
    return TunedTo(
        tuning,
        key,
        tuple(frequency_hz(note, shop.concert_pitch) for note in tuning.notes),
        tuple(interval_name(note.semitone - lowest) for note in tuning.notes),
        None if isinstance(frets, Missing) else _note_map(tuning, key, spec, courses, frets),
    )


def _note_map(
    tuning: Tuning, key: Note, spec: Spec, courses: tuple[Course, ...], frets: FretResults
) -> tuple[tuple[str, tuple[str, ...]], ...] | None:
    semitones = {fret.number: fret.semitones for fret in frets.frets if fret.semitones is not None}
    if len(semitones) < len(frets.frets):
        return None
    partial = spec.frets.partial if spec.frets else {}
    rows = [(OPEN, tuple(map(str, tuning.notes)))]
    for number, above in semitones.items():
        notes = []
        for course_number, (note, course) in enumerate(zip(tuning.notes, courses, strict=True), 1):
            start = semitones[course.starts_at] if course.starts_at else 0
            reaches = course.starts_at is None or number > course.starts_at
            lies = number not in partial or course_number in partial[number]
            notes.append(str(spelled(note.semitone + above - start, key)) if reaches and lies else "")
        rows.append((str(number), tuple(notes)))
    return tuple(rows)


def _start_findings(spec: Spec, courses: tuple[Course, ...], frets: FretResults | Missing) -> list[Finding]:
    """A short string must start at a fret that is there."""
    numbers: set[FretNumber] = set() if isinstance(frets, Missing) else {fret.number for fret in frets.frets}
    findings = []
    for number, course in enumerate(courses):
        if course.starts_at is not None and numbers and course.starts_at not in numbers:
            field = "spec.strings" if isinstance(spec.strings, str) else f"spec.strings[{number}]"
            message = f"there is no fret {course.starts_at} for this string to start at"
            findings.append(Finding("does-not-fit", field, message, "name a fret of this board"))
    return findings


def _partial_findings(frets: FretSpec | None, courses: int) -> list[Finding]:
    """A partial fret lies under courses that are there, next to each other."""
    findings = []
    for number, under in (frets.partial if frets else {}).items():
        field = f"spec.frets.partial.{number}"
        if not under or max(under) > courses:
            message = f"fret {number} cannot lie under course {max(under, default=0)}; there are {courses}"
            findings.append(Finding("does-not-fit", field, message, "count the courses from the bass, from 1"))
        elif sorted(under) != list(range(min(under), max(under) + 1)):
            message = f"fret {number} lies under courses that are not next to each other"
            findings.append(Finding("does-not-fit", field, message, "a fret is one piece; name neighbours"))
    return findings
