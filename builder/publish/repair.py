"""Names what whoever repairs an instrument looks for first, gathered from record and results in one place."""

from __future__ import annotations

from collections.abc import Iterator

from builder.calculations.answers import Missing
from builder.lengths import Length, Unit
from builder.publish.as_built import heights_of
from builder.publish.board import fretting_of
from builder.publish.bracing import brace_name
from builder.publish.labels import cautions_of_finish
from builder.publish.making import finish_of
from builder.publish.measures import in_unit, length_column, measure
from builder.publish.string_loads import pull_columns, pulls_of
from builder.publish.wood import dust_of, moisture_of
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.record import Record, Spec
from builder.results import Results
from builder.results.gluing import JointResults, glue_on_the_shelf
from builder.shop import FretWire, Shop
from builder.tables.glues import KINDS
from builder.words import counted, in_a_row
from builder.workshop import Instrument

_LEAD = "What somebody who takes it in hand looks for first. What is not here was not recorded; ask the maker."
_HIDDEN_SPOT = (
    "Heat, water and solvents that loosen a glue mark wood and finish too: try them first where nobody looks. What the "
    "labels and safety data sheets of glue, finish and solvent say goes before what stands here."
)
_NOT_KNOWN_HOW = "Not known here; ask the maker."
_NO_SETBACK = ""
_BRIDGES = {
    "glued": "glued to the soundboard",
    "pinned": "glued to the soundboard, with pins",
    "floating": "not glued: it stands where the strings press it",
}
#: Hardware that a repairer meets, in the order it is asked for.
_PARTS_MET = ("truss rod", "nut", "saddle", "tailpiece", "bridge pins", "pickup")
_WHERE_BRACES_LIE = (
    "Measured from the tail end of the body along the centre line, and across from that line, the bass side above "
    "zero. Look inside with a mirror before you drill."
)


def repair_of(instrument: Instrument, shop: Shop) -> Figures | None:
    """For whoever repairs it: glues, finish, frets, strings, set-up, braces, moisture; None where nothing is known."""
    record, results, unit = instrument.record, instrument.results, shop.unit
    spec = record.spec
    facts = (
        *_of_the_finish(spec, shop),
        *_of_the_frets(record, results, shop),
        *heights_of(record.as_built, unit),
        *_of_the_bridge(spec, unit),
        *_of_the_hardware(spec),
        *_of_the_blocks(spec, unit),
    )
    tables = (
        *_glues(results, shop),
        *_strings(results, unit),
        *_braces(spec, results, unit),
        *moisture_of(results.wood, folded=True),
    )
    dust = dust_of(results.wood, of_any_wood=bool(facts or tables))
    cautions = (*_cautions(record, shop), *dust)
    if not (facts or tables or cautions):
        return None
    return Figures(lead=_LEAD, facts=facts, tables=tables, cautions=cautions)


def _cautions(record: Record, shop: Shop) -> Iterator[str]:
    """What glue and finish ask of whoever loosens or mends them."""
    finish = finish_of(record.spec, shop)
    if finish is None and not record.build.glue_ups:
        return
    schedule = shop.finish_schedules.get(finish.schedule) if finish else None
    words = (finish.schedule, finish.product or "", (schedule.touch_up or "") if schedule else "") if finish else ()
    of_finish = cautions_of_finish(" ".join(words))
    yield " ".join((_HIDDEN_SPOT, *(("Of the finish:", *of_finish) if of_finish else ())))


def _of_the_finish(spec: Spec, shop: Shop) -> Iterator[Figure]:
    finish = finish_of(spec, shop)
    if finish is None:
        return
    coats = f", {finish.coats} coats" if finish.coats else ""
    named = finish.product or ""
    said = f"{finish.schedule}: {named}{coats}" if named.casefold() != finish.schedule.casefold() else finish.schedule
    yield Figure("finish", "Finish", said.removesuffix(": "))
    schedule = shop.finish_schedules.get(finish.schedule)
    if schedule is not None and schedule.touch_up:
        yield Figure("touch_up", "To touch it up", schedule.touch_up, source="shop")


