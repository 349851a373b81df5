"""What a record may say of strings besides note, gauge and make: how a wound string is built, and the bridge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from builder.calculations.pitch import Note
from builder.calculations.string_loads import BridgeKind
from builder.calculations.string_weights import CoreShape
from builder.calculations.strings import Course
from builder.lengths import Length
from builder.limits import Between, KilogramsPerMetre, Newtons

StringMaterialName = Literal[
    "steel",
    "stainless steel",
    "nickel-plated steel",
    "nickel",
    "brass",
    "80/20 bronze",
    "phosphor bronze",
    "copper",
    "silver-plated copper",
    "silver",
    "nylon",
    "fluorocarbon",
    "gut",
    "silk",
]

Thickness = Annotated[Length, Between("0.05 mm", "5 mm")]
WeightOfString = Annotated[KilogramsPerMetre, Between("0.01 g/m", "200 g/m")]
Pull = Annotated[Newtons, Between("1 N", "2000 N")]
BreakingLoad = Annotated[Newtons, Between("1 N", "10000 N")]


@dataclass(frozen=True, slots=True)
class StringBuild:
    """How one string is built, as far as it is known: core and wrap wire, what they are made of, what it weighs.

    `core` is the core's diameter, across the flats where it is six-sided. `unit_weight` and `breaking_load` are
    measured or the string maker's figures, and win over what would be worked out.
    """

    core: Thickness | None = None
    wrap: Thickness | None = None
    core_shape: CoreShape | None = None
    core_material: StringMaterialName | None = None
    wrap_material: StringMaterialName | None = None
    unit_weight: WeightOfString | None = None
    breaking_load: BreakingLoad | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LongCourse(StringBuild):
    """A course with how its string is built. What is written holds for its first string and those like it."""

    string: Course

    @property
    def note(self) -> Note:
        """The note of the course."""
        return self.string.note


#: What the tail end of a string must be like. All but the first two are strings without ball or loop.
Fastening = Literal["ball end", "loop end", "tied", "knotted", "clamped"]


@dataclass(frozen=True, slots=True)
class BridgeSpec:
    """What the strings stand on: glued to the soundboard (tied or pinned), or floating before a tailpiece.

    `fastens` says how strings are held at the tail end, so that the right ones are bought. `height` is that of the
    strings at the saddle above the soundboard; `pins_behind_saddle` how far behind the end of the scale length (the
    saddle before its setback) the strings go into their pin holes, which stand in a row.
    """

    kind: BridgeKind
    fastens: Fastening | None = None
    height: Annotated[Length, Between("1 mm", "150 mm")] | None = None
    pins_behind_saddle: Annotated[Length, Between("3 mm", "80 mm")] | None = None


#: A pull for every string alike, or one a course, bass first.
WishedTension = Pull | tuple[Pull, ...]
