"""Instruments to print certificates of: a usual one, one with next to nothing, one with everything at its longest."""

from __future__ import annotations

import base64
from dataclasses import replace

from builder.photos import MARK_PX
from builder.published import (
    FORMAT,
    Figure,
    Figures,
    Measure,
    Published,
    PublishedBoard,
    PublishedCourse,
    PublishedFinish,
    PublishedMark,
    PublishedMultiScale,
    PublishedPoint,
    PublishedShop,
    PublishedString,
    PublishedStrings,
    PublishedWood,
    Subject,
)
from tests.boards import course, drawing, fret_line, frets, tuning
from tests.photo_samples import drawn, saved

SHOP = PublishedShop(
    name="Tern & Alder",
    maker="Ida Marsh",
    place="Lower Fell, Cumbria",
    email=None,
    telephone=None,
    website=None,
    site_address="https://example.org/instruments-of-ours/",
    warranty=None,
    next_owner=None,
    unit="in",
    concert_pitch_hz=440.0,
    tolerance_cents=3.0,
    rules=(("bench rule", "1/64 in"),),
    working_rule="bench rule",
    just_lists=(),
)


def mark(width_px: int, height_px: int) -> PublishedMark:
    """A mark of this size."""
    return PublishedMark(width_px, height_px, base64.b64encode(saved(drawn(width_px, height_px), "PNG")).decode())


SHOP_WITH_TALL_MARK = replace(SHOP, mark=mark(60, 200))
BARE_SHOP = replace(SHOP, place=None, site_address=None)

NEARLY_EMPTY = Published(
    format=FORMAT,
    serial="2026-001",
    address="2026-001",
    title="Mountain dulcimer 2026-001",
    name=None,
    kind="mountain dulcimer",
    made_by="Ida Marsh",
    batch=None,
    ordered=None,
    finished=None,
    delivered=None,
    year=None,
    scale_length=None,
    multi_scale=None,
    frets=None,
    fretboard=None,
    drawing=None,
    strings=None,
    spacing=None,
    reach=None,
    fretting=None,
    woods=(),
    hardware=(),
    finish=None,
    body_drawing=None,
    subjects=(),
    build_log=(),
    story=None,
    sources=(),
)


def inches(said: str, mm: float) -> Measure:
    return Measure(said, f"{mm} mm", mm)


AS_BUILT = Subject(
    "as-built",
    "How it measures",
    Figures(
        facts=(
            Figure(
                "worst_fret", "Fret furthest off",
                "no fret is off by as much as the rule can show (fret 17 reads 2 cents flat); none can be more than "
                "4.5 cents off",
            ),
            Figure("rms", "All frets together (root mean square)", "0.8 cents"),
            Figure("action_1", "String above fret 1", "0.016 in", "0.41 mm"),
            Figure("action_7", "String above fret 7", "0.092 in", "2.34 mm"),
            Figure("relief", "Relief of the board", "0.004 in", "0.1 mm"),
            Figure("weight", "Weight", "2 lb 7 oz", "1.11 kg"),
        )
    ),
)  # fmt: skip

#: Places of a diatonic board of 28 1/2 in, to look at, not to check sums by.
_LINES = tuple(
    fret_line(name, 723.9 * (1 - 2 ** (-semitones / 12)), 38.1)
    for name, semitones in (
        ("1", 2), ("2", 4), ("3", 5), ("4", 7), ("5", 9), ("6", 10), ("6½", 11), ("7", 12), ("8", 14), ("9", 16),
        ("10", 17), ("11", 19), ("12", 21), ("13", 22), ("13½", 23), ("14", 24),
    )
)  # fmt: skip

USUAL = replace(
    NEARLY_EMPTY,
    serial="2026-014",
    address="2026-014",
    title="Heron",
    name="Heron",
    finished="2026-04-30",
    delivered="2026-05-09",
    year=2026,
    scale_length=inches("28 1/2 in", 723.9),
    frets=frets(added=("6½", "13½"), count=len(_LINES)),
    fretboard=PublishedBoard(None, None, inches("1 1/2 in", 38.1), None, "flat", ("3", "5", "7")),
    drawing=drawing(660.4, 38.1, 38.1, _LINES, (180.0, 290.0, 361.95)),
    strings=PublishedStrings(
        None,
        440.0,
        (
            course("D3", 146.83, 22.0, 0.5588, "wound"),
            course("A3", 220.0, 12.0, 0.3048, "plain steel"),
            course("D4", 293.66, 9.5, 0.2413, "plain steel", 2),
        ),
        (
            tuning(("D3", "A3", "D4"), (146.83, 220.0, 293.66)),
            tuning(("D3", "F♯3", "B♭3"), (146.83, 185.0, 233.08)),
        ),
    ),
    woods=(
        PublishedWood(
            "soundboard", "western red cedar", "Thuja plicata", "Vancouver Island", "quartersawn", None, None
        ),
        PublishedWood("back", "black walnut", "Juglans nigra", None, "flatsawn", None, None),
        PublishedWood("sides", "black walnut", "Juglans nigra", None, None, None, None),
        PublishedWood("fretboard", "hard maple", "Acer saccharum", None, "rift sawn", None, None),
        PublishedWood("peghead", "black cherry", "Prunus serotina", "a barn at Hallbeck", None, None, None),
    ),
    hardware=(("tuners", "open geared, brass"), ("nut", "bone"), ("saddle", "bone"), ("end pin", "ebony")),
    finish=PublishedFinish("oil varnish", "oil varnish, rubbed", 6, None),
    subjects=(AS_BUILT,),
)


