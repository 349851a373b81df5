"""M4A with AAC ─► the same, put together anew from its sound and what a player must know of it.

Layout after ISO/IEC 14496-12 (boxes), 14496-14 and 14496-1 (descriptors), 14496-3 (AAC). Nothing is copied but
numbers, the form of the sound and the sound itself; days, words, places, pictures and chapters are left out.
"""

from __future__ import annotations

import itertools
import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.recordings.bare import Bare, Damaged, NotPlayed, lasting, other_kind
from builder.recordings.bits import bits_at, blank

_AAC = 0x40
_STREAM_OF_SOUND = 0x15
#: Tags of descriptors: of the stream, of how it is packed, of the form, of how it is handed on.
_STREAM, _PACKING, _FORM, _HANDING_ON = 3, 4, 5, 6
#: Kinds of AAC that browsers play: low complexity, with spectral band replication, with parametric stereo.
_KINDS_OF_AAC = {2, 5, 29}
_LONGEST_FORM = 16
#: Elements of a frame of AAC that hold no sound, and what of the second belongs to it all the same.
_DATA, _FILL, _BITS_OF_ELEMENT = 4, 6, 3
_FILLS_THAT_COUNT = {11, 13, 14}
#: So many frames lie together, about a second of them.
_IN_A_CHUNK = 48
_AS_IT_LIES = struct.pack(">9I", 1 << 16, 0, 0, 0, 1 << 16, 0, 0, 0, 1 << 30)


@dataclass(frozen=True, slots=True)
class _Heard:
    """What is heard of all that lies there: from which tick of the sound's clock, for how long by the film's clock."""

    begins_at: int
    lasts: int
    per_second: int


@dataclass(frozen=True, slots=True)
class _Track:
    """The sound as it lies in the file: its form, its clock, and every frame with how long it lasts."""

    channels: int
    rate: int
    bit_rates: bytes
    form: bytes
    ticks_per_second: int
    lasting_ticks: tuple[tuple[int, int], ...]
    frames: tuple[bytes, ...]
    heard: _Heard

    @property
    def ticks(self) -> int:
        """How long all frames last, also what is passed over."""
        return sum(count * each for count, each in self.lasting_ticks)


def bare_m4a(content: bytes) -> Bare:
    """The sound of an M4A. Raises Damaged, and NotPlayed for films and what is packed otherwise than AAC."""
    outer = dict(_boxes(content))
    if b"moof" in outer:
        raise other_kind("M4A written in pieces")
    if b"moov" not in outer:
        raise Damaged
    known = list(_boxes(outer[b"moov"]))
    tracks = [dict(_boxes(box)) for name, box in known if name == b"trak"]
    kinds = [_inside(track, b"mdia", b"hdlr")[8:12] for track in tracks]
    if b"vide" in kinds:
        raise NotPlayed("recording-kind", "is a film", "save its sound alone, or move it out of recordings")
    if kinds.count(b"soun") != 1:
        raise other_kind("M4A without one sound")
    head = _inside(dict(known), b"mvhd")
    track = _track(content, tracks[kinds.index(b"soun")], int.from_bytes(head[20:24] if head[0] else head[12:16]))
    return Bare(_file(track), lasting(track.heard.lasts if track.frames else 0, track.heard.per_second))


