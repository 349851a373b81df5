"""What is published of end angles, braces and the wood around sound holes: hardly anything to a buyer."""

from __future__ import annotations

from collections.abc import Iterator

from builder.calculations.answers import Missing
from builder.lengths import Unit, trimmed
from builder.publish.measures import in_unit, kept, length_column
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.results.bracing import Bevel, BraceResults, BracingResults, EndResults, HoleRoom, SeenThrough
from builder.words import in_a_row

_PLATES = ("soundboard", "back")
_NOTHING = "–"

_BLOCK_NOTE = (
    "The angle is that of the straight line over the joint of block and side. The gap is what the nearest "
    "angle block would leave at one edge of the joint: the outer edge is the one at the end of the body."
)
_BOW_NOTE = (
    "Off the straight: how far the side stands off that line between the ends of the joint, above zero outwards. Shape "
    "the block to it, or pull the side flat."
)
_BRACE_NOTE = (
    "Lengths are along the middle of a brace, at its station; bevels are out of square, for the end to meet the inside "
    "of the sides. A clearance below zero means the brace runs across the hole."
)
_SEEN_NOTE = "Seen through a hole: looked at square from the front. From the side more shows, or less."


def bracing_of(results: BracingResults | Missing) -> Figures | None:
    """For a buyer: how many braces there are; None where none are written."""
    if isinstance(results, Missing) or not results.braces:
        return None
    counts = {plate: sum(brace.plate == plate for brace in results.braces) for plate in _PLATES}
    said = in_a_row(f"{count} on the {plate}" for plate, count in counts.items() if count)
    return Figures(facts=(Figure("braces", "Braces", said, value=float(len(results.braces))),))


def bracing_for_the_bench_of(results: BracingResults | Missing, unit: Unit) -> Figures | None:
    """For the bench: end angles with their blocks, braces with lengths, bevels and clearances, room around holes."""
    if isinstance(results, Missing):
        return None
    tables: list[FigureTable] = []
    notes: list[str] = []
    if results.ends:
        tables.append(_ends_table(results.ends, unit))
        notes += [_BLOCK_NOTE, _BOW_NOTE]
    if results.braces:
        tables.append(_braces_table(results.braces, unit))
        notes.append(_BRACE_NOTE)
        notes += [_SEEN_NOTE] if any(brace.seen_through for brace in results.braces) else []
        notes += list(_lining_notes(results.braces))
    if results.holes:
        tables.append(_holes_table(results.holes, unit))
    return Figures(tables=tuple(tables), notes=tuple(notes))


def _cell(mm: float | None, unit: Unit) -> str | float:
    if mm is None:
        return _NOTHING
    return in_unit(mm, unit)


def _ends_table(ends: tuple[EndResults, ...], unit: Unit) -> FigureTable:
    with_blocks = any(end.block for end in ends)
    columns = [
        Column("end", "end", "", "record"),
        Column("side", "side", "", "record"),
        length_column("glued", "glued over", unit, "record"),
        Column("to_centre_line", "to the centre line", "°", "end-angles", 1),
        Column("to_end_face", "to the end face", "°", "end-angles", 1),
        length_column("off_straight", "off the straight", unit, "end-angles", signed=True),
    ]
    if with_blocks:
        columns += [
            Column("block", "nearest block", "", "shop"),
            length_column("gap", "gap", unit, "end-angles"),
            Column("opens", "opens at", "", "end-angles"),
        ]
    rows = []
    for side, end in _alike_once(ends):
        row: list[str | float] = [
            end.end,
            side,
            _cell(end.glued_mm, unit),
            kept(end.angle.to_centre_line_degrees),
            kept(end.angle.to_end_face_degrees),
            _cell(end.angle.bow_mm, unit),
        ]
        if with_blocks and end.block:
            opens = f"the {end.block.opens} edge" if end.block.opens else "nowhere"
            row += [f"{trimmed(end.block.block_degrees, 2)}°", _cell(end.block.gap_mm, unit), opens]
        elif with_blocks:
            row += ["none near", _NOTHING, _NOTHING]
        rows.append(tuple(row))
    caption = "How the sides meet the end blocks" + (", and the angle block that comes nearest" if with_blocks else "")
    return FigureTable("end_angles", "End angles", caption, Table(tuple(columns), tuple(rows)))


