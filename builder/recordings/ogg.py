"""Ogg with Vorbis or Opus ─► the same with its words left out, its pages numbered and summed anew.

Layout after RFC 3533 (pages), RFC 7845 (Opus), and the Vorbis I specification, chapters 4 and 5 and annex A.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from builder.recordings.bare import Bare, Damaged, NotPlayed, lasting, other_kind

_MARK, _HEAD = b"OggS", struct.Struct("<4sBBqIIIB")
_CONTINUED, _FIRST, _LAST = 1, 2, 4
#: The number of the stream is chosen by chance when it is written; ours is always this.
_STREAM = 1
_NO_PACKET_ENDS_HERE = -1
_MOST_LACES, _LACE = 255, 255

_VORBIS, _OPUS = b"\x01vorbis", b"OpusHead"
_BYTES_OF_VORBIS, _BYTES_OF_OPUS = 30, 19
#: Words that say nothing: no name of a program, and no line.
_NO_WORDS = {_VORBIS: b"\x03vorbis" + bytes(8) + b"\x01", _OPUS: b"OpusTags" + bytes(8)}
_SETUP = b"\x05vorbis"
#: Opus always counts in the samples of this rate.
_OPUS_RATE = 48_000
_OTHER_KINDS = {
    b"\x7fFLAC": "FLAC inside Ogg",
    b"Speex   ": "Speex",
    b"\x80theora": "film",
    b"fishead\0": "Ogg with several streams",
}


@dataclass(frozen=True, slots=True)
class _Page:
    """A page: its flags, how far the sound has come where it ends, how its packets are laced, and their bytes."""

    flags: int
    reached: int
    stream: int
    laces: bytes
    body: bytes


def bare_ogg(content: bytes) -> Bare:
    """The sound of an Ogg file. Raises Damaged, and NotPlayed where it is neither Vorbis nor Opus, or several."""
    pages = list(_pages(content))
    if any(page.flags & _FIRST for page in pages[1:]):
        several = "holds several recordings in one file"
        raise NotPlayed("recording-kind", several, "save each in a file of its own, or move it out of recordings")
    if not pages or any(page.stream != pages[0].stream for page in pages) or not pages[0].flags & _FIRST:
        raise Damaged
    first = pages[0].body
    packing = next((kind for kind in _NO_WORDS if first.startswith(kind)), None)
    if packing is None:
        kind = next((kind for begins, kind in _OTHER_KINDS.items() if first.startswith(begins)), "Ogg of another kind")
        raise other_kind(kind)
    headers, sound = _headers(pages[1:], 2 if packing == _VORBIS else 1)
    if not sound:
        return Bare(b"", 0)
    if not sound[-1].flags & _LAST:
        raise Damaged
    packets = [_NO_WORDS[packing]]
    if packing == _VORBIS:
        if len(first) != _BYTES_OF_VORBIS or not headers[1].startswith(_SETUP):
            raise Damaged
        packets.append(headers[1])
        rate, passed_over = int.from_bytes(first[12:16], "little"), 0
    else:
        if len(first) < _BYTES_OF_OPUS or len(first) != _BYTES_OF_OPUS + (2 + first[9] if first[18] else 0):
            raise Damaged
        rate, passed_over = _OPUS_RATE, int.from_bytes(first[10:12], "little")
    if not rate:
        raise Damaged
    whole = [*_laced([first], _FIRST), *_laced(packets, 0), *sound]
    reached = max(page.reached for page in sound)
    written = b"".join(_written(page, number) for number, page in enumerate(whole))
    return Bare(written, lasting(reached - passed_over, rate))


def _pages(content: bytes) -> Iterator[_Page]:
    """Every page up to the last of its stream. Raises Damaged at one that is cut off or does not sum up."""
    place, is_last = 0, False
    while place < len(content) and not is_last:
        mark, version, flags, reached, stream, _, summed, count = _HEAD.unpack_from(content, place)
        laces = content[place + _HEAD.size : place + _HEAD.size + count]
        start = place + _HEAD.size + count
        end = start + sum(laces)
        if mark != _MARK or version or end > len(content):
            raise Damaged
        if _sum(content[place : place + 22] + bytes(4) + content[place + 26 : end]) != summed:
            raise Damaged
        yield _Page(flags, reached, stream, laces, content[start:end])
        # Several streams side by side begin before any of them has ended.
        is_last = bool(flags & _LAST) and content[end : end + 4] != _MARK
        place = end


def _headers(pages: Sequence[_Page], count: int) -> tuple[list[bytes], list[_Page]]:
    """The packets that come before the sound, and the pages of sound, which begin with one of their own."""
    packets, packet = [], b""
    for number, page in enumerate(pages):
        place = 0
        for lace in page.laces:
            packet += page.body[place : place + lace]
            place += lace
            if lace < _LACE:
                packets.append(packet)
                packet = b""
        if len(packets) >= count:
            if len(packets) > count or packet or not packets[0].startswith((b"\x03vorbis", b"OpusTags")):
                raise Damaged
            return packets, list(pages[number + 1 :])
    raise Damaged


def _laced(packets: Sequence[bytes], flags: int) -> Iterator[_Page]:
    """Packets that come before the sound, in as many pages as they need."""
    laces = b"".join(bytes([_LACE] * (len(packet) // _LACE) + [len(packet) % _LACE]) for packet in packets)
    body, place, is_continued = b"".join(packets), 0, False
    for start in range(0, len(laces), _MOST_LACES):
        here = laces[start : start + _MOST_LACES]
        ends_one = any(lace < _LACE for lace in here)
        reached = 0 if ends_one else _NO_PACKET_ENDS_HERE
        here_flags = flags | (_CONTINUED if is_continued else 0)
        yield _Page(here_flags, reached, _STREAM, here, body[place : place + sum(here)])
        place += sum(here)
        is_continued = here[-1] == _LACE


def _written(page: _Page, number: int) -> bytes:
    page = replace(page, stream=_STREAM)
    head = _HEAD.pack(_MARK, 0, page.flags, page.reached, page.stream, number, 0, len(page.laces))
    whole = head + page.laces + page.body
    return whole[:22] + struct.pack("<I", _sum(whole)) + whole[26:]


_TURNED = bytes(int(f"{value:08b}"[::-1], 2) for value in range(256))


def _sum(page: bytes) -> int:
    """The checksum of a page (polynomial 04c11db7 hex, highest bit first, nothing turned at either end).

    The library sums the same lowest bit first, so the bits of every byte are turned before and after.
    """
    turned = zlib.crc32(page.translate(_TURNED), 0xFFFFFFFF) ^ 0xFFFFFFFF
    return int.from_bytes(turned.to_bytes(4, "little").translate(_TURNED), "big")
