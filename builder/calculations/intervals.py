"""Names of notes and of the intervals between them, spelled as a musician in the key would spell them."""

from __future__ import annotations

from builder.calculations.pitch import Note
from builder.calculations.temperaments import FIFTHS_PER_SHARP, SEMITONES_PER_OCTAVE, USUAL_FIFTHS

_LETTERS = "FCGDAEB"

_INTERVALS = (
    "unison", "minor second", "major second", "minor third", "major third", "fourth", "tritone", "fifth",
    "minor sixth", "major sixth", "minor seventh", "major seventh",
)  # fmt: skip
_OCTAVES = ("", "octave", "two octaves", "three octaves", "four octaves")
_SECOND_AND_THIRD_OCTAVE = {
    "minor second": "minor ninth", "major second": "major ninth", "minor third": "minor tenth",
    "major third": "major tenth", "fourth": "eleventh", "fifth": "twelfth",
    "minor sixth": "minor thirteenth", "major sixth": "major thirteenth",
}  # fmt: skip


def interval_name(semitones: int) -> str:
    """`fifth`, `octave`, `major tenth`: what a musician calls so many semitones, up or down, to four octaves."""
    octaves, rest = divmod(abs(semitones), SEMITONES_PER_OCTAVE)
    if not octaves:
        return _INTERVALS[rest]
    if not rest:
        return _OCTAVES[octaves] if octaves < len(_OCTAVES) else f"{octaves} octaves"
    if octaves == 1 and _INTERVALS[rest] in _SECOND_AND_THIRD_OCTAVE:
        return _SECOND_AND_THIRD_OCTAVE[_INTERVALS[rest]]
    return f"{_OCTAVES[octaves] if octaves < len(_OCTAVES) else f'{octaves} octaves'} and a {_INTERVALS[rest]}"


def fifths_of_note(note: Note) -> int:
    """A note's place on the line of fifths, C being 0: F −1, G 1, F sharp 6, B flat −2."""
    return _LETTERS.index(note.letter) - 1 + FIFTHS_PER_SHARP * note.accidental


def spelled(semitone: int, key: Note) -> Note:
    """The note of a keyboard's key (middle C is 60), named as in a major or minor key on `key`.

    Within a key the names are ♭2 2 ♭3 3 4 ♯4 5 ♭6 6 ♭7 7 above the tonic. A name that would need a double sign gives
    way to the plain one that sounds alike.
    """
    above = (semitone - key.semitone) % SEMITONES_PER_OCTAVE
    fifths = fifths_of_note(key) + USUAL_FIFTHS[above]
    while not -8 <= fifths <= 12:  # F flat and F sharp-of-B: one sign at the most
        fifths += SEMITONES_PER_OCTAVE if fifths < 0 else -SEMITONES_PER_OCTAVE
    accidental, letter = divmod(fifths + 1, FIFTHS_PER_SHARP)
    name = Note(_LETTERS[letter], accidental, 0)
    return Note(name.letter, accidental, (semitone - name.semitone) // SEMITONES_PER_OCTAVE)
