"""Everything worked out for one record: the only place where records and sums meet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from builder.calculations.answers import Missing
from builder.limits import no_entries
from builder.problems import Finding
from builder.record import Build, Spec
from builder.record.as_built import AsBuilt
from builder.results.as_built import AsBuiltResults, work_out_as_built
from builder.results.body import BodyResults, work_out_body
from builder.results.body_pieces import pieces_of_body, seams_of_body
from builder.results.bracing import BracingResults, work_out_bracing
from builder.results.clamping import ClampingResults, work_out_clamping
from builder.results.cutting import CuttingResults, work_out_cutting
from builder.results.fretboard import FretboardResults, work_out_fretboard
from builder.results.frets import FretResults, work_out_frets
from builder.results.fretting import FrettingResults, work_out_fretting
from builder.results.gluing import GluingResults, work_out_gluing
from builder.results.levelling import LevellingResults, work_out_levelling
from builder.results.reach import ReachResults, work_out_reach
from builder.results.setback import SetbackResults, work_out_setback
from builder.results.spacing import SpacingResults, work_out_spacing
from builder.results.string_heights import HeightResults, work_out_string_heights
from builder.results.string_loads import StringLoadResults, work_out_string_loads
from builder.results.strings import StringResults, courses_of, work_out_strings
from builder.results.wood import WoodResults, work_out_wood
from builder.shop import Billet, Shop
from builder.shop.room_log import RoomLog

__all__ = [
    "Beside",
    "FretResults",
    "FretboardResults",
    "FrettingResults",
    "ReachResults",
    "Results",
    "SpacingResults",
    "StringResults",
    "work_out",
]


@dataclass(frozen=True, slots=True)
class Beside:
    """What some sums need beside specification and shop: the work done, measurements, billets, room log, tracings.

    A pattern has none of it. `outlines` are the texts of traced outlines by file name.
    """

    build: Build = field(default_factory=Build)
    as_built: AsBuilt = field(default_factory=AsBuilt)
    billets: Mapping[str, Billet] = field(default_factory=no_entries)
    room_log: RoomLog | None = None
    outlines: Mapping[str, str] = field(default_factory=no_entries)


@dataclass(frozen=True, slots=True)
class Results:
    """What the sums say about one specification; `Missing` where it does not hold enough for one of them."""

    frets: FretResults | Missing
    strings: StringResults | Missing
    spacing: SpacingResults | Missing
    fretboard: FretboardResults | Missing
    reach: ReachResults | Missing
    fretting: FrettingResults | Missing
    string_loads: StringLoadResults | Missing
    as_built: AsBuiltResults | Missing
    string_heights: HeightResults | Missing
    setback: SetbackResults | Missing
    levelling: LevellingResults | Missing
    body: BodyResults | Missing
    bracing: BracingResults | Missing
    wood: WoodResults | Missing
    gluing: GluingResults | Missing
    clamping: ClampingResults | Missing
    cutting: CuttingResults | Missing
    findings: tuple[Finding, ...]


_NOTHING_BESIDE = Beside()


def work_out(spec: Spec, shop: Shop, beside: Beside = _NOTHING_BESIDE) -> Results:
    """Do every sum for one specification. Findings name the field they concern; nothing raises."""
    measured = beside.as_built
    frets, of_frets = work_out_frets(spec, shop)
    strings, of_strings = work_out_strings(spec, shop, frets)
    courses = courses_of(spec, shop.string_sets)
    spacing, of_spacing = work_out_spacing(spec, courses)
    board, of_board = work_out_fretboard(spec, frets, strings, spacing)
    reach, of_reach = work_out_reach(spec, frets)
    fretting, of_fretting = work_out_fretting(spec, shop, frets, board)
    loads, of_loads = work_out_string_loads(spec, shop, frets, strings, spacing)
    as_built, of_as_built = work_out_as_built(measured, frets, shop)
    heights, of_heights = work_out_string_heights(spec, shop, measured, frets, strings, spacing)
    octaves = measured.setup.cents_at_octave if measured.setup else {}
    setback, of_setback = work_out_setback(spec, frets, heights, loads, as_built, octaves)
    levelling, of_levelling = work_out_levelling(measured, spec, frets, shop)
    body, of_body = work_out_body(spec, beside.outlines)
    bracing, of_bracing = work_out_bracing(spec, shop, body)
    areas = {} if isinstance(body, Missing) else dict.fromkeys(("soundboard", "back"), body.outline.area_mm2)
    wood, of_wood = work_out_wood(spec, shop, beside.billets, weighed_kg=measured.weight, plate_areas_mm2=areas)
    gluing, of_gluing = work_out_gluing(beside.build, spec, shop, beside.room_log)
    gravities = {} if isinstance(wood, Missing) else {each.part: each.gravity for each in wood.parts if each.gravity}
    clamping, of_clamping = work_out_clamping(beside.build, shop, tuple(seams_of_body(spec, body)), gravities)
    more = tuple(pieces_of_body(spec, body, bracing))
    cutting, of_cutting = work_out_cutting(spec, shop, beside.billets, courses, fretting, more)
    findings = (
        *of_frets, *of_strings, *of_spacing, *of_board, *of_reach, *of_fretting, *of_loads, *of_as_built, *of_heights,
        *of_setback, *of_levelling, *of_body, *of_bracing, *of_wood, *of_gluing, *of_clamping, *of_cutting,
    )  # fmt: skip
    return Results(
        frets, strings, spacing, board, reach, fretting, loads, as_built, heights, setback, levelling, body, bracing,
        wood, gluing, clamping, cutting, findings,
    )  # fmt: skip
