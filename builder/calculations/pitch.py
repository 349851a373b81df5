"""Notes and their frequencies: `D3`, `F#3`, `B♭2`; middle C is C4."""

from __future__ import annotations

import re
from dataclasses import dataclass

from builder.lengths import NotUnderstood

CONCERT_PITCH_HZ = 440.0

_SEMITONES_OF_LETTER = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_ACCIDENTALS = {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}
_SIGNS = {-1: "♭", 0: "", 1: "♯"}
_A4 = 69

_NOTE = re.compile(r"([A-Ga-g])([#♯b♭]?)([0-8])", re.ASCII)


@dataclass(frozen=True, slots=True)
class Note:
    """A note by name: letter, accidental (−1 flat, 0, 1 sharp) and octave, middle C being C4."""

    letter: str
    accidental: int
    octave: int

    @property
    def semitone(self) -> int:
        """Number of the key on a keyboard, middle C being 60 (the numbering of the MIDI 1.0 standard, 1983)."""
        return 12 * (self.octave + 1) + _SEMITONES_OF_LETTER[self.letter] + self.accidental

    @property
    def name(self) -> str:
        """Letter and sign, without the octave."""
        return f"{self.letter}{_SIGNS[self.accidental]}"

    def __str__(self) -> str:
        return f"{self.name}{self.octave}"


def read_note(text: str) -> Note:
    """Read a note with its octave. Raises NotUnderstood with a hint for anything else."""
    found = _NOTE.fullmatch(text.strip())
    if found:
        letter, accidental, octave = found.groups()
        return Note(letter.upper(), _ACCIDENTALS[accidental], int(octave))
    if re.fullmatch(r"[A-Ga-g][#♯b♭]?", text.strip()):
        raise NotUnderstood(
            f"«{text}» has no octave",
            f"write the octave after it, like {text.strip().upper()[0]}{text.strip()[1:]}3; middle C is C4",
        )
    raise NotUnderstood(f"«{text}» is not a note", "write it like D3, F#3 or Bb2; middle C is C4")


def frequency_hz(note: Note, concert_pitch_hz: float = CONCERT_PITCH_HZ) -> float:
    """Frequency of a note in equal temperament, A4 being `concert_pitch_hz`. Source: equal-temperament (ISO 16)."""
    return float(concert_pitch_hz * 2.0 ** ((note.semitone - _A4) / 12))
