"""Every string as the sums of the setback want it: pull, stiffness, heights and frets, agreeing with measurements."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from builder.calculations.answers import Outside
from builder.calculations.pitch import Note
from builder.calculations.setback import FretPlace, FrettedString, Setback, agreeing_with
from builder.calculations.stiffness import Stiffness, stiffness_of
from builder.problems import Finding
from builder.results.frets import FretResults
from builder.results.string_heights import HeightResults, StringAbove
from builder.results.string_loads import StringLoad, StringLoadResults
from builder.tables.string_materials import STRING_MATERIALS

#: A fret within this part of twice the open frequency is the octave.
_OCTAVE = 1e-3
_MEASURED = "as_built.setup.cents_at_octave"


@dataclass(frozen=True, slots=True)
class StringModel:
    """One string three times: as expected, with pinned and with clamped ends; and its frets where they belong."""

    above: StringAbove
    lead: FrettedString
    pinned: FrettedString
    clamped: FrettedString
    frets: tuple[FretPlace, ...]
    measured_cents: float | None = None


def models_of(
    frets: FretResults, heights: HeightResults, loads: StringLoadResults, tails_mm: float
) -> tuple[list[StringModel], list[str]]:
    """Strings, heights and frets put together; a string of which too little is known is left out, with the reason."""
    models: list[StringModel] = []
    left_out: list[str] = []
    by_place = iter(heights.strings)
    above = next(by_place, None)
    seen = set()
    for load in loads.strings:
        if above is None or (above.course, above.string) != (load.course, load.string):
            continue  # its start is not known, so it has no height
        here, above = above, next(by_place, None)
        if (load.course, load.string) in seen:
            continue
        seen.add((load.course, load.string))
        stiffness = _stiffness_of(load)
        if load.pull is None or isinstance(stiffness, str) or not here.frets:
            reason = stiffness if isinstance(stiffness, str) else "its pull is not known"
            left_out.append(f"{load.string}: {reason if here.frets else 'no fret lies under it'}")
            continue
        lead = FrettedString(
            here.sounding_mm, load.pull.newtons, stiffness.stretching_newtons, stiffness.bending_newton_mm2,
            here.line.at_nut_mm, max(here.saddle_mm, 0.0), tails_mm,
        )  # fmt: skip
        places = tuple(place_of(here, frets.frets[each].ratio) for each in here.frets)
        models.append(StringModel(here, lead, replace(lead, clamped=0.0), replace(lead, clamped=1.0), places))
    return models, left_out


def _stiffness_of(load: StringLoad) -> Stiffness | str:
    """What a string's core resists with, or why nobody can say."""
    core = load.known.core if load.known else None
    if load.known is None or core is None:
        return "its core is not known"
    material = STRING_MATERIALS[core.material]
    if material.youngs_gpa is None:
        return f"how far {core.material} stretches is not known well enough"
    if material.is_filament and load.known.gauge.make == "wound":
        return "its core is a bundle of threads, whose stiffness its thickness does not tell"
    return stiffness_of(material.youngs_gpa.value * 1e9, core.across_mm, core.shape)


def place_of(above: StringAbove, ratio: float, moved_mm: float = 0.0) -> FretPlace:
    """A fret as this string has it, from where the string starts."""
    own = ratio / above.start_ratio
    return FretPlace(above.sounding_mm * (1 - 1 / own) + moved_mm, own)


def made_to_agree(
    models: Sequence[StringModel],
    bests: Sequence[Setback],
    in_place_mm: Sequence[float],
    measured: Mapping[Note, float],
) -> tuple[list[StringModel], list[Finding]]:
    """Make each string agree with what was measured at its octave, with the saddle where it stands."""
    agreeing, findings = [], []
    for model, best, saddle_mm in zip(models, bests, in_place_mm, strict=True):
        note = model.above.string.note
        cents = measured.get(note)
        octave = next((fret for fret in model.frets if abs(fret.ratio - 2) < _OCTAVE), None)
        if cents is None or octave is None:
            if cents is not None:
                message = f"no fret under {note} is its octave, so the measured cents are left out of the sums"
                hint = "leave them out, or look at the temperament"
                findings.append(Finding("doubtful", f"{_MEASURED}.{note}", message, hint, "warning"))
            agreeing.append(model)
            continue
        lead, pinned, clamped = (
            agreeing_with(each, model.frets[0], octave, cents, saddle_mm, best.nut_mm)
            for each in (model.lead, model.pinned, model.clamped)
        )
        if isinstance(lead, Outside):
            message = f"{note}: {lead.reason}, so the measured cents are left out of the sums"
            hint = "look at the nut, the saddle's place and the age of the string, and measure again"
            findings.append(Finding("doubtful", f"{_MEASURED}.{note}", message, hint, "warning"))
            agreeing.append(model)
            continue
        low = lead if isinstance(pinned, Outside) else pinned
        high = lead if isinstance(clamped, Outside) else clamped
        agreeing.append(replace(model, lead=lead, pinned=low, clamped=high, measured_cents=cents))
    return agreeing, findings
