"""The picture beside a link: its size, what it says, the same bytes each time, and no more than it should hold."""

from __future__ import annotations

import io
import struct
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from PIL import Image

from builder.link_picture import COVER_PX, HEIGHT_PX, WIDTH_PX, Words, link_picture
from builder.pages.head import for_programs
from builder.pages.link_words import picture_of_instrument, words_of_instrument, words_of_shop
from builder.pages.photographs import size_to_fill
from builder.published import Published, PublishedDrawing
from builder.published.beside import PublishedPhoto
from builder.seam import Page
from tests.boards import drawing, fret_line
from tests.certificate_samples import BARE_SHOP, FANNED, NEARLY_EMPTY, SHOP, USUAL

EVERY_KIND = [USUAL, FANNED, NEARLY_EMPTY]
NUMBER = "number\u00a02026-014\u00a0·\u00a02026"
WORDS = words_of_instrument(USUAL, SHOP)


def photograph(colour: tuple[int, int, int], size: tuple[int, int]) -> bytes:
    content = io.BytesIO()
    Image.new("RGB", size, colour).save(content, "JPEG")
    return content.getvalue()


COVER = photograph((150, 90, 40), (960, 640))


def opened(words: Words, board: PublishedDrawing | None = None) -> Image.Image:
    return Image.open(io.BytesIO(link_picture(words, board)))


def inside(image: Image.Image) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    """What is within the frame."""
    return np.asarray(image.convert("RGB").crop((40, 40, WIDTH_PX - 40, HEIGHT_PX - 40)))


@pytest.mark.parametrize("instrument", EVERY_KIND)
def test_it_has_the_size_that_its_page_names(instrument: Published) -> None:
    named = picture_of_instrument(instrument, SHOP)
    content = link_picture(words_of_instrument(instrument, SHOP), instrument.drawing)
    assert content.startswith(b"\x89PNG\r\n\x1a\n")
    assert struct.unpack(">II", content[16:24]) == (named.width_px, named.height_px) == (1200, 630)
    assert len(content) < 60_000
    assert content == link_picture(words_of_instrument(instrument, SHOP), instrument.drawing)


def test_nothing_is_in_the_file_but_the_picture() -> None:
    """Chunks of a PNG (W3C PNG, third edition): header, palette, pixels, end; neither time nor text."""
    content, chunks, at = link_picture(WORDS, USUAL.drawing), [], 8
    while at < len(content):
        (length,) = struct.unpack(">I", content[at : at + 4])
        chunks.append(content[at + 4 : at + 8])
        at += 12 + length
    assert set(chunks) == {b"IHDR", b"PLTE", b"IDAT", b"IEND"}
    assert opened(WORDS).info == {}


def test_it_says_what_the_page_is_about() -> None:
    assert (
        Words(
            "Tern & Alder",
            "Heron",
            (f"mountain dulcimer · {NUMBER}", "in western red cedar and black walnut"),
        )
        == WORDS
    )
    assert words_of_instrument(NEARLY_EMPTY, SHOP) == Words(
        "Tern & Alder", "Mountain dulcimer", ("number\u00a02026-001",)
    )
    assert words_of_shop(SHOP) == Words("", "Tern & Alder", ("Fretted instruments by Ida Marsh", "Lower Fell, Cumbria"))
    assert picture_of_instrument(USUAL, SHOP).alt == (
        "Tern & Alder, Heron, mountain dulcimer · number 2026-014 · 2026, in western red cedar and black walnut; its "
        "fretboard drawn to scale"
    )


def test_other_words_or_another_board_make_another_picture() -> None:
    plain = link_picture(WORDS, USUAL.drawing)
    for other in (replace(WORDS, title="Herons"), replace(WORDS, above=""), replace(WORDS, lines=WORDS.lines[:1])):
        assert link_picture(other, USUAL.drawing) != plain
    assert link_picture(WORDS, FANNED.drawing) != plain
    assert link_picture(WORDS, None) != plain


def test_frets_are_where_the_board_has_them() -> None:
    """A board of 600 mm with frets at 100, 300 and 450 mm: bright columns at those parts of its length."""
    board = drawing(
        600.0, 40.0, 40.0, tuple(fret_line(str(n), x, 40.0) for n, x in enumerate((100.0, 300.0, 450.0), 1))
    )
    pixels = np.asarray(opened(WORDS, board).convert("L")).astype(float)
    row = pixels[HEIGHT_PX - 88 - 15]
    wood = np.flatnonzero(row[60:-60] < 120) + 60
    start, end = wood.min(), wood.max()
    bright = np.flatnonzero(row[start:end] > 170)
    places = [each.mean() for each in np.split(bright, np.flatnonzero(np.diff(bright) > 3) + 1)]
    frets = [place for place in places if place > 30]
    length_px = (1200 - 2 * 84 - 9) * 1.0
    nut_px = end - length_px
    assert [(start + place - nut_px) / length_px * 600 for place in frets] == pytest.approx([100, 300, 450], abs=2)


