"""One photograph of a maker's ─► the pictures a site shows of it: three widths, upright, in sRGB, pixels and no more.

Everything else that a camera or a phone writes into a file (the place, the day, its owner's name, a small copy from
before it was cropped) is left behind, for each picture is built anew from its bare pixels.
"""

from __future__ import annotations

import importlib
import io
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import PIL
from PIL import Image, ImageCms

from builder.refused import Refused

#: How wide the pictures are, and how high at most for their width. None is made larger than the photograph is.
WIDTHS_PX = (480, 960, 1920)
MOST_HEIGHT_TO_WIDTH = 4 / 3
NEARLY_AS_WIDE = 0.8

#: The shop's mark is made to fit into this: on paper it stands no higher than 12 mm.
MARK_PX = (600, 200)

#: A larger photograph is not opened: unpacked, it would fill the memory of a small computer.
MOST_PIXELS = 100_000_000
Image.MAX_IMAGE_PIXELS = MOST_PIXELS
#: No photograph of MOST_PIXELS needs a larger file; a film does.
MOST_BYTES = 400_000_000

#: What the pictures depend on besides the photograph. The number grows by one with every change of how they are made.
MADE_WITH = f"1, Pillow {PIL.__version__}"

JPEG_QUALITY = 82

#: What stands in an orientation tag (0112 hex in Exif 2.32) ─► what sets the picture upright.
_ORIENTATION = 0x0112
_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_LIE_ON_THEIR_SIDE = {5, 6, 7, 8}

#: Kinds of picture that are read ─► what the library calls them; a JPEG of several sizes goes by a name of its own.
_READ = {"JPEG": ("JPEG", "MPO"), "PNG": ("PNG",), "WebP": ("WEBP",), "HEIC": ("HEIF",)}

#: The first bytes of files that are found among photographs, and what they are called.
_FIRST_BYTES = {
    b"\xff\xd8\xff": "JPEG",
    b"\x89PNG\r\n\x1a\n": "PNG",
    b"GIF8": "GIF",
    b"BM": "BMP",
    b"II*\0": "TIFF",
    b"MM\0*": "TIFF",
    b"%PDF": "PDF",
    b"8BPS": "PSD",
}
#: Brands of files made of boxes (ISO/IEC 14496-12 and 23008-12), most of which are films.
_HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1"}
_AVIF_BRANDS = {b"avif", b"avis"}

#: Colour space of a profile ─► the mode of a picture it can belong to.
_MODES = {"RGB": "RGB", "GRAY": "L", "CMYK": "CMYK"}


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture ready to be shown: its size in pixels, and its bytes, of a photograph as JPEG, of a mark as PNG."""

    width_px: int
    height_px: int
    content: bytes


class NotShown(Refused):
    """A file that no picture can be made of."""


def mark_of(content: bytes) -> Picture:
    """The shop's mark: a small PNG, in which what can be seen through stays so. Raises NotShown, and nothing else."""
    try:
        with _as_decoders_behave():
            return _mark(content, _kind_of(content))
    except NotShown as reason:
        raise NotShown("mark-unusable", reason.message, "save it as PNG, JPEG or WebP") from None


def pictures_of(content: bytes) -> tuple[Picture, ...]:
    """The pictures of a photograph, from narrow to wide. Raises NotShown, and nothing else, where there can be none.

    Bytes are what they are, whatever their file is called. The same bytes give the same pictures.
    """
    kind = _kind_of(content)
    with _as_decoders_behave():
        return tuple(_pictures(content, kind))


