"""Names of notes and intervals, against a general-purpose music library."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.intervals import fifths_of_note, interval_name, spelled
from builder.calculations.pitch import Note, read_note

KEYS = [read_note(f"{name}3") for name in ("C", "G", "D", "A", "E", "B", "F#", "F", "Bb", "Eb", "Ab", "Db")]
OURS = {
    "unison": "P1", "minor second": "m2", "major second": "M2", "minor third": "m3", "major third": "M3",
    "fourth": "P4", "fifth": "P5", "minor sixth": "m6", "major sixth": "M6", "minor seventh": "m7",
    "major seventh": "M7", "octave": "P8", "minor ninth": "m9", "major ninth": "M9", "minor tenth": "m10",
    "major tenth": "M10", "eleventh": "P11", "twelfth": "P12", "minor thirteenth": "m13", "major thirteenth": "M13",
    "two octaves": "P15",
}  # fmt: skip


def pitch_of(note: Note) -> Any:
    from music21.pitch import Pitch

    sign = {-1: "-", 0: "", 1: "#"}[note.accidental]
    return Pitch(f"{note.letter}{sign}{note.octave}")


@pytest.mark.parametrize("semitones", range(25))
def test_intervals_are_named_as_the_library_names_them(semitones: int) -> None:
    from music21.interval import Interval

    name = interval_name(semitones)
    if name in OURS:
        assert Interval(OURS[name]).semitones == semitones
    else:
        assert "tritone" in name or "octave and a" in name


def test_names_past_two_octaves() -> None:
    assert interval_name(28) == "two octaves and a major third"
    assert interval_name(-7) == "fifth"
    assert interval_name(36) == "three octaves"


@pytest.mark.parametrize("key", KEYS, ids=str)
@pytest.mark.parametrize("above", range(12))
def test_notes_are_spelled_as_the_library_spells_the_interval_above_the_key(key: Note, above: int) -> None:
    from music21.interval import Interval

    note = spelled(key.semitone + above, key)
    sounding = pitch_of(note)
    assert sounding.midi == key.semitone + above
    names = ("P1", "m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "M6", "m7", "M7")
    expected = Interval(names[above]).transposePitch(pitch_of(key))
    if abs(expected.alter) <= 1:
        assert sounding.nameWithOctave == expected.nameWithOctave


@given(st.integers(12, 107), st.sampled_from(KEYS))
def test_a_spelled_note_sounds_what_it_should_with_one_sign_at_most(semitone: int, key: Note) -> None:
    note = spelled(semitone, key)
    assert note.semitone == semitone
    assert note.accidental in (-1, 0, 1)


@pytest.mark.parametrize(
    ("name", "fifths"), [("F", -1), ("C", 0), ("G", 1), ("D", 2), ("F#", 6), ("Bb", -2), ("Cb", -7)]
)
def test_the_line_of_fifths(name: str, fifths: int) -> None:
    assert fifths_of_note(read_note(f"{name}4")) == fifths
