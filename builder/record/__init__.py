"""The shape of an instrument's record, of its private file and of a pattern. Frozen: after reading, nothing changes.

The fields' names and types are the grammar of the files: `reading` follows them, and refuses what is not here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Annotated, Literal

from builder.calculations.frets import FretNumber, Spelling
from builder.calculations.frets import Layout as FretLayout
from builder.calculations.reach import Shape
from builder.calculations.strings import Course, Tuning
from builder.lengths import Length
from builder.limits import Between, Celsius, Cents, Degrees, Percent, Ratio, Serial, Words, WorkedHours, no_entries
from builder.record.as_built import AsBuilt
from builder.record.body import BodySpec
from builder.record.hours import HoursEntry
from builder.record.label import LabelSize
from builder.record.order import Buyer, Order
from builder.record.photo import PhotoName, PhotoWords
from builder.record.recording import RecordingName, RecordingWords
from builder.record.service import ServiceEntry
from builder.record.setup import SetupSpec
from builder.record.strings import BridgeSpec, LongCourse, WishedTension
from builder.record.wood import RoomAir, ScrapWeighed
from builder.record.words import Cut, Format, Line, NameInShop, Part, Sentence

Visibility = Literal["public", "unlisted", "shop only"]
PlainTemperament = Literal["equal", "meantone", "pythagorean"]
SpacingRule = Literal["equal gaps", "equal centres"]

#: Parts of an instrument that are made of wood. Any other part may be named; a near miss of these is a slip.
WOODEN_PARTS = (
    "soundboard", "back", "sides", "fretboard", "neck", "peghead", "head plate", "end blocks", "linings", "braces",
    "bridge", "binding", "rosette", "tail block", "heel", "scroll",
)  # fmt: skip

#: Parts of an instrument that are bought or made of something else.
HARDWARE_PARTS = (
    "tuners", "nut", "saddle", "bridge", "bridge pins", "tailpiece", "end pin", "strap buttons", "peghead",
    "markers", "truss rod", "pickup", "case",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Dates:
    """The days that matter; the stage of the work follows from them."""

    ordered: date | None = None
    promised: date | None = None
    finished: date | None = None
    delivered: date | None = None


@dataclass(frozen=True, slots=True)
class MultiScale:
    """Two scale lengths, measured along the outer strings, and the fret that stands square (0: the nut)."""

    bass: Annotated[Length, Between("100 mm", "2.5 m")]
    treble: Annotated[Length, Between("100 mm", "2.5 m")]
    square_at: FretNumber


@dataclass(frozen=True, slots=True)
class TemperamentSpec:
    """A temperament that needs numbers. Exactly one of `equal`, `just`, `ratios` and `cents` is given.

    `equal` is the number of steps in an octave; a diatonic layout then says how many steps a `tone` and a `semitone`
    are. `just` is the name of a list, or twelve ratios above the tonic, the last being 2/1; `tonic_at` is the fret
    where the tonic lies. `ratios` and `cents` give every fret of the board in order, above the open string.
    """

    equal: Annotated[int, Between("5", "72")] | None = None
    tone: Annotated[int, Between("1", "20")] | None = None
    semitone: Annotated[int, Between("1", "20")] | None = None
    just: Part | tuple[Ratio, ...] | None = None
    tonic_at: FretNumber | None = None
    ratios: tuple[Ratio, ...] = ()
    cents: tuple[Annotated[Cents, Between("1", "6000")], ...] = ()


@dataclass(frozen=True, slots=True)
class FretSpec:
    """Which frets the board has, how they are tuned, and how they are cut.

    `layout` may be a list of its own: semitones above the open string, from the nut. `partial` names frets that lie
    under some strings only, counted from the bass.
    """

    layout: FretLayout | tuple[Annotated[int, Between("1", "48")], ...]
    last: FretNumber | None = None
    add: tuple[FretNumber, ...] = ()
    half_frets: Mapping[FretNumber, Spelling] = field(default_factory=no_entries)
    temperament: PlainTemperament | TemperamentSpec = "equal"
    partial: Mapping[FretNumber, tuple[Annotated[int, Between("1", "24")], ...]] = field(default_factory=no_entries)
    zero_fret: bool = False
    wire: NameInShop | None = None
    slot_width: Annotated[Length, Between("0.1 mm", "3 mm")] | None = None
    slot_depth: Annotated[Length, Between("0.5 mm", "10 mm")] | None = None


@dataclass(frozen=True, slots=True)
class FretboardSpec:
    """The board the frets sit in."""

    length: Annotated[Length, Between("50 mm", "2 m")] | None = None
    thickness: Annotated[Length, Between("1 mm", "60 mm")] | None = None
    width_at_nut: Annotated[Length, Between("10 mm", "200 mm")] | None = None
    width_at_end: Annotated[Length, Between("10 mm", "200 mm")] | None = None
    nut_from_tail: Annotated[Length, Between("0 mm", "5 m")] | None = None
    radius: Literal["flat"] | Annotated[Length, Between("50 mm", "2 m")] | None = None
    markers: tuple[FretNumber, ...] = ()


@dataclass(frozen=True, slots=True)
class Spacing:
    """How the strings lie: from centre to centre of the outer ones at nut and saddle, and between the two of a pair."""

    at_nut: Annotated[Length, Between("5 mm", "200 mm")]
    at_saddle: Annotated[Length, Between("5 mm", "300 mm")]
    rule: SpacingRule = "equal gaps"
    pair_gap: Annotated[Length, Between("0.5 mm", "20 mm")] | None = None


@dataclass(frozen=True, slots=True)
class ReachSpec:
    """What a hand must span: shapes such as `1-3` or `2-0-5`, several scale lengths to compare, and the hand."""

    shapes: tuple[Shape, ...]
    scales: tuple[Annotated[Length, Between("100 mm", "2.5 m")], ...] = ()
    hand_span: Annotated[Length, Between("20 mm", "400 mm")] | None = None


@dataclass(frozen=True, slots=True)
class WoodSpec:
    """What one part is made of: a billet of the wood rack, or a species; and of how many pieces of one size.

    `width` is across the grain, `rough` and `finished` are the thickness before and after planing, `joined_from` says
    of how many widths a plate is glued up. `ring_angle` is that of the growth rings to the broad face (0° flatsawn).
    How moist the wood was when it was glued: `moisture` by a meter, `scrap` by weighing, or `rested_in`, the air it
    had stood in for days.
    """

    billet: Part | None = None
    species: Line | None = None
    cut: Cut | None = None
    finished: Annotated[Length, Between("0.2 mm", "200 mm")] | None = None
    ring_angle: Annotated[Degrees, Between("0", "90")] | None = None
    length: Annotated[Length, Between("1 mm", "5 m")] | None = None
    width: Annotated[Length, Between("1 mm", "2 m")] | None = None
    joined_from: Annotated[int, Between("1", "40")] | None = None
    rough: Annotated[Length, Between("0.2 mm", "300 mm")] | None = None
    moisture: Annotated[Percent, Between("0 %", "60 %")] | None = None
    scrap: ScrapWeighed | None = None
    rested_in: RoomAir | None = None
    pieces: Annotated[int, Between("1", "400")] | None = None
    words: Sentence | None = None


@dataclass(frozen=True, slots=True)
class FinishSpec:
    """How the surface is protected: one of the shop's schedules."""

    schedule: NameInShop
    words: Sentence | None = None


