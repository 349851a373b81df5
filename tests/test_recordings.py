"""Recordings made bare: the same sound by another program's reckoning, and no word of what stood around it."""

from __future__ import annotations

import contextlib
import io
import struct
import wave
from collections.abc import Callable

import numpy
import pytest
import soundfile
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.recordings import NotPlayed, sound_of
from tests.photo_samples import drawn, saved
from tests.recording_samples import (
    EVERYTHING,
    KINDS,
    M4A,
    box,
    chunk,
    flac_block,
    id3v1,
    id3v2,
    mp3_with_everything,
    ogg_page,
    ogg_pages,
    packed,
    unpacked,
)

CANARY = "Zugvogel"


def refused(content: bytes) -> tuple[str, str]:
    """Code and words of why a file is not played."""
    with pytest.raises(NotPlayed) as caught:
        sound_of(content)
    return caught.value.code, str(caught.value)


def frames_of(content: bytes) -> list[int]:
    """Where the frames of an MP3 of MPEG 1 begin, told by their mark and length (ISO/IEC 11172-3, 2.4.3.1)."""
    kilobits = (0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320)
    places, place = [], 0
    while content[place : place + 2] in (b"\xff\xfb", b"\xff\xfa"):
        places.append(place)
        third = content[place + 2]
        place += 144_000 * kilobits[third >> 4] // (44_100, 48_000, 32_000)[third >> 2 & 3] + (third >> 1 & 1)
    return places


# The sound


@pytest.mark.parametrize("channels", [1, 2])
@pytest.mark.parametrize("kind", KINDS)
def test_libsndfile_reads_the_same_samples_before_and_after(kind: str, channels: int) -> None:
    content = packed(kind, channels)
    bare = sound_of(content)
    before, rate = unpacked(content)
    after, rate_after = unpacked(bare.content)
    assert rate_after == rate
    assert numpy.array_equal(after, before)
    assert before.shape[1] == channels
    assert abs(bare.milliseconds - 1000 * len(before) / rate) <= (8 if kind == "opus" else 1)


@pytest.mark.parametrize("kind", [kind for kind in EVERYTHING if kind != "m4a"])
def test_nor_do_words_around_it_make_a_difference_to_the_samples(kind: str) -> None:
    assert numpy.array_equal(unpacked(sound_of(EVERYTHING[kind](CANARY)).content)[0], unpacked(packed(kind))[0])
    assert sound_of(EVERYTHING[kind](CANARY)).content == sound_of(packed(kind)).content


def test_the_library_that_comes_with_python_reads_the_same_samples_of_a_wav() -> None:
    def read(content: bytes) -> tuple[tuple[int, int, int, int], bytes]:
        with wave.open(io.BytesIO(content)) as file:
            return file.getparams()[:4], file.readframes(file.getnframes())

    assert read(sound_of(EVERYTHING["wav"](CANARY)).content) == read(packed("wav"))


def test_the_frames_of_an_m4a_stay_as_they_are_but_for_the_name_of_the_program() -> None:
    """Chromium plays both alike; `tests/browser/test_recording.py` asks it."""

    def frames(content: bytes) -> bytes:
        start = content.index(b"mdat") - 4
        return content[start + 8 : start + int.from_bytes(content[start : start + 4])]

    before, after = frames(M4A), frames(sound_of(M4A).content)
    differing = [place for place, (old, new) in enumerate(zip(before, after, strict=True)) if old != new]
    named = before[: differing[-1] + 1]
    shifted = (int.from_bytes(named) << 1).to_bytes(len(named) + 1)
    assert b"Lavc" in shifted + named, "what differs is the name, a bit aside from where bytes begin"
    assert len(differing) <= 16


@pytest.mark.parametrize("kind", [*KINDS, "m4a"])
def test_what_is_bare_stays_as_it_is(kind: str) -> None:
    bare = sound_of(M4A if kind == "m4a" else packed(kind))
    assert sound_of(bare.content) == bare


# What stands around it


@pytest.mark.parametrize("kind", EVERYTHING)
def test_no_word_of_any_tag_of_any_kind_is_left(kind: str) -> None:
    content = EVERYTHING[kind](CANARY)
    spelled = [CANARY.lower().encode(code) for code in ("ascii", "utf-16-le", "utf-16-be")]
    assert sum(content.lower().count(each) for each in spelled) >= 4
    bare = sound_of(content).content
    assert not [each for each in spelled if each in bare.lower()]
    assert not [each for each in (b"LAME3", b"Lavf", b"Lavc", b"Xiph", b"libopus", b"libFLAC") if each in bare]
    assert b"JFIF" not in bare, "no picture"
    assert sound_of(EVERYTHING[kind]("Other")).content == bare


