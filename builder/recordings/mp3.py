"""MP3 ─► MP3 of its sound. Tags before and behind it, and what stands between the sound of two frames, are left out.

Frames after ISO/IEC 11172-3 and 13818-3, layer III. What the first frame says of the whole (how many frames there are
and where, how many samples to pass over at both ends) is no part of the standard; it is written anew, without the name
of the program and its settings.
"""

from __future__ import annotations

import itertools
import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.recordings.bare import Bare, Damaged, lasting, other_kind
from builder.recordings.bits import bits_at
from builder.recordings.tags import before_tags

_LAYER_III, _LAYER_II = 0b01, 0b10
#: Version as written ─► kilobits a second by their number, and samples a second by theirs.
_KILOBITS = {
    3: (0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320),
    2: (0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160),
    0: (0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160),
}
_RATES = {3: (44_100, 48_000, 32_000), 2: (22_050, 24_000, 16_000), 0: (11_025, 12_000, 8_000)}
_MPEG_1, _MONO = 3, 3

#: What a first frame that tells of the others bears where sound would begin, and the like of another maker of encoders.
_TELLS, _TELLS_OTHERWISE = (b"Xing", b"Info"), b"VBRI"
_VBRI_PLACE = 36
_HAS_COUNT, _HAS_BYTES, _HAS_PLACES, _HAS_QUALITY = 1, 2, 4, 8
_PLACES = 100
#: Behind all that a program may name itself; only behind such a name players look for samples to pass over.
_NAMES = (b"LAME", b"Lavf", b"Lavc")
_NAME, _BYTES_OF_NAMED, _PLACE_OF_DELAY = b"LAME", 36, 21


@dataclass(frozen=True, slots=True)
class _Frame:
    """A frame: its place and length, and what its head says."""

    place: int
    length: int
    version: int
    rate: int
    is_mono: bool
    has_checksum: bool

    @property
    def granules(self) -> int:
        return 2 if self.version == _MPEG_1 else 1

    @property
    def samples(self) -> int:
        return 576 * self.granules

    @property
    def side_bytes(self) -> int:
        """Length of what says where the sound of this frame lies."""
        if self.version == _MPEG_1:
            return 17 if self.is_mono else 32
        return 9 if self.is_mono else 17

    @property
    def side(self) -> int:
        """Where that begins."""
        return self.place + (6 if self.has_checksum else 4)

    @property
    def main(self) -> int:
        """Where its own room for sound begins."""
        return self.side + self.side_bytes

    @property
    def end(self) -> int:
        return self.place + self.length


@dataclass(frozen=True, slots=True)
class _Told:
    """What a first frame tells: how many frames there are, and how many samples to pass over at both ends."""

    mark: bytes
    count: int | None
    delay: int | None = None
    padding: int = 0


def begins_with_a_frame(content: bytes) -> bool:
    """Whether a frame of any MPEG sound stands at the beginning, and where there is more, another behind it."""
    if content[:1] != b"\xff" or content[1:2] < b"\xe0":
        return False
    try:
        frame = _frame_at(content, 0)
    except Damaged:
        return False
    following = content[frame.end : frame.end + 2] if frame else b""
    return frame is None or following[:1] in (b"", b"\xff", b"T", b"A", b"L", b"3", b"\0")


def bare_mp3(content: bytes) -> Bare:
    """The sound of an MP3. Raises Damaged, and NotPlayed for what browsers do not play."""
    end = before_tags(content)
    frames = list(_frames(content, end))
    told = _told(content, frames[0])
    if told is not None:
        frames = frames[1:]
    if not frames:
        return Bare(b"", 0)
    if told and told.count is not None and len(frames) < told.count - 1:
        raise Damaged
    sound = _without_ancillary(content, frames)
    samples = sum(frame.samples for frame in frames)
    if told is not None and told.delay is not None:
        samples -= told.delay + told.padding
    first = _first_frame(content, frames, told) if told is not None else b""
    return Bare(first + sound, lasting(samples, frames[0].rate))


def _frame_at(content: bytes, place: int) -> _Frame | None:
    """The frame at a place; None where it is of layer II. Raises Damaged where neither begins there."""
    head = int.from_bytes(content[place : place + 4])
    version, layer = head >> 19 & 3, head >> 17 & 3
    bit_rate, rate, padding = head >> 12 & 15, head >> 10 & 3, head >> 9 & 1
    is_a_head = len(content) >= place + 4 and head >> 21 == 0x7FF and version != 1
    if not is_a_head or layer not in (_LAYER_II, _LAYER_III) or bit_rate == 15 or rate == 3:
        raise Damaged
    if layer == _LAYER_II:
        return None
    kilobits, per_second = _KILOBITS[version][bit_rate], _RATES[version][rate]
    if not kilobits:
        raise other_kind("MP3 of a free bit rate")
    length = _length(version, kilobits, per_second) + padding
    return _Frame(place, length, version, per_second, head >> 6 & 3 == _MONO, not head >> 16 & 1)


def _length(version: int, kilobits: int, rate: int) -> int:
    """Bytes of a frame without padding."""
    return (144_000 if version == _MPEG_1 else 72_000) * kilobits // rate