@dataclass(frozen=True, slots=True)
class Spec:
    """What the instrument is to be. Every part is optional: a page is silent about what is not there."""

    scale_length: Annotated[Length, Between("100 mm", "2.5 m")] | MultiScale | None = None
    frets: FretSpec | None = None
    fretboard: FretboardSpec | None = None
    strings: tuple[Course | LongCourse, ...] | NameInShop = ()
    tunings: tuple[Tuning, ...] = ()
    spacing: Spacing | None = None
    reach: ReachSpec | None = None
    setup: SetupSpec | None = None
    bridge: BridgeSpec | None = None
    wished_tension: WishedTension | None = None
    wood: Mapping[Part, WoodSpec] = field(default_factory=no_entries)
    hardware: Mapping[Part, Line] = field(default_factory=no_entries)
    body: BodySpec | None = None
    finish: FinishSpec | None = None
    label: LabelSize = field(default_factory=LabelSize)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work, and the day it was done."""

    step: Line
    done: date | None = None


@dataclass(frozen=True, slots=True)
class GlueUp:
    """Parts glued together, when, with what, how room and wood were, and when the clamps came off."""

    parts: tuple[Part, ...]
    at: datetime
    glue: Line
    temperature: Annotated[Celsius, Between("-20 C", "60 C")] | None = None
    humidity: Annotated[Percent, Between("0 %", "100 %")] | None = None
    wood_moisture: Annotated[Percent, Between("0 %", "60 %")] | None = None
    clamps_off: datetime | None = None


@dataclass(frozen=True, slots=True)
class Coat:
    """One coat of finish."""

    at: datetime
    product: Line
    temperature: Annotated[Celsius, Between("-20 C", "60 C")] | None = None
    humidity: Annotated[Percent, Between("0 %", "100 %")] | None = None


@dataclass(frozen=True, slots=True)
class LogEntry:
    """Something done on a day, in the maker's words."""

    date: date
    did: Sentence


