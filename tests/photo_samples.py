"""Photographs made for the tests: of every kind, with everything in them that phones write, and bad ones."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from PIL import Image, ImageCms, ImageDraw, PngImagePlugin

#: A letter for each quarter, so that a picture that is turned or mirrored is never like itself.
CORNERS = ((220, 40, 40), (40, 160, 60), (40, 70, 200), (230, 210, 60))


def drawn(width: int = 160, height: int = 120) -> Image.Image:
    """A picture whose four quarters differ, with a slanted line."""
    image = Image.new("RGB", (width, height))
    pen = ImageDraw.Draw(image)
    for number, colour in enumerate(CORNERS):
        left, top = number % 2 * width // 2, number // 2 * height // 2
        pen.rectangle((left, top, left + width // 2, top + height // 2), fill=colour)
    pen.line((0, 0, width, height // 3), fill="white", width=max(2, height // 20))
    return image


def saved(image: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    """The picture as a file of a kind."""
    written = io.BytesIO()
    image.save(written, kind, **({"quality": 95} | options if kind in ("JPEG", "WEBP", "MPO") else options))
    return written.getvalue()


def opened(content: bytes) -> Image.Image:
    """The file as the library reads it, its pixels loaded."""
    image = Image.open(io.BytesIO(content))
    image.load()
    return image


def put_photo(shop: Path, serial: str, name: str, content: bytes) -> Path:
    """A photograph into the folder of an instrument."""
    path = shop / "records" / "instruments" / serial / "photos" / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(content)
    return path


# What else stands in a photograph


def exif(canary: str, orientation: int = 1) -> bytes:
    """Camera, owner, place and words, with a small picture that says more, as Exif lays them out (IFD0, GPS, IFD1)."""
    noted = Image.Exif()
    noted[0x0112] = orientation
    noted[0x010E] = f"{canary}-description"
    noted[0x013B] = f"{canary}-artist"
    noted[0x0132] = "2024:02:29 11:22:33"
    noted.get_ifd(0x8769)[0x9286] = f"ASCII\0\0\0{canary}-comment".encode()
    noted.get_ifd(0x8769)[0xA430] = f"{canary}-owner"
    gps = noted.get_ifd(0x8825)
    gps[1], gps[2], gps[3], gps[4] = "N", (51.0, 30.0, 26.5), "W", (0.0, 7.0, 39.9)
    gps[0x1C] = f"{canary}-place".encode()
    content = noted.tobytes()
    return _with_thumbnail(content, saved(drawn(40, 30), comment=f"{canary}-thumbnail"))


def _with_thumbnail(content: bytes, thumbnail: bytes) -> bytes:
    """The same with a second directory behind the first, which holds a small JPEG."""
    head, tiff = content[:6], bytearray(content[6:])
    order = "<" if tiff[:2] == b"II" else ">"
    first = struct.unpack_from(f"{order}I", tiff, 4)[0]
    count = struct.unpack_from(f"{order}H", tiff, first)[0]
    struct.pack_into(f"{order}I", tiff, first + 2 + 12 * count, len(tiff))
    place = len(tiff) + 2 + 2 * 12 + 4
    tiff += struct.pack(f"{order}HHHIIHHIII", 2, 0x0201, 4, 1, place, 0x0202, 4, 1, len(thumbnail), 0)
    return head + bytes(tiff) + thumbnail


def xmp(canary: str) -> bytes:
    """A packet of properties, one of them the canary."""
    return (
        '<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF '
        'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" '
        f'xmlns:dc="http://purl.org/dc/elements/1.1/" dc:source="{canary}-xmp"/></rdf:RDF></x:xmpmeta>'
        '<?xpacket end="w"?>'
    ).encode()


def iptc(canary: str) -> bytes:
    """A whole APP13 segment with a city and a caption (IIM records 2:90 and 2:120)."""
    records = b"".join(
        struct.pack(">BBBH", 0x1C, 2, number, len(words)) + words
        for number, words in ((90, f"{canary}-city".encode()), (120, f"{canary}-caption".encode()))
    )
    resource = b"8BIM" + struct.pack(">HHI", 0x0404, 0, len(records)) + records + b"\0" * (len(records) % 2)
    payload = b"Photoshop 3.0\0" + resource
    return b"\xff\xed" + struct.pack(">H", len(payload) + 2) + payload


def dated_profile(canary: str) -> bytes:
    """An sRGB profile with the day it was made in its head, and a name of its own."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    struct.pack_into(">6H", profile, 24, 2024, 2, 29, 11, 22, 33)
    name = "sRGB built-in"
    assert name.encode("utf-16-be") in profile
    return bytes(profile).replace(name.encode("utf-16-be"), canary[:13].ljust(13, "x").encode("utf-16-be"))