@contextmanager
def _as_decoders_behave() -> Iterator[None]:
    """Whatever a decoder says or raises becomes NotShown, or nothing."""
    with warnings.catch_warnings():
        # What a decoder grumbles about is no news to a maker; but what may fill the memory is not opened.
        warnings.simplefilter("ignore")
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            yield
        except NotShown:
            raise
        except (Image.DecompressionBombError, Image.DecompressionBombWarning):
            raise _too_large() from None
        except MemoryError:
            raise NotShown("photo-too-large", "needs more memory than there is", "save it smaller") from None
        except Exception:
            # For a damaged file decoders raise anything at all: a ValueError, a struct.error, an IndexError.
            hint = "copy it from the camera or phone again, or move it out of photos"
            raise NotShown("photo-broken", "is cut off or damaged", hint) from None


def _kind_of(content: bytes) -> str:
    """What the bytes are, of the kinds that are read. Raises NotShown for any other."""
    if not content:
        raise NotShown("photo-broken", "is empty", "copy it from the camera or phone again, or remove it")
    kind = next((kind for first, kind in _FIRST_BYTES.items() if content.startswith(first)), None)
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        kind = "WebP"
    elif content[4:8] == b"ftyp":
        end = min(int.from_bytes(content[:4]), 256)
        brands = {content[place : place + 4] for place in (8, *range(16, end, 4))}
        kind = "AVIF" if brands & _AVIF_BRANDS else "HEIC" if brands & _HEIC_BRANDS else None
    if kind is None:
        raise NotShown("photo-kind", "is no picture of a kind known here", "move it out of photos")
    if kind not in _READ:
        raise NotShown("photo-kind", f"is of the kind {kind}", "save it as JPEG, PNG or WebP, or move it out of photos")
    return kind


def _pictures(content: bytes, kind: str) -> Iterator[Picture]:
    if kind == "HEIC":
        _learn_heic()
    with Image.open(io.BytesIO(content), formats=_READ[kind]) as photo:
        _see_that_it_is_one_picture(photo, kind)
        turned = _orientation(photo)
        sideways = turned in _LIE_ON_THEIR_SIDE
        sizes = _sizes(photo.size[::-1] if sideways else photo.size)
        as_it_lies = sizes[-1][::-1] if sideways else sizes[-1]
        # A JPEG is handed over at a half, a quarter or an eighth of its size where that is enough; it is sooner done.
        photo.draft(None, as_it_lies)
        large = _plain(photo).resize(as_it_lies, Image.Resampling.LANCZOS, reducing_gap=3)
        large = _in_srgb(large, photo.info.get("icc_profile"))
    if turned in _UPRIGHT:
        large = large.transpose(_UPRIGHT[turned])
    for size in sizes:
        smaller = large.resize(size, Image.Resampling.LANCZOS, reducing_gap=3)
        yield Picture(*size, _bare(smaller))


def _mark(content: bytes, kind: str) -> Picture:
    if kind == "HEIC":
        _learn_heic()
    with Image.open(io.BytesIO(content), formats=_READ[kind]) as photo:
        _see_that_it_is_one_picture(photo, kind)
        turned, profile = _orientation(photo), photo.info.get("icc_profile")
        if photo.has_transparency_data:
            seen = photo.convert("RGBA")
            mark = _in_srgb(seen.convert("RGB"), profile)
            mark.putalpha(seen.getchannel("A"))
        else:
            mark = _in_srgb(_plain(photo), profile)
    if turned in _UPRIGHT:
        mark = mark.transpose(_UPRIGHT[turned])
    scale = min(1.0, *(most / side for most, side in zip(MARK_PX, mark.size, strict=True)))
    width, height = (max(1, round(side * scale)) for side in mark.size)
    mark = mark.resize((width, height), Image.Resampling.LANCZOS)
    if mark.mode == "RGBA":
        # What was rubbed out is often still there in colours that nobody sees.
        nothing = Image.new("RGBA", mark.size, (0, 0, 0, 0))
        mark = Image.composite(mark, nothing, mark.getchannel("A").point(lambda alpha: 255 if alpha else 0))
    bare, written = Image.frombytes(mark.mode, mark.size, mark.tobytes()), io.BytesIO()
    bare.save(written, "PNG", optimize=True)
    return Picture(width, height, written.getvalue())


