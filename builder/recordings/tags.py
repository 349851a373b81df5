"""Tags that programs put before a sound and behind it, whatever its kind: ID3 in front; ID3, APE and Lyrics3 behind.

Layouts after ID3v2.4.0 (structure, 3.1 and 3.4), ID3v1, the APE tag version 2, and Lyrics3 version 2.
"""

from __future__ import annotations

_ID3_HEAD, _ID3V1, _ID3V1_LONGER, _APE_FOOT = 10, 128, 227, 32
_HAS_A_FOOT, _APE_HAS_A_HEAD = 0x10, 0x80


def behind_tags(content: bytes) -> int:
    """Where the sound begins: behind every ID3v2 tag in front, and the zeros that may follow them."""
    place = 0
    while content[place : place + 3] == b"ID3" and len(content) >= place + _ID3_HEAD:
        foot = _ID3_HEAD if content[place + 5] & _HAS_A_FOOT else 0
        place += _ID3_HEAD + _seven_bits_each(content[place + 6 : place + 10]) + foot
    if place:
        place = len(content) - len(content[place:].lstrip(b"\0"))
    return place


def before_tags(content: bytes) -> int:
    """Where the sound ends: before every tag behind it."""
    end, before = len(content), -1
    while end != before:
        before = end
        if content[max(0, end - _ID3V1) : end].startswith(b"TAG"):
            end -= _ID3V1
            if content[max(0, end - _ID3V1_LONGER) : end].startswith(b"TAG+"):
                end -= _ID3V1_LONGER
        if content[max(0, end - _APE_FOOT) : end].startswith(b"APETAGEX"):
            size = int.from_bytes(content[end - 20 : end - 16], "little")
            end -= size + (_APE_FOOT if content[end - 9] & _APE_HAS_A_HEAD else 0)
        if content[max(0, end - 9) : end] == b"LYRICS200" and content[end - 15 : end - 9].isdigit():
            end -= int(content[end - 15 : end - 9]) + 15
        if content[max(0, end - _ID3_HEAD) : end].startswith(b"3DI"):
            end -= _seven_bits_each(content[end - 4 : end]) + 2 * _ID3_HEAD
        end = max(0, end)
    return end


def _seven_bits_each(four: bytes) -> int:
    """A size of which every byte has seven bits, so that it never looks like the beginning of a frame."""
    size = 0
    for each in four:
        size = size << 7 | each & 0x7F
    return size
