"""What a body asks of the saw and of the clamps: its pieces for the cutting list, and its seams."""

from __future__ import annotations

from collections.abc import Iterator

from builder.calculations.answers import Missing
from builder.calculations.clamping import GlueRun
from builder.calculations.cutting import Piece
from builder.record import Spec
from builder.results.body import BodyResults
from builder.results.bracing import BracingResults
from builder.results.clamping import rim_runs


def pieces_of_body(spec: Spec, body: BodyResults | Missing, bracing: BracingResults | Missing) -> Iterator[Piece]:
    """Side blanks, lining strips and braces, each where its sizes are known; braces from side to side as fitted."""
    of_body = spec.body
    if of_body is None or isinstance(body, Missing):
        return
    if body.sides and of_body.sides and body.sides.widths:
        widest_mm = max(each.width_mm for each in body.sides.widths)
        yield Piece("sides", 2, body.sides.sides.longest_mm, widest_mm, of_body.sides.mm)
    linings = of_body.linings
    if body.linings and body.linings.strips and linings and linings.strip and linings.width and linings.height:
        yield Piece("linings", body.linings.strips, linings.strip.mm, linings.height.mm, linings.width.mm)
    for each in () if isinstance(bracing, Missing) else bracing.braces:
        written = of_body.braces[each.entry]
        if written.width and written.height:
            name = each.name or f"{each.plate} brace"
            longest_mm = each.fitted.longest_mm if each.fitted else each.brace.length_mm
            yield Piece(name, 1, longest_mm, written.height.mm, written.width.mm, species=written.species)


def seams_of_body(spec: Spec, body: BodyResults | Missing) -> Iterator[GlueRun]:
    """The seams of both plates on the rim, and of the linings on the sides, where lengths and widths are known."""
    of_body = spec.body
    if of_body is None or isinstance(body, Missing):
        return
    linings = of_body.linings
    if of_body.sides:
        for plate in ("soundboard", "back"):
            lined_mm = linings.width.mm if linings and linings.width and plate in linings.plates else None
            yield from rim_runs(plate, body.outline.perimeter_mm, of_body.sides.mm, lined_mm)
    if body.linings and linings and linings.height:
        for run in body.linings.runs:
            name = f"lining of the {run.plate}, {run.side} side"
            yield GlueRun(name, run.length_mm, linings.height.mm, closed=False, parts=("linings", "sides"))
