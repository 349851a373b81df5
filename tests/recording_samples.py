"""Recordings made for the tests: of every kind, and with everything in them that recorders and programs write.

They are packed by a general-purpose library for sound (libsndfile, with its binding soundfile), and read back by it.
M4A, which it does not know, lies in `recordings/plucked.m4a`: half a second of a plucked string, as an encoder wrote.
"""

from __future__ import annotations

import base64
import io
import struct
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy
import soundfile

from builder.recordings.ogg import _sum
from tests.photo_samples import drawn, saved

M4A = (Path(__file__).parent / "recordings" / "plucked.m4a").read_bytes()

#: Kind ─► how the library is told of it, and a rate of samples that it takes.
_PACKED: dict[str, tuple[dict[str, Any], int]] = {
    "mp3": ({"format": "MP3", "subtype": "MPEG_LAYER_III", "bitrate_mode": "CONSTANT"}, 44_100),
    "mp3 of changing rate": ({"format": "MP3", "subtype": "MPEG_LAYER_III", "bitrate_mode": "VARIABLE"}, 44_100),
    "mp3 of MPEG 2": ({"format": "MP3", "subtype": "MPEG_LAYER_III", "bitrate_mode": "CONSTANT"}, 22_050),
    "wav": ({"format": "WAV", "subtype": "PCM_16"}, 44_100),
    "wav of 24 bits": ({"format": "WAVEX", "subtype": "PCM_24"}, 48_000),
    "wav of floats": ({"format": "WAV", "subtype": "FLOAT"}, 44_100),
    "flac": ({"format": "FLAC", "subtype": "PCM_16"}, 44_100),
    "vorbis": ({"format": "OGG", "subtype": "VORBIS"}, 44_100),
    "opus": ({"format": "OGG", "subtype": "OPUS"}, 48_000),
}
KINDS = tuple(_PACKED)


def plucked(rate: int, seconds: float, channels: int) -> numpy.ndarray[Any, Any]:
    """Notes that die away, with a little noise, so that no two stretches are alike; one column a channel."""
    time = numpy.arange(round(rate * seconds)) / rate
    tone = sum(numpy.sin(2 * numpy.pi * pitch * time) for pitch in (146.8, 220.0, 293.7)) / 4
    tone = tone * numpy.exp(-6 * (time % 0.25)) + numpy.random.default_rng(7).normal(0, 0.01, time.size)
    return numpy.stack([tone * (1 - 0.2 * channel) for channel in range(channels)], axis=1)


@cache
def packed(kind: str, channels: int = 1, seconds: float = 0.6) -> bytes:
    """A recording of a kind, as the library writes it."""
    options, rate = _PACKED[kind]
    written = io.BytesIO()
    soundfile.write(written, plucked(rate, seconds, channels), rate, **options)
    return written.getvalue()


def unpacked(content: bytes) -> tuple[numpy.ndarray[Any, Any], int]:
    """Samples and their rate, as the library reads them."""
    samples, rate = soundfile.read(io.BytesIO(content), dtype="float64", always_2d=True)
    return samples, rate


# What else stands in a recording


def _seven_bits_each(size: int) -> bytes:
    return bytes(size >> shift & 0x7F for shift in (21, 14, 7, 0))


def id3v2(canary: str, *, foot: bool = False) -> bytes:
    """A tag in front: title, artist, day, comment, a picture and a program's own, in all four encodings of words."""
    picture = saved(drawn(24, 18), comment=f"{canary}-picture")
    frames = (
        (b"TIT2", b"\0" + f"{canary}-title".encode("latin-1")),
        (b"TPE1", b"\1" + f"{canary}-artist".encode("utf-16")),
        (b"TDRC", b"\3" + f"2024-02-29 {canary}".encode()),
        (b"COMM", b"\2eng" + "\0".encode("utf-16-be") + f"{canary}-comment".encode("utf-16-be")),
        (b"PRIV", f"{canary}-private\0".encode() + bytes(9)),
        (b"APIC", b"\0image/jpeg\0\3\0" + picture),
    )
    body = b"".join(name + _seven_bits_each(len(words)) + b"\0\0" + words for name, words in frames)
    size = _seven_bits_each(len(body))
    kind = b"\4\0" + (b"\x10" if foot else b"\0")
    return b"ID3" + kind + size + body + (b"3DI" + kind + size if foot else b"\0" * 50)[: 10 if foot else 0]


def id3v1(canary: str) -> bytes:
    """A tag behind, with its older and longer form."""
    said = canary.encode()
    longer = b"TAG+" + said.ljust(60, b"\0") * 3 + b"\0" + said.ljust(30, b"\0") + b"0:00\0\0" + b"0:30\0\0"
    return longer.ljust(227, b"\0") + (b"TAG" + said.ljust(30, b" ") * 3 + b"2024" + said.ljust(30, b" ") + b"\xff")


