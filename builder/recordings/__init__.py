"""One recording of a maker's ─► the same sound, and no more: played by any browser, and telling nothing of its making.

Recorders, phones and programs write into a file who made it, when, where and with what, and often a picture. All of
that stands around the sound, and is left behind; the sound itself is not touched, so that nothing of it is lost.
"""

from __future__ import annotations

import struct
from collections.abc import Callable
from dataclasses import dataclass

from builder.recordings.bare import Bare, Damaged, NotPlayed, other_kind
from builder.recordings.flac import bare_flac
from builder.recordings.m4a import bare_m4a
from builder.recordings.mp3 import bare_mp3, begins_with_a_frame
from builder.recordings.ogg import bare_ogg
from builder.recordings.tags import behind_tags
from builder.recordings.wav import bare_wav

__all__ = ["KINDS", "MADE_WITH", "MOST_BYTES", "NotPlayed", "Sound", "sound_of"]

#: A larger file is not for listening on a telephone.
MOST_BYTES = 40_000_000

#: What the sound depends on besides the recording. The number grows by one with every change of how it is cleaned.
MADE_WITH = "1"

#: Kinds that are played ─► how the names of their files end.
KINDS = {"MP3": "mp3", "WAV": "wav", "FLAC": "flac", "Ogg": "ogg", "M4A": "m4a"}
_MADE_BARE: dict[str, Callable[[bytes], Bare]] = {
    "MP3": bare_mp3,
    "WAV": bare_wav,
    "FLAC": bare_flac,
    "Ogg": bare_ogg,
    "M4A": bare_m4a,
}

#: The first bytes of files that are found among recordings, and what they are called.
_FIRST_BYTES = {
    b"fLaC": "FLAC",
    b"OggS": "Ogg",
    b"RF64": "RF64",
    b"BW64": "BW64",
    b"caff": "CAF",
    b"MThd": "MIDI",
    b"#!AMR": "AMR",
    b"wvPk": "WavPack",
    b"MAC ": "APE",
    b".snd": "AU",
    b"\x30\x26\xb2\x75": "WMA",
    b"\x1a\x45\xdf\xa3": "WebM",
}
#: Of files made of chunks: what stands first and at the ninth byte (EA IFF 85, and RIFF after it).
_CHUNKED = {(b"RIFF", b"WAVE"): "WAV", (b"FORM", b"AIFF"): "AIFF", (b"FORM", b"AIFC"): "AIFF"}


@dataclass(frozen=True, slots=True)
class Sound:
    """A recording ready to be played: what kind it is, how its name must end, how long it lasts, and its bytes."""

    kind: str
    ending: str
    milliseconds: int
    content: bytes


def sound_of(content: bytes) -> Sound:
    """The sound of a recording. Raises NotPlayed, and nothing else, where there can be none.

    Bytes are what they are, whatever their file is called. The same bytes give the same sound.
    """
    if not content:
        raise NotPlayed("recording-broken", "is empty", "copy it from the recorder again, or remove it")
    try:
        sound = content[behind_tags(content) :]
        kind = _kind_of(sound)
        if kind not in KINDS:
            raise other_kind(kind)
        bare = _MADE_BARE[kind](sound)
    except (Damaged, struct.error, IndexError):
        hint = "copy it from the recorder again, or save it anew with a program for sound"
        raise NotPlayed("recording-broken", "is cut off or damaged", hint) from None
    if not bare.milliseconds:
        raise NotPlayed("recording-broken", "holds no sound", "record it again, or remove it")
    return Sound(kind, KINDS[kind], bare.milliseconds, bare.content)


def _kind_of(content: bytes) -> str:
    """What the bytes are. Raises NotPlayed for what is no sound at all."""
    first = content[:12]
    kind = _CHUNKED.get((first[:4], first[8:12])) or next(
        (kind for begins, kind in _FIRST_BYTES.items() if first.startswith(begins)), None
    )
    if kind is None and first[4:8] == b"ftyp":
        kind = "M4A"
    if kind is None and begins_with_a_frame(content):
        kind = "MP3"
    if kind is None and first[:1] == b"\xff" and first[1] & 0xF6 == 0xF0:
        kind = "AAC without a file around it"
    if kind is None:
        message = "is no sound of a kind known here"
        raise NotPlayed("recording-kind", message, "move it out of recordings")
    return kind
