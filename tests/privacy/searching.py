"""What a built site says anywhere in it: every file taken apart, whatever is packed, encoded or drawn in it.

`what_it_says` gives everything in one file that could carry a word; `canaries_in` is what there is to find.
"""

from __future__ import annotations

import base64
import binascii
import gzip
import html
import io
import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from typing import Any
from urllib.parse import unquote_to_bytes

import numpy as np
import zxingcpp
from PIL import ExifTags, Image, ImageOps
from pypdf import PdfReader

#: How every canary begins; it stands nowhere in the project, and four letters tell one from another.
CANARY = "zugvogel"
_CANARY = re.compile(rf"{CANARY}[a-z]{{0,4}}".encode())
#: An amount that only canaries are of, with any sign between the thousands.
_CANARY_AMOUNT = re.compile(rb"7.{0,6}319[.,]43")
#: Years that only canaries are of, with what makes a day of them: written as in a record, or in words.
_CANARY_YEAR = re.compile(rb"217[123]")
_CANARY_DAY = re.compile(rb"217[123]-[01]\d|[A-Z][a-z]{2,} 217[123]")

_DATA_ADDRESS = re.compile(rb"data:([\w/+.-]*)((?:;[\w=.-]+)*?)(;base64)?,([^\"'\s)>]*)")
_ZLIB = re.compile(rb"[\x08\x18\x28\x38\x48\x58\x68\x78][\x01\x5e\x9c\xda\x1d\x5b\x99\xd7]")
_GZIP = b"\x1f\x8b\x08"
_PATH = re.compile(rb"\sd=(?:\"([^\"]+)\"|'([^']+)')")
_RUN = re.compile(rb"M(\d+) (\d+)h(\d+)v1h-(\d+)z")
_ESCAPED = re.compile(rb"\\u([0-9a-fA-F]{4})")
_DEEPEST = 5


def canaries_in(files: Mapping[str, bytes]) -> dict[str, set[str]]:
    """Every canary found in names and bytes of files, with the files (and what in them) it was found in."""
    found: dict[str, set[str]] = {}
    for name, content in files.items():
        for where, said in [("its name", name.encode()), *what_it_says(content)]:
            for canary in canaries_said(said):
                found.setdefault(canary, set()).add(f"{name}: {where}")
    return found


def canaries_said(said: bytes) -> set[str]:
    """Canaries in plain bytes, in one byte a letter or two, in capitals or not."""
    narrow = said.replace(b"\0", b"") if b"\0" in said else said
    lower = narrow.lower()
    words = _CANARY.findall(lower) if CANARY.encode() in lower else []
    if b"319.43" in narrow or b"319,43" in narrow:
        words += _CANARY_AMOUNT.findall(narrow)
    for year in _CANARY_YEAR.finditer(narrow):
        words += _CANARY_DAY.findall(narrow[max(0, year.start() - 12) : year.end() + 3])
    return {each.decode() for each in words}


def what_it_says(content: bytes, deep: int = 0) -> Iterator[tuple[str, bytes]]:
    """All there is in a file: its bytes, and what is inside them, each with how it was found."""
    yield "bytes", content
    if deep == _DEEPEST:
        return
    for how, inside in _inside(content):
        for where, said in what_it_says(inside, deep + 1):
            yield f"{how}, {where}" if where != "bytes" else how, said


def _inside(content: bytes) -> Iterator[tuple[str, bytes]]:
    if content.startswith(_GZIP):
        yield "gzip", gzip.decompress(content)
        yield "name in gzip", content[10:80]
    elif content.startswith(b"PK\x03\x04"):
        archive = zipfile.ZipFile(io.BytesIO(content))
        for each in archive.namelist():
            yield "file in an archive", each.encode() + b"\n" + archive.read(each)
    elif content.startswith(b"%PDF"):
        yield from _in_pdf(content)
    elif _is_picture(content):
        yield from _in_picture(content)
    elif _is_text(content):
        yield from _in_text(content)
    for packed in _ZLIB.finditer(content):
        if int.from_bytes(packed[0], "big") % 31 == 0:
            try:
                yield "packed", zlib.decompressobj().decompress(content[packed.start() :])
            except zlib.error:
                continue


