"""The search for canaries can fail: one put in the open is found in each kind of file and of hiding place."""

from __future__ import annotations

import base64
import gzip
import io
import json
import zipfile
import zlib
from collections.abc import Callable

import pytest
import segno
from pypdf import PdfWriter
from reportlab.pdfgen.canvas import Canvas

from builder.sheets.page_code import page_code
from tests.photo_samples import EVERYTHING, drawn, saved
from tests.privacy.searching import CANARY, canaries_in, what_it_says

WORD = f"{CANARY}abcd"


def pdf_page(word: str) -> bytes:
    made = io.BytesIO()
    canvas = Canvas(made, pageCompression=1)
    canvas.drawString(72, 72, f"for {word} alone")
    canvas.save()
    return made.getvalue()


def pdf_with(change: Callable[[PdfWriter], object]) -> bytes:
    made, writer = io.BytesIO(), PdfWriter(clone_from=io.BytesIO(pdf_page("nobody")))
    change(writer)
    writer.write(made)
    return made.getvalue()


def with_note(writer: PdfWriter) -> None:
    from pypdf.annotations import FreeText

    writer.add_annotation(0, FreeText(text=WORD, rect=(10, 10, 90, 90)))


def drawn_code(address: str) -> bytes:
    return f'<svg viewBox="0 0 9 9"><path d="{page_code(address).path}"/></svg>'.encode()


def code_as_picture(address: str) -> bytes:
    made = io.BytesIO()
    segno.make(address, error="m").save(made, kind="png", scale=4)
    return made.getvalue()


def archive() -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("a/letter.txt", f"to {WORD}")
    return made.getvalue()


def data_address(kind: str, content: bytes) -> bytes:
    return f'<img src="data:{kind};base64,{base64.b64encode(content).decode()}">'.encode()


IN_THE_OPEN = {
    "html": f"<p>made for {WORD.capitalize()}</p>".encode(),
    "html in entities": "".join(f"&#{ord(letter)};" for letter in WORD).encode(),
    "html attribute": f"<a title='{WORD}'>".encode(),
    "search index": json.dumps({"docs": [{"text": f"by {WORD}"}]}).encode(),
    "json in escapes": ('{"text": "' + "".join(f"\\u{ord(letter):04x}" for letter in WORD) + '"}').encode(),
    "sitemap": f"<url><loc>https://example.org/{WORD}.html</loc></url>".encode(),
    "address in percents": "".join(f"%{ord(letter):02x}" for letter in WORD).encode(),
    "gzip": gzip.compress(f"<loc>{WORD}</loc>".encode(), mtime=0),
    "gzip in gzip": gzip.compress(gzip.compress(WORD.encode())),
    "packed stream": b"\0\1\2" + zlib.compress(f"xx {WORD} xx".encode()),
    "svg text": f"<svg><text>{WORD}</text></svg>".encode(),
    "svg in a data address": b'<img src="data:image/svg+xml,%3Csvg%3E%3Ctext%3E' + WORD.encode() + b'%3C/text%3E">',
    "data address": data_address("text/plain", WORD.encode()),
    "picture in a data address": data_address("image/png", EVERYTHING["png"](WORD)),
    "code drawn": drawn_code(f"https://example.org/{WORD}"),
    "code drawn in a data address": data_address("image/svg+xml", drawn_code(f"https://example.org/{WORD}")),
    "code as a picture": code_as_picture(f"https://example.org/{WORD}"),
    "two bytes a letter": WORD.encode("utf-16-be"),
    "pdf text": pdf_page(WORD),
    "pdf metadata": pdf_with(lambda writer: writer.add_metadata({"/Subject": f"for {WORD}"})),
    "pdf note": pdf_with(with_note),
    "pdf attachment": pdf_with(lambda writer: writer.add_attachment("letter.txt", WORD.encode())),
    "pdf attachment's name": pdf_with(lambda writer: writer.add_attachment(f"{WORD}.txt", b"dear")),
    "archive": archive(),
}  # fmt: skip


@pytest.mark.parametrize("place", IN_THE_OPEN)
def test_a_canary_in_the_open_is_found(place: str) -> None:
    assert set(canaries_in({"file": IN_THE_OPEN[place]})) == {WORD}


def test_a_canary_is_found_in_the_name_of_a_file() -> None:
    assert set(canaries_in({f"photos/{WORD}.jpg": b""})) == {WORD}


@pytest.mark.parametrize("day", [b"on 2171-03-17.", b"<td>17 March 2171</td>", b"in March 2171"])
def test_a_day_of_the_canaries_is_found(day: bytes) -> None:
    assert canaries_in({"file": day})


@pytest.mark.parametrize("amount", ["7319.43", "€ 7,319.43", "7.319,43 kr", "7\u202f319.43"])
def test_an_amount_of_the_canaries_is_found(amount: str) -> None:
    assert canaries_in({"file": amount.encode()})


@pytest.mark.parametrize("kind", EVERYTHING)
def test_every_word_that_a_photograph_tells_is_found(kind: str) -> None:
    """Each place has the canary, and a word behind it that says which place it is."""
    told = EVERYTHING[kind](WORD)
    found = b"\n".join(said.replace(b"\0", b"") for _, said in what_it_says(told))
    places = {
        "jpeg": "description artist comment owner place thumbnail xmp city caption jpeg-comment behind-the-end",
        "png": "text packed xmp description artist comment owner place thumbnail",
        "webp": "description artist comment owner place thumbnail xmp",
        "jpeg of two": "first",
    }[kind]
    for place in places.split():
        assert f"{WORD}-{place}".encode() in found, place
    if kind != "jpeg of two":
        assert found.count(WORD.encode()) > len(places.split()), "the name of the profile"
    assert set(canaries_in({"photo": told})) == {WORD}


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_is_found_in_a_photograph_that_tells_nothing(kind: str) -> None:
    assert canaries_in({"photo": saved(drawn(), kind)}) == {}
