"""WAV ─► WAV of its form and its samples alone. Every other chunk is left out: words, days, cues, broadcasting notes.

Layout after Multimedia Programming Interface and Data Specifications 1.0 (RIFF), and WAVEFORMATEXTENSIBLE.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

from builder.recordings.bare import Bare, Damaged, lasting, other_kind

_WHOLE_NUMBERS, _FLOATS, _EXTENSIBLE = 1, 3, 0xFFFE
#: What follows the number of the form in the long name of it.
_REST_OF_NAME = bytes.fromhex("0000 0000 1000 8000 00aa 0038 9b71")
#: Form ─► bits of a sample that browsers play.
_BITS = {_WHOLE_NUMBERS: {8, 16, 24, 32}, _FLOATS: {32, 64}}
_MOST_CHANNELS, _RATES = 8, range(1_000, 400_000)


def bare_wav(content: bytes) -> Bare:
    """Form and samples of a WAV. Raises Damaged, and NotPlayed where its samples are packed in another way."""
    form, samples = b"", b""
    for name, chunk in _chunks(content):
        if name == b"fmt " and not form:
            form = chunk
        elif name == b"data" and form:
            samples = chunk
            break
    else:
        raise Damaged
    kind, channels, rate, _, block, bits = struct.unpack_from("<HHIIHH", form)
    rest = b""
    if kind == _EXTENSIBLE:
        valid_bits, speakers, kind = struct.unpack_from("<HIH", form, 18)
        if form[26:40] != _REST_OF_NAME or not 0 < valid_bits <= bits:
            raise other_kind("WAV with samples packed in a way of its own")
        rest = struct.pack("<HHIH", 22, valid_bits, speakers, kind) + _REST_OF_NAME
    if bits not in _BITS.get(kind, ()):
        raise other_kind("WAV with packed samples")
    if not 1 <= channels <= _MOST_CHANNELS or rate not in _RATES or block != channels * bits // 8:
        raise Damaged
    samples = samples[: len(samples) // block * block]
    form = struct.pack("<HHIIHH", _EXTENSIBLE if rest else kind, channels, rate, rate * block, block, bits) + rest
    count = len(samples) // block
    parts = (b"WAVE", _chunk(b"fmt ", form), _chunk(b"fact", struct.pack("<I", count)), _chunk(b"data", samples))
    return Bare(_chunk(b"RIFF", b"".join(parts)), lasting(count, rate))


def _chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Name and content of each chunk; they begin at even places. Raises Damaged at one that is not all there."""
    place = 12
    while place + 8 <= len(content):
        name, size = content[place : place + 4], int.from_bytes(content[place + 4 : place + 8], "little")
        if place + 8 + size > len(content):
            raise Damaged
        yield name, content[place + 8 : place + 8 + size]
        place += 8 + size + size % 2


def _chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)