def test_names_keep_their_accents_and_what_cannot_be_set_is_left_out() -> None:
    """Ř is no R, and no name is told in dots."""
    accented, bare = (inside(opened(Words("", title, ()))) for title in ("Řezáč", "Rezac"))
    assert not np.array_equal(accented, bare)
    empty = inside(opened(Words("", "", ())))
    assert np.array_equal(inside(opened(Words("", "桐の木", ()))), empty)
    assert not np.array_equal(inside(opened(Words("", "Цапля", ()))), empty)


@settings(max_examples=25)
@given(st.text(max_size=80), st.text(max_size=60), st.lists(st.text(max_size=130), max_size=3), st.booleans())
@example("W" * 80, "W" * 60, ["W" * 130] * 3, True)
@example("Slow grown " * 8, "Slow grown " * 6, ["timber of the valleys " * 6] * 3, True)
@example("Slow grown " * 8, "Slow grown " * 6, ["timber of the valleys " * 6] * 3, False)
def test_any_words_fit(above: str, title: str, lines: list[str], is_narrow: bool) -> None:
    words = Words(above, title, tuple(lines))
    image = Image.open(io.BytesIO(link_picture(words, FANNED.drawing, COVER if is_narrow else None)))
    card = np.asarray(image.convert("L"))[:, : 1200 - COVER_PX if is_narrow else None]
    for side in (card[44:-44, 40:56], card[44:-44, -56:-40], card[40:46, 40:-40], card[-80:-40, 40:-40]):
        assert side.min() > 240, "no letter comes near the frame"


def test_a_photograph_stands_beside_the_words() -> None:
    with_cover = Image.open(io.BytesIO(link_picture(WORDS, USUAL.drawing, COVER)))
    assert (with_cover.format, with_cover.size) == ("JPEG", (1200, 630))
    assert np.asarray(with_cover)[:, 700:].mean(axis=(0, 1)) == pytest.approx([150, 90, 40], abs=3)
    assert "exif" not in with_cover.info
    assert len(link_picture(WORDS, None, COVER)) < 200_000


@pytest.mark.parametrize(
    ("sizes_px", "chosen"),
    [
        (((480, 320), (960, 640), (1920, 1280)), (960, 640)),
        (((480, 270), (960, 540), (1920, 1080)), (960, 540)),
        (((480, 200), (960, 400), (1920, 800)), (1920, 800)),
        (((480, 270), (700, 394)), (700, 394)),
        (((480, 640), (960, 1280)), (480, 640)),
        (((400, 640), (960, 1536)), (960, 1536)),
    ],
)
def test_the_smallest_photograph_is_taken_that_fills_its_part(
    sizes_px: tuple[tuple[int, int], ...], chosen: tuple[int, int]
) -> None:
    assert size_to_fill(PublishedPhoto(1, sizes_px, None, ""), COVER_PX, HEIGHT_PX) == chosen


def test_the_address_tells_the_kind_of_file_and_the_words_tell_of_the_photograph() -> None:
    cover = PublishedPhoto(1, ((480, 320), (960, 640)), None, "Heron on the bench, from above")
    with_photo, without = picture_of_instrument(USUAL, SHOP, cover), picture_of_instrument(USUAL, SHOP)
    assert (with_photo.path, with_photo.media_type) == ("link-pictures/2026-014.jpg", "image/jpeg")
    assert (without.path, without.media_type) == ("link-pictures/2026-014.png", "image/png")
    assert with_photo.alt.endswith("; photograph: Heron on the bench, from above")


def test_links_to_a_site_without_an_address_have_no_picture() -> None:
    page = Page("a.html", "A", "A page.", (), "", True, picture=picture_of_instrument(USUAL, SHOP))
    assert "og:image" not in for_programs(page, BARE_SHOP)
    said = for_programs(page, SHOP)
    assert 'content="https://example.org/instruments-of-ours/link-pictures/2026-014.png"' in said
    assert "og:image" not in for_programs(replace(page, findable=False), SHOP)
    assert "link-picture.png" in for_programs(replace(page, picture=None), SHOP)
