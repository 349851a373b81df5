"""The shape of the shop file and of the wood rack: what the workshop owns, decides, and has on its shelves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from builder.calculations.pitch import CONCERT_PITCH_HZ
from builder.calculations.rules import Graduation
from builder.calculations.strings import Course
from builder.lengths import Length, Unit
from builder.limits import Between, Cents, Hertz, Hours, Percent, WebAddress, Words, no_entries
from builder.record.wood import RoomAir
from builder.record.words import Cut, Format, Line, Part, Sentence
from builder.shop.cutting import BlankAllowances
from builder.shop.drawers import AngleBlocks
from builder.shop.gluing import Clamps, Glue, Humidity, RoomLimits, Temperature
from builder.shop.label import Label
from builder.shop.levelling import Levelling
from builder.shop.room import Seasons
from builder.shop.strings import USUAL_BREAKING_SHARE, StringStock

Units = Literal["inches", "millimetres"]

#: The smallest difference a careful listener hears between two notes one after the other; makers work to it.
USUAL_TOLERANCE_CENTS = Cents(3.0)
USUAL_PITCH = Hertz(CONCERT_PITCH_HZ)


#: The name of a picture that lies beside the shop file.
MarkName = Annotated[str, Words(255)]


@dataclass(frozen=True, slots=True)
class Rule:
    """A measuring stick in the drawer."""

    name: Part
    marks: Graduation


@dataclass(frozen=True, slots=True)
class Contact:
    """How a buyer reaches the shop. Whatever is here is published."""

    email: Line | None = None
    telephone: Line | None = None
    website: WebAddress | None = None


@dataclass(frozen=True, slots=True)
class FretWire:
    """A fret wire the shop uses, with the sizes its maker states.

    `tang` is how thick the tang is, `barb` the same over its barbs, `tang_depth` how far it reaches into the slot.
    """

    crown_width: Annotated[Length, Between("0.5 mm", "5 mm")] | None = None
    crown_height: Annotated[Length, Between("0.2 mm", "3 mm")] | None = None
    tang: Annotated[Length, Between("0.2 mm", "3 mm")] | None = None
    barb: Annotated[Length, Between("0.2 mm", "3 mm")] | None = None
    tang_depth: Annotated[Length, Between("0.5 mm", "6 mm")] | None = None
    material: Part | None = None


@dataclass(frozen=True, slots=True)
class FinishSchedule:
    """A way of finishing that the shop knows by name, with what its label says of waiting and of the room.

    `touch_up` tells a repairer how it is mended where it is worn or scratched.
    """

    product: Line
    coats: Annotated[int, Between("1", "60")] | None = None
    between_coats: Annotated[Hours, Between("0 min", "60 days")] | None = None
    cured: Annotated[Hours, Between("0 min", "365 days")] | None = None
    least_temperature: Temperature | None = None
    most_humidity: Humidity | None = None
    touch_up: Sentence | None = None
    words: Sentence | None = None


@dataclass(frozen=True, slots=True)
class Shop:
    """The workshop: who, where, in which units, with which rules."""

    format: Format
    name: Annotated[str, Words(60)]
    maker: Annotated[str, Words(80)]
    units: Units
    rules: tuple[Rule, ...]
    working_rule: Part
    place: Annotated[str, Words(80)] | None = None
    mark: MarkName | None = None
    contact: Contact = Contact()
    site_address: WebAddress | None = None
    warranty: Annotated[str, Words(4_000, lines=True)] | None = None
    next_owner: Annotated[str, Words(4_000, lines=True)] | None = None
    tolerance: Annotated[Cents, Between("0.1", "50")] = USUAL_TOLERANCE_CENTS
    concert_pitch: Annotated[Hertz, Between("380", "480")] = USUAL_PITCH
    string_sets: Mapping[Part, tuple[Course, ...]] = field(default_factory=no_entries)
    string_stock: StringStock = field(default_factory=no_entries)
    breaking_share: Annotated[Percent, Between("10 %", "100 %")] = USUAL_BREAKING_SHARE
    fret_wires: Mapping[Part, FretWire] = field(default_factory=no_entries)
    finish_schedules: Mapping[Part, FinishSchedule] = field(default_factory=no_entries)
    glues: Mapping[Part, Glue] = field(default_factory=no_entries)
    clamps: Clamps = field(default_factory=Clamps)
    seasons: Seasons | None = None
    room: RoomAir | None = None
    room_limits: RoomLimits = field(default_factory=RoomLimits)
    allowances: BlankAllowances = field(default_factory=BlankAllowances)
    levelling: Levelling = field(default_factory=Levelling)
    angle_blocks: AngleBlocks = ()
    label: Label = field(default_factory=Label)

    @property
    def unit(self) -> Unit:
        """The unit that stands first wherever a length is shown, and that a bare number in a record is read in."""
        return "in" if self.units == "inches" else "mm"


@dataclass(frozen=True, slots=True)
class BilletSize:
    """A board or set as it came into the shop."""

    length: Annotated[Length, Between("1 mm", "10 m")] | None = None
    width: Annotated[Length, Between("1 mm", "2 m")] | None = None
    thickness: Annotated[Length, Between("0.2 mm", "500 mm")] | None = None


@dataclass(frozen=True, slots=True)
class BilletPrivate:
    """Where a billet was bought and for how much. Never published."""

    seller: Line | None = None
    price: Line | None = None


@dataclass(frozen=True, slots=True)
class Billet:
    """A board or set in the wood rack, from which parts of several instruments may come; `pieces` boards of one size.

    `country` is the one it grew in, which papers for travel ask for.
    """

    species: Line
    botanical: Line | None = None
    origin: Line | None = None
    country: Line | None = None
    cut: Cut | None = None
    size: BilletSize = BilletSize()
    pieces: Annotated[int, Between("1", "1000")] = 1
    moisture: Annotated[Percent, Between("0 %", "60 %")] | None = None
    papers: Sentence | None = None
    words: Sentence | None = None
    private: BilletPrivate = BilletPrivate()


@dataclass(frozen=True, slots=True)
class WoodRack:
    """All billets, by the number chalked on them."""

    format: Format = "1"
    billets: Mapping[Part, Billet] = field(default_factory=no_entries)
