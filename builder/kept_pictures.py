"""The pictures of photographs, and of the shop's mark, kept from one run to the next, so that none is made twice.

They lie in `.boutbook/photos` and `.boutbook/mark`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.kept import Craft, Kept, Made, kept
from builder.photos import MADE_WITH, MOST_BYTES, NotShown, mark_of, pictures_of
from builder.reading.beside import FileBeside

_TOO_LARGE = (
    "photo-too-large",
    f"is larger than {MOST_BYTES // 1_000_000} MB",
    "a photograph is smaller; move it out of photos",
)


@dataclass(frozen=True, slots=True)
class KeptPicture:
    """A picture of a photograph: its size, and the file that holds it, or its bytes where none could be written."""

    width_px: int
    height_px: int
    content: Path | bytes


def kept_pictures(
    photos: Sequence[FileBeside], shop_folder: Path, tell: Callable[[int], None] = lambda done: None
) -> Mapping[str, tuple[KeptPicture, ...] | NotShown]:
    """The pictures of each photograph from narrow to wide, or why there are none, by how it is called in problems.

    `tell` is told after each photograph how many are done.
    """
    craft = Craft("photos", MADE_WITH, _made_of, NotShown, MOST_BYTES, _TOO_LARGE)
    return {
        said: made if isinstance(made, NotShown) else tuple(map(_as_picture, made))
        for said, made in kept(craft, photos, shop_folder, tell).items()
    }


def kept_mark(mark: FileBeside, shop_folder: Path) -> KeptPicture | NotShown:
    """The picture of the shop's mark, or why there is none."""
    too_large = ("mark-unusable", f"is larger than {MOST_BYTES // 1_000_000} MB", "save it smaller")
    craft = Craft("mark", MADE_WITH, _mark_made_of, NotShown, MOST_BYTES, too_large)
    made = kept(craft, [mark], shop_folder)[mark.said]
    return made if isinstance(made, NotShown) else _as_picture(made[0])


def _mark_made_of(content: bytes) -> tuple[Made, ...]:
    mark = mark_of(content)
    return (Made(f"{mark.width_px}x{mark.height_px}.png", mark.content),)


def _made_of(content: bytes) -> tuple[Made, ...]:
    return tuple(Made(f"{each.width_px}x{each.height_px}.jpg", each.content) for each in pictures_of(content))


def _as_picture(made: Kept) -> KeptPicture:
    width, height = made.name.partition(".")[0].split("x")
    return KeptPicture(int(width), int(height), made.content)
