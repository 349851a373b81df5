"""The shape of an instrument's record, of its private file and of a pattern. Frozen: after reading, nothing changes.

The fields' names and types are the grammar of the files: `reading` follows them, and refuses what is not here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Annotated, Literal, NewType

from builder.calculations.frets import FretNumber
from builder.calculations.frets import Layout as FretLayout
from builder.calculations.strings import Course, Tuning
from builder.lengths import Length
from builder.limits import Between, Celsius, Percent, Serial, Words, no_entries

Visibility = Literal["public", "shop only"]
Format = Literal["1"]
Cut = Literal["quartersawn", "rift sawn", "flatsawn"]
Temperament = Literal["equal"]

#: The name of something the shop file lists: a string set, a fret wire, a finish schedule.
NameInShop = NewType("NameInShop", str)

Line = Annotated[str, Words(120)]
Sentence = Annotated[str, Words(400)]
Part = Annotated[str, Words(40)]

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
class FretSpec:
    """Which frets the board has, and how they are cut."""

    layout: FretLayout
    last: FretNumber
    add: tuple[FretNumber, ...] = ()
    temperament: Temperament = "equal"
    wire: NameInShop | None = None
    slot_width: Annotated[Length, Between("0.1 mm", "3 mm")] | None = None


@dataclass(frozen=True, slots=True)
class FretboardSpec:
    """The board the frets sit in."""

    length: Annotated[Length, Between("50 mm", "2 m")] | None = None
    thickness: Annotated[Length, Between("1 mm", "60 mm")] | None = None
    width_at_nut: Annotated[Length, Between("10 mm", "200 mm")] | None = None
    width_at_end: Annotated[Length, Between("10 mm", "200 mm")] | None = None
    radius: Literal["flat"] | Annotated[Length, Between("50 mm", "2 m")] | None = None
    markers: tuple[FretNumber, ...] = ()


@dataclass(frozen=True, slots=True)
class WoodSpec:
    """What one part is made of: a billet of the wood rack, or a species."""

    billet: Part | None = None
    species: Line | None = None
    cut: Cut | None = None
    finished: Annotated[Length, Between("0.2 mm", "200 mm")] | None = None
    words: Sentence | None = None


@dataclass(frozen=True, slots=True)
class FinishSpec:
    """How the surface is protected: one of the shop's schedules."""

    schedule: NameInShop
    words: Sentence | None = None


@dataclass(frozen=True, slots=True)
class Spec:
    """What the instrument is to be. Every part is optional: a page is silent about what is not there."""

    scale_length: Annotated[Length, Between("100 mm", "2.5 m")] | None = None
    frets: FretSpec | None = None
    fretboard: FretboardSpec | None = None
    strings: tuple[Course, ...] | NameInShop = ()
    tunings: tuple[Tuning, ...] = ()
    wood: Mapping[Part, WoodSpec] = field(default_factory=no_entries)
    hardware: Mapping[Part, Line] = field(default_factory=no_entries)
    finish: FinishSpec | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work, and the day it was done."""

    step: Line
    done: date | None = None


@dataclass(frozen=True, slots=True)
class GlueUp:
    """Parts glued together, when, with what, and how the room was."""

    parts: tuple[Part, ...]
    at: datetime
    glue: Line
    temperature: Annotated[Celsius, Between("-20 C", "60 C")] | None = None
    humidity: Annotated[Percent, Between("0 %", "100 %")] | None = None


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
    dates: Dates = Dates()
    spec: Spec = field(default_factory=Spec)
    build: Build = Build()
    story: Annotated[str, Words(10_000, lines=True)] | None = None

    @property
    def is_for_buyers(self) -> bool:
        """Whether buyers may see it: public, finished, and handed over."""
        return self.visibility == "public" and bool(self.dates.finished and self.dates.delivered)


@dataclass(frozen=True, slots=True)
class Buyer:
    """Who ordered the instrument. Never published."""

    name: Line | None = None
    address: Annotated[str, Words(400, lines=True)] | None = None
    email: Line | None = None
    telephone: Line | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """What was asked for and agreed. Never published."""

    asked_for: Annotated[str, Words(4_000, lines=True)] | None = None
    agreed: Annotated[str, Words(4_000, lines=True)] | None = None


@dataclass(frozen=True, slots=True)
class PrivateFile:
    """What only the shop may see of an instrument. The buyer edition never opens it."""

    format: Format
    buyer: Buyer = Buyer()
    order: Order = Order()
    notes: Annotated[str, Words(10_000, lines=True)] | None = None


@dataclass(frozen=True, slots=True)
class Pattern:
    """A house specification that new orders start from."""

    format: Format
    name: Annotated[str, Words(60)]
    kind: Annotated[str, Words(60)]
    about: Annotated[str, Words(2_000, lines=True)] | None = None
    spec: Spec = field(default_factory=Spec)
