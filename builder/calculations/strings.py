"""Strings as the trade writes them: a note, a gauge in thousandths of an inch, a letter for the make.

What a string weighs and pulls belongs here too.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from builder.calculations.pitch import Note, read_note
from builder.lengths import NotUnderstood

#: Letter behind the gauge ─► what the string is made of. No letter: plain steel.
MAKES = {"": "plain steel", "w": "wound", "n": "nylon", "f": "fluorocarbon", "g": "gut"}

MOST_STRINGS_IN_A_COURSE = 3

_STRING = re.compile(r"(\S+)(?:\s+(\d{1,3}(?:\.\d)?)\s*([wnfg]?))?(?:\s+x\s*(\d))?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Course:
    """One string, or a course of two or three alike; gauge in thousandths of an inch.

    Gauge and make are None where only a note is written.
    """

    note: Note
    gauge_thousandths: float | None
    make: str | None
    count: int

    @property
    def diameter_mm(self) -> float | None:
        """Diameter of one string."""
        return None if self.gauge_thousandths is None else self.gauge_thousandths * 0.0254


def read_course(text: str) -> Course:
    """Read `D3 22w`, `A3 12`, `D4 10 x2`, or a note alone. Raises NotUnderstood with a hint."""
    example = "write note, gauge in thousandths and make: D3 22w, A3 12, D4 10 x2"
    found = _STRING.fullmatch(text.strip().replace("×", "x"))
    if not found:
        raise NotUnderstood(f"«{text}» is not a string", example)
    note, gauge, make, count = found.groups()
    if gauge and not 5 <= float(gauge) <= 200:
        raise NotUnderstood(
            f"a string of {gauge} thousandths of an inch does not exist", "the gauge lies between 5 and 200"
        )
    if count and not 1 <= int(count) <= MOST_STRINGS_IN_A_COURSE:
        raise NotUnderstood(f"a course of {count} strings", "a course has one, two or three strings")
    return Course(read_note(note), float(gauge) if gauge else None, MAKES[make] if gauge else None, int(count or 1))


@dataclass(frozen=True, slots=True)
class Tuning:
    """What the open courses are tuned to, bass first."""

    notes: tuple[Note, ...]

    def __str__(self) -> str:
        return " ".join(map(str, self.notes))


def read_tuning(text: str) -> Tuning:
    """Read `D3 A3 D4`, bass first. Raises NotUnderstood with a hint."""
    notes = tuple(read_note(word) for word in text.split())
    if not notes:
        raise NotUnderstood("there are no notes here", "write one note a course, bass first: D3 A3 D4")
    return Tuning(notes)