def _of_the_frets(record: Record, results: Results, shop: Shop) -> Iterator[Figure]:
    """Wire and how much of it to buy, slots, crowns as they were left, and the radius of the board."""
    spec, unit = record.spec, shop.unit
    fretting = None if isinstance(results.fretting, Missing) else fretting_of(results.fretting, unit)
    frets, board = spec.frets, spec.fretboard
    wire = shop.fret_wires.get(frets.wire) if frets and frets.wire else None
    if frets and frets.wire:
        yield Figure("wire", "Fret wire", ", ".join(filter(None, (frets.wire, wire.material if wire else None))))
    if wire:
        yield from _of_the_wire(wire, unit)
    if frets:
        slots = ((frets.slot_width, "wide"), (frets.slot_depth, "deep"))
        yield from _sizes("slots", "Fret slots", slots, unit)
    if fretting and fretting.fit:
        yield Figure("fit", "Slot and wire", fretting.fit, source="fretting")
    if fretting and fretting.wire_to_buy:
        wanted = fretting.wire_to_buy
        title = f"Wire to buy for {counted(fretting.frets_of_wire, 'fret')}"
        yield Figure("wire_to_buy", title, wanted.said, wanted.also, wanted.mm, "mm", "fretting")
    yield from _sizes("crowns", "Crowns as they were left", ((record.as_built.crown_height, "high"),), unit)
    if board and isinstance(board.radius, Length):
        radius = measure(board.radius, unit)
        yield Figure("radius", "Fretboard radius", radius.said, radius.also, radius.mm, "mm")
    elif board and board.radius:
        yield Figure("radius", "Fretboard radius", "flat")


def _of_the_wire(wire: FretWire, unit: Unit) -> Iterator[Figure]:
    crown = ((wire.crown_width, "wide"), (wire.crown_height, "high"))
    yield from _sizes("crown", "Crown of the wire when new", crown, unit)
    tang = ((wire.tang, "thick"), (wire.barb, "over the barbs"), (wire.tang_depth, "deep"))
    yield from _sizes("tang", "Tang", tang, unit)


def _of_the_bridge(spec: Spec, unit: Unit) -> Iterator[Figure]:
    bridge = spec.bridge
    if bridge is None:
        return
    yield Figure("bridge", "Bridge", _BRIDGES[bridge.kind])
    sizes = ((bridge.height, "above the soundboard"),)
    yield from _sizes("bridge_height", "Strings at the saddle", sizes, unit)


def _of_the_hardware(spec: Spec) -> Iterator[Figure]:
    for part in _PARTS_MET:
        if part in spec.hardware:
            yield Figure(f"hardware_{part.replace(' ', '_')}", part, spec.hardware[part])


def _of_the_blocks(spec: Spec, unit: Unit) -> Iterator[Figure]:
    """Where the nut lies, and how far the end blocks reach: what a strap button or a neck bolt goes into."""
    board, blocks = spec.fretboard, spec.body.end_blocks if spec.body else None
    if board:
        along = ((board.nut_from_tail, "along the body"),)
        yield from _sizes("nut_from_tail", "From the tail end to the nut", along, unit)
    if blocks:
        for key, title, glued, thick in (
            ("tail_block", "Block at the tail", blocks.tail, blocks.tail_thickness),
            ("head_block", "Block at the head", blocks.head, blocks.head_thickness),
        ):
            yield from _sizes(key, title, ((glued, "along each side"), (thick, "into the body")), unit)


def _sizes(key: str, title: str, sizes: tuple[tuple[Length | None, str], ...], unit: Unit) -> Iterator[Figure]:
    """`0.080 in wide, 0.040 in high`, as far as they are known; nothing where none is."""
    known = [(measure(length, unit), words) for length, words in sizes if length is not None]
    if known:
        said = ", ".join(f"{each.said} {words}" for each, words in known)
        also = ", ".join(each.also for each, _ in known)
        yield Figure(key, title, said, also, known[0][0].mm, "mm")