def test_what_lies_between_the_sound_of_two_frames_is_left_out() -> None:
    """Of silence a frame is nearly empty, and the encoder puts its name there again and again."""
    written = io.BytesIO()
    soundfile.write(written, numpy.zeros((44_100, 2)), 44_100, format="MP3", bitrate_mode="CONSTANT")
    named, name = written.getvalue(), b"LAME3.100"
    second = frames_of(named)[1]  # in the first stands what it tells of the others
    content = named[:second] + named[second:].replace(name, CANARY.encode().ljust(len(name)))
    assert content.count(CANARY.encode()) >= 20
    assert numpy.array_equal(unpacked(content)[0], unpacked(named)[0]), "no part of the sound"
    bare = sound_of(content).content
    assert CANARY.encode() not in bare
    assert numpy.array_equal(unpacked(bare)[0], unpacked(named)[0])


def test_a_first_frame_tells_how_many_there_are_and_where() -> None:
    """The count, the bytes and the hundred places of the first frame, against the frames themselves."""
    bare = sound_of(packed("mp3 of changing rate", 2, 3.0)).content
    first, *places = frames_of(bare)
    tells = bare.index(b"Xing")
    flags, count, size = struct.unpack_from(">III", bare, tells + 4)
    assert (first, flags & 7, count, size) == (0, 7, len(places), len(bare))
    for hundredth in range(100):
        said = bare[tells + 16 + hundredth] * len(bare) / 256
        assert abs(said - places[hundredth * len(places) // 100]) <= len(bare) / 256


# What is refused


SAVE = "save it as MP3, WAV, FLAC, Ogg (Vorbis or Opus) or M4A (AAC), or move it out of recordings"
AGAIN = "copy it from the recorder again, or save it anew with a program for sound"


@pytest.mark.parametrize("kind", [*KINDS, "m4a"])
def test_a_file_cut_off_anywhere_is_refused(kind: str) -> None:
    content = M4A if kind == "m4a" else packed(kind)
    for end in (*range(12, len(content), len(content) // 40), len(content) - 1):
        said = refused(content[:end])
        assert said in (
            ("recording-broken", f"is cut off or damaged; {AGAIN}"),
            ("recording-broken", "holds no sound; record it again, or remove it"),
        ), (end, said)


def wav_form(kind: int, bits: int, channels: int = 1) -> bytes:
    """A WAV of a form with a few samples."""
    form = struct.pack("<HHIIHH", kind, channels, 8000, 8000 * bits // 8, channels * bits // 8, bits)
    return chunk(b"RIFF", b"WAVE" + chunk(b"fmt ", form) + chunk(b"data", bytes(64)))


def ogg_of(first: bytes) -> bytes:
    return ogg_page(6, 0, 0, bytes((len(first),)), first)


def film(handler: bytes = b"vide") -> bytes:
    return box(b"ftyp", b"isom") + box(b"moov", box(b"trak", box(b"mdia", box(b"hdlr", bytes(8), handler, bytes(13)))))


REFUSED: dict[str, tuple[Callable[[], bytes], str, str]] = {
    "nothing": (lambda: b"", "recording-broken", "is empty; copy it from the recorder again, or remove it"),
    "words": (
        lambda: b"First tune, take three", "recording-kind",
        "is no sound of a kind known here; move it out of recordings",
    ),
    "a picture": (
        lambda: saved(drawn()), "recording-kind", "is no sound of a kind known here; move it out of recordings",
    ),
    "tags alone": (
        lambda: id3v2(CANARY) + id3v1(CANARY), "recording-kind",
        "is no sound of a kind known here; move it out of recordings",
    ),
    "AIFF": (lambda: chunk(b"FORM", b"AIFF"), "recording-kind", f"is of the kind AIFF; {SAVE}"),
    "MIDI": (lambda: b"MThd" + bytes(20), "recording-kind", f"is of the kind MIDI; {SAVE}"),
    "AAC alone": (
        lambda: b"\xff\xf1\x50\x80\x01\x7f\xfc" + bytes(9), "recording-kind",
        f"is of the kind AAC without a file around it; {SAVE}",
    ),
    "layer II": (lambda: b"\xff\xfd\x90\x04" + bytes(600), "recording-kind", f"is of the kind MPEG layer II; {SAVE}"),
    "free bit rate": (
        lambda: b"\xff\xfb\x00\x04" + bytes(600), "recording-kind", f"is of the kind MP3 of a free bit rate; {SAVE}",
    ),
    "packed WAV": (
        lambda: wav_form(0x55, 8), "recording-kind", f"is of the kind WAV with packed samples; {SAVE}",
    ),
    "WAV of no sound": (
        lambda: chunk(b"RIFF", b"WAVE" + packed("wav")[12:36] + chunk(b"data", b"")), "recording-broken",
        "holds no sound; record it again, or remove it",
    ),
    "a WAV that was never finished": (
        lambda: packed("wav")[:40] + b"\xff\xff\xff\xff" + packed("wav")[44:], "recording-broken",
        f"is cut off or damaged; {AGAIN}",
    ),
    "FLAC that is no sound": (
        lambda: b"fLaC" + flac_block(0, bytes(34), is_last=True), "recording-kind",
        f"is of the kind FLAC that holds no sound; {SAVE}",
    ),
    "FLAC in Ogg": (
        lambda: ogg_of(b"\x7fFLAC" + bytes(46)), "recording-kind", f"is of the kind FLAC inside Ogg; {SAVE}",
    ),
    "several in one": (
        lambda: packed("vorbis") + packed("vorbis"), "recording-kind",
        "holds several recordings in one file; save each in a file of its own, or move it out of recordings",
    ),
    "a film": (film, "recording-kind", "is a film; save its sound alone, or move it out of recordings"),
    "an M4A of words": (
        lambda: film(b"text"), "recording-kind", f"is of the kind M4A without one sound; {SAVE}",
    ),
    "an M4A in pieces": (
        lambda: M4A + box(b"moof", bytes(8)), "recording-kind", f"is of the kind M4A written in pieces; {SAVE}",
    ),
    "an M4A of another packing": (
        lambda: M4A.replace(b"mp4a", b"alac"), "recording-kind", f"is of the kind M4A with ALAC; {SAVE}",
    ),
    "an M4A with another packing": (
        lambda: M4A.replace(b"\x40\x15", b"\x6b\x15"), "recording-kind",
        f"is of the kind M4A with another packing than AAC; {SAVE}",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_made_bare_is_refused_with_a_word_what_to_do(name: str) -> None:
    content, code, message = REFUSED[name]
    assert refused(content()) == (code, message)


def test_a_page_of_an_ogg_file_that_does_not_sum_up_is_damaged() -> None:
    content = bytearray(packed("vorbis"))
    content[len(content) // 2] ^= 1
    assert refused(bytes(content)) == ("recording-broken", f"is cut off or damaged; {AGAIN}")


def test_the_last_frame_of_a_flac_that_does_not_sum_up_is_damaged() -> None:
    content = bytearray(packed("flac"))
    content[-40] ^= 1
    assert refused(bytes(content)) == ("recording-broken", f"is cut off or damaged; {AGAIN}")


def test_something_between_frames_of_an_mp3_is_damage() -> None:
    content = packed("mp3")
    place = frames_of(content)[3]
    assert refused(content[:place] + b"Zugvogel" + content[place:])[0] == "recording-broken"


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_whatever_the_bytes_there_is_a_sound_or_a_word(data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from([*EVERYTHING]))
    content = bytearray(M4A if kind == "m4a" else packed(kind))
    for _ in range(data.draw(st.integers(1, 4))):
        near = st.integers(0, min(len(content), 800) - 1) | st.integers(0, len(content) - 1)
        content[data.draw(near)] = data.draw(st.integers(0, 255))
    with contextlib.suppress(NotPlayed):
        sound = sound_of(bytes(content))
        assert sound_of(sound.content).content == sound.content


def test_the_pages_of_an_ogg_file_are_numbered_anew_and_of_one_stream() -> None:
    bare = sound_of(EVERYTHING["opus"](CANARY)).content
    heads = [struct.unpack_from("<4sBBqIIIB", bare, place)[4:6] for place in _places(bare)]
    assert heads == [(1, number) for number in range(len(heads))]
    assert len(heads) == len(ogg_pages(packed("opus")))


def _places(content: bytes) -> list[int]:
    places, place = [], 0
    for _, _, laces, body in ogg_pages(content):
        places.append(place)
        place += 27 + len(laces) + len(body)
    return places


def test_tags_in_front_with_a_foot_and_zeros_behind_are_passed_over() -> None:
    assert sound_of(mp3_with_everything(CANARY)).content == sound_of(packed("mp3")).content