def _see_that_it_is_one_picture(photo: Image.Image, kind: str) -> None:
    """Raises NotShown for one that is too large, or moves."""
    if photo.width * photo.height > MOST_PIXELS:
        raise _too_large()
    if kind in ("PNG", "WebP") and getattr(photo, "is_animated", False):
        raise NotShown("photo-kind", "is a picture that moves", "save one picture of it, or move it out of photos")


def _too_large() -> NotShown:
    message = f"has more than {MOST_PIXELS // 1_000_000} million pixels"
    return NotShown("photo-too-large", message, f"save it smaller; {WIDTHS_PX[-1]} pixels across are shown at most")


def _learn_heic() -> None:
    """Teach the picture library HEIC. Raises NotShown where the extra for it is not installed."""
    try:
        importlib.import_module("pillow_heif").register_heif_opener()
    except ImportError:
        message, hint = "is a HEIC picture, which needs an extra", "pip install pillow-heif, or save it as JPEG"
        raise NotShown("photo-kind", message, hint) from None


def _sizes(size: tuple[int, int]) -> list[tuple[int, int]]:
    """Width and height of every picture of an upright photograph, from narrow to wide.

    Where the photograph is small there are fewer: none that is nearly as wide as the widest.
    """
    width, height = size
    scales = [min(1.0, most / width, most * MOST_HEIGHT_TO_WIDTH / height) for most in WIDTHS_PX]
    *narrower, widest = [(max(1, round(width * scale)), max(1, round(height * scale))) for scale in scales]
    return [*(each for each in narrower if each[0] <= widest[0] * NEARLY_AS_WIDE), widest]


def _plain(photo: Image.Image) -> Image.Image:
    """The photograph's pixels in eight bits, grey, RGB or CMYK; what is seen through lies on white."""
    if photo.mode.startswith("I") or photo.mode == "F":
        sixteen_bits = photo.convert("I")
        return sixteen_bits.point(lambda value: value * (255 / 65_535) + 0.5).convert("L")
    if photo.has_transparency_data:
        opaque = "L" if photo.mode in ("1", "L", "LA", "La") else "RGB"
        seen = photo.convert(f"{opaque}A")
        ground = Image.new(opaque, seen.size, "white")
        ground.paste(seen.convert(opaque), mask=seen.getchannel("A"))
        return ground
    if photo.mode == "1":
        return photo.convert("L")
    return photo if photo.mode in ("L", "RGB", "CMYK") else photo.convert("RGB")


def _orientation(photo: Image.Image) -> int:
    """The orientation a camera noted, from 1, upright, to 8; what cannot be read is upright."""
    try:
        noted = photo.getexif().get(_ORIENTATION)
    except Exception:  # a damaged note, of which a decoder makes what it will; the pixels are whole
        return 1
    return noted if isinstance(noted, int) else 1


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """The same colours in sRGB; without a profile, or with one that cannot be used, they are held to be in it."""
    try:
        if profile:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            mode = _MODES[source.profile.xcolor_space.strip()]
            if image.mode == "L" and mode == "RGB":
                image = image.convert("RGB")
            if image.mode == mode:
                return _converted(image, source)
    except (ImageCms.PyCMSError, OSError, ValueError, KeyError):
        pass
    return image.convert("RGB")


def _converted(image: Image.Image, source: ImageCms.ImageCmsProfile) -> Image.Image:
    converted = ImageCms.profileToProfile(
        image,
        source,
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        outputMode="RGB",
        flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
    )
    assert converted is not None, "it is only None where the picture itself is changed"
    return converted


def _bare(image: Image.Image) -> bytes:
    """A JPEG of the pixels alone: saved as it came, a picture would keep its comment and more."""
    bare = Image.frombytes("RGB", image.size, image.tobytes())
    written = io.BytesIO()
    bare.save(written, "JPEG", quality=JPEG_QUALITY, optimize=True, progressive=True)
    return written.getvalue()