def _boxes(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Name and content of each box. Raises Damaged where one is not all there."""
    place = 0
    while place + 8 <= len(content):
        size, name, head = int.from_bytes(content[place : place + 4]), content[place + 4 : place + 8], 8
        if size == 1:
            size, head = int.from_bytes(content[place + 8 : place + 16]), 16
        elif size == 0:
            size = len(content) - place
        if size < head or place + size > len(content):
            raise Damaged
        yield name, content[place + head : place + size]
        place += size


def _inside(boxes: dict[bytes, bytes], *names: bytes) -> bytes:
    """The content of a box within boxes. Raises Damaged where there is none."""
    for name in names[:-1]:
        boxes = dict(_boxes(boxes.get(name, b"")))
    if names[-1] not in boxes:
        raise Damaged
    return boxes[names[-1]]


def _track(content: bytes, track: dict[bytes, bytes], film_clock: int) -> _Track:
    """What there is to know of a track, whose place in the whole is told by `film_clock` in ticks a second."""
    clock = _inside(track, b"mdia", b"mdhd")
    ticks_per_second = int.from_bytes(clock[20:24] if clock[0] else clock[12:16])
    tables = dict(_boxes(_inside(track, b"mdia", b"minf", b"stbl")))
    described = _inside(tables, b"stsd")
    (name, entry), *others = _boxes(described[8:])
    if others or name != b"mp4a" or int.from_bytes(entry[8:10]):
        raise other_kind(f"M4A with {'ALAC' if name == b'alac' else 'another packing than AAC'}")
    descriptors = dict(_descriptors(_inside(dict(_boxes(entry[28:])), b"esds")[4:]))
    packing, form = descriptors.get(_PACKING, b""), descriptors.get(_FORM, b"")
    kind_of_aac, channels_said = _form_of(form) if form else (0, 0)
    if packing[:1] != bytes((_AAC,)) or kind_of_aac not in _KINDS_OF_AAC or not channels_said:
        raise other_kind("M4A with another packing than AAC")
    lasting_ticks = tuple(struct.iter_unpack(">II", _counted(_inside(tables, b"stts"), 8)))
    frames = tuple(_frames(content, tables))
    if not ticks_per_second or not film_clock or sum(count for count, _ in lasting_ticks) != len(frames):
        raise Damaged
    all_of_it = _Heard(0, sum(count * each for count, each in lasting_ticks), ticks_per_second)
    heard = _heard(dict(_boxes(track.get(b"edts", b""))).get(b"elst", b""), film_clock) or all_of_it
    channels, rate = int.from_bytes(entry[16:18]), int.from_bytes(entry[24:26])
    return _Track(channels, rate, packing[5:13], form, ticks_per_second, lasting_ticks, frames, heard)


def _descriptors(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Tag and content of each descriptor, and of those within the stream's and the packing's."""
    place = 0
    while place < len(content):
        tag, size = content[place], 0
        while True:
            place += 1
            size = size << 7 | content[place] & 0x7F
            if not content[place] & 0x80:
                break
        inner = content[place + 1 : place + 1 + size]
        if len(inner) != size:
            raise Damaged
        yield tag, inner
        if tag == _STREAM:
            flags = inner[2]
            if flags & 0xC0:
                raise other_kind("M4A that belongs to another file")
            yield from _descriptors(inner[5 if flags & 0x20 else 3 :])
        elif tag == _PACKING:
            yield from _descriptors(inner[13:])
        place += 1 + size


def _form_of(form: bytes) -> tuple[int, int]:
    """Which kind of AAC it is, and the number of its order of channels (0: one of its own, with room for words)."""
    if len(form) > _LONGEST_FORM:
        return 0, 0
    kind, rate = bits_at(form, 0, 5), bits_at(form, 5, 4)
    return kind, bits_at(form, 9 if rate != 15 else 33, 4)


def _counted(box: bytes, each: int) -> bytes:
    """The rows of a table of a box, `each` bytes long, of which it says how many there are."""
    rows = box[8 : 8 + each * int.from_bytes(box[4:8])]
    if len(rows) != each * int.from_bytes(box[4:8]):
        raise Damaged
    return rows


def _frames(content: bytes, tables: dict[bytes, bytes]) -> Iterator[bytes]:
    """Every frame, where the tables say it lies. Raises Damaged where it lies outside of the file."""
    of_sizes = _inside(tables, b"stsz")
    alike, count = struct.unpack_from(">II", of_sizes, 4)
    if alike and count * alike > len(content):
        raise Damaged
    sizes = [alike] * count if alike else [size for (size,) in struct.iter_unpack(">I", _counted(of_sizes[4:], 4))]
    if b"co64" in tables:
        chunks = [place for (place,) in struct.iter_unpack(">Q", _counted(tables[b"co64"], 8))]
    else:
        chunks = [place for (place,) in struct.iter_unpack(">I", _counted(_inside(tables, b"stco"), 4))]
    runs = list(struct.iter_unpack(">III", _counted(_inside(tables, b"stsc"), 12)))
    ends = [first for first, _, _ in runs[1:]] + [len(chunks) + 1]
    number = 0
    for (first, in_each, _), end in zip(runs, ends, strict=True):
        for place in chunks[first - 1 : end - 1]:
            for size in sizes[number : number + in_each]:
                frame = content[place : place + size]
                if len(frame) != size:
                    raise Damaged
                yield _without_words(frame)
                place += size
            number += in_each
    if number < len(sizes):
        raise Damaged


def _without_words(frame: bytes) -> bytes:
    """A frame without what programs write before the sound in it; where that would stand there are zeros."""
    place, blanked = 0, bytearray(frame)
    while len(frame) * 8 >= place + 16:
        element = bits_at(frame, place, _BITS_OF_ELEMENT)
        if element == _FILL:
            size, start = bits_at(frame, place + 3, 4), place + 7
            if size == 15:
                size, start = 14 + bits_at(frame, start, 8), start + 8
            if size and bits_at(frame, start, 4) in _FILLS_THAT_COUNT:
                break
        elif element == _DATA:
            is_aligned, size, start = bits_at(frame, place + 7, 1), bits_at(frame, place + 8, 8), place + 16
            if size == 255:
                size, start = 255 + bits_at(frame, start, 8), start + 8
            start = (start + 7) // 8 * 8 if is_aligned else start
        else:
            break
        place = start + size * 8
        if place > len(frame) * 8:
            raise Damaged
        blank(blanked, start, place)
    return bytes(blanked)


def _heard(box: bytes, film_clock: int) -> _Heard | None:
    """What is heard, where the file says so in one line; None where it says nothing, or has been cut in pieces."""
    if not box or int.from_bytes(box[4:8]) != 1:
        return None
    lasts, begins_at = struct.unpack_from(">Qq" if box[0] else ">Ii", box, 8)
    return _Heard(begins_at, lasts, film_clock) if begins_at >= 0 and lasts else None


def _file(track: _Track) -> bytes:
    """The whole file: what kind it is, all a player must know, then the sound."""
    kind = _box(b"ftyp", b"M4A \0\0\0\0M4A mp42isom")
    chunks = [track.frames[start : start + _IN_A_CHUNK] for start in range(0, len(track.frames), _IN_A_CHUNK)]
    sizes = [sum(map(len, chunk)) for chunk in chunks]
    known = len(_known(track, [0] * len(chunks)))
    places = list(itertools.accumulate(sizes, initial=len(kind) + known + 8))[:-1]
    return kind + _known(track, places) + _box(b"mdat", b"".join(track.frames))


def _known(track: _Track, places: Sequence[int]) -> bytes:
    """All that a player must know of the sound; `places` are those of the chunks in the file."""
    heard, count = track.heard, len(track.frames)
    full, rest = divmod(count, _IN_A_CHUNK)
    runs = [(1, _IN_A_CHUNK)] * bool(full) + [(full + 1, rest)] * bool(rest)
    entry = bytes(6) + struct.pack(">HQHHII", 1, 0, track.channels, 16, 0, track.rate << 16)
    tables = _boxed(
        (b"stsd", struct.pack(">II", 0, 1) + _box(b"mp4a", entry + _box(b"esds", bytes(4) + _described(track)))),
        (b"stts", _table(track.lasting_ticks)),
        (b"stsc", _table([(first, in_each, 1) for first, in_each in runs])),
        (b"stsz", struct.pack(">III", 0, 0, count) + b"".join(len(each).to_bytes(4) for each in track.frames)),
        (b"stco", _table([(place,) for place in places])),
    )
    info = _boxed(
        (b"smhd", bytes(8)),
        (b"dinf", _box(b"dref", struct.pack(">II", 0, 1) + _box(b"url ", b"\0\0\0\1"))),
        (b"stbl", tables),
    )
    media = _boxed(
        (b"mdhd", struct.pack(">IIIIIHH", 0, 0, 0, track.ticks_per_second, track.ticks, 0x55C4, 0)),  # no language
        (b"hdlr", struct.pack(">II4s13x", 0, 0, b"soun")),
        (b"minf", info),
    )
    sound = _boxed(
        (b"tkhd", struct.pack(">IIIIII8xHHHH", 7, 0, 0, 1, 0, heard.lasts, 0, 0, 0x100, 0) + _AS_IT_LIES + bytes(8)),
        (b"edts", _box(b"elst", struct.pack(">IIIiI", 0, 1, heard.lasts, heard.begins_at, 1 << 16))),
        (b"mdia", media),
    )
    head = struct.pack(">IIIIIIH10x", 0, 0, 0, heard.per_second, heard.lasts, 1 << 16, 0x100) + _AS_IT_LIES + bytes(24)
    return _box(b"moov", _boxed((b"mvhd", head + (2).to_bytes(4)), (b"trak", sound)))


def _described(track: _Track) -> bytes:
    """The descriptors of the stream, anew."""
    packing = bytes((_AAC, _STREAM_OF_SOUND, 0, 0, 0)) + track.bit_rates + _descriptor(_FORM, track.form)
    return _descriptor(_STREAM, bytes(3) + _descriptor(_PACKING, packing) + _descriptor(_HANDING_ON, b"\2"))


def _descriptor(tag: int, content: bytes) -> bytes:
    return bytes((tag, len(content))) + content


def _table(rows: Sequence[tuple[int, ...]]) -> bytes:
    return struct.pack(">II", 0, len(rows)) + b"".join(value.to_bytes(4) for row in rows for value in row)


def _boxed(*boxes: tuple[bytes, bytes]) -> bytes:
    return b"".join(_box(name, content) for name, content in boxes)


def _box(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", 8 + len(content)) + name + content
