"""What files are called in problems: the same on every computer, and printable everywhere."""

from __future__ import annotations

import unicodedata
from pathlib import Path


def as_said(path: Path, shop_folder: Path) -> str:
    """A file as it is called in problems: from the shop folder, with forward slashes on every computer."""
    return name_as_said(path.relative_to(shop_folder).as_posix())


def name_as_said(name: str) -> str:
    """A name that can be printed everywhere, even where the disk holds one that is no text."""
    return name.encode("utf-8", "replace").decode()


def as_compared(name: str) -> str:
    """A name as it is compared with another: some disks keep `ü` as two letters, and records as one."""
    return unicodedata.normalize("NFC", name_as_said(name))
