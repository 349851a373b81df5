"""Pictures kept from one run to the next, in `.boutbook/photos` of the shop folder, so that none is made twice.

A photograph is looked at (its size and day), then its bytes are compared, and only then is it opened. Its pictures are
kept by what its bytes are: renamed, copied or brought back, it is not opened again. All of this may be thrown away at
any time, and what is lost or damaged is made anew.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

from builder.photos import MADE_WITH, MOST_BYTES, NotShown, pictures_of
from builder.reading.beside import FileBeside
from builder.safe_files import alone, remove_file, write_file

FOLDER = ".boutbook"
_PICTURES = "photos"
_LIST = "list.json"
#: A shop may be kept in git; what is here need not be.
_GITIGNORE = b"*\n"

#: Pictures that no run has asked for in so many days are dropped.
DAYS_KEPT = 30
_SECONDS_A_DAY = 86_400


@dataclass(frozen=True, slots=True)
class KeptPicture:
    """A picture of a photograph: its size, and the file that holds it, or its bytes where none could be written."""

    width_px: int
    height_px: int
    content: Path | bytes


@dataclass(frozen=True, slots=True)
class _Seen:
    """A photograph as it last lay in its folder, and the digest of its bytes."""

    size_bytes: int
    mtime_ns: int
    digest: str


@dataclass(frozen=True, slots=True)
class _Entry:
    """One picture kept: its file as it was when it was written. Unchanged in size and time, it is held to be whole."""

    width_px: int
    height_px: int
    digest: str
    size_bytes: int
    mtime_ns: int
    last_asked_for: int


@dataclass(slots=True)
class _List:
    """What is kept: photographs by how they are called in problems, entries by the key of their photograph's bytes."""

    seen: dict[str, _Seen] = field(default_factory=dict)
    entries: dict[str, tuple[_Entry, ...]] = field(default_factory=dict)


def kept_pictures(
    photos: Sequence[FileBeside], shop_folder: Path, tell: Callable[[int], None] = lambda done: None
) -> Mapping[str, tuple[KeptPicture, ...] | NotShown]:
    """The pictures of each photograph from narrow to wide, or why there are none, by how it is called in problems.

    Two runs at a time wait for each other. Where nothing can be written, on a full disk or one that is only to be
    read, pictures are made all the same, and not kept. `tell` is told after each photograph how many are done.
    """
    if not photos:
        return {}
    folder = shop_folder / FOLDER / _PICTURES
    answers: dict[str, tuple[KeptPicture, ...] | NotShown] = {}
    with ExitStack() as held:
        try:
            held.enter_context(alone(folder))
            is_kept = True
        except OSError:
            is_kept = False
        before = _read_list(folder)
        shelf = _Shelf(folder, is_kept, _List(dict(before.seen), dict(before.entries)))
        for done, photo in enumerate(photos, 1):
            answers[photo.said] = shelf.pictures_of(photo)
            tell(done)
        shelf.tidy(before)
    return answers


