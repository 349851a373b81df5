"""Serials: which one is meant by a part of it, which was used last, and which comes next."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from builder.entries.keeping import OWN_FOLDER
from builder.reading.folder import instrument_folders
from builder.safe_files import write_file

_LAST = "last-serial"
_LONGEST = 200


def meant_by(said: str, serials: Sequence[str]) -> tuple[str, ...]:
    """The serial that is said, else those that end so: one where it is clear, several where it is not."""
    return (said,) if said in serials else tuple(each for each in serials if each.endswith(said))


def remember(shop_folder: Path, serial: str) -> None:
    """Keep in mind which instrument was used last."""
    write_file(shop_folder / OWN_FOLDER / _LAST, f"{serial}\n".encode())


def last_used(shop_folder: Path) -> str | None:
    """The serial used last, if there is still such an instrument."""
    try:
        with (shop_folder / OWN_FOLDER / _LAST).open("rb") as stream:
            serial = stream.read(_LONGEST).decode("utf-8", "replace").strip()
    except OSError:
        return None
    return serial if serial in instrument_folders(shop_folder) else None
