"""What is published of every field of every file: the list that all tests of privacy go by.

A field is *published* where a buyer reads it, or reads a sum that rests on it; all others are *kept*, and no byte of a
site may depend on them. Whoever adds a field decides here; below a kept field everything is kept and is not listed.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from pathlib import PurePosixPath
from typing import Any

from builder.record import (
    Build,
    Coat,
    Dates,
    FinishSpec,
    FretboardSpec,
    FretSpec,
    GlueUp,
    LogEntry,
    MultiScale,
    Pattern,
    PrivateFile,
    ReachSpec,
    Record,
    Spacing,
    Spec,
    Step,
    TemperamentSpec,
    WoodSpec,
)
from builder.record.as_built import AsBuilt, FretHeights, FretPositions, SetUp
from builder.record.body import BodySpec, BraceSpec, DepthSpec, EndBlocksSpec, LiningsSpec, OutlineSpec, SoundHoleSpec
from builder.record.photo import PhotoWords
from builder.record.recording import RecordingWords
from builder.record.repair import Repair
from builder.record.service import ServiceEntry
from builder.record.setup import SetupSpec
from builder.record.strings import BridgeSpec, LongCourse, StringBuild
from builder.record.wood import RoomAir, ScrapWeighed
from builder.shop import Billet, Contact, FinishSchedule, FretWire, Rule, Shop, WoodRack
from builder.shop.gluing import Glue
from builder.shop.levelling import FallAway, Levelling
from builder.shop.private import ShopPrivate
from builder.shop.room import Seasons
from tests.privacy.trees import Leaf, Tree, groups_directly_in, hints_of


@dataclasses.dataclass(frozen=True)
class Decided:
    """The fields of one group of keys, told apart."""

    published: str = ""
    kept: str = ""

    @property
    def names(self) -> list[str]:
        return [*self.published.split(), *self.kept.split()]


#: Shape of a file ─► where it lies below `records`. Nothing in the second list is ever published.
WITH_PUBLISHED_FIELDS: dict[type[Any], str] = {
    Record: "instruments/*/record.yaml",
    Shop: "shop.yaml",
    WoodRack: "wood.yaml",
}
KEPT_WHOLE: dict[type[Any], str] = {
    PrivateFile: "instruments/*/private.yaml",
    ShopPrivate: "private.yaml",
    Pattern: "patterns/*.yaml",
    Repair: "repairs/*.yaml",
}
#: Those of them that the buyer's site is built without opening.
PRIVATE_FILES = {shape for shape, place in KEPT_WHOLE.items() if place.endswith("private.yaml") or shape is Repair}
#: Files of other kinds, which tests of privacy know how to fill.
OTHER_FILES = (
    "room.csv", "outlines/*.svg", "pages/*.md", "instruments/*/address.txt", "instruments/*/photos/*",
    "instruments/*/recordings/*", "instruments/*/certificate/*", "mark.png",
)  # fmt: skip

FIELDS: dict[type[Any], Decided] = {
    Record: Decided(
        "serial kind name made_by batch dates spec build as_built service story photos recordings",
        # Whether buyers may see the instrument at all hangs on `visibility`; of two that they see, nothing does.
        "format visibility started_from",
    ),
    # When it was promised is between shop and buyer.
    Dates: Decided("ordered finished delivered", "promised"),
    Spec: Decided(
        "scale_length frets fretboard strings tunings spacing reach setup bridge wood hardware body finish",
        "wished_tension label",
    ),
    MultiScale: Decided("bass treble square_at"),
    FretSpec: Decided(
        "layout last add half_frets temperament partial zero_fret wire slot_width slot_depth",
    ),
    TemperamentSpec: Decided("equal tone semitone just tonic_at ratios cents"),
    FretboardSpec: Decided("length thickness width_at_nut width_at_end nut_from_tail radius markers"),
    Spacing: Decided("at_nut at_saddle rule pair_gap"),
    ReachSpec: Decided("shapes scales hand_span"),
    SetupSpec: Decided(
        "clearance clearance_treble string_tails slides setbacks straight_saddle nut_setback", "break_angles"
    ),
    BridgeSpec: Decided("kind fastens height", "pins_behind_saddle"),
    LongCourse: Decided(
        "string core wrap core_shape core_material wrap_material unit_weight breaking_load",
    ),
    StringBuild: Decided("core wrap core_shape core_material wrap_material unit_weight breaking_load"),
    WoodSpec: Decided(
        "billet species cut finished ring_angle length width moisture scrap rested_in words", "rough joined_from pieces"
    ),
    FinishSpec: Decided("schedule words"),
    BodySpec: Decided("outline depth sides end_blocks linings sound_holes braces"),
    OutlineSpec: Decided(
        "half_widths ends points joined mirrored shape length width widest_at waist waist_at upper_bout upper_bout_at"
        " tail_width head_width corners traced tail_at"
    ),
    DepthSpec: Decided("tail head measured"),
    EndBlocksSpec: Decided("tail head tail_thickness head_thickness"),
    LiningsSpec: Decided("width height plates", "kerf kerf_depth strip"),
    ScrapWeighed: Decided("as_found oven_dry"),
    SoundHoleSpec: Decided("at shape long wide plate mirrored tilt"),
    BraceSpec: Decided("plate starts ends name species width height mirrored", "end_height taper"),
    Build: Decided("steps glue_ups coats log"),
    Step: Decided("step done"),
    GlueUp: Decided("parts at glue temperature humidity", "wood_moisture clamps_off"),
    Coat: Decided("at product temperature humidity"),
    LogEntry: Decided("date did"),
    AsBuilt: Decided("fret_positions fret_heights crown_height setup weight"),
    FretPositions: Decided("rule values bass treble"),
    FretHeights: Decided("bass treble", "above"),
    SetUp: Decided("action relief cents_at_octave"),
    ServiceEntry: Decided("date did"),
    # Whether it is shown at all hangs on `draft`; of those that are shown, nothing does.
    PhotoWords: Decided("shows alt", "draft"),
    RecordingWords: Decided("plays by", "draft"),
    Shop: Decided(
        "name maker units rules working_rule place mark contact site_address warranty next_owner tolerance"
        " concert_pitch string_sets string_stock breaking_share fret_wires finish_schedules seasons room levelling"
        " glues",
        "format clamps room_limits allowances angle_blocks label",
    ),
    Rule: Decided("name marks"),
    Contact: Decided("email telephone website"),
    FretWire: Decided("crown_width crown_height tang barb tang_depth material"),
    FinishSchedule: Decided("product coats words touch_up", "between_coats cured least_temperature most_humidity"),
    Glue: Decided(
        "kind comes_apart",
        "open_time clamps_off bears_load cured least_temperature most_humidity wood_moisture pressure words",
    ),
    Seasons: Decided("dry damp"),
    RoomAir: Decided("temperature humidity"),
    Levelling: Decided("tolerance fall_away", "least_crown"),
    FallAway: Decided("starts_at by"),
    WoodRack: Decided("billets", "format"),
    # Papers and the board itself are the shop's; whoever buys one instrument learns what grew where.
    Billet: Decided("species botanical origin country cut moisture", "size pieces papers words private"),
}

#: Published only where the rest of its group is so: a step once it is done, words for what is no draft.
PUBLISHED_IF: dict[tuple[type[Any], str], Callable[[Mapping[str, Tree]], bool]] = {
    (Step, "step"): lambda step: "done" in step,
    (PhotoWords, "shows"): lambda words: words.get("draft", "no") == "no",
    (PhotoWords, "alt"): lambda words: words.get("draft", "no") == "no",
    (RecordingWords, "plays"): lambda words: words.get("draft", "no") == "no",
    (RecordingWords, "by"): lambda words: words.get("draft", "no") == "no",
}
#: Names that lead to something that is published while they are not: outlines, photographs, recordings, mark, billets.
ONLY_LEADING_ON: set[tuple[type[Any], str]] = {
    (OutlineSpec, "traced"), (Record, "photos"), (Record, "recordings"), (WoodSpec, "billet"),
    (WoodRack, "billets"), (Shop, "mark"),
}  # fmt: skip


def is_published(owner: type[Any], field: str) -> bool:
    """Whether a field of a group may be published, if the group itself may."""
    return owner in FIELDS and field in FIELDS[owner].published.split()


def is_leaf_published(leaf: Leaf) -> bool:
    """Whether what a leaf says may be published, if its file may."""
    condition = PUBLISHED_IF.get(leaf.owner_and_field)
    return all(is_published(*each) for each in leaf.fields) and (condition is None or condition(leaf.beside))


def groups_to_decide() -> set[type[Any]]:
    """Every group of keys that lies below published fields alone."""
    found: set[type[Any]] = set()
    waiting = set(WITH_PUBLISHED_FIELDS)
    while waiting:
        group = waiting.pop()
        found.add(group)
        for name, hint in hints_of(group).items():
            if is_published(group, name):
                waiting |= groups_directly_in(hint) - found
    return found


def is_known_file(path: PurePosixPath) -> bool:
    """Whether a file below `records` is of a kind that the tests of privacy know how to fill."""
    places = (*WITH_PUBLISHED_FIELDS.values(), *KEPT_WHOLE.values(), *OTHER_FILES)
    return any(path.match(place) for place in places)
