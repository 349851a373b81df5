"""What a buyer may see, named value by value: the shapes. `publish` fills them; pages and sheets read nothing else.

`Published` is frozen, pure JSON, and has no way back to the record; this module imports nothing of the workshop, so
neither has whoever imports it. `as_json` is its one printed form.

Numbers stand in columns, and unit and source belong to the column. A length stands in words in the unit
it was written in, with the other unit beside it.
"""

from __future__ import annotations

import dataclasses
import json
from dataclasses import dataclass

from builder.lengths import Unit
from builder.published.bench import PublishedBench
from builder.published.body import PublishedBodyDrawing
from builder.published.columns import Column, Measure, PublishedSource, Table
from builder.published.figures import Figure, Figures, FigureTable, Subject

__all__ = [
    "FORMAT",
    "Column",
    "Figure",
    "FigureTable",
    "Figures",
    "Measure",
    "Published",
    "PublishedBench",
    "PublishedSource",
    "Subject",
    "Table",
    "as_json",
]

#: Version of the printed form. It grows by one when a name or a meaning changes; new names alone do not change it.
FORMAT = 1


@dataclass(frozen=True, slots=True)
class PublishedRule:
    """A rule of the shop, and what it would cost this board.

    `worst_cents` if every fret went to its nearest mark from the nut; `stepped_worst_cents` if the rule were moved
    along from fret to fret, each gap rounded by itself. The coarsest rule that keeps every fret within the shop's
    tolerance is marked.
    """

    name: str
    marks: str
    is_working_rule: bool
    worst_cents: float
    stepped_worst_cents: float
    is_within_tolerance: bool
    is_coarsest_within_tolerance: bool


@dataclass(frozen=True, slots=True)
class PublishedWire:
    """Fret wire, as the shop file describes it."""

    name: str
    material: str | None
    crown_width: Measure | None
    crown_height: Measure | None
    tang: Measure | None
    barb: Measure | None
    tang_depth: Measure | None


@dataclass(frozen=True, slots=True)
class PublishedFrets:
    """The fret chart: `table` for the working rule, `rule_costs` with the error in cents of every rule.

    A board with one scale length has one set of columns in `table`; a multi-scale board has two, whose keys begin
    with `bass_` and `treble_`, measured along the board's edges (or along the outer strings where its widths are not
    known; `measured_along` says which). `stepped` is the error of moving the working rule along from fret to fret.
    `tuning` stands where the temperament is not twelve equal steps: ratio, cents above the open string and against
    equal temperament. `half_kerf_cents` is the worst of sawing beside the line by half a slot.
    """

    layout: str
    temperament: str
    temperament_source: str | None
    last: str
    added: tuple[str, ...]
    partial: tuple[tuple[str, tuple[int, ...]], ...]
    zero_fret: bool
    count: int
    measured_along: str
    half_kerf_cents: float | None
    stepped: Table
    tuning: Table | None
    wire: PublishedWire | None
    slot_width: Measure | None
    tolerance_cents: float
    rules: tuple[PublishedRule, ...]
    table: Table
    rule_costs: Table


@dataclass(frozen=True, slots=True)
class PublishedPoint:
    """A place on the board in millimetres: `x` along the centre line from the nut, `y` across, bass side above zero."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class PublishedFretLine:
    """One fret as drawn, from its bass end to its treble end; `degrees` is its lean, 0 for square to the board.

    A partial fret does not reach from edge to edge.
    """

    name: str
    is_half: bool
    is_partial: bool
    bass: PublishedPoint
    treble: PublishedPoint
    degrees: float


@dataclass(frozen=True, slots=True)
class PublishedStringLine:
    """One string as drawn, from the nut (or the fret it starts at) towards the saddle, to the end of the drawing."""

    start: PublishedPoint
    end: PublishedPoint
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class PublishedFretNote:
    """A note's name at the place where it is fretted, halfway between its fret and the one before."""

    at: PublishedPoint
    name: str


@dataclass(frozen=True, slots=True)
class PublishedDrawing:
    """The fretboard to scale, millimetres from the nut; `outline` is its four corners, nut bass, nut treble, then end.

    `notes` are those of the first tuning.
    """

    length_mm: float
    length_is_known: bool
    width_at_nut_mm: float
    width_at_end_mm: float
    zero_fret: bool
    outline: tuple[PublishedPoint, ...]
    frets: tuple[PublishedFretLine, ...]
    markers: tuple[PublishedPoint, ...]
    strings: tuple[PublishedStringLine, ...]
    notes: tuple[PublishedFretNote, ...]


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
class PublishedString:
    """One string: open note, frequency, gauge in thousandths of an inch, diameter, what it is made of."""

    note: str
    frequency_hz: float
    gauge_thousandths: float | None
    diameter_mm: float | None
    make: str | None


