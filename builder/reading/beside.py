"""What lies beside a record (photographs, recordings) and beside the shop file (its mark): by name, size and day alone.

Nothing is opened here, so that reading a shop stays quick, and a draft stays shut.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from builder.problems import Finding, did_you_mean
from builder.reading.naming import name_as_said


@dataclass(frozen=True, slots=True)
class Sort:
    """A sort of files with a folder of its own, which is also the name of the field with words for them.

    `one` is what one of them is called. `missing` and `misplaced` are codes of problems. `slips` are what the folder
    may be called by a slip; its files would be passed over in silence.
    """

    folder: str
    one: str
    missing: str
    misplaced: str
    slips: frozenset[str]


PHOTOS = Sort(
    "photos", "photograph", "photo-missing", "photo-misplaced",
    frozenset({"photo", "photos", "photograph", "photographs", "picture", "pictures", "images"}),
)  # fmt: skip
RECORDINGS = Sort(
    "recordings", "recording", "recording-missing", "recording-misplaced",
    frozenset({"recording", "recordings", "audio", "sound", "sounds", "music"}),
)  # fmt: skip

#: How the name of a mark ends, so that no other file beside the shop file is ever opened for one.
_OF_A_MARK = (".png", ".jpg", ".jpeg", ".webp")

#: Files that desktops leave in any folder; those that begin with a dot are passed over as well.
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


def files_beside(folder: Path, said: str, sort: Sort) -> tuple[FileBeside, ...]:
    """Everything in the folder of a sort within an instrument's `folder`, in order of names. Never raises.

    `said` is how the instrument's folder is called in problems.
    """
    place = folder / sort.folder
    if os.path.lexists(place):
        return tuple(_look_into(place, f"{said}/{sort.folder}", sort))
    message, hint = "is a folder that is not looked into", f"call it {sort.folder}"
    return tuple(
        _unusable(each, f"{said}/{name_as_said(each.name)}", sort, message, hint)
        for each in _inside(folder)
        if each.name.casefold() in sort.slips
    )


def mark_beside(records: Path, name: str, said: str) -> FileBeside:
    """The picture that the shop file names as the shop's mark. Never raises.

    `said` is how the folder of the records is called in problems.
    """
    path, what = records / name, f"{said}/{name_as_said(name)}"
    if "/" in name or "\\" in name:
        message, hint = f"«{name}» lies outside the folder {said}", "put it beside shop.yaml, and write its name"
    elif not name.casefold().endswith(_OF_A_MARK):
        message, hint = f"«{name}» is not called as a picture is", "save it as PNG, JPEG or WebP"
    elif not os.path.lexists(path):
        pictures = [each.name for each in _inside(records) if each.name.casefold().endswith(_OF_A_MARK)]
        message = f"there is no file «{name}» beside shop.yaml"
        hint = did_you_mean(name, pictures) or "put the picture there"
    elif not stat.S_ISREG((status := path.lstat()).st_mode):
        message, hint = f"«{name}» is no file of its own", "put the picture itself beside shop.yaml"
    else:
        return FileBeside(name, what, path, status.st_size, status.st_mtime_ns)
    return FileBeside(name, what, path, 0, 0, Finding("mark-missing", "mark", message, hint))


def _inside(folder: Path) -> list[Path]:
    try:
        return sorted(folder.iterdir())
    except OSError:
        return []


def _look_into(place: Path, said: str, sort: Sort) -> Iterator[FileBeside]:
    name = sort.folder
    try:
        of_the_folder = place.lstat()
        if stat.S_ISLNK(of_the_folder.st_mode):
            hint = f"put a folder of its own here, with the {sort.one}s in it"
            yield _unusable(place, said, sort, "is a link", hint)
        elif not stat.S_ISDIR(of_the_folder.st_mode):
            yield _unusable(place, said, sort, "is a file", f"{name} is the name of a folder; rename the file")
        else:
            for path in sorted(place.iterdir()):
                if not path.name.startswith(".") and path.name.casefold() not in _LEFT_BY_DESKTOPS:
                    yield _look_at(path, f"{said}/{name_as_said(path.name)}", sort)
    except OSError as error:
        yield _unusable(place, said, sort, f"cannot be looked into: {error.strerror}", "see whether you may read it")


def _look_at(path: Path, said: str, sort: Sort) -> FileBeside:
    status, name = path.lstat(), sort.folder
    if stat.S_ISLNK(status.st_mode):
        return _unusable(path, said, sort, "is a link", f"put the {sort.one} itself here")
    if stat.S_ISDIR(status.st_mode):
        hint = f"put the {sort.one}s straight into {name}, or move the folder out"
        return _unusable(path, said, sort, "is a folder", hint)
    if not stat.S_ISREG(status.st_mode):
        return _unusable(path, said, sort, "is no file", f"move it out of {name}")
    return FileBeside(path.name, said, path, status.st_size, status.st_mtime_ns)


def _unusable(path: Path, said: str, sort: Sort, message: str, hint: str) -> FileBeside:
    return FileBeside(path.name, said, path, 0, 0, Finding(sort.misplaced, "", message, hint))