def _frames(content: bytes, end: int) -> Iterator[_Frame]:
    """Every frame, one behind the other and alike. Raises Damaged where something else stands between or behind."""
    place, first = 0, None
    while place < end and (content[place] or content[place:end].strip(b"\0")):
        frame = _frame_at(content, place)
        if frame is None:
            raise other_kind("MPEG layer II")
        first = first or frame
        if frame.end > end or (frame.version, frame.rate) != (first.version, first.rate) or frame.main > frame.end:
            raise Damaged
        yield frame
        place = frame.end


def _told(content: bytes, frame: _Frame) -> _Told | None:
    """What the first frame tells of the whole; None where it holds sound like every other."""
    if content[frame.place + _VBRI_PLACE :].startswith(_TELLS_OTHERWISE):
        return _Told(_TELLS[0], int.from_bytes(content[frame.place + _VBRI_PLACE + 14 :][:4]))
    # Programs reckon the place without a checksum, whether the frame has one or not.
    place = frame.place + 4 + frame.side_bytes
    mark = content[place : place + 4]
    if mark not in _TELLS:
        return None
    flags, place = int.from_bytes(content[place + 4 : place + 8]), place + 8
    count = int.from_bytes(content[place : place + 4]) if flags & _HAS_COUNT else None
    sizes = {_HAS_COUNT: 4, _HAS_BYTES: 4, _HAS_PLACES: _PLACES, _HAS_QUALITY: 4}
    place += sum(size for flag, size in sizes.items() if flags & flag)
    if content[place : place + 4] not in _NAMES or place + _BYTES_OF_NAMED > frame.end:
        return _Told(mark, count)
    both = int.from_bytes(content[place + _PLACE_OF_DELAY : place + _PLACE_OF_DELAY + 3])
    return _Told(mark, count, both >> 12, both & 0xFFF)


def _without_ancillary(content: bytes, frames: Sequence[_Frame]) -> bytes:
    """The frames, with zeros wherever no sound lies.

    Sound of a frame may begin in the room of frames before; what lies behind it and before the next one's is free for
    whatever a program likes to put there.
    """
    room = b"".join(content[frame.main : frame.end] for frame in frames)
    kept = bytearray(len(room))
    own = 0
    for frame in frames:
        begin, bits = _sound_of(content, frame)
        start, end = max(0, own - begin), (own - begin) * 8 + bits
        whole = min(max(end // 8, start), len(room))
        kept[start:whole] = room[start:whole]
        if end % 8 and start <= whole < len(room):
            kept[whole] |= room[whole] & 0xFF00 >> end % 8 & 0xFF
        own += frame.end - frame.main
    parts, own = [], 0
    for frame in frames:
        behind = own + frame.end - frame.main
        parts += [content[frame.place : frame.main], bytes(kept[own:behind])]
        own = behind
    return b"".join(parts)


def _sound_of(content: bytes, frame: _Frame) -> tuple[int, int]:
    """How many bytes before its own room the sound of a frame begins, and how many bits it has."""
    channels = 1 if frame.is_mono else 2
    if frame.version == _MPEG_1:
        begin_bits, private_bits, each_bits = 9, 5 if frame.is_mono else 3, 59
        place = begin_bits + private_bits + 4 * channels
    else:
        begin_bits, private_bits, each_bits = 8, 1 if frame.is_mono else 2, 63
        place = begin_bits + private_bits
    side = content[frame.side : frame.main]
    places = (place + each_bits * number for number in range(frame.granules * channels))
    return bits_at(side, 0, begin_bits), sum(bits_at(side, each, 12) for each in places)


def _first_frame(content: bytes, frames: Sequence[_Frame], told: _Told) -> bytes:
    """A frame that tells of the others, in the form of a silent one: whoever does not know it hears nothing."""
    like = frames[0]
    silent = 4 + like.side_bytes
    needed = silent + 8 + 4 + 4 + _PLACES + 4 + _BYTES_OF_NAMED
    lengths = [_length(like.version, kilobits, like.rate) for kilobits in _KILOBITS[like.version]]
    number = next(number for number, length in enumerate(lengths) if length >= needed)
    head = content[like.place : like.place + 4]
    # As the others, but without checksum and padding, and of the least bit rate that has room for all of it.
    made = bytes((head[0], head[1] | 1, number << 4 | head[2] & 0b1100, head[3])).ljust(silent, b"\0")
    behind = list(itertools.accumulate((frame.length for frame in frames), initial=lengths[number]))
    flags = _HAS_COUNT | _HAS_BYTES | _HAS_PLACES | _HAS_QUALITY
    made += told.mark + struct.pack(">III", flags, len(frames), behind[-1])
    made += bytes(256 * behind[len(frames) * each // _PLACES] // behind[-1] for each in range(_PLACES)) + bytes(4)
    if told.delay is not None:
        both = (told.delay << 12 | told.padding).to_bytes(3)
        made += (_NAME.ljust(_PLACE_OF_DELAY, b"\0") + both).ljust(_BYTES_OF_NAMED - 2, b"\0")
        made += _crc_16(made).to_bytes(2)
    return made.ljust(lengths[number], b"\0")


def _crc_16(content: bytes) -> int:
    """The checksum that closes the named part (polynomial 8005 hex, lowest bit first)."""
    rest = 0
    for each in content:
        rest ^= each
        for _ in range(8):
            rest = rest >> 1 ^ 0xA001 if rest & 1 else rest >> 1
    return rest
