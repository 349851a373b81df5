"""What a buyer may see, named value by value: the shapes. `publish` fills them; pages and sheets read nothing else.

`Published` is frozen, pure JSON, and has no way back to the record; this module imports nothing of the workshop, so
neither has whoever imports it. `as_json` is its one printed form.

Numbers stand in columns, and unit and source belong to the column. A length stands in words in the unit
it was written in, with the other unit beside it.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Mapping
from dataclasses import dataclass

from builder.lengths import Unit

#: Version of the printed form. It grows by one when a name or a meaning changes; new names alone do not change it.
FORMAT = 1


@dataclass(frozen=True, slots=True)
class Measure:
    """A length in words, the unit it was written in first, then the other; and as a number of millimetres."""

    said: str
    also: str
    mm: float


@dataclass(frozen=True, slots=True)
class Column:
    """Head of a column: key for programs, title for people, unit (empty for none), source key, decimals shown."""

    key: str
    title: str
    unit: str
    source: str
    decimals: int = 0
    signed: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Columns and rows; a cell is a text or a number in its column's unit."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str | float, ...], ...]


@dataclass(frozen=True, slots=True)
class PublishedRule:
    """A rule of the shop, and the worst this board would come out if every fret went to its nearest mark."""

    name: str
    marks: str
    is_working_rule: bool
    worst_cents: float


@dataclass(frozen=True, slots=True)
class PublishedWire:
    """Fret wire, as the shop file describes it."""

    name: str
    material: str | None
    crown_width: Measure | None
    crown_height: Measure | None
    tang: Measure | None


@dataclass(frozen=True, slots=True)
class PublishedFrets:
    """The fret chart: `table` for the working rule, `rule_costs` with the error in cents of every rule."""

    layout: str
    temperament: str
    last: str
    added: tuple[str, ...]
    count: int
    wire: PublishedWire | None
    slot_width: Measure | None
    tolerance_cents: float
    rules: tuple[PublishedRule, ...]
    table: Table
    rule_costs: Table


@dataclass(frozen=True, slots=True)
class PublishedFretLine:
    """One fret as drawn."""

    name: str
    is_half: bool
    from_nut_mm: float
    width_mm: float


@dataclass(frozen=True, slots=True)
class PublishedDrawing:
    """The fretboard to scale, millimetres from the nut."""

    length_mm: float
    length_is_known: bool
    width_at_nut_mm: float
    width_at_end_mm: float
    frets: tuple[PublishedFretLine, ...]
    markers_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PublishedBoard:
    """The fretboard in words."""

    length: Measure | None
    thickness: Measure | None
    width_at_nut: Measure | None
    width_at_end: Measure | None
    radius: str | None
    markers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PublishedCourse:
    """One string or course: open note, frequency, gauge in thousandths of an inch, diameter, what it is made of."""

    note: str
    frequency_hz: float
    gauge_thousandths: float | None
    diameter_mm: float | None
    make: str | None
    count: int


@dataclass(frozen=True, slots=True)
class PublishedTuning:
    """A tuning, bass first."""

    notes: tuple[str, ...]
    frequencies_hz: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PublishedStrings:
    """Strings and tunings."""

    set_name: str | None
    concert_pitch_hz: float
    courses: tuple[PublishedCourse, ...]
    tunings: tuple[PublishedTuning, ...]


@dataclass(frozen=True, slots=True)
class PublishedWood:
    """One wooden part."""

    part: str
    species: str
    botanical: str | None
    origin: str | None
    cut: str | None
    finished: Measure | None
    words: str | None


@dataclass(frozen=True, slots=True)
class PublishedFinish:
    """The finish, as the shop's schedule and the record describe it."""

    schedule: str
    product: str | None
    coats: int | None
    words: str | None


@dataclass(frozen=True, slots=True)
class PublishedEvent:
    """One entry of the build log. `kind` is step, glue-up, coat or note; `with_product` is a glue or finish."""

    date: str
    time: str | None
    kind: str
    did: str
    with_product: str | None
    room: str | None


@dataclass(frozen=True, slots=True)
class Published:
    """Everything a buyer may see of one instrument."""

    format: int
    serial: str
    title: str
    name: str | None
    kind: str
    made_by: str
    ordered: str | None
    finished: str | None
    delivered: str | None
    year: int | None
    scale_length: Measure | None
    frets: PublishedFrets | None
    fretboard: PublishedBoard | None
    drawing: PublishedDrawing | None
    strings: PublishedStrings | None
    woods: tuple[PublishedWood, ...]
    hardware: tuple[tuple[str, str], ...]
    finish: PublishedFinish | None
    build_log: tuple[PublishedEvent, ...]
    story: str | None
    sources: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class PublishedShop:
    """What a buyer may see of the workshop itself."""

    name: str
    maker: str
    place: str | None
    email: str | None
    telephone: str | None
    website: str | None
    site_address: str | None
    unit: Unit
    concert_pitch_hz: float
    tolerance_cents: float
    rules: tuple[tuple[str, str], ...]
    working_rule: str


def as_json(published: Published | PublishedShop) -> str:
    """The printed form: JSON, names in the order of this module, one form for one value."""
    return json.dumps(dataclasses.asdict(published), ensure_ascii=False, indent=2) + "\n"
