"""Reading and blanking bits, highest first, where a kind of sound counts in them."""

from __future__ import annotations


def bits_at(content: bytes | bytearray, place: int, count: int) -> int:
    """The number that `count` bits make, from the bit at `place` on. Raises IndexError where there are not so many."""
    first, last = place // 8, (place + count + 7) // 8
    if last > len(content):
        raise IndexError(place)
    return int.from_bytes(content[first:last]) >> last * 8 - place - count & (1 << count) - 1


def blank(content: bytearray, start: int, end: int) -> None:
    """Make the bits from `start` to before `end` zero."""
    first, last = start // 8, (end + 7) // 8
    if start < end:
        keep = ~(((1 << end - start) - 1) << last * 8 - end) & (1 << (last - first) * 8) - 1
        content[first:last] = (int.from_bytes(content[first:last]) & keep).to_bytes(last - first)