def ape(canary: str) -> bytes:
    """An APE tag with a head and a foot."""
    said = f"{canary}-ape".encode()
    item = struct.pack("<II", len(said), 0) + b"Artist\0" + said
    rest = struct.pack("<III", 2000, len(item) + 32, 1)
    head = b"APETAGEX" + rest + struct.pack("<I8x", 0xA0000000)
    return head + item + b"APETAGEX" + rest + struct.pack("<I8x", 0x80000000)


def lyrics3(canary: str) -> bytes:
    """Words to sing along."""
    said = f"{canary}-lyrics".encode()
    body = b"LYRICSBEGIN" + b"LYR" + f"{len(said):05}".encode() + said
    return body + f"{len(body):06}".encode() + b"LYRICS200"


def chunk(name: bytes, content: bytes) -> bytes:
    """A chunk of a RIFF file."""
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)


def wav_of(samples: bytes) -> bytes:
    """A WAV of one channel with these very samples, of eight bits each."""
    form = struct.pack("<HHIIHH", 1, 1, 8000, 8000, 1, 8)
    return chunk(b"RIFF", b"WAVE" + chunk(b"fmt ", form) + chunk(b"data", samples))


def mp3_with_everything(canary: str, kind: str = "mp3") -> bytes:
    """Tags in front and behind, of every sort at once, around what an encoder wrote."""
    behind = ape(canary) + lyrics3(canary) + id3v1(canary) + id3v2(canary, foot=True)
    return id3v2(canary) + id3v2(canary, foot=True) + bytes(64) + packed(kind) + behind


def wav_with_everything(canary: str, kind: str = "wav") -> bytes:
    """Words, broadcasting notes, cues with labels, a program's own, an ID3 tag, before the samples and behind."""
    said = canary.encode()
    notes = said.ljust(256, b"\0") + said.ljust(32, b"\0") + said.ljust(32, b"\0") + b"2024-02-29" + b"11:22:33"
    before = chunk(b"bext", notes + bytes(8 + 2 + 64 + 190) + said)
    before += chunk(b"LIST", b"INFO" + chunk(b"IART", said) + chunk(b"ICRD", b"2024-02-29 " + said))
    before += chunk(b"JUNK", said * 9) + chunk(b"iXML", b"<BWFXML><NOTE>" + said + b"</NOTE></BWFXML>")
    behind = chunk(b"cue ", struct.pack("<IIIIIII", 1, 1, 0, 0, 0, 0, 0))
    behind += chunk(b"LIST", b"adtl" + chunk(b"labl", b"\1\0\0\0" + said)) + chunk(b"id3 ", id3v2(canary))
    behind += chunk(b"_PMX", b"<x:xmpmeta>" + said + b"</x:xmpmeta>")
    body = packed(kind)[12:]
    whole = b"WAVE" + before + body + behind
    return b"RIFF" + struct.pack("<I", len(whole)) + whole + said


def flac_block(kind: int, content: bytes, *, is_last: bool = False) -> bytes:
    """A block in front of the frames of a FLAC."""
    return bytes((kind | (0x80 if is_last else 0),)) + len(content).to_bytes(3) + content


def vorbis_words(canary: str) -> bytes:
    """A comment header without what goes around it: the program, title, artist, a day, and a picture."""
    picture = base64.b64encode(struct.pack(">I", 3) + canary.encode() + saved(drawn(24, 18))).decode()
    lines = (f"TITLE={canary}-title", f"ARTIST={canary}", f"DATE=2024 {canary}", f"METADATA_BLOCK_PICTURE={picture}")
    said = [f"{canary}-program".encode(), *(line.encode() for line in lines)]
    rest = b"".join(struct.pack("<I", len(each)) + each for each in said[1:])
    return struct.pack("<I", len(said[0])) + said[0] + struct.pack("<I", len(lines)) + rest


def flac_with_everything(canary: str) -> bytes:
    """Words, a picture, cues, a program's own and padding in front; ID3 before that and behind."""
    content, said = packed("flac"), canary.encode()
    jpeg = saved(drawn(24, 18), comment=f"{canary}-picture")
    picture = struct.pack(">II", 3, 10) + b"image/jpeg" + struct.pack(">I", len(said)) + said
    picture += struct.pack(">IIIII", 24, 18, 24, 0, len(jpeg)) + jpeg
    place, blocks = 4, b""
    while not blocks:
        size = int.from_bytes(content[place + 1 : place + 4])
        blocks = content[4:place] if content[place] & 0x80 else b""
        place += 4 + size
    packing, frames = content[8 : 8 + 34], content[place:]
    in_front = (
        (0, packing), (4, vorbis_words(canary)), (2, b"boot" + said), (6, picture),
        (5, said.ljust(128, b"\0") + bytes(260)), (3, struct.pack(">QQH", 0, 0, 4096) + said.ljust(18, b"\0")),
        (1, said),
    )  # fmt: skip
    blocks = b"".join(flac_block(kind, each, is_last=kind == 1) for kind, each in in_front)
    return id3v2(canary) + b"fLaC" + blocks + frames + ape(canary) + id3v1(canary)


