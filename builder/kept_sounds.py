"""The sound of recordings, kept from one run to the next in `.boutbook/recordings`, so that none is cleaned twice."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.kept import Craft, Kept, Made, kept
from builder.reading.beside import FileBeside
from builder.recordings import KINDS, MADE_WITH, MOST_BYTES, NotPlayed, sound_of

_TOO_LARGE = (
    "recording-too-large",
    f"is larger than {MOST_BYTES // 1_000_000} MB",
    "save it as MP3, or shorter; buyers listen on telephones",
)
_KIND_BY_ENDING = {ending: kind for kind, ending in KINDS.items()}


@dataclass(frozen=True, slots=True)
class KeptSound:
    """The sound of a recording: its kind, how its name must end, how long it lasts, and the file that holds it.

    In place of the file are its bytes where none could be written.
    """

    kind: str
    ending: str
    milliseconds: int
    content: Path | bytes

    @property
    def size_bytes(self) -> int:
        """How large it is."""
        return len(self.content) if isinstance(self.content, bytes) else self.content.stat().st_size


def kept_sounds(
    recordings: Sequence[FileBeside], shop_folder: Path, tell: Callable[[int], None] = lambda done: None
) -> Mapping[str, KeptSound | NotPlayed]:
    """The sound of each recording, or why there is none, by how it is called in problems.

    `tell` is told after each recording how many are done.
    """
    craft = Craft("recordings", MADE_WITH, _made_of, NotPlayed, MOST_BYTES, _TOO_LARGE)
    return {
        said: made if isinstance(made, NotPlayed) else _as_sound(made[0])
        for said, made in kept(craft, recordings, shop_folder, tell).items()
    }


def _made_of(content: bytes) -> tuple[Made, ...]:
    sound = sound_of(content)
    return (Made(f"{sound.milliseconds}.{sound.ending}", sound.content),)


def _as_sound(made: Kept) -> KeptSound:
    milliseconds, ending = made.name.split(".")
    return KeptSound(_KIND_BY_ENDING[ending], ending, int(milliseconds), made.content)
