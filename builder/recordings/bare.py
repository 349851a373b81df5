"""What every kind of recording gives when it is made bare, and how one that cannot be is refused."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from builder.refused import Refused

_SAVE_AS = "save it as MP3, WAV, FLAC, Ogg (Vorbis or Opus) or M4A (AAC), or move it out of recordings"


@dataclass(frozen=True, slots=True)
class Bare:
    """A file of a sound and nothing else, and how long it lasts."""

    content: bytes
    milliseconds: int


class Damaged(Exception):
    """The file is not as its own beginning says: cut off, or changed on the way."""


class NotPlayed(Refused):
    """A file that no sound can be had of."""


def other_kind(kind: str) -> NotPlayed:
    """What is said of a sound that is whole, as far as is known, but of a kind that is not read here."""
    return NotPlayed("recording-kind", f"is of the kind {kind}", _SAVE_AS)


def lasting(samples: int, per_second: int) -> int:
    """How long so many samples last, in whole milliseconds and at least one; nothing lasts nothing."""
    return max(1, round(Fraction(1000 * samples, per_second))) if samples > 0 else 0
