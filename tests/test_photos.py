"""One photograph ─► pictures: upright, in sRGB, in three widths, nothing in them but pixels; and what cannot be."""

from __future__ import annotations

import io
import itertools
import struct
import sys
import zlib

import pytest
from PIL import Image, ImageChops, ImageCms, ImageOps, ImageStat

from builder.photos import MOST_PIXELS, WIDTHS_PX, NotShown, Picture, pictures_of
from tests.photo_samples import (
    EVERYTHING,
    drawn,
    exif,
    jpeg_that_claims,
    moving,
    opened,
    png_chunk,
    png_that_claims,
    saved,
    segments,
    webp_that_claims,
)

CANARY = "Zugvogel"


#: Levels by which a picture may differ for being a JPEG: its colours are coarser than its outlines.
A_GLANCE = 6


def largest(content: bytes) -> Image.Image:
    return opened(pictures_of(content)[-1].content)


def difference(one: Image.Image, other: Image.Image) -> float:
    """The mean difference of two pictures, in levels of 256."""
    assert one.size == other.size
    return max(ImageStat.Stat(ImageChops.difference(one.convert("RGB"), other.convert("RGB"))).mean)


def colour(content: bytes) -> tuple[int, ...]:
    """The colour in the middle of its largest picture."""
    image = largest(content)
    found = image.getpixel((image.width // 2, image.height // 2))
    assert isinstance(found, tuple)
    return tuple(int(level) for level in found)


def near(one: tuple[int, ...], other: tuple[float, ...], levels: float = 3) -> bool:
    return all(abs(a - b) <= levels for a, b in zip(one, other, strict=True))


# Sizes


@pytest.mark.parametrize(
    ("size", "expected"),
    [
        ((4032, 3024), [(480, 360), (960, 720), (1920, 1440)]),
        ((3024, 4032), [(480, 640), (960, 1280), (1920, 2560)]),
        ((1200, 900), [(480, 360), (960, 720), (1200, 900)]),
        ((700, 500), [(480, 343), (700, 500)]),
        ((1000, 750), [(480, 360), (1000, 750)]),
        ((500, 400), [(500, 400)]),
        ((300, 200), [(300, 200)]),
        ((1, 1), [(1, 1)]),
        ((900, 3600), [(160, 640), (320, 1280), (640, 2560)]),
        ((4000, 3), [(480, 1), (960, 1), (1920, 1)]),
    ],
)
def test_three_widths_none_larger_than_the_photograph(size: tuple[int, int], expected: list[tuple[int, int]]) -> None:
    pictures = pictures_of(saved(Image.new("RGB", size, "tan")))
    assert [(each.width_px, each.height_px) for each in pictures] == expected
    for each in pictures:
        image = opened(each.content)
        assert (image.format, image.mode, image.size) == ("JPEG", "RGB", (each.width_px, each.height_px))
    assert max(each.width_px for each in pictures) <= WIDTHS_PX[-1]


def test_the_same_photograph_gives_the_same_bytes() -> None:
    content = saved(drawn(700, 500))
    assert pictures_of(content) == pictures_of(bytes(content))


def test_a_large_photograph_looks_as_it_did_when_it_is_small() -> None:
    """Against the library's own way of making it smaller, from all of its pixels."""
    photo = drawn(3000, 2000)
    for picture in pictures_of(saved(photo)):
        small = photo.resize((picture.width_px, picture.height_px), Image.Resampling.LANCZOS)
        assert difference(opened(picture.content), small) < 1.5


# Upright


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_stands_as_the_camera_was_held(kind: str, orientation: int) -> None:
    noted = Image.Exif()
    noted[0x0112] = orientation
    content = saved(drawn(), kind, exif=noted)
    by_the_library = ImageOps.exif_transpose(opened(content))
    assert difference(largest(content), by_the_library) < A_GLANCE
    assert (largest(content).width < largest(content).height) == (orientation > 4)


def test_a_picture_that_is_turned_or_mirrored_is_told_from_itself() -> None:
    for turned in (Image.Transpose.ROTATE_180, Image.Transpose.FLIP_LEFT_RIGHT, Image.Transpose.FLIP_TOP_BOTTOM):
        assert difference(drawn(), drawn().transpose(turned)) > 10 * A_GLANCE


@pytest.mark.parametrize("noted", [0, 9, 255, 65_535])
def test_an_orientation_that_there_is_not_leaves_it_as_it_is(noted: int) -> None:
    assert difference(largest(saved(drawn(), exif=exif(CANARY, noted))), drawn()) < A_GLANCE


def test_damaged_notes_do_not_keep_a_whole_photograph_away() -> None:
    for spoilt in (b"Exif\0\0", b"Exif\0\0II*\0\xff\xff\xff\xff", b"Exif\0\0" + b"\xff" * 60, exif(CANARY)[:40]):
        content = saved(drawn(), exif=spoilt)
        assert difference(largest(content), drawn()) < A_GLANCE


# Colours

#: A wide colour space with a gamma of 2.2: its red, green and blue in XYZ under D50, which add up to white.
WIDE = ((0.60974, 0.31111, 0.01947), (0.20528, 0.62567, 0.06087), (0.14919, 0.06322, 0.74457))
#: Red, green and blue of sRGB in XYZ under D50 (IEC 61966-2-1 with the adaptation of ICC.1; from memory, four digits).
SRGB = ((0.4360, 0.2225, 0.0139), (0.3851, 0.7169, 0.0971), (0.1431, 0.0606, 0.7141))


def wide_profile() -> bytes:
    """A profile of three colours and a curve (ICC.1:2001-04), written here byte for byte."""

    def fixed(*numbers: float) -> bytes:
        return b"".join(round(number * 65_536).to_bytes(4, signed=True) for number in numbers)

    curve = b"curv\0\0\0\0" + (1).to_bytes(4) + round(2.2 * 256).to_bytes(2) + b"\0\0"
    parts = {
        b"desc": b"desc\0\0\0\0" + (5).to_bytes(4) + b"wide\0" + b"\0" * 79,
        b"wtpt": b"XYZ \0\0\0\0" + fixed(0.9642, 1.0, 0.8249),
        **{name: b"XYZ \0\0\0\0" + fixed(*xyz) for name, xyz in zip((b"rXYZ", b"gXYZ", b"bXYZ"), WIDE, strict=True)},
        **dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve),
    }
    place, table, body = 128 + 4 + 12 * len(parts), len(parts).to_bytes(4), b""
    for name, part in parts.items():
        table += name + (place + len(body)).to_bytes(4) + len(part).to_bytes(4)
        body += part + b"\0" * (-len(part) % 4)
    head = b"\0" * 8 + b"\x02\x20\0\0" + b"mntrRGB XYZ " + b"\0" * 12 + b"acsp" + b"\0" * 28 + fixed(0.9642, 1, 0.8249)
    content = head.ljust(128, b"\0") + table + body
    return (len(content)).to_bytes(4) + content[4:]


def in_srgb_by_the_standard(rgb: tuple[int, int, int]) -> tuple[float, ...]:
    """The colour as IEC 61966-2-1 writes it: to light, to XYZ, to the light of sRGB, and through its curve."""
    light = [(level / 255) ** (round(2.2 * 256) / 256) for level in rgb]
    xyz = [sum(light[k] * WIDE[k][axis] for k in range(3)) for axis in range(3)]
    red, green, blue = solved(SRGB, xyz)
    curved = [12.92 * v if v <= 0.0031308 else 1.055 * v ** (1 / 2.4) - 0.055 for v in (red, green, blue)]
    return tuple(255 * min(max(level, 0), 1) for level in curved)


def solved(columns: tuple[tuple[float, ...], ...], wanted: list[float]) -> list[float]:
    """How much of each column makes up what is wanted, by Cramer's rule."""

    def volume(a: tuple[float, ...], b: tuple[float, ...], c: tuple[float, ...]) -> float:
        (x1, y1, z1), (x2, y2, z2), (x3, y3, z3) = a, b, c
        return x1 * (y2 * z3 - z2 * y3) - y1 * (x2 * z3 - z2 * x3) + z1 * (x2 * y3 - y2 * x3)

    whole = volume(*columns)
    return [volume(*(tuple(wanted) if k == n else columns[k] for k in range(3))) / whole for n in range(3)]


@pytest.mark.parametrize("rgb", [(120, 140, 100), (200, 150, 110), (90, 60, 40), (60, 90, 150), (128, 128, 128)])
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_colours_are_those_of_the_profile_worked_out_by_hand(kind: str, rgb: tuple[int, int, int]) -> None:
    flat = Image.new("RGB", (64, 64), rgb)
    found = colour(saved(flat, kind, icc_profile=wide_profile()))
    assert near(found, in_srgb_by_the_standard(rgb))


def test_a_wide_colour_differs_from_the_same_levels_without_a_profile() -> None:
    flat = Image.new("RGB", (64, 64), (60, 180, 60))
    assert not near(colour(saved(flat, icc_profile=wide_profile())), colour(saved(flat)), 10)


def test_a_profile_that_cannot_be_used_is_as_none() -> None:
    flat = Image.new("RGB", (64, 64), (120, 90, 60))
    grey = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    for profile in (b"no profile", wide_profile()[:200], grey):
        assert near(colour(saved(flat, icc_profile=profile)), (120, 90, 60))


def test_a_grey_photograph_with_the_profile_of_a_coloured_one() -> None:
    flat = Image.new("L", (64, 64), 128)
    assert near(colour(saved(flat, icc_profile=wide_profile())), in_srgb_by_the_standard((128, 128, 128)))


# Every kind of pixel


def test_sixteen_bits_become_eight_evenly() -> None:
    """Black, white and the middle of a 16-bit grey picture: n/65535 of white is n/65535 of white."""
    for level in (0, 32_768, 65_535):
        image = Image.new("I;16", (64, 64), level)
        content = saved(image, "PNG")
        assert opened(content).mode == "I;16"
        assert near(colour(content), (level / 257,) * 3, 1)


def test_sixteen_bits_of_colour() -> None:
    """A PNG of 16 bits a channel, written here, for the library writes none."""
    row = b"\0" + struct.pack(">3H", 51_400, 25_700, 12_850) * 8
    head = png_chunk(b"IHDR", struct.pack(">IIBBBBB", 8, 8, 16, 2, 0, 0, 0))
    content = b"\x89PNG\r\n\x1a\n" + head + png_chunk(b"IDAT", zlib.compress(row * 8)) + png_chunk(b"IEND", b"")
    assert near(colour(content), (200, 100, 50))


def test_what_is_seen_through_lies_on_white() -> None:
    for mode, ink, expected in (
        ("RGBA", (200, 0, 0, 0), (255, 255, 255)),
        ("RGBA", (200, 0, 0, 255), (200, 0, 0)),
        ("RGBA", (200, 0, 0, 128), (227, 127, 127)),
        ("LA", (0, 128), (127, 127, 127)),
    ):
        assert near(colour(saved(Image.new(mode, (64, 64), ink), "PNG")), expected)
    assert near(colour(saved(Image.new("RGBA", (64, 64), (0, 0, 200, 0)), "WEBP", lossless=True)), (255, 255, 255))


def test_a_palette_with_and_without_a_colour_that_is_seen_through() -> None:
    image = Image.new("RGB", (64, 64), (10, 120, 200)).quantize(4)
    assert near(colour(saved(image, "PNG")), (10, 120, 200))
    index = image.getpixel((32, 32))
    assert near(colour(saved(image, "PNG", transparency=index)), (255, 255, 255))


def test_inks_of_the_press() -> None:
    for ink, expected in (
        ((0, 0, 0, 0), (255, 255, 255)),
        ((0, 255, 255, 0), (255, 0, 0)),
        ((0, 0, 0, 255), (0, 0, 0)),
    ):
        content = saved(Image.new("CMYK", (64, 64), ink))
        assert opened(content).mode == "CMYK"
        assert near(colour(content), expected, 4)


def test_black_and_white_of_one_bit() -> None:
    assert near(colour(saved(Image.new("1", (64, 64), 1), "PNG")), (255, 255, 255))


def test_a_heic_photograph() -> None:
    pillow_heif = pytest.importorskip("pillow_heif")
    written = io.BytesIO()
    pillow_heif.from_pillow(drawn(640, 480)).save(written, quality=95, exif=exif(CANARY, 6))
    pictures = pictures_of(written.getvalue())
    assert [(each.width_px, each.height_px) for each in pictures] == [(480, 640)]
    upright = drawn(640, 480).transpose(Image.Transpose.ROTATE_270)
    assert difference(opened(pictures[-1].content), upright) < 6
    assert CANARY.encode() not in pictures[-1].content


def test_a_heic_photograph_without_the_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    with pytest.raises(NotShown) as said:
        pictures_of(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic")
    assert said.value.code == "photo-kind"
    assert str(said.value) == "is a HEIC picture, which needs an extra; pip install pillow-heif, or save it as JPEG"


# Nothing but pixels

#: What a picture may hold (ITU-T T.81): its frame, tables and scans, and the sixteen bytes that say it is a JFIF.
_TABLES, _FRAME, _HUFFMAN, _SCAN, _JFIF = 0xDB, 0xC2, 0xC4, 0xDA, 0xE0


@pytest.mark.parametrize("kind", EVERYTHING)
def test_nothing_is_kept_but_pixels(kind: str) -> None:
    content = EVERYTHING[kind](CANARY)
    assert content.count(CANARY.encode()) >= 2, "the photograph says what its pictures must not"
    for picture in pictures_of(content):
        assert_bare(picture)


def assert_bare(picture: Picture) -> None:
    found = list(segments(picture.content))
    assert {marker for marker, _ in found} == {_TABLES, _FRAME, _HUFFMAN, _SCAN, _JFIF}
    assert [payload for marker, payload in found if marker == _JFIF] == [b"JFIF\0\1\1\0\0\1\0\1\0\0"]
    for spelled in (CANARY, CANARY.lower(), "2024"):
        for coding in ("utf-8", "utf-16-le", "utf-16-be"):
            assert spelled.encode(coding) not in picture.content
    image = opened(picture.content)
    assert dict(image.getexif()) == {}
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", "progressive", "progression"}


@pytest.mark.parametrize("kind", EVERYTHING)
def test_the_check_above_sees_what_a_photograph_holds(kind: str) -> None:
    """It fails for a picture that was only saved anew, with all the library would carry along."""
    image = opened(EVERYTHING[kind](CANARY)).convert("RGB")
    kept = {name: image.info[name] for name in ("exif", "icc_profile", "xmp", "comment") if image.info.get(name)}
    carried = saved(image, progressive=True, optimize=True, **(kept or {"comment": CANARY}))
    with pytest.raises(AssertionError):
        assert_bare(Picture(*image.size, carried))


# What cannot be shown

SMALL = saved(drawn(64, 48))
AGAIN = "copy it from the camera or phone again, or move it out of photos"
OTHER_KIND = "save it as JPEG, PNG or WebP, or move it out of photos"
TOO_LARGE = (
    "photo-too-large", "has more than 100 million pixels; save it smaller; 1920 pixels across are shown at most",
)  # fmt: skip
BAD = {
    "empty": (b"", "photo-broken", "is empty; copy it from the camera or phone again, or remove it"),
    "cut off": (SMALL[: len(SMALL) // 2], "photo-broken", f"is cut off or damaged; {AGAIN}"),
    "its first bytes alone": (SMALL[:4], "photo-broken", f"is cut off or damaged; {AGAIN}"),
    "PNG cut off": (saved(drawn(), "PNG")[:200], "photo-broken", f"is cut off or damaged; {AGAIN}"),
    "WebP cut off": (saved(drawn(), "WEBP")[:200], "photo-broken", f"is cut off or damaged; {AGAIN}"),
    "HEIC cut off": (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "photo-broken", f"is cut off or damaged; {AGAIN}"),
    "a text": (b"a shopping list", "photo-kind", "is no picture of a kind known here; move it out of photos"),
    "a film": (
        b"\0\0\0\x14ftypisom\0\0\0\0mp42", "photo-kind", "is no picture of a kind known here; move it out of photos",
    ),
    "GIF": (saved(drawn(), "GIF"), "photo-kind", f"is of the kind GIF; {OTHER_KIND}"),
    "TIFF": (saved(drawn(), "TIFF"), "photo-kind", f"is of the kind TIFF; {OTHER_KIND}"),
    "BMP": (saved(drawn(), "BMP"), "photo-kind", f"is of the kind BMP; {OTHER_KIND}"),
    "PDF": (b"%PDF-1.7", "photo-kind", f"is of the kind PDF; {OTHER_KIND}"),
    "AVIF": (b"\0\0\0\x1cftypmif1\0\0\0\0mif1avif", "photo-kind", f"is of the kind AVIF; {OTHER_KIND}"),
    "PNG that moves": (
        moving("PNG"), "photo-kind", "is a picture that moves; save one picture of it, or move it out of photos",
    ),
    "WebP that moves": (
        moving("WEBP"), "photo-kind", "is a picture that moves; save one picture of it, or move it out of photos",
    ),
    "PNG too large": (png_that_claims(10_001, 10_000), *TOO_LARGE),
    "PNG a good deal too large": (png_that_claims(60_000, 60_000), *TOO_LARGE),
    "JPEG too large": (jpeg_that_claims(20_000, 5_001), *TOO_LARGE),
    "WebP too large": (webp_that_claims(16_000, 16_000), *TOO_LARGE),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_what_cannot_be_shown_is_said_in_these_very_words(name: str) -> None:
    content, code, words = BAD[name]
    if name.startswith("HEIC"):
        pytest.importorskip("pillow_heif")
    with pytest.raises(NotShown) as said:
        pictures_of(content)
    assert (said.value.code, str(said.value)) == (code, words)


def test_just_as_many_pixels_as_are_possible_are_opened() -> None:
    """Such a file is found to be cut off, which nobody learns without opening it; more is refused by its head alone."""
    claimed = png_that_claims(10_000, 10_000)
    width, height = Image.open(io.BytesIO(claimed)).size
    assert width * height == MOST_PIXELS
    with pytest.raises(NotShown, match="is cut off or damaged"):
        pictures_of(claimed)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_no_damage_is_a_fault_of_the_program(kind: str) -> None:
    """Every byte of a small picture in turn is another: a picture comes of it, or a plain word."""
    content = saved(drawn(24, 16), kind)
    outcomes = set()
    for place, with_bits in itertools.product(range(0, len(content), max(1, len(content) // 150)), (0xFF, 0x80, 0x01)):
        spoilt = bytearray(content)
        spoilt[place] ^= with_bits
        try:
            outcomes.add(len(pictures_of(bytes(spoilt))) > 0)
        except NotShown:
            outcomes.add(False)
    assert outcomes == {True, False}