def _alike_once(ends: tuple[EndResults, ...]) -> Iterator[tuple[str, EndResults]]:
    """Each end and side; both sides of an end as one where nothing that is shown differs."""
    for end in ("tail", "head"):
        sides = [each for each in ends if each.end == end]
        if len({(f"{each.angle.to_centre_line_degrees:.3f}", f"{each.angle.bow_mm:.3f}") for each in sides}) == 1:
            yield ("both" if len(sides) > 1 else sides[0].side), sides[0]
        else:
            yield from ((each.side, each) for each in sides)


def _braces_table(braces: tuple[BraceResults, ...], unit: Unit) -> FigureTable:
    columns = [
        Column("brace", "brace", "", "record"),
        Column("plate", "plate", "", "record"),
        length_column("length", "as written", unit, "record"),
    ]
    fitted = any(brace.fitted for brace in braces)
    lined = any(brace.within_linings_mm is not None for brace in braces)
    near = any(brace.clearance_mm is not None for brace in braces)
    seen = any(brace.seen_through for brace in braces)
    if fitted:
        columns.append(length_column("inside_sides", "inside the sides", unit, "bracing"))
    if lined:
        columns.append(length_column("inside_linings", "inside the linings", unit, "bracing"))
    if fitted:
        columns += [
            Column("bevel_at_start", "bevel where it starts", "", "bracing"),
            Column("bevel_at_end", "bevel where it ends", "", "bracing"),
        ]
    if near:
        columns += [
            length_column("clearance", "clear of the nearest hole", unit, "bracing", signed=True),
            Column("nearest_hole", "nearest hole", "", "record"),
        ]
    if seen:
        columns.append(Column("seen_through", "seen through", "", "bracing"))
    rows = []
    for brace in braces:
        row: list[str | float] = [brace_name(brace), brace.plate, _cell(brace.brace.length_mm, unit)]
        row += [_cell(brace.fitted.length_mm if brace.fitted else None, unit)] if fitted else []
        row += [_cell(brace.within_linings_mm, unit)] if lined else []
        row += [_bevel(bevel) for bevel in brace.bevels] if fitted else []
        if near:
            hole = _NOTHING if brace.nearest_hole is None else f"hole {brace.nearest_hole + 1}"
            row += [_cell(brace.clearance_mm, unit), hole]
        row += [_seen(brace)] if seen else []
        rows.append(tuple(row))
    caption = "Each brace at its station, with the sound holes of its own plate and of the other"
    return FigureTable("braces", "Braces", caption, Table(tuple(columns), tuple(rows)))


def brace_name(brace: BraceResults) -> str:
    """What a brace is called: by its maker, or by its place in the record."""
    name = brace.name or f"brace {brace.entry + 1}"
    return f"{name}, mirror image" if brace.is_mirror_image else name


def _hole(hole: SeenThrough | HoleRoom) -> str:
    return f"hole {hole.entry + 1}{', mirror image' if hole.is_mirror_image else ''}"


def _bevel(bevel: Bevel | None) -> str:
    if bevel is None:
        return _NOTHING
    degrees = f"{bevel.degrees:.1f}"
    return "square" if degrees == "0.0" else f"{degrees}°, longer towards the {bevel.longer_towards}"


def _seen(brace: BraceResults) -> str:
    said = []
    for each in brace.seen_through:
        percent = f"{100 * each.part:.0f}"
        said.append(f"{_hole(each)} ({'under 1' if percent == '0' else percent} % of it)")
    return in_a_row(said) or _NOTHING


def _lining_notes(braces: tuple[BraceResults, ...]) -> Iterator[str]:
    reaching = [brace_name(brace) for brace in braces if brace.reach == "into the linings"]
    if reaching:
        yield (
            f"Into the lining, which is let out for it: {in_a_row(reaching)}. Or cut the brace to fit inside the "
            "linings."
        )


def _holes_table(holes: tuple[HoleRoom, ...], unit: Unit) -> FigureTable:
    lined = any(hole.to_linings_mm is not None for hole in holes)
    columns = [
        Column("hole", "sound hole", "", "record"),
        Column("plate", "plate", "", "record"),
        length_column("to_edge", "to the edge of the body", unit, "bracing"),
    ]
    if lined:
        columns.append(length_column("to_lining", "to the lining", unit, "bracing", signed=True))
    rows = []
    for hole in holes:
        row: list[str | float] = [_hole(hole), hole.plate, _cell(hole.to_edge_mm, unit)]
        row += [_cell(hole.to_linings_mm, unit)] if lined else []
        rows.append(tuple(row))
    caption = "The least wood left around each sound hole"
    return FigureTable(
        "around_sound_holes", "Around the sound holes", caption, Table(tuple(columns), tuple(rows)), True
    )
