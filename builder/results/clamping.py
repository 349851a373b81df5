"""The clamps of the shop on the seams of one instrument: how many are needed, and how hard they press."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from builder.calculations.answers import Missing
from builder.calculations.clamping import (
    GlueRun,
    Squeeze,
    clamps_for_pressure,
    clamps_needed,
    pressure_pa,
    squeeze_of,
)
from builder.problems import Finding
from builder.record import Build
from builder.results.gluing import glue_on_the_shelf, kind_in_words
from builder.shop import Shop
from builder.shop.gluing import Glue
from builder.tables.glues import KINDS, PRESSURES, PressureBand
from builder.units import PASCALS_PER_PSI


@dataclass(frozen=True, slots=True)
class WantedPressure:
    """The mean pressure a joint wants, in pascals, and who says so: the label, or the table for such woods."""

    least_pa: float
    most_pa: float
    leads: Literal["label", "typical"]
    woods: str = ""


@dataclass(frozen=True, slots=True)
class RunResults:
    """One seam. `used` are the clamps on it: those needed, or all there are if they are fewer.

    `pressure_pa`, `squeeze` and `wanted_count` are None where the force of a clamp or the wanted pressure is not known;
    `contact_only` says that the glue wants the parts held together and no more.
    """

    run: GlueRun
    needed: int
    used: int
    pressure_pa: float | None
    wanted: WantedPressure | None
    squeeze: Squeeze | None
    wanted_count: int | None
    contact_only: bool


@dataclass(frozen=True, slots=True)
class ClampingResults:
    """Every seam, and how many clamps the shop has (None: not said)."""

    runs: tuple[RunResults, ...]
    in_the_shop: int | None


def rim_runs(plate: str, perimeter_mm: float, sides_mm: float, lining_mm: float | None) -> tuple[GlueRun, ...]:
    """The seam of a plate, such as the back, on its rim: on the bare edge of the sides, and with linings if there are.

    Soundboard and back are each glued along the whole outline. `sides_mm` is how thick the sides are,
    `lining_mm` how wide the linings. The bare edge is given beside the lined one to show what linings are worth.
    """
    parts = (plate, "sides")
    bare = GlueRun(f"{plate} on the bare edge of the sides", perimeter_mm, sides_mm, closed=True, parts=parts)
    if not lining_mm:
        return (bare,)
    lined = GlueRun(f"{plate} on sides and linings", perimeter_mm, sides_mm + lining_mm, closed=True, parts=parts)
    return (lined, bare)


def work_out_clamping(
    build: Build, shop: Shop, runs: Sequence[GlueRun], specific_gravities: Mapping[str, float]
) -> tuple[ClampingResults | Missing, tuple[Finding, ...]]:
    """Clamps and pressure for each seam.

    `specific_gravities` are those of the parts, by name (oven-dry weight, volume at 12 % moisture). A seam whose parts
    a glue-up of the record names takes the pressure of that glue's label. Findings about the clamps concern the shop
    file, and are those of `clamp_findings`.
    """
    if not runs:
        return Missing(("spec.body",)), ()
    clamps = shop.clamps
    if clamps.spacing is None:
        return Missing(("clamps.spacing",)), ()
    answers = []
    for run in runs:
        if run.length_mm <= 0 or run.glue_width_mm <= 0:
            continue
        needed = clamps_needed(run.length_mm, clamps.spacing.mm, closed=run.closed)
        used = min(needed, clamps.count) if clamps.count is not None else needed
        label, contact = _glue_of(run, build, shop)
        wanted = None if contact else _wanted(run, label, specific_gravities)
        pressure = pressure_pa(clamps.force, used, run.length_mm, run.glue_width_mm) if clamps.force else None
        squeeze = squeeze_of(pressure, wanted.least_pa, wanted.most_pa) if pressure is not None and wanted else None
        enough = None
        if clamps.force and wanted:
            enough = clamps_for_pressure(wanted.least_pa, clamps.force, run.length_mm, run.glue_width_mm)
        answers.append(RunResults(run, needed, used, pressure, wanted, squeeze, enough, contact))
    return ClampingResults(tuple(answers), clamps.count), ()


def _glue_of(run: GlueRun, build: Build, shop: Shop) -> tuple[Glue | None, bool]:
    """The label of the glue a seam's parts were glued with, and whether it wants contact only."""
    for glue_up in build.glue_ups:
        if run.parts and set(run.parts) <= set(glue_up.parts):
            label = glue_on_the_shelf(glue_up.glue, shop.glues)
            kind = (label.kind if label else None) or kind_in_words(glue_up.glue)
            contact = kind is not None and KINDS[kind].wants == "contact" and not (label and label.pressure)
            return label, contact
    return None, False


def _wanted(run: GlueRun, label: Glue | None, gravities: Mapping[str, float]) -> WantedPressure | None:
    """The label's pressure, else that of the lightest wood in the joint, which too much of it would crush."""
    if label and label.pressure:
        return WantedPressure(*label.pressure, "label")
    known = [gravities[part] for part in run.parts if part in gravities]
    if not known:
        return None
    band = band_of(min(known))
    least_pa, most_pa = (float(psi * PASCALS_PER_PSI) for psi in (band.least_psi, band.most_psi))
    return WantedPressure(least_pa, most_pa, "typical", band.woods)


def band_of(specific_gravity: float) -> PressureBand:
    """The row of the table of pressures for a wood so dense."""
    return next(band for band in PRESSURES if specific_gravity < band.lighter_than)


def clamp_findings(shop: Shop) -> Iterator[Finding]:
    """What is half said, or cannot be, of clamps, glues and room limits in the shop file."""
    clamps = shop.clamps
    if clamps.spacing is None and (clamps.force is not None or clamps.count is not None):
        message = "how far apart the clamps are set is not said, so neither number nor pressure can be worked out"
        yield Finding("half-known", "clamps", message, "add spacing: 3 in", "hint")
    elif clamps.spacing is not None and clamps.force is None:
        message = "how hard a clamp presses is not said, so the pressure cannot be worked out"
        yield Finding("half-known", "clamps", message, "add force: 60 lb, as its maker states or a scale shows", "hint")
    spans: list[tuple[str, tuple[float, float] | None]] = [
        ("room_limits.temperature", shop.room_limits.temperature),
        ("room_limits.humidity", shop.room_limits.humidity),
    ]
    spans += [(f"glues.{name}.wood_moisture", glue.wood_moisture) for name, glue in shop.glues.items()]
    spans += [(f"glues.{name}.pressure", glue.pressure) for name, glue in shop.glues.items()]
    for field, span in spans:
        if span and span[0] > span[1]:
            yield Finding("does-not-fit", field, "the least is more than the most", "write the lower value first")
    for name, glue in shop.glues.items():
        yield from _order_findings(name, glue)


def _order_findings(name: str, glue: Glue) -> Iterator[Finding]:
    """A joint bears load no sooner than its clamps come off, and is cured no sooner than it bears load."""
    given = [(key, getattr(glue, key)) for key in ("clamps_off", "bears_load", "cured")]
    known = [(key, hours) for key, hours in given if hours is not None]
    for (before, first), (after, second) in pairwise(known):
        if second < first:
            message = f"«{after}» is sooner than «{before}»"
            yield Finding("does-not-fit", f"glues.{name}.{after}", message, "see the label again")
