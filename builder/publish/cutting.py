"""The cutting list as the bench sees it: blanks, board feet, hardware, strings and fret wire."""

from __future__ import annotations

from builder.calculations.answers import Missing
from builder.lengths import Unit
from builder.publish.measures import inches, kept, measure_mm
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.results.cutting import CutPiece, CuttingResults
from builder.words import counted

DUST = (
    "Wood dust harms the lungs, that of some species much more: use extraction and a respirator, and see the safety "
    "data sheet of the wood."
)


def cutting_for_the_bench_of(results: CuttingResults | Missing, unit: Unit) -> Figures:
    """Everything to saw, and everything to lay out beside it, for one instrument or for several."""
    if isinstance(results, Missing):
        return Figures()
    lead = f"For {counted(results.instruments, 'instrument')}." if results.instruments > 1 else ""
    tables = []
    if results.pieces:
        tables.append(_blanks(results, unit))
    if results.hardware:
        rows = tuple((part, words, count) for part, words, count in results.hardware)
        head = (_text("part", "Part"), _text("what", "What"), _text("count", "Count"))
        tables.append(FigureTable("hardware", "Hardware", "What to lay out.", Table(head, rows)))
    if results.strings:
        head_of_strings = (_text("gauge", "Gauge"), _text("count", "Count"))
        caption = "Gauges in thousandths of an inch: w wound, n nylon, f fluorocarbon, g gut, b brass, p bronze."
        tables.append(FigureTable("strings", "Strings", caption, Table(head_of_strings, results.strings)))
    notes = []
    if results.pieces:
        notes.append(
            "Board feet are the true volume of rough stock with a saw cut each way and the shop's waste; a merchant "
            "counts a board thinner than an inch as an inch thick."
        )
    return Figures(
        lead=lead,
        facts=_facts(results, unit),
        tables=tuple(tables),
        cautions=(DUST,) if results.pieces else (),
        notes=tuple(notes),
        wanting=tuple(f"spec.wood.{part}.pieces: how many there are" for part in results.uncounted),
    )


def _facts(results: CuttingResults, unit: Unit) -> tuple[Figure, ...]:
    facts = [
        Figure(
            f"board_feet_{number}",
            species or "Wood of no named species",
            f"{feet:.2f} board feet",
            value=kept(feet),
            unit="board feet",
            source="board-foot",
        )
        for number, (species, feet) in enumerate(results.board_feet_by_species, 1)
    ]
    wire = measure_mm(results.wire_mm, unit) if results.wire_mm else None
    if wire:
        facts.append(Figure("fret_wire", "Fret wire", wire.said, wire.also, wire.mm, "mm", "fretting"))
    return tuple(facts)


def _blanks(results: CuttingResults, unit: Unit) -> FigureTable:
    decimals = 3 if unit == "in" else 2
    columns = (
        _text("part", "Part"),
        _text("species", "Species"),
        _text("billet", "Billet"),
        _text("count", "Pieces"),
        Column("length", "Length", unit, "blanks", decimals),
        Column("width", "Width", unit, "blanks", decimals),
        Column("thickness", "Thickness", unit, "blanks", decimals),
        Column("board_feet", "All of them", "board feet", "board-foot", 2),
    )
    rows = tuple(_row(each, unit) for each in results.pieces)
    caption = "Blanks with the shop's allowances; thickness is that of the rough stock where it is known."
    return FigureTable("blanks", "Blanks", caption, Table(columns, rows))


def _row(each: CutPiece, unit: Unit) -> tuple[str | float, ...]:
    sizes = (each.blank.length_mm, each.blank.width_mm, each.blank.thickness_mm)
    shown = (kept(inches(mm) if unit == "in" else mm) for mm in sizes)
    piece = each.piece
    return (piece.part, piece.species or "", piece.billet or "", piece.count, *shown, kept(each.board_feet))


def _text(key: str, title: str) -> Column:
    return Column(key, title, "", "record")
