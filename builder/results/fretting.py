"""Fret slots and wire: whether they fit, how deep to saw, how much wire to buy."""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.fretting import Fit, fit_of, slot_depth_mm, steps_of_wire
from builder.lengths import Length, Unit
from builder.problems import Finding
from builder.record import Spec
from builder.results.fretboard import FretboardResults
from builder.results.frets import FretResults
from builder.shop import FretWire, Shop


@dataclass(frozen=True, slots=True)
class FrettingResults:
    """`fit` is None where slot or wire are not known well enough, `wire` where the board's widths are not."""

    fit: Fit | None
    least_depth_mm: float | None
    wire: Length | None
    count: int


def work_out_fretting(
    spec: Spec, shop: Shop, frets: FretResults | Missing, board: FretboardResults | Missing
) -> tuple[FrettingResults | Missing, tuple[Finding, ...]]:
    """Compare slot and wire; a slot that does not take its wire is worth a warning."""
    if spec.frets is None or isinstance(frets, Missing):
        return Missing(("spec.frets",)), ()
    wire = shop.fret_wires.get(spec.frets.wire, FretWire()) if spec.frets.wire else FretWire()
    slot = spec.frets.slot_width
    fit = fit_of(slot.mm, wire.tang.mm, wire.barb.mm) if slot and wire.tang and wire.barb else None
    least_mm = slot_depth_mm(wire.tang_depth.mm) if wire.tang_depth else None
    findings = []
    if fit == "too tight":
        message = f"the slot is narrower than the tang of «{spec.frets.wire}»: the frets will bend the board back"
        findings.append(Finding("does-not-fit", "spec.frets.slot_width", message, "saw it wider", "warning"))
    if fit == "loose":
        message = f"the slot is as wide as the barbs of «{spec.frets.wire}»: the frets will not hold by themselves"
        hint = "take a thinner saw or a wire with wider barbs, or glue them"
        findings.append(Finding("does-not-fit", "spec.frets.slot_width", message, hint, "warning"))
    depth = spec.frets.slot_depth
    if depth is not None and wire.tang_depth is not None and depth < wire.tang_depth:
        message = f"the slot is shallower than the tang of «{spec.frets.wire}»: the crown will not seat"
        findings.append(Finding("does-not-fit", "spec.frets.slot_depth", message, "saw it deeper", "warning"))
    count = len(frets.frets) + spec.frets.zero_fret
    return FrettingResults(fit, least_mm, _wire(board, zero_fret=spec.frets.zero_fret, unit=shop.unit), count), tuple(
        findings
    )


def _wire(board: FretboardResults | Missing, *, zero_fret: bool, unit: Unit) -> Length | None:
    """Wire to buy, in whole inches or in steps of 50 mm."""
    if isinstance(board, Missing):
        return None
    lengths = [fret.line.bass.distance_mm(fret.line.treble) for fret in board.frets]
    if zero_fret:
        bass, treble, *_ = board.outline
        lengths.append(bass.distance_mm(treble))
    step = Length.from_inches(1) if unit == "in" else Length.from_mm(50)
    return Length(steps_of_wire(lengths, step.mm) * step.exact_mm, unit)
