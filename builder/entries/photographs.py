"""Photographs copied into an instrument's folder, under a name that says the day and their order; with words or not.

The originals stay where they are. What the words call a draft never lies there without them: photographs with words are
put in place when the record has these, and by the next run, if one was stopped in between.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from builder.editing.layout import Plain
from builder.entries.keeping import (
    OWN_FOLDER,
    RECORD,
    Edit,
    Entry,
    Refused,
    Written,
    named_photos,
    ready_if_named,
    write_in_turn,
)
from builder.photos import MOST_BYTES, NotShown, pictures_of
from builder.reading.beside import PHOTOS, FileBeside
from builder.reading.naming import as_compared
from builder.safe_files import new_folders_in, one_at_a_time, write_file
from builder.words import in_a_row

#: Names that a camera or phone gives, which tell nothing.
_OF_A_CAMERA = re.compile(r"(?:img|image|imgp|dsc|dscn|dscf|pxl|photo|picture|p|signal|snap)?[-\d]*", re.I)
_DATED = re.compile(r"(\d{4}-\d\d-\d\d)-(\d{1,4})(?:[-.].*)?", re.ASCII)
_LONGEST_WORD = 40
#: What is advised of a file that lies in the folder already.
_IN_PHOTOS = "move it out of photos"


def add_photos(shop_folder: Path, serial: str, files: Sequence[Path], day: date, words: Mapping[str, str]) -> Written:
    """Copy photographs into the folder `photos` of the instrument `serial`.

    `words` are what the record is to say of each (`shows`, `alt`, `draft`). Raises what `write_entry` raises, and
    Resumed where a run that was stopped had photographs ready, which stand in their place now.
    """
    contents = [_content_of(file) for file in files]
    folder = shop_folder / "records" / "instruments" / serial
    place = f"records/instruments/{serial}/{PHOTOS.folder}"
    written: Written | None = None
    with one_at_a_time(shop_folder / OWN_FOLDER):
        ready_if_named(shop_folder, serial)
        named = {as_compared(name) for name in named_photos(shop_folder, serial)}
        before = (folder / RECORD).read_bytes()
        try:
            with new_folders_in(folder / PHOTOS.folder) as new:
                names = list(_names(files, day, words.get("shows"), named | _names_in(folder / PHOTOS.folder)))
                for name, content in zip(names, contents, strict=True):
                    write_file(new / name, content)
                said = f"{in_a_row(names)}{', kept as a draft' if words.get('draft') else ''}"
                if words:
                    entry = _entry(said, names, new, words)
                    written = write_in_turn(shop_folder, serial, lambda instrument, shop: entry)
        except OSError:
            if written is not None:
                write_file((folder / RECORD).resolve(), before)
            raise
    if written is None:
        return Written(said, place, ())
    return replace(written, file=f"{place}, and the words to {written.file}")


def _entry(said: str, names: Sequence[str], new: Path, words: Mapping[str, Plain]) -> Entry:
    edits = tuple(Edit(("photos", name), dict(words)) for name in names)
    coming = tuple(FileBeside(name, name, new / name, 0, 0) for name in names)
    return Entry(said, edits, photos=coming)


def _content_of(file: Path) -> bytes:
    """A photograph's bytes, once it is seen that a picture can be made of them. Raises Refused."""
    try:
        if file.stat().st_size > MOST_BYTES:
            raise Refused(f"«{file.name}» is larger than any photograph", "is it a film?")
        content = file.read_bytes()
        pictures_of(content)
    except OSError as error:
        raise Refused(f"«{file}» cannot be opened: {error.strerror}", "see how it is spelled") from None
    except NotShown as trouble:
        hint = trouble.hint.removesuffix(_IN_PHOTOS).removesuffix(", or ")
        raise Refused(f"«{file.name}» {trouble.message}", hint or "name a photograph") from None
    return content


def _names_in(photos: Path) -> set[str]:
    return {as_compared(each.name) for each in photos.iterdir() if not each.name.startswith(".")}


def _names(files: Sequence[Path], day: date, shows: str | None, taken: set[str]) -> Iterator[str]:
    """`2026-03-04-1-linings.jpg`: the day, the number of that day, and what the file was called or shows."""
    numbers = [int(found[2]) for found in map(_DATED.fullmatch, taken) if found and found[1] == day.isoformat()]
    for number, file in enumerate(files, max(numbers, default=0) + 1):
        ending = file.suffix.lower() or ".jpg"
        word = _word(file.stem) or _word(shows or "")
        yield f"{day}-{number}{f'-{word}' if word else ''}{ending}"


def _word(text: str) -> str:
    """A text as part of a file's name: small letters, digits and hyphens, or nothing where it tells nothing."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    hyphened = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
    if _OF_A_CAMERA.fullmatch(hyphened):
        return ""
    if len(hyphened) > _LONGEST_WORD:
        hyphened = hyphened[:_LONGEST_WORD].rpartition("-")[0] or hyphened[:_LONGEST_WORD]
    return hyphened
