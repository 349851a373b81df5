"""Notes and frequencies, against a standard and a general-purpose music library."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.pitch import CONCERT_PITCH_HZ, Note, frequency_hz, read_note
from tests.conftest import published_values

notes = st.builds(Note, st.sampled_from("CDEFGAB"), st.sampled_from([-1, 0, 1]), st.integers(0, 8))


def test_concert_pitch_is_440_hz() -> None:
    """ISO 16:1975, Acoustics – Standard tuning frequency: A4 = 440 Hz."""
    assert CONCERT_PITCH_HZ == 440.0
    assert frequency_hz(read_note("A4")) == 440.0


def test_frequencies_are_those_of_the_table() -> None:
    """Source: published_values/equal-temperament.csv (computed apart from this project), to 1e-9."""
    rows = published_values("equal-temperament.csv")
    assert len(rows) == 73
    for row in rows:
        note = read_note(row["note"])
        assert note.semitone == int(row["midi"])
        # The table has nine decimals, which is the coarser of the two for the lowest notes.
        assert frequency_hz(note) == pytest.approx(float(row["frequency_hz_A4_440"]), rel=1e-9, abs=1e-9)


def test_frequencies_and_enharmonics_are_those_of_music21() -> None:
    """Source: music21, a general-purpose music library; every note from C1 to C8 under each of its names."""
    from music21.pitch import Pitch

    signs = {"": "", "#": "#", "b": "-"}
    names = [f"{letter}{sign}{octave}" for octave in range(1, 8) for letter in "CDEFGAB" for sign in signs]
    for name in [*names, "C8"]:
        letter, sign, octave = name[0], name[1:-1], name[-1]
        theirs = Pitch(f"{letter}{signs[sign]}{octave}")
        ours = read_note(name)
        assert ours.semitone == theirs.midi, name
        assert frequency_hz(ours) == pytest.approx(theirs.frequency, rel=1e-9), name


@pytest.mark.parametrize(
    ("one", "other"), [("F#3", "Gb3"), ("C#4", "Db4"), ("B3", "Cb4"), ("E4", "Fb4"), ("B#3", "C4")]
)
def test_two_names_of_one_key_sound_alike(one: str, other: str) -> None:
    assert frequency_hz(read_note(one)) == frequency_hz(read_note(other))


@given(notes)
def test_a_note_as_printed_is_read_again(note: Note) -> None:
    assert read_note(str(note)) == note


@given(notes, st.floats(380, 480))
def test_an_octave_doubles_at_any_concert_pitch(note: Note, concert_pitch_hz: float) -> None:
    higher = Note(note.letter, note.accidental, note.octave + 1)
    assert frequency_hz(higher, concert_pitch_hz) == pytest.approx(2 * frequency_hz(note, concert_pitch_hz), rel=1e-12)
    a4 = Note("A", 0, 4)
    assert frequency_hz(a4, concert_pitch_hz) == concert_pitch_hz
