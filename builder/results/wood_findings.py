"""What does not agree in a part's wood: with its billet, with its cut, with the water it is said to hold."""

from __future__ import annotations

import math
from collections.abc import Iterator

from builder.calculations.moisture import most_moisture_percent
from builder.calculations.wood_movement import DEGREES_OF_CUT
from builder.lengths import Length, said_in
from builder.problems import Finding
from builder.record import Spec, WoodSpec
from builder.results.woods_named import basic_gravity
from builder.shop import Billet, Shop
from builder.tables.wood_properties import Species
from builder.words import in_a_row

#: How far the ring angle may lie from that of the cut it goes by (common practice: a third of the quarter circle each).
_DEGREES_TO_CUT = {"flatsawn": 30.0, "rift sawn": 15.0, "quartersawn": 30.0}
#: How much wetter than in the damp season a plate may be glued before it is worth a word, in per cent of moisture.
_WETTER_PERCENT = 0.5


def findings_of_part(
    part: str,
    wood: WoodSpec,
    billet: Billet | None,
    *,
    species: Species | None,
    ring_degrees: float | None,
    moisture_percent: float | None,
    mass_is_known: bool,
    damp_percent: float | None,
) -> Iterator[Finding]:
    """Everything to be said of one part. `damp_percent` is the moisture of the damp season, given for plates only."""
    field = f"spec.wood.{part}"
    yield from _sizes(field, part, wood, billet)
    yield from _cut(field, wood, billet)
    yield from _water(field, part, wood, species, moisture_percent, damp_percent)
    yield from _half_known(field, part, wood, species, ring_degrees, mass_is_known=mass_is_known)


def findings_of_whole(
    spec: Spec, shop: Shop, mass_kg: float | None, weighed_kg: float | None, *, lacks_moisture: str | None
) -> Iterator[Finding]:
    """What concerns the instrument as a whole, each thing once."""
    wide = next((part for part, wood in spec.wood.items() if wood.width is not None), None)
    if wide is not None and shop.seasons is None:
        message = "how the woods move is not worked out: the shop file does not say how dry and damp rooms become"
        hint = "write seasons into shop.yaml, like {dry: {temperature: 68 F, humidity: 30 %}, damp: {…}}"
        yield Finding("half-known", f"spec.wood.{wide}.width", message, hint, "hint")
    if lacks_moisture is not None and shop.seasons is not None:
        message = f"how moist the {lacks_moisture} was when it was glued is not known"
        hint = "write moisture here or with its billet, or room (the usual air of the workshop) into shop.yaml"
        yield Finding("half-known", f"spec.wood.{lacks_moisture}", message, hint, "hint")
    if mass_kg is not None and weighed_kg is not None and mass_kg > weighed_kg:
        message = f"the woods alone come to {mass_kg:.2f} kg, and the whole instrument weighs {weighed_kg:.2f} kg"
        hint = "see the sizes of the parts; a curved plate is reckoned as a rectangle where no outline is written"
        yield Finding("doubtful", "spec.wood", message, hint, "warning")


def _sizes(field: str, part: str, wood: WoodSpec, billet: Billet | None) -> Iterator[Finding]:
    if wood.rough is not None and wood.finished is not None and wood.finished > wood.rough:
        message = f"the {part} is thicker when finished ({_said(wood.finished)}) than before ({_said(wood.rough)})"
        yield Finding("impossible", f"{field}.finished", message, "rough is the thickness before planing")
    if billet is None:
        return
    size, joined = billet.size, wood.joined_from or 1
    if wood.width is not None and size.width is not None and wood.width.exact_mm > size.width.exact_mm * joined:
        of_widths = f" of {joined} widths" if joined > 1 else ""
        message = f"the {part}{of_widths} is {_said(wood.width)} wide, and its billet {_said(size.width)}"
        widths = math.ceil(wood.width.exact_mm / size.width.exact_mm)
        hint = f"where it is glued up of {widths} widths, write joined_from: {widths}"
        yield Finding("does-not-fit", f"{field}.width", message, hint)
    if wood.length is not None and size.length is not None and wood.length > size.length:
        message = f"the {part} is {_said(wood.length)} long, and its billet {_said(size.length)}"
        yield Finding("does-not-fit", f"{field}.length", message, "see both, or name another billet")
    thickness = max((each for each in (wood.rough, wood.finished) if each is not None), default=None)
    if thickness is not None and size.thickness is not None and thickness > size.thickness:
        name = "rough" if thickness is wood.rough else "finished"
        message = f"the {part} is {_said(thickness)} thick, and its billet {_said(size.thickness)}"
        yield Finding("doubtful", f"{field}.{name}", message, "it would have to be stacked; see both", "warning")


def _cut(field: str, wood: WoodSpec, billet: Billet | None) -> Iterator[Finding]:
    cut = wood.cut or (billet.cut if billet else None)
    if cut is None or wood.ring_angle is None:
        return
    if abs(wood.ring_angle - DEGREES_OF_CUT[cut]) > _DEGREES_TO_CUT[cut]:
        message = f"growth rings at {wood.ring_angle:g}° are not what is called {cut}; the angle is what counts here"
        hint = "0° lies flat (flatsawn), 90° stands upright (quartersawn)"
        yield Finding("doubtful", f"{field}.ring_angle", message, hint, "warning")


def _water(
    field: str,
    part: str,
    wood: WoodSpec,
    species: Species | None,
    moisture_percent: float | None,
    damp_percent: float | None,
) -> Iterator[Finding]:
    if wood.scrap is not None and wood.scrap.as_found < wood.scrap.oven_dry:
        message = "the scrap weighs more after the oven than before it"
        yield Finding("impossible", f"{field}.scrap", message, "as_found is the weight before drying")
    basic = basic_gravity(species) if species else None
    if basic is not None and species is not None and wood.moisture is not None:
        most = most_moisture_percent(basic)
        if wood.moisture > most:
            message = f"{species.common} cannot hold {wood.moisture:g} % of water: its pores are full at {most:.0f} %"
            yield Finding("impossible", f"{field}.moisture", message, "see the meter and its setting for the wood")
    if moisture_percent is not None and damp_percent is not None and moisture_percent > damp_percent + _WETTER_PERCENT:
        message = (
            f"the {part} is glued at {moisture_percent:.1f} % moisture and will be at {damp_percent:.1f} % in the damp "
            "season: it is in tension all the year, and may crack"
        )
        hint = "let it dry in the room of the workshop before it is glued"
        yield Finding("doubtful", field, message, hint, "warning")


def _half_known(
    field: str, part: str, wood: WoodSpec, species: Species | None, ring_degrees: float | None, *, mass_is_known: bool
) -> Iterator[Finding]:
    if wood.width is not None and ring_degrees is None:
        message = f"how the {part} moves depends on how it was sawn"
        yield Finding("half-known", f"{field}.width", message, "write cut or ring_angle", "hint")
    if species is None:
        return
    if wood.width is not None and species.shrinkage is None and species.coefficients is None:
        message = f"how {species.common} moves is not in the table of woods"
        yield Finding("half-known", f"{field}.width", message, "no figure was found that could be named", "hint")
    sizes = {"length": wood.length, "width": wood.width, "finished": wood.finished}
    lacking = [name for name, size in sizes.items() if size is None]
    if not mass_is_known and (wood.length or wood.width) and lacking:
        message = f"what the {part} weighs is not worked out"
        yield Finding("half-known", field, message, f"write {in_a_row(lacking)}", "hint")


def _said(length: Length) -> str:
    return said_in(length, length.written_in or "mm")
