"""Photographs and recordings of an instrument: files beside its record, with the words that stand there for them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from builder.problems import Finding, Problem, did_you_mean
from builder.reading.beside import PHOTOS, RECORDINGS, FileBeside, Sort
from builder.reading.folder import FileRead
from builder.reading.naming import as_compared
from builder.record import Record
from builder.record.photo import PhotoWords
from builder.record.recording import RecordingWords

W = TypeVar("W")


@dataclass(frozen=True, slots=True)
class Worded(Generic[W]):
    """A file as it lies in its folder, and the words for it. `record` is the file that names it, if one does."""

    sort: Sort
    file: FileBeside
    words: W
    record: FileRead[Record] | None = None
    named: str = ""

    def problem(self, code: str, message: str, hint: str) -> Problem:
        """Something wrong with it, said where the record names it, else at the file itself.

        The message lacks its subject: `is empty`.
        """
        if self.record is None:
            return Problem(code, self.file.said, 0, 0, f"this {message}", hint)
        field = f"{self.sort.folder}.{self.named}"
        return self.record.problem_at(Finding(code, field, f"«{self.named}» {message}", hint))


Photo = Worded[PhotoWords]
Recording = Worded[RecordingWords]


def photos_of(record: FileRead[Record], files: tuple[FileBeside, ...]) -> tuple[tuple[Photo, ...], tuple[Problem, ...]]:
    """The photographs in the order they are shown, first those that the record names, then the rest by name.

    With them come the problems: files that cannot be used, and names of files that are not there.
    """
    return _worded(PHOTOS, record, record.value.photos if record.value else {}, PhotoWords(), files)


def recordings_of(
    record: FileRead[Record], files: tuple[FileBeside, ...]
) -> tuple[tuple[Recording, ...], tuple[Problem, ...]]:
    """The same of recordings."""
    return _worded(RECORDINGS, record, record.value.recordings if record.value else {}, RecordingWords(), files)


def _worded(
    sort: Sort, record: FileRead[Record], words: Mapping[str, W], no_words: W, files: tuple[FileBeside, ...]
) -> tuple[tuple[Worded[W], ...], tuple[Problem, ...]]:
    lying = {as_compared(file.name): Worded(sort, file, no_words) for file in files}
    shown, problems = [], []
    for name, said in words.items():
        found = lying.pop(as_compared(name), None)
        if found is not None:
            shown.append(replace(found, words=said, record=record, named=name))
        else:
            names = sorted(each.name for each in files)
            problems.append(record.problem_at(_not_there(sort, name, names)))
    shown += sorted(lying.values(), key=lambda each: list(_by_name(each.file.name)))
    for each in shown:
        if trouble := each.file.trouble:
            problems.append(each.problem(trouble.code, trouble.message, trouble.hint))
    return tuple(each for each in shown if each.file.trouble is None), tuple(problems)


def _not_there(sort: Sort, name: str, names: list[str]) -> Finding:
    folder, field = sort.folder, f"{sort.folder}.{name}"
    if "/" in name or "\\" in name:
        hint = f"put the file into {folder}, and write its name alone"
        return Finding(sort.misplaced, field, f"«{name}» lies outside the folder {folder}", hint)
    hint = did_you_mean(name, names) or "put the file there, or remove its words"
    return Finding(sort.missing, field, f"there is no file «{name}» in the folder {folder}", hint)


def _by_name(name: str) -> Iterator[tuple[int, str]]:
    """Names as people sort them: photo 2 before photo 10, whatever the size of the letters; then as they are."""
    for part in re.split(r"([0-9]+)", name):
        yield (int(part), "") if part.isdecimal() and part.isascii() else (-1, part.casefold())
    yield (-1, name)