def _glues(results: Results, shop: Shop) -> Iterator[FigureTable]:
    """Each glue with the joints it holds, and how it comes apart: as the shop says, else as its kind does."""
    joints = () if isinstance(results.gluing, Missing) else results.gluing.joints
    by_glue: dict[str, list[JointResults]] = {}
    for joint in joints:
        by_glue.setdefault(joint.glue, []).append(joint)
    if by_glue:
        columns = (
            Column("glue", "glue", "", "record"),
            Column("joints", "holds", "", "record"),
            Column("comes_apart", "how it comes apart", "", "glue-apart"),
        )
        rows = tuple(
            (glue, "; ".join(in_a_row(joint.parts) for joint in held), _comes_apart(glue, held[0], shop))
            for glue, held in by_glue.items()
        )
        yield FigureTable("glues", "Glues", "What holds which joint.", Table(columns, rows))


def _comes_apart(glue: str, joint: JointResults, shop: Shop) -> str:
    label = glue_on_the_shelf(glue, shop.glues)
    if label is not None and label.comes_apart:
        return label.comes_apart
    return KINDS[joint.kind].comes_apart.says if joint.kind else _NOT_KNOWN_HOW


def _strings(results: Results, unit: Unit) -> Iterator[FigureTable]:
    """Every kind of string of each course with its pull, and where its saddle stands; none without gauges."""
    loads = () if isinstance(results.string_loads, Missing) else results.string_loads.strings
    setbacks = () if isinstance(results.setback, Missing) else results.setback.strings
    placed = {(each.above.course, each.above.string): each for each in setbacks}
    kinds = {(load.course, load.string): load for load in loads if load.string.gauge}
    if not kinds:
        return
    columns = [Column("course", "course", "", "record"), Column("string", "string", "", "record"), *pull_columns(unit)]
    if placed:
        columns += [
            length_column("nut_to_saddle", "nut to saddle", unit, "setback"),
            length_column("setback", "beyond the scale", unit, "setback", signed=True),
        ]
    rows: list[tuple[str | float, ...]] = []
    for key, load in kinds.items():
        at = placed.get(key)
        distances: tuple[str | float, ...] = ()
        if placed and at is None:
            distances = (_NO_SETBACK, _NO_SETBACK)
        elif at is not None:
            distances = (in_unit(at.nut_to_saddle_mm, unit), in_unit(at.nut_to_saddle_mm - at.above.sounding_mm, unit))
        rows.append((str(load.course), str(load.string), *pulls_of(load.pull, unit), *distances))
    caption = "Each string at its note, and where its saddle stands." if placed else "Each string at its note."
    yield FigureTable("strings_and_saddle", "Strings and saddle", caption, Table(tuple(columns), tuple(rows)))


def _braces(spec: Spec, results: Results, unit: Unit) -> Iterator[FigureTable]:
    """Where the braces lie, for whoever drills or looks for a loose one."""
    if isinstance(results.bracing, Missing) or spec.body is None or not results.bracing.braces:
        return
    columns = (
        Column("brace", "brace", "", "record"),
        Column("plate", "plate", "", "record"),
        length_column("starts_along", "starts, along", unit, "record"),
        length_column("starts_across", "across", unit, "record", signed=True),
        length_column("ends_along", "ends, along", unit, "record"),
        length_column("ends_across", "across", unit, "record", signed=True),
        length_column("width", "wide", unit, "record"),
        length_column("height", "high", unit, "record"),
    )
    rows: list[tuple[str | float, ...]] = []
    for each in results.bracing.braces:
        written = spec.body.braces[each.entry]
        ends = (*each.brace.start, *each.brace.end)
        sizes = (in_unit(size.mm, unit) if size else "" for size in (written.width, written.height))
        rows.append((brace_name(each), each.plate, *(in_unit(mm, unit) for mm in ends), *sizes))
    yield FigureTable(
        "brace_places", "Where the braces lie", _WHERE_BRACES_LIE, Table(columns, tuple(rows)), folded=True
    )
