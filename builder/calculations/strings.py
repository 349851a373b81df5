"""Strings as the trade writes them: a note, a gauge in thousandths of an inch, a letter for the make.

What a string weighs and pulls belongs here too.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from builder.calculations.frets import FretNumber, read_fret_number
from builder.calculations.pitch import Note, read_note
from builder.lengths import NotUnderstood

#: Letter behind the gauge ─► what the string is made of. No letter: plain steel.
MAKES = {
    "": "plain steel",
    "w": "wound",
    "n": "nylon",
    "f": "fluorocarbon",
    "g": "gut",
    "b": "brass",
    "p": "phosphor bronze",
}

MOST_STRINGS_IN_A_COURSE = 3
MM_PER_THOUSANDTH = 0.0254

FINEST_GAUGE, THICKEST_GAUGE = 5, 200

_GAUGE = re.compile(r"(\d{1,3}(?:\.\d)?)\s*([wnfgbp]?)", re.ASCII)
_STRING = re.compile(rf"(\S+)(?:\s+({_GAUGE.pattern}))?", re.ASCII)
_COURSE = re.compile(r"(.+?)(?:\s+x\s*(\d))?(?:\s+from\s+(\S+))?", re.ASCII)
_EXAMPLE = "write note, gauge in thousandths and make: D3 22w, A3 12, D4 10 x2, G3 36w + G4 14, G4 10 from 5"


@dataclass(frozen=True, slots=True)
class Gauge:
    """A string as it lies in the drawer, tuned to nothing: how thick it is and what it is made of."""

    thousandths: float
    make: str

    @property
    def diameter_mm(self) -> float:
        """Its diameter."""
        return self.thousandths * MM_PER_THOUSANDTH

    def __str__(self) -> str:
        letter = next(letter for letter, make in MAKES.items() if make == self.make)
        return f"{self.thousandths:g}{letter}"


@dataclass(frozen=True, slots=True)
class SingleString:
    """One string: its note, its gauge in thousandths of an inch, what it is made of.

    Gauge and make are None where only a note is written.
    """

    note: Note
    gauge_thousandths: float | None
    make: str | None

    @property
    def diameter_mm(self) -> float | None:
        """Its diameter."""
        return None if self.gauge_thousandths is None else self.gauge_thousandths * MM_PER_THOUSANDTH

    @property
    def gauge(self) -> Gauge | None:
        """What to take from the drawer, where that is known."""
        if self.gauge_thousandths is None or self.make is None:
            return None
        return Gauge(self.gauge_thousandths, self.make)

    def __str__(self) -> str:
        return f"{self.note} {self.gauge}" if self.gauge else str(self.note)


@dataclass(frozen=True, slots=True)
class Course:
    """One string, or two or three played as one; an octave pair has two that differ, the first giving the note.

    `starts_at` is the fret where a short string starts, as the fifth of a banjo does.
    """

    strings: tuple[SingleString, ...]
    starts_at: FretNumber | None = None

    @property
    def note(self) -> Note:
        """The note of the course."""
        return self.strings[0].note


def read_course(text: str) -> Course:
    """Read `D3 22w`, `D4 10 x2`, `G3 36w + G4 14`, `G4 10 from 5`, or a note. Raises NotUnderstood with a hint."""
    found = _COURSE.fullmatch(text.strip().replace("×", "x"))
    if not found:
        raise NotUnderstood(f"«{text}» is not a string", _EXAMPLE)
    written, count, start = found.groups()
    strings = tuple(_read_string(part.strip(), text) for part in written.split("+"))
    if count is not None:
        if len(strings) > 1 or not 1 <= int(count) <= MOST_STRINGS_IN_A_COURSE:
            raise NotUnderstood(
                f"«{text}» is not a course", "a course has one, two or three strings, all alike after x"
            )
        strings *= int(count)
    if len(strings) > MOST_STRINGS_IN_A_COURSE:
        raise NotUnderstood(f"a course of {len(strings)} strings", "a course has one, two or three strings")
    starts_at = read_fret_number(start) if start is not None else None
    return Course(strings, starts_at if starts_at and starts_at.halves else None)


def _read_string(written: str, text: str) -> SingleString:
    found = _STRING.fullmatch(written)
    if not found:
        raise NotUnderstood(f"«{text}» is not a string", _EXAMPLE)
    note, written_gauge, *_ = found.groups()
    if written_gauge is None:
        return SingleString(read_note(note), None, None)
    gauge = read_gauge(written_gauge)
    return SingleString(read_note(note), gauge.thousandths, gauge.make)


def read_gauge(text: str) -> Gauge:
    """Read `22w`, `10`, `25.5f`: a string by its gauge and make. Raises NotUnderstood with a hint."""
    found = _GAUGE.fullmatch(text.strip())
    if not found:
        raise NotUnderstood(
            f"«{text}» is not a gauge", "write gauge in thousandths of an inch and make: 10, 22w, 25.5f"
        )
    thousandths, make = found.groups()
    if not FINEST_GAUGE <= float(thousandths) <= THICKEST_GAUGE:
        raise NotUnderstood(
            f"a string of {thousandths} thousandths of an inch does not exist",
            f"the gauge lies between {FINEST_GAUGE} and {THICKEST_GAUGE}",
        )
    return Gauge(float(thousandths), MAKES[make])


@dataclass(frozen=True, slots=True)
class Tuning:
    """What the open courses are tuned to, bass first; `key` is the note its names are spelled from, if it is said."""

    notes: tuple[Note, ...]
    key: Note | None = None

    def __str__(self) -> str:
        return " ".join(map(str, self.notes))


def read_tuning(text: str) -> Tuning:
    """Read `D3 A3 D4`, bass first, or `D3 A3 D4 in G` with its key. Raises NotUnderstood with a hint."""
    written, _, key = text.partition(" in ")
    notes = tuple(read_note(word) for word in written.split())
    if not notes:
        raise NotUnderstood("there are no notes here", "write one note a course, bass first: D3 A3 D4")
    return Tuning(notes, read_note(f"{key.strip()}4") if key.strip() else None)