@dataclass(slots=True)
class _Shelf:
    """The kept pictures while one run works with them; `in_hand` is what this run has made or found already."""

    folder: Path
    is_kept: bool
    listed: _List
    in_hand: dict[str, tuple[KeptPicture, ...] | NotShown] = field(default_factory=dict)

    def pictures_of(self, photo: FileBeside) -> tuple[KeptPicture, ...] | NotShown:
        """The pictures of one photograph, opened only if it must be."""
        content = None
        seen = self.listed.seen.get(photo.said)
        try:
            if seen is None or (seen.size_bytes, seen.mtime_ns) != (photo.size_bytes, photo.mtime_ns):
                content = _read(photo)
                seen = _Seen(photo.size_bytes, photo.mtime_ns, hashlib.sha256(content).hexdigest())
                self.listed.seen[photo.said] = seen
            key = _key(seen)
            if key not in self.in_hand:
                found = self._found(key)
                self.in_hand[key] = found or self._made(key, _read(photo) if content is None else content)
            return self.in_hand[key]
        except NotShown as reason:
            return reason

    def _found(self, key: str) -> tuple[KeptPicture, ...]:
        """Pictures kept from before, if all of them are whole."""
        entries = [self._checked(key, entry) for entry in self.listed.entries.get(key, ())]
        whole = tuple(entry for entry in entries if entry is not None)
        if not whole or len(whole) < len(entries):
            return ()
        self.listed.entries[key] = whole
        return tuple(KeptPicture(each.width_px, each.height_px, self._file(key, each)) for each in whole)

    def _checked(self, key: str, entry: _Entry) -> _Entry | None:
        """The entry as it stands today, or None where its file is gone or is not what was written."""
        file = self._file(key, entry)
        try:
            status = file.stat()
            if (status.st_size, status.st_mtime_ns) != (entry.size_bytes, entry.mtime_ns):
                if hashlib.sha256(file.read_bytes()).hexdigest() != entry.digest:
                    return None
                entry = dataclasses.replace(entry, size_bytes=status.st_size, mtime_ns=status.st_mtime_ns)
        except OSError:
            return None
        return dataclasses.replace(entry, last_asked_for=_today())

    def _made(self, key: str, content: bytes) -> tuple[KeptPicture, ...] | NotShown:
        """New pictures, kept if they can be."""
        try:
            pictures = pictures_of(content)
        except NotShown as reason:
            return reason
        if self.is_kept:
            try:
                entries = []
                for each in pictures:
                    entry = _Entry(each.width_px, each.height_px, hashlib.sha256(each.content).hexdigest(), 0, 0, 0)
                    write_file(self._file(key, entry), each.content)
                    entries.append(entry)
                self.listed.entries[key] = tuple(entries)
                return self._found(key)
            except OSError:
                self.is_kept = False
        return tuple(KeptPicture(each.width_px, each.height_px, each.content) for each in pictures)

    def _file(self, key: str, entry: _Entry) -> Path:
        """Its name says its size, so that a slip in the list leads to no file, and the picture is made anew."""
        return self.folder / f"{key}-{entry.width_px}x{entry.height_px}.jpg"

    def tidy(self, before: _List) -> None:
        """Drop what nobody has asked for in a long time, and write down what is kept if that has changed."""
        if not self.is_kept:
            return
        long_ago = _today() - DAYS_KEPT
        entries = {
            key: each for key, each in self.listed.entries.items() if all(one.last_asked_for > long_ago for one in each)
        }
        seen = {name: each for name, each in self.listed.seen.items() if _key(each) in entries}
        self.listed = _List(seen, entries)
        if self.listed == before:
            return
        ignore = self.folder.parent / ".gitignore"
        files = {self._file(key, entry).name for key, each in entries.items() for entry in each}
        try:
            if not ignore.exists():
                write_file(ignore, _GITIGNORE)
            write_file(self.folder / _LIST, _as_json(self.listed))
            for file in self.folder.glob("*.jpg*"):
                if file.name not in files and file.stat().st_mtime < long_ago * _SECONDS_A_DAY:
                    remove_file(file)
        except OSError:
            pass  # nothing is lost but time


def _key(seen: _Seen) -> str:
    """What the pictures of a photograph are kept by: its bytes, and how pictures are made of them."""
    return hashlib.sha256(f"{seen.digest} {MADE_WITH}".encode()).hexdigest()[:40]


def _today() -> int:
    """Days since 1970; only for what is kept here, and in no page."""
    return int(time.time()) // _SECONDS_A_DAY


def _read(photo: FileBeside) -> bytes:
    """The bytes of a photograph. Raises NotShown where they cannot be read."""
    if photo.size_bytes > MOST_BYTES:
        message = f"is larger than {MOST_BYTES // 1_000_000} MB"
        raise NotShown("photo-too-large", message, "a photograph is smaller; move it out of photos")
    try:
        return photo.path.read_bytes()
    except OSError as error:
        message = f"cannot be opened: {error.strerror}"
        raise NotShown("unreadable-file", message, "see whether you may read it") from None


def _read_list(folder: Path) -> _List:
    """What is kept, as it was written down; nothing, where that cannot be read."""
    try:
        read = json.loads((folder / _LIST).read_bytes())
        seen = {name: _Seen(int(size), int(time), str(digest)) for name, (size, time, digest) in read["seen"].items()}
        entries = {
            key: tuple(
                _Entry(int(width), int(height), str(digest), int(size), int(time), int(day))
                for width, height, digest, size, time, day in each
            )
            for key, each in read["entries"].items()
        }
    except (OSError, ValueError, TypeError, KeyError, AttributeError, OverflowError, RecursionError):
        return _List()
    return _List(seen, entries)


def _as_json(listed: _List) -> bytes:
    seen = {name: dataclasses.astuple(each) for name, each in listed.seen.items()}
    entries = {key: [dataclasses.astuple(one) for one in each] for key, each in listed.entries.items()}
    return json.dumps({"seen": seen, "entries": entries}, ensure_ascii=False, indent=0).encode()