#: Two scale lengths, pairs an octave apart, a short string and a zero fret: as much as a measure can have to say.
FANNED = replace(
    USUAL,
    serial="2026-021",
    address="2026-021",
    title="Fantail",
    name="Fantail",
    kind="octave mandolin",
    scale_length=None,
    multi_scale=PublishedMultiScale(inches("21 1/2 in", 546.1), inches("20 in", 508.0), "7", 12.5),
    frets=frets(layout="chromatic", last="20", count=20, zero_fret=True, temperament="quarter-comma meantone"),
    drawing=drawing(
        400.0,
        38.1,
        50.0,
        tuple(
            replace(
                line,
                bass=PublishedPoint(line.bass.x - 9.0, 20.0),
                treble=PublishedPoint(line.treble.x + 9.0, -20.0),
                degrees=-24.2,
            )
            for line in _LINES[:8]
        ),
        zero_fret=True,
    ),
    strings=PublishedStrings(
        None,
        440.0,
        (
            PublishedCourse(
                (
                    PublishedString("G2", 98.0, 46.0, 1.1684, "wound"),
                    PublishedString("G3", 196.0, 16.0, 0.4064, "plain steel"),
                ),
                False,
                None,
            ),
            course("D3", 146.83, 30.0, 0.762, "wound", 2),
            replace(course("A4", 440.0, 9.0, 0.2286, "plain steel"), starts_at="5"),
        ),
        (tuning(("G2", "D3", "A4"), (98.0, 146.83, 440.0)),),
    ),
)


def text_of(letters: int, words: str) -> str:
    """So many letters of running text."""
    return (words * letters)[:letters].strip().ljust(letters, "n")


def longest(words: str) -> Published:
    """Everything a record may hold, each text at its limit and made of `words`."""
    line = text_of(120, words)
    woods = ("soundboard", "back", "sides", "fretboard", "neck", "peghead", "head plate", "end blocks", "linings")
    fittings = ("tuners", "nut", "saddle", "bridge", "bridge pins", "tailpiece", "end pin", "strap buttons", "markers",
                "truss rod", "pickup", "case")  # fmt: skip
    notes = ("E2", "A2", "C♯3", "F♯3", "B♭3", "E4", "A4", "D5")
    return replace(
        USUAL,
        serial="N" * 40,
        address="N" * 40,
        title=text_of(60, words),
        name=text_of(60, words),
        kind=text_of(60, words),
        made_by=text_of(80, words),
        finished="2026-09-30",
        delivered="2026-09-30",
        frets=replace(USUAL.frets, added=tuple(f"{n}½" for n in range(1, 18))) if USUAL.frets else None,
        drawing=drawing(300.0, 60.0, 200.0, _LINES[:4], (180.0,)),
        strings=PublishedStrings(
            None,
            440.0,
            tuple(course(note, 440.0, 10.5, 0.2667, "fluorocarbon", 3) for note in notes),
            tuple(tuning(notes, (440.0,) * 8) for _ in range(5)),
        ),
        woods=tuple(PublishedWood(part, line, line, line, "quartersawn", None, None) for part in woods),
        hardware=tuple((part, line) for part in fittings),
        finish=PublishedFinish(text_of(40, words), line, 60, None),
    )


def longest_shop(words: str) -> PublishedShop:
    """A shop whose name, place and address are as long as they may be."""
    site_address = f"https://example.org/{'long-address/' * 20}"[:200]
    return replace(SHOP, name=text_of(60, words), maker=text_of(80, words), place=text_of(80, words),
                   site_address=site_address, mark=mark(*MARK_PX))  # fmt: skip


RUNNING = "Slow grown timber of the northern valleys "
WIDE = "W"
WIDE_WORDS = "WIDE MAHOGANY "
IDEOGRAPHS = "桐の木"
