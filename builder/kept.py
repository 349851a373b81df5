"""What is made of a maker's files, kept from one run to the next in `.boutbook` of the shop folder.

A file is looked at (its size and day), then its bytes are compared, and only then is it opened. What is made of it is
kept by what its bytes are: renamed, copied or brought back, it is not opened again. All of this may be thrown away at
any time, and what is lost or damaged is made anew.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
import re
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import Generic, TypeVar

from builder.reading.beside import FileBeside
from builder.refused import Refused
from builder.safe_files import alone, remove_file, write_file

FOLDER = ".boutbook"
_LIST = "list.json"
#: A shop may be kept in git; what is here need not be.
_GITIGNORE = b"*\n"
_NAME = re.compile(r"[0-9a-z.]{1,60}")

#: What no run has asked for in so many days is dropped.
DAYS_KEPT = 30
_SECONDS_A_DAY = 86_400

E = TypeVar("E", bound=Refused)


@dataclass(frozen=True, slots=True)
class Made:
    """One file made of another. Its name says all there is to know of it, such as `480x360.jpg`."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Kept:
    """The same once it is kept: the file that holds it, or its bytes where none could be written."""

    name: str
    content: Path | bytes


@dataclass(frozen=True, slots=True)
class Craft(Generic[E]):
    """How files of one sort are made: in which folder they are kept, by which means, and out of how large a file.

    `make` raises `refusal`, and nothing else, where there is nothing to be made; `too_large` is the code, message and
    hint of one for a file that is not even read.
    """

    folder: str
    made_with: str
    make: Callable[[bytes], Sequence[Made]]
    refusal: type[E]
    most_bytes: int
    too_large: tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class _Seen:
    """A file of the maker's as it last lay in its folder, and the digest of its bytes."""

    size_bytes: int
    mtime_ns: int
    digest: str


@dataclass(frozen=True, slots=True)
class _Entry:
    """A file kept, as it was when it was written. Unchanged in size and time, it is held to be whole."""

    name: str
    digest: str
    size_bytes: int
    mtime_ns: int
    last_asked_for: int


@dataclass(slots=True)
class _List:
    """What is kept: the maker's files by how they are called in problems, entries by the key of their bytes."""

    seen: dict[str, _Seen] = field(default_factory=dict)
    entries: dict[str, tuple[_Entry, ...]] = field(default_factory=dict)


def kept(
    craft: Craft[E], files: Sequence[FileBeside], shop_folder: Path, tell: Callable[[int], None] = lambda done: None
) -> Mapping[str, tuple[Kept, ...] | E]:
    """What is made of each file, or why nothing is, by how it is called in problems.

    Two runs at a time wait for each other. Where nothing can be written, on a full disk or one that is only to be
    read, everything is made all the same, and not kept. `tell` is told after each file how many are done.
    """
    if not files:
        return {}
    folder = shop_folder / FOLDER / craft.folder
    answers: dict[str, tuple[Kept, ...] | E] = {}
    with ExitStack() as held:
        try:
            held.enter_context(alone(folder))
            is_kept = True
        except OSError:
            is_kept = False
        before = _read_list(folder)
        shelf = _Shelf(craft, folder, is_kept, _List(dict(before.seen), dict(before.entries)))
        for done, file in enumerate(files, 1):
            answers[file.said] = shelf.made_of(file)
            tell(done)
        shelf.tidy(before)
    return answers