@dataclass(frozen=True, slots=True)
class PublishedCourse:
    """A course: its strings, all alike or an octave apart, and the fret where a short string starts."""

    strings: tuple[PublishedString, ...]
    are_alike: bool
    starts_at: str | None


@dataclass(frozen=True, slots=True)
class PublishedTuning:
    """A tuning, bass first. `intervals` name each open course above the lowest; `note_map` has a row per fret.

    `note_map` is None where notes have no names of their own, in a division of the octave other than twelve.
    """

    notes: tuple[str, ...]
    frequencies_hz: tuple[float, ...]
    key: str
    intervals: tuple[str, ...]
    note_map: Table | None


@dataclass(frozen=True, slots=True)
class PublishedSpacing:
    """How the strings lie: the rule, the spread, the margins to the board's edges, and a row per string in `table`.

    Margins are from the outside of the outer strings to the edges of the board at the nut.
    """

    rule: str
    at_nut: Measure
    at_saddle: Measure
    bass_margin: Measure | None
    treble_margin: Measure | None
    table: Table


@dataclass(frozen=True, slots=True)
class PublishedReach:
    """What a hand must span: a row per shape, a column per scale length, this instrument's own first.

    `beyond_by_scale` names, for each scale length, the shapes that ask more than `hand_span`.
    """

    hand_span: Measure | None
    table: Table
    beyond_by_scale: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class PublishedFretting:
    """Slot against wire, in words, and the wire to buy."""

    fit: str | None
    slot_depth: Measure | None
    wire_to_buy: Measure | None
    frets_of_wire: int


@dataclass(frozen=True, slots=True)
class PublishedMultiScale:
    """Two scale lengths along the outer strings, the fret that stands square, and the greatest lean of a fret."""

    bass: Measure
    treble: Measure
    square_at: str
    greatest_lean_degrees: float | None


@dataclass(frozen=True, slots=True)
class PublishedStrings:
    """Strings and tunings. `fastens` says in words which ends to buy, and where they are held."""

    set_name: str | None
    concert_pitch_hz: float
    courses: tuple[PublishedCourse, ...]
    tunings: tuple[PublishedTuning, ...]
    fastens: str | None = None


@dataclass(frozen=True, slots=True)
class PublishedWood:
    """One wooden part; `country` is the one its wood grew in."""

    part: str
    species: str
    botanical: str | None
    origin: str | None
    cut: str | None
    finished: Measure | None
    words: str | None
    country: str | None = None


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
    """Everything a buyer may see of one instrument. `subjects` are sums besides frets, strings and spacing.

    `address` is what the addresses of its pages and papers are made of.
    """

    format: int
    serial: str
    address: str
    title: str
    name: str | None
    kind: str
    made_by: str
    batch: str | None
    ordered: str | None
    finished: str | None
    delivered: str | None
    year: int | None
    scale_length: Measure | None
    multi_scale: PublishedMultiScale | None
    frets: PublishedFrets | None
    fretboard: PublishedBoard | None
    drawing: PublishedDrawing | None
    strings: PublishedStrings | None
    spacing: PublishedSpacing | None
    reach: PublishedReach | None
    fretting: PublishedFretting | None
    woods: tuple[PublishedWood, ...]
    hardware: tuple[tuple[str, str], ...]
    finish: PublishedFinish | None
    body_drawing: PublishedBodyDrawing | None
    subjects: tuple[Subject, ...]
    build_log: tuple[PublishedEvent, ...]
    story: str | None
    sources: tuple[PublishedSource, ...]


@dataclass(frozen=True, slots=True)
class PublishedJustList:
    """A list of just ratios that a record may name: twelve above the tonic, and who wrote them down."""

    name: str
    ratios: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class PublishedMark:
    """The shop's own picture: its size in pixels, and a PNG of it, so written (base64) that a paper can bear it."""

    width_px: int
    height_px: int
    png: str


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
    warranty: str | None
    next_owner: str | None
    unit: Unit
    concert_pitch_hz: float
    tolerance_cents: float
    rules: tuple[tuple[str, str], ...]
    working_rule: str
    just_lists: tuple[PublishedJustList, ...]
    mark: PublishedMark | None = None


def as_json(published: Published | PublishedBench | PublishedShop) -> str:
    """The printed form: JSON, names in the order of this module, one form for one value."""
    return json.dumps(dataclasses.asdict(published), ensure_ascii=False, indent=2) + "\n"