def _is_text(content: bytes) -> bool:
    try:
        content.decode()
    except UnicodeDecodeError:
        return False
    return b"\0" not in content


def _in_text(content: bytes) -> Iterator[tuple[str, bytes]]:
    """What HTML, SVG, JSON and addresses write in other letters, data addresses, and codes drawn as paths."""
    if b"&" in content:
        plain = html.unescape(content.decode()).encode()
        if plain != content:
            yield "as HTML", plain
    if _ESCAPED.search(content):
        yield "as JSON", _ESCAPED.sub(lambda code: chr(int(code[1], 16)).encode("utf-8", "replace"), content)
    if re.search(rb"%[0-9a-fA-F]{2}", content):
        plain = unquote_to_bytes(content)
        if plain != content:
            yield "as address", plain
    for data in _DATA_ADDRESS.finditer(content):
        yield "data address", _of_data_address(data[4], is_base64=data[3] is not None)
    for path in _PATH.finditer(content):
        if code := _code_drawn(path[1] or path[2]):
            yield "code drawn", code


def _of_data_address(written: bytes, *, is_base64: bool) -> bytes:
    plain = unquote_to_bytes(written)
    if not is_base64:
        return plain
    try:
        return base64.b64decode(plain + b"=" * (-len(plain) % 4))
    except binascii.Error:
        return plain


def _code_drawn(path: bytes) -> bytes:
    """What a code says that is drawn as one path of dark runs; nothing where the path is another drawing."""
    runs = [tuple(map(int, run)) for run in _RUN.findall(path)]
    if not runs or _RUN.sub(b"", path).strip():
        return b""
    side = max(max(x + length, y) for x, y, length, _ in runs) + 5
    square = np.full((side, side), 255, np.uint8)
    for x, y, length, _ in runs:
        square[y, x : x + length] = 0
    return _codes(np.kron(square, np.ones((4, 4), np.uint8)))


def _codes(pixels: Any) -> bytes:
    return b"\n".join(found.text.encode() for found in zxingcpp.read_barcodes(pixels))


def _in_pdf(content: bytes) -> Iterator[tuple[str, bytes]]:
    pdf = PdfReader(io.BytesIO(content))
    yield "about the document", repr(dict(pdf.metadata or {})).encode()
    if pdf.xmp_metadata is not None:
        yield "about the document, XMP", pdf.xmp_metadata.stream.get_data()
    for page in pdf.pages:
        yield "text of a page", page.extract_text().encode()
        yield "notes of a page", repr([note.get_object() for note in page.get("/Annots", [])]).encode()
        for image in page.images:
            yield "picture of a page", image.data
    for name, files in pdf.attachments.items():
        yield "file attached", b"\n".join([name.encode(), *files])


def _is_picture(content: bytes) -> bool:
    return content.startswith((b"\xff\xd8", b"\x89PNG", b"GIF8")) or content[8:12] == b"WEBP"


def _in_picture(content: bytes) -> Iterator[tuple[str, bytes]]:
    """Everything a picture carries besides its pixels, and a code that its pixels may show."""
    with Image.open(io.BytesIO(content)) as picture:
        exif = picture.getexif()
        for each in (exif, *(exif.get_ifd(part) for part in ExifTags.IFD)):
            yield from (("EXIF", _as_bytes(value)) for value in each.values())
        yield from ((f"«{key}»", _as_bytes(value)) for key, value in picture.info.items())
        yield from (("text", _as_bytes(value)) for value in getattr(picture, "text", {}).values())
        upright = ImageOps.exif_transpose(picture).convert("L")
        if codes := _codes(np.asarray(upright)):
            yield "code in the picture", codes


def _as_bytes(value: object) -> bytes:
    if isinstance(value, bytes):
        return value
    if isinstance(value, tuple | list):
        return b" ".join(map(_as_bytes, value))
    return str(value).encode("utf-8", "replace")