@dataclass(slots=True)
class _Shelf(Generic[E]):
    """What is kept while one run works with it; `in_hand` is what this run has made or found already."""

    craft: Craft[E]
    folder: Path
    is_kept: bool
    listed: _List
    in_hand: dict[str, tuple[Kept, ...] | E] = field(default_factory=dict)

    def made_of(self, file: FileBeside) -> tuple[Kept, ...] | E:
        """What is made of one file, which is opened only if it must be."""
        content = None
        seen = self.listed.seen.get(file.said)
        try:
            if seen is None or (seen.size_bytes, seen.mtime_ns) != (file.size_bytes, file.mtime_ns):
                content = self._read(file)
                seen = _Seen(file.size_bytes, file.mtime_ns, hashlib.sha256(content).hexdigest())
                self.listed.seen[file.said] = seen
            key = self._key(seen)
            if key not in self.in_hand:
                found = self._found(key)
                self.in_hand[key] = found or self._made(key, self._read(file) if content is None else content)
            return self.in_hand[key]
        except self.craft.refusal as reason:
            return reason

    def _read(self, file: FileBeside) -> bytes:
        """The bytes of a file. Raises the refusal where they cannot be read."""
        if file.size_bytes > self.craft.most_bytes:
            raise self.craft.refusal(*self.craft.too_large)
        try:
            return read_bytes(file)
        except OSError as error:
            message = f"cannot be opened: {error.strerror}"
            raise self.craft.refusal("unreadable-file", message, "see whether you may read it") from None

    def _key(self, seen: _Seen) -> str:
        """What is kept is kept by this: the bytes of the maker's file, and how others are made of them."""
        return hashlib.sha256(f"{seen.digest} {self.craft.made_with}".encode()).hexdigest()[:40]

    def _found(self, key: str) -> tuple[Kept, ...]:
        """What is kept from before, if all of it is whole."""
        entries = [self._checked(key, entry) for entry in self.listed.entries.get(key, ())]
        whole = tuple(entry for entry in entries if entry is not None)
        if not whole or len(whole) < len(entries):
            return ()
        self.listed.entries[key] = whole
        return tuple(Kept(each.name, self._file(key, each)) for each in whole)

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

    def _made(self, key: str, content: bytes) -> tuple[Kept, ...] | E:
        """New files, kept if they can be."""
        try:
            made = self.craft.make(content)
        except self.craft.refusal as reason:
            return reason
        if self.is_kept:
            try:
                entries = []
                for each in made:
                    entry = _Entry(each.name, hashlib.sha256(each.content).hexdigest(), 0, 0, 0)
                    write_file(self._file(key, entry), each.content)
                    entries.append(entry)
                self.listed.entries[key] = tuple(entries)
                return self._found(key)
            except OSError:
                self.is_kept = False
        return tuple(Kept(each.name, each.content) for each in made)

    def _file(self, key: str, entry: _Entry) -> Path:
        """Its name says what it is, so that a slip in the list leads to no file, and it is made anew."""
        return self.folder / f"{key}-{entry.name}"

    def tidy(self, before: _List) -> None:
        """Drop what nobody has asked for in a long time, and write down what is kept if that has changed."""
        if not self.is_kept:
            return
        long_ago = _today() - DAYS_KEPT
        entries = {
            key: each for key, each in self.listed.entries.items() if all(one.last_asked_for > long_ago for one in each)
        }
        seen = {name: each for name, each in self.listed.seen.items() if self._key(each) in entries}
        self.listed = _List(seen, entries)
        if self.listed == before:
            return
        ignore = self.folder.parent / ".gitignore"
        files = {self._file(key, entry).name for key, each in entries.items() for entry in each}
        try:
            if not ignore.exists():
                write_file(ignore, _GITIGNORE)
            write_file(self.folder / _LIST, _as_json(self.listed))
            for file in self.folder.glob("?*-*"):
                if file.name not in files and file.stat().st_mtime < long_ago * _SECONDS_A_DAY:
                    remove_file(file)
        except OSError:
            pass  # nothing is lost but time


def read_bytes(file: FileBeside) -> bytes:
    """The bytes of a file of the maker's."""
    return file.path.read_bytes()


def _today() -> int:
    """Days since 1970; only for what is kept here, and in no page."""
    return int(time.time()) // _SECONDS_A_DAY


def _read_list(folder: Path) -> _List:
    """What is kept, as it was written down; nothing, where that cannot be read."""
    try:
        read = json.loads((folder / _LIST).read_bytes())
        seen = {name: _Seen(int(size), int(time), str(digest)) for name, (size, time, digest) in read["seen"].items()}
        entries = {
            key: tuple(
                _Entry(str(name), str(digest), int(size), int(time), int(day)) for name, digest, size, time, day in each
            )
            for key, each in read["entries"].items()
        }
    except (OSError, ValueError, TypeError, KeyError, AttributeError, OverflowError, RecursionError):
        return _List()
    # A name leads to a file in this folder, and to no other.
    is_named = all(_NAME.fullmatch(one.name) for each in entries.values() for one in each)
    return _List(seen, entries) if is_named else _List()


def _as_json(listed: _List) -> bytes:
    seen = {name: dataclasses.astuple(each) for name, each in listed.seen.items()}
    entries = {key: [dataclasses.astuple(one) for one in each] for key, each in listed.entries.items()}
    return json.dumps({"seen": seen, "entries": entries}, ensure_ascii=False, indent=0).encode()
