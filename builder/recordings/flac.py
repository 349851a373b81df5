"""FLAC ─► FLAC of its sound and how that is packed. Words, pictures, cues and what programs keep there are left out.

Layout after RFC 9639. Frames are walked from one to the next and not unpacked; that the last is whole is proved by its
checksum, and that none is missing by their numbers.
"""

from __future__ import annotations

from builder.recordings.bare import Bare, Damaged, lasting, other_kind
from builder.recordings.tags import before_tags

_MARK = b"fLaC"
_HOW_IT_IS_PACKED, _NO_BLOCK, _LAST = 0, 127, 0x80
_BYTES_OF_THAT = 34
#: A block size that stands behind the number of the frame, in so many bytes; the same of a sample rate.
_SIZE_BEHIND, _RATE_BEHIND = {6: 1, 7: 2}, {12: 1, 13: 2, 14: 2}
_LONGEST_HEAD = 16


def bare_flac(content: bytes) -> Bare:
    """The sound of a FLAC. Raises Damaged."""
    packed, place, end = b"", len(_MARK), before_tags(content)
    is_last = False
    while not is_last:
        kind, is_last = content[place] & ~_LAST, bool(content[place] & _LAST)
        size = int.from_bytes(content[place + 1 : place + 4])
        if kind == _NO_BLOCK or place + 4 + size > end:
            raise Damaged
        if kind == _HOW_IT_IS_PACKED:
            packed = content[place + 4 : place + 4 + size]
        place += 4 + size
    if len(packed) != _BYTES_OF_THAT:
        raise Damaged
    numbers = int.from_bytes(packed[10:18])
    rate, said = numbers >> 44, numbers & (1 << 36) - 1
    if not rate:
        raise other_kind("FLAC that holds no sound")
    samples = _walked(content, place, end)
    if said not in (0, samples):
        raise Damaged
    head = _MARK + bytes((_HOW_IT_IS_PACKED | _LAST,)) + _BYTES_OF_THAT.to_bytes(3) + packed
    return Bare(head + content[place:end], lasting(samples, rate))


def _walked(content: bytes, place: int, end: int) -> int:
    """How many samples the frames from `place` to `end` hold, each one following the one before."""
    if place == end:
        return 0
    mark = content[place : place + 2]
    if mark not in (b"\xff\xf8", b"\xff\xf9"):
        raise Damaged
    counts_samples, samples = mark == b"\xff\xf9", 0
    expected = 0
    while True:
        head = _head(content, place, end)
        if head is None or head[0] != expected:
            raise Damaged
        samples += head[1]
        expected = samples if counts_samples else expected + 1
        following = content.find(mark, place + 2, end)
        while following >= 0 and (_head(content, following, end) or (-1, 0))[0] != expected:
            following = content.find(mark, following + 1, end)
        if following < 0:
            if _crc_16(content[place:end]):
                raise Damaged
            return samples
        place = following


def _head(content: bytes, place: int, end: int) -> tuple[int, int] | None:
    """Number and samples of the frame that begins at `place`; None where none begins."""
    head = content[place : min(place + _LONGEST_HEAD, end)]
    if len(head) < 6 or head[3] & 1:
        return None
    size_code, rate_code = head[2] >> 4, head[2] & 15
    length = _length_of_number(head[4])
    if not size_code or rate_code == 15 or not length:
        return None
    behind = 4 + length
    size_bytes, rate_bytes = _SIZE_BEHIND.get(size_code, 0), _RATE_BEHIND.get(rate_code, 0)
    whole = behind + size_bytes + rate_bytes
    if len(head) <= whole or _crc_8(head[:whole]) != head[whole]:
        return None
    number = head[4] & (0x7F >> length if length > 1 else 0x7F)
    for each in head[5:behind]:
        number = number << 6 | each & 0x3F
    if size_bytes:
        return number, int.from_bytes(head[behind : behind + size_bytes]) + 1
    return number, 192 if size_code == 1 else 576 << size_code - 2 if size_code < 6 else 1 << size_code


def _length_of_number(first: int) -> int:
    """In how many bytes a number is written whose first byte this is, as UTF-8 writes letters; 0 if in none."""
    ones = next((count for count in range(8) if not first & 0x80 >> count), 8)
    return 1 if ones == 0 else ones if 2 <= ones <= 7 else 0


def _table(polynomial: int, bits: int) -> tuple[int, ...]:
    """What each byte does to a checksum of so many bits, highest bit first."""
    table = []
    for value in range(256):
        rest = value << bits - 8
        for _ in range(8):
            rest = (rest << 1 ^ polynomial if rest >> bits - 1 else rest << 1) & (1 << bits) - 1
        table.append(rest)
    return tuple(table)


_OF_8, _OF_16 = _table(0x07, 8), _table(0x8005, 16)


def _crc_8(content: bytes) -> int:
    rest = 0
    for each in content:
        rest = _OF_8[rest ^ each]
    return rest


def _crc_16(content: bytes) -> int:
    """Zero for a whole frame, whose checksum stands at its end."""
    rest = 0
    for each in content:
        rest = rest << 8 & 0xFF00 ^ _OF_16[rest >> 8 ^ each]
    return rest
