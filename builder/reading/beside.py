"""What lies beside an instrument's record: the files of its folder `photos`, known by name, size and day alone.

Nothing is opened here, so that reading a shop stays quick, and a draft stays shut.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from builder.problems import Finding
from builder.reading.naming import name_as_said

PHOTOS = "photos"

#: What a folder of photographs may be called by a slip; its files would be passed over in silence.
_MISNAMED = {"photo", "photos", "photograph", "photographs", "picture", "pictures", "images"}

#: Files that desktops leave in any folder of pictures; those that begin with a dot are passed over as well.
_LEFT_BY_DESKTOPS = {"thumbs.db", "ehthumbs.db", "desktop.ini", "@eadir", "icon\r"}


@dataclass(frozen=True, slots=True)
class FileBeside:
    """A file beside a record. `said` is how it is called in problems; with `trouble` it cannot be used at all.

    The message of a trouble lacks its subject: `is a link`.
    """

    name: str
    said: str
    path: Path
    size_bytes: int
    mtime_ns: int
    trouble: Finding | None = None


def photos_beside(folder: Path, said: str) -> tuple[FileBeside, ...]:
    """Everything in the folder `photos` of an instrument's `folder`, in order of names. Never raises.

    `said` is how the instrument's folder is called in problems.
    """
    place = folder / PHOTOS
    if os.path.lexists(place):
        return tuple(_look_into(place, f"{said}/{PHOTOS}"))
    return tuple(
        _unusable(each, f"{said}/{name_as_said(each.name)}", "is a folder that is not looked into", "call it photos")
        for each in _inside(folder)
        if each.name.casefold() in _MISNAMED
    )


def _inside(folder: Path) -> list[Path]:
    try:
        return sorted(folder.iterdir())
    except OSError:
        return []


def _look_into(place: Path, said: str) -> Iterator[FileBeside]:
    try:
        of_the_folder = place.lstat()
        if stat.S_ISLNK(of_the_folder.st_mode):
            message, hint = "is a link", "put a folder of its own here, with the photographs in it"
            yield _unusable(place, said, message, hint)
        elif not stat.S_ISDIR(of_the_folder.st_mode):
            yield _unusable(place, said, "is a file", "photos is the name of a folder; rename the file")
        else:
            for path in sorted(place.iterdir()):
                if not path.name.startswith(".") and path.name.casefold() not in _LEFT_BY_DESKTOPS:
                    yield _look_at(path, f"{said}/{name_as_said(path.name)}")
    except OSError as error:
        yield _unusable(place, said, f"cannot be looked into: {error.strerror}", "see whether you may read it")


def _look_at(path: Path, said: str) -> FileBeside:
    status = path.lstat()
    if stat.S_ISLNK(status.st_mode):
        return _unusable(path, said, "is a link", "put the photograph itself here")
    if stat.S_ISDIR(status.st_mode):
        return _unusable(path, said, "is a folder", "put the photographs straight into photos, or move the folder out")
    if not stat.S_ISREG(status.st_mode):
        return _unusable(path, said, "is no file", "move it out of photos")
    return FileBeside(path.name, said, path, status.st_size, status.st_mtime_ns)


def _unusable(path: Path, said: str, message: str, hint: str) -> FileBeside:
    return FileBeside(path.name, said, path, 0, 0, Finding("photo-misplaced", "", message, hint))
