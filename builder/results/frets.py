"""The fret chart of one instrument: every fret's place, read on every rule of the shop."""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Missing, Outside
from builder.calculations.frets import (
    MOST_SEMITONES,
    Fret,
    FretNumber,
    distance_from_nut_mm,
    equal_tempered_ratio,
    numbered_frets,
    semitones_of,
    with_added,
)
from builder.calculations.rules import RuleReading, read_on_rule
from builder.problems import Finding
from builder.record import FretSpec, Spec
from builder.shop import Rule, Shop


@dataclass(frozen=True, slots=True)
class PlacedFret:
    """One fret: its number, its semitones above the open string, its place, and that place on each rule."""

    number: FretNumber
    semitones: int
    from_nut_mm: float
    readings: tuple[RuleReading, ...]


@dataclass(frozen=True, slots=True)
class FretResults:
    """All frets in board order. `rules` gives the order of each fret's readings; `working` is the one at the bench."""

    scale_length_mm: float
    frets: tuple[PlacedFret, ...]
    rules: tuple[Rule, ...]
    working: int
    tolerance_cents: float

    def worst_cents(self, rule: int) -> float:
        """The largest error of any fret, without its sign, if all went to the nearest mark of one rule."""
        return max(abs(fret.readings[rule].cents) for fret in self.frets)


def work_out_frets(spec: Spec, shop: Shop) -> tuple[FretResults | Missing, tuple[Finding, ...]]:
    """Place the frets of a specification. A fret the layout does not have is a finding, and is left out."""
    if spec.scale_length is None or spec.frets is None:
        fields = [
            name
            for name, value in (("spec.scale_length", spec.scale_length), ("spec.frets", spec.frets))
            if value is None
        ]
        return Missing(tuple(fields)), ()
    scale_length_mm = spec.scale_length.mm
    frets, findings = frets_of(spec.frets)
    placed = []
    for fret in frets:
        place_mm = distance_from_nut_mm(scale_length_mm, equal_tempered_ratio(fret.semitones))
        readings = tuple(read_on_rule(place_mm, scale_length_mm, rule.marks) for rule in shop.rules)
        placed.append(PlacedFret(fret.number, fret.semitones, place_mm, readings))
    if not placed:
        return Missing(("spec.frets.last",)), findings
    working = next((n for n, rule in enumerate(shop.rules) if rule.name == shop.working_rule), 0)
    return FretResults(scale_length_mm, tuple(placed), shop.rules, working, shop.tolerance), findings


def frets_of(spec: FretSpec) -> tuple[tuple[Fret, ...], tuple[Finding, ...]]:
    """The frets of a layout with those added to it, in board order."""
    findings = []
    frets = numbered_frets(spec.layout, spec.last)
    if not frets or frets[-1].semitones > MOST_SEMITONES:
        message = f"no board has its last fret at {spec.last}"
        findings.append(Finding("out-of-range", "spec.frets.last", message, "write the number of the highest fret"))
        return (), tuple(findings)
    added = []
    last_if_half = [("spec.frets.last", spec.last)] if spec.last.is_half else []
    for field, number in [
        *((f"spec.frets.add[{n}]", each) for n, each in enumerate(spec.add)),
        *last_if_half,
    ]:
        semitones = semitones_of(number, spec.layout)
        if isinstance(semitones, Outside):
            hint = "leave it out" if field.startswith("spec.frets.add") else "write the number of the highest fret"
            findings.append(Finding("impossible-fret", field, semitones.reason, hint))
        elif not number.is_half:
            hint = "frets with whole numbers are there already; add only halves, like 6½"
            findings.append(Finding("impossible-fret", field, f"fret {number} is no added fret", hint))
        elif number > spec.last:
            hint = f"set last to {number}, or leave it out"
            findings.append(Finding("does-not-fit", field, f"fret {number} lies past the last fret, {spec.last}", hint))
        else:
            added.append(Fret(number, semitones))
    return with_added(frets, added), tuple(findings)