def jpeg_with_everything(canary: str, image: Image.Image | None = None, orientation: int = 1) -> bytes:
    """A JPEG with Exif, place, thumbnail, XMP, IPTC, comment, a dated profile, and more behind its end."""
    content = saved(
        image or drawn(),
        exif=exif(canary, orientation),
        xmp=xmp(canary),
        extra=iptc(canary),
        comment=f"{canary}-jpeg-comment",
        icc_profile=dated_profile(canary),
    )
    return content + f"{canary}-behind-the-end".encode()


def png_with_everything(canary: str) -> bytes:
    """A PNG with words plain, packed and international, Exif, a profile and the time it was changed."""
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", f"{canary}-text")
    words.add_text("Comment", f"{canary}-packed", zip=True)
    words.add_itxt("XML:com.adobe.xmp", xmp(canary).decode())
    words.add(b"tIME", struct.pack(">HBBBBB", 2024, 2, 29, 11, 22, 33))
    return saved(drawn(), "PNG", pnginfo=words, exif=exif(canary)[6:], icc_profile=dated_profile(canary))


def webp_with_everything(canary: str) -> bytes:
    """A WebP with Exif, XMP and a profile."""
    return saved(drawn(), "WEBP", exif=exif(canary), xmp=xmp(canary), icc_profile=dated_profile(canary))


def jpeg_of_two(canary: str) -> bytes:
    """What phones write: a JPEG with a second picture behind it, which has a comment."""
    second = opened(saved(drawn(80, 60), comment=f"{canary}-second"))
    return saved(drawn(), "MPO", save_all=True, append_images=[second], comment=f"{canary}-first")


EVERYTHING = {
    "jpeg": jpeg_with_everything,
    "png": png_with_everything,
    "webp": webp_with_everything,
    "jpeg of two": jpeg_of_two,
}

# Files that are not as they should be


def png_chunk(name: bytes, content: bytes) -> bytes:
    """A chunk of a PNG file."""
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))


def png_that_claims(width: int, height: int) -> bytes:
    """The head of a PNG of any size, and nothing behind it."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + png_chunk(b"IHDR", head)
        + png_chunk(b"IDAT", zlib.compress(b""))
        + png_chunk(b"IEND", b"")
    )


def jpeg_that_claims(width: int, height: int) -> bytes:
    """A small JPEG whose head says another size."""
    content = bytearray(saved(drawn(16, 16)))
    place = content.index(b"\xff\xc0")
    struct.pack_into(">HH", content, place + 5, height, width)
    return bytes(content)


def webp_that_claims(width: int, height: int) -> bytes:
    """The head of a WebP of any size, and nothing behind it."""
    body = b"VP8X" + struct.pack("<II", 10, 0) + (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    return b"RIFF" + struct.pack("<I", len(body) + 4) + b"WEBP" + body


def moving(kind: str) -> bytes:
    """Two pictures in one file, shown one after the other."""
    return saved(drawn(), kind, save_all=True, append_images=[drawn().rotate(180)], duration=100)


# What stands in a JPEG


def segments(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Marker and content of every segment of a JPEG (ITU-T T.81, annex B), down to its end and behind it.

    What lies behind the end comes as marker 0.
    """
    assert content[:2] == b"\xff\xd8"
    place = 2
    while True:
        assert content[place] == 0xFF
        marker = content[place + 1]
        if marker == 0xD9:
            if content[place + 2 :]:
                yield 0, content[place + 2 :]
            return
        length = int.from_bytes(content[place + 2 : place + 4])
        yield marker, content[place + 4 : place + 2 + length]
        place += 2 + length
        if marker == 0xDA:  # coded pixels follow, in which FF stands before 00 or a restart marker
            while not (content[place] == 0xFF and content[place + 1] != 0 and not 0xD0 <= content[place + 1] <= 0xD7):
                place += 1
