"""An instrument's photographs: the files of its folder `photos`, with the words its record has for them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from builder.problems import Finding, Problem, did_you_mean
from builder.reading.beside import FileBeside
from builder.reading.folder import FileRead
from builder.reading.naming import as_compared
from builder.record import Record
from builder.record.photo import PhotoWords

NO_WORDS = PhotoWords()


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph as it lies in its folder, and the words for it. `record` is the file that names it, if one does."""

    file: FileBeside
    words: PhotoWords
    record: FileRead[Record] | None = None
    named: str = ""

    def problem(self, code: str, message: str, hint: str) -> Problem:
        """Something wrong with it, said where the record names it, else at the file itself.

        The message lacks its subject: `is empty`.
        """
        if self.record is None:
            return Problem(code, self.file.said, 0, 0, f"this {message}", hint)
        return self.record.problem_at(Finding(code, f"photos.{self.named}", f"«{self.named}» {message}", hint))


def photos_of(record: FileRead[Record], files: tuple[FileBeside, ...]) -> tuple[tuple[Photo, ...], tuple[Problem, ...]]:
    """The photographs in the order they are shown, first those that the record names, then the rest by name.

    With them come the problems: files that cannot be used, and names of files that are not there.
    """
    words = record.value.photos if record.value else {}
    lying = {as_compared(file.name): Photo(file, NO_WORDS) for file in files}
    shown, problems = [], []
    for name, said in words.items():
        photo = lying.pop(as_compared(name), None)
        if photo is not None:
            shown.append(replace(photo, words=said, record=record, named=name))
        else:
            names = sorted(each.name for each in files)
            problems.append(record.problem_at(_not_there(name, names)))
    shown += sorted(lying.values(), key=lambda photo: list(_by_name(photo.file.name)))
    for photo in shown:
        if trouble := photo.file.trouble:
            problems.append(photo.problem(trouble.code, trouble.message, trouble.hint))
    return tuple(photo for photo in shown if photo.file.trouble is None), tuple(problems)


def _not_there(name: str, names: list[str]) -> Finding:
    if "/" in name or "\\" in name:
        message, hint = f"«{name}» lies outside the folder photos", "put the file into photos, and write its name alone"
        return Finding("photo-misplaced", f"photos.{name}", message, hint)
    hint = did_you_mean(name, names) or "put the file there, or remove its words"
    return Finding("photo-missing", f"photos.{name}", f"there is no file «{name}» in the folder photos", hint)


def _by_name(name: str) -> Iterator[tuple[int, str]]:
    """Names as people sort them: photo 2 before photo 10, whatever the size of the letters; then as they are."""
    for part in re.split(r"([0-9]+)", name):
        yield (int(part), "") if part.isdecimal() and part.isascii() else (-1, part.casefold())
    yield (-1, name)