@dataclass(frozen=True, slots=True)
class Build:
    """What was done, as it was done."""

    steps: tuple[Step, ...] = ()
    glue_ups: tuple[GlueUp, ...] = ()
    coats: tuple[Coat, ...] = ()
    log: tuple[LogEntry, ...] = ()


@dataclass(frozen=True, slots=True)
class Record:
    """One instrument. Nothing in its record is secret; secrets go into the private file beside it."""

    format: Format
    serial: Serial
    kind: Annotated[str, Words(60)]
    name: Annotated[str, Words(60)] | None = None
    visibility: Visibility = "public"
    started_from: Annotated[str, Words(60)] | None = None
    made_by: Annotated[str, Words(80)] | None = None
    batch: Annotated[str, Words(80)] | None = None
    dates: Dates = Dates()
    spec: Spec = field(default_factory=Spec)
    build: Build = Build()
    as_built: AsBuilt = field(default_factory=AsBuilt)
    photos: Mapping[PhotoName, PhotoWords] = field(default_factory=no_entries)
    recordings: Mapping[RecordingName, RecordingWords] = field(default_factory=no_entries)
    service: tuple[ServiceEntry, ...] = ()
    story: Annotated[str, Words(10_000, lines=True)] | None = None

    @property
    def title(self) -> str:
        """What it is called: its name, else its kind and number."""
        return self.name or f"{self.kind[:1].upper()}{self.kind[1:]} {self.serial}"

    @property
    def is_for_buyers(self) -> bool:
        """Whether buyers may see it: not kept in the shop, finished, and handed over."""
        return self.visibility != "shop only" and bool(self.dates.finished and self.dates.delivered)

    @property
    def is_unlisted(self) -> bool:
        """Whether only those who have its address may find it."""
        return self.visibility == "unlisted"


@dataclass(frozen=True, slots=True)
class PrivateFile:
    """What only the shop may see of an instrument. The buyer edition never opens it."""

    format: Format
    buyer: Buyer = field(default_factory=Buyer)
    order: Order = field(default_factory=Order)
    hours: tuple[HoursEntry, ...] = ()
    notes: Annotated[str, Words(10_000, lines=True)] | None = None


@dataclass(frozen=True, slots=True)
class PatternStep:
    """One step of the work as a pattern has it, and how long it usually takes."""

    step: Line
    hours: Annotated[WorkedHours, Between("1 min", "1000 h")] | None = None


@dataclass(frozen=True, slots=True)
class Pattern:
    """A house specification that new orders start from; `steps` are those of the work, in order."""

    format: Format
    name: Annotated[str, Words(60)]
    kind: Annotated[str, Words(60)]
    about: Annotated[str, Words(2_000, lines=True)] | None = None
    spec: Spec = field(default_factory=Spec)
    steps: tuple[PatternStep, ...] = ()