def ogg_page(flags: int, reached: int, number: int, laces: bytes, body: bytes, stream: int = 77) -> bytes:
    """A page of an Ogg file, with its checksum."""
    head = struct.pack("<4sBBqIIIB", b"OggS", 0, flags, reached, stream, number, 0, len(laces)) + laces
    return head[:22] + struct.pack("<I", _sum(head + body)) + head[26:] + body


def ogg_pages(content: bytes) -> list[tuple[int, int, bytes, bytes]]:
    """Flags, place reached, laces and body of every page."""
    pages, place = [], 0
    while place < len(content):
        _, _, flags, reached, _, _, _, count = struct.unpack_from("<4sBBqIIIB", content, place)
        laces = content[place + 27 : place + 27 + count]
        end = place + 27 + count + sum(laces)
        pages.append((flags, reached, laces, content[place + 27 + count : end]))
        place = end
    return pages


def ogg_with_everything(canary: str, kind: str = "vorbis") -> bytes:
    """Words and a picture in the second packet, so long that it goes over several pages, and more behind the end."""
    pages = ogg_pages(packed(kind))
    headers = 3 if kind == "vorbis" else 2
    packets: list[bytes] = []
    packet, used = b"", 0
    while len(packets) < headers:
        place = 0
        for lace in pages[used][2]:
            packet += pages[used][3][place : place + lace]
            place += lace
            if lace < 255:
                packets.append(packet)
                packet = b""
        used += 1
    words = vorbis_words(canary) + bytes(90_000 if kind == "opus" else 0)
    packets[1] = b"OpusTags" + words if kind == "opus" else b"\3vorbis" + words + b"\1"
    laces = b"".join(bytes([255] * (len(each) // 255) + [len(each) % 255]) for each in packets[1:])
    written, body = [ogg_page(2, 0, 0, bytes((len(packets[0]),)), packets[0])], b"".join(packets[1:])
    for start in range(0, len(laces), 200):
        here = laces[start : start + 200]
        continued = 1 if start and laces[start - 1] == 255 else 0
        reached = 0 if any(lace < 255 for lace in here) else -1
        written.append(ogg_page(continued, reached, len(written), here, body[: sum(here)]))
        body = body[sum(here) :]
    for flags, reached, here, inner in pages[used:]:
        written.append(ogg_page(flags, reached, len(written), here, inner))
    return b"".join(written) + f"{canary}-behind-the-end".encode()


def box(name: bytes, *contents: bytes) -> bytes:
    """A box of an M4A."""
    inner = b"".join(contents)
    return struct.pack(">I", 8 + len(inner)) + name + inner


def m4a_with_everything(canary: str) -> bytes:
    """Words, a picture, a place, days, a name for the track and a box of a program's own, within and behind."""
    said = canary.encode()
    jpeg = saved(drawn(24, 18), comment=f"{canary}-picture")

    def item(name: bytes, kind: int, value: bytes) -> bytes:
        return box(name, box(b"data", struct.pack(">II", kind, 0), value))

    items = item(b"\xa9nam", 1, said) + item(b"\xa9day", 1, b"2024-02-29 " + said) + item(b"covr", 13, jpeg)
    items += box(b"----", box(b"mean", bytes(4), said), box(b"name", bytes(4), said), box(b"data", bytes(8), said))
    words = box(b"meta", bytes(4), box(b"hdlr", bytes(8), b"mdirappl", bytes(9)), box(b"ilst", items))
    place = box(b"\xa9xyz", struct.pack(">HH", len(said) + 17, 0), b"+51.5073-000.1277/", said)
    udta = box(b"udta", words, place, box(b"chpl", bytes(4), b"\0\0\0\0\1", bytes(8), bytes((len(said),)), said))
    start = M4A.index(b"moov") - 4
    size = int.from_bytes(M4A[start : start + 4])
    moov = M4A[start + 8 : start + size]
    moov = moov.replace(b"SoundHandler", said.ljust(12, b"\0")[:12])
    dated = moov.replace(b"mvhd\0\0\0\0" + bytes(8), b"mvhd\0\0\0\0" + b"\xe2\0\0\1" * 2)
    assert dated != moov
    free = box(b"free", said)
    return M4A[:start] + box(b"moov", dated, udta, free) + box(b"uuid", bytes(16), said) + free


EVERYTHING: dict[str, Callable[[str], bytes]] = {
    "mp3": mp3_with_everything,
    "mp3 of changing rate": lambda canary: mp3_with_everything(canary, "mp3 of changing rate"),
    "wav": wav_with_everything,
    "wav of 24 bits": lambda canary: wav_with_everything(canary, "wav of 24 bits"),
    "flac": flac_with_everything,
    "vorbis": ogg_with_everything,
    "opus": lambda canary: ogg_with_everything(canary, "opus"),
    "m4a": m4a_with_everything,
}
