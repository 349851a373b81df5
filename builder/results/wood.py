"""What the woods of an instrument do: how moist they were glued, how they move with the seasons, what they weigh."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from builder.calculations.answers import Missing, Outside
from builder.calculations.moisture import (
    equilibrium_moisture_percent,
    humidity_of_rest_percent,
    moisture_by_weighing_percent,
)
from builder.calculations.wood_mass import density_kg_per_m3, gravity_at, mass_kg
from builder.calculations.wood_movement import (
    DEGREES_OF_CUT,
    Change,
    Equation,
    Movement,
    across,
    change_of,
    restrained_strain,
)
from builder.limits import no_entries
from builder.problems import Finding
from builder.record import Spec, WoodSpec
from builder.record.wood import RoomAir
from builder.results.wood_findings import findings_of_part, findings_of_whole
from builder.results.woods_named import WoodNamed, basic_gravity, findings_of_names, flat_and_quarter, name_of_wood
from builder.shop import Billet, Shop
from builder.tables.trade_listings import TradeListing, listings_of
from builder.tables.wood_dust import DustWarning, dust_warnings_of

MoistureFrom = Literal["scrap weighed", "meter on the part", "where it rested", "meter on the billet", "usual room"]

#: Plates that a brace may be glued across.
PLATES = ("soundboard", "back")
#: A room in the middle of what people live in, for saying in which humidity a wood is at rest: 68 °F.
_LIVED_IN_CELSIUS = 20.0


@dataclass(frozen=True, slots=True)
class Season:
    """A season as wood feels it: the air indoors, and the moisture wood comes to in it."""

    temperature_c: float
    humidity_percent: float
    moisture_percent: float


@dataclass(frozen=True, slots=True)
class Moved:
    """What a part does from the day it was glued until a season has worked on it. Below zero: smaller.

    Changes in mm. `strain` is that of a plate held by braces across its grain, per unit of width; below zero the plate
    is in tension. None where the sum lacks something.
    """

    width_mm: float | None
    thickness_mm: float | None
    equation: Equation | None
    strain: float | None


@dataclass(frozen=True, slots=True)
class WoodenPart:
    """One part. `rest_humidity_percent` is that in which it neither gains nor loses water, in a room at 20 °C."""

    part: str
    named: WoodNamed
    cut: str | None
    ring_degrees: float | None
    width_mm: float | None
    thickness_mm: float | None
    pieces: int
    moisture_percent: float | None
    moisture_from: MoistureFrom | None
    rest_humidity_percent: float | None
    dry: Moved | None
    damp: Moved | None
    gravity: float | None
    density_kg_m3: float | None
    mass_kg: float | None
    listings: tuple[TradeListing, ...]
    dust: tuple[DustWarning, ...]

    @property
    def between_seasons_mm(self) -> float | None:
        """How much wider it is in the damp season than in the dry one."""
        if self.dry is None or self.damp is None or self.dry.width_mm is None or self.damp.width_mm is None:
            return None
        return self.damp.width_mm - self.dry.width_mm


@dataclass(frozen=True, slots=True)
class WoodResults:
    """All wooden parts, and the sum of those that could be weighed by reckoning, beside what the scale says."""

    parts: tuple[WoodenPart, ...]
    dry: Season | None
    damp: Season | None
    mass_kg: float | None
    weighed_kg: float | None

    @property
    def not_in_mass(self) -> tuple[str, ...]:
        """Parts that are not in the sum of masses, because size or wood is not known well enough."""
        return tuple(each.part for each in self.parts if each.mass_kg is None)


def work_out_wood(
    spec: Spec,
    shop: Shop,
    billets: Mapping[str, Billet] = no_entries(),
    *,
    weighed_kg: float | None = None,
    plate_areas_mm2: Mapping[str, float] = no_entries(),
) -> tuple[WoodResults | Missing, tuple[Finding, ...]]:
    """Work out every wooden part. `weighed_kg` is the whole instrument on the scale.

    `plate_areas_mm2` holds the areas of plates whose outline is known; others are taken as rectangles.
    """
    if not spec.wood:
        return Missing(("spec.wood",)), ()
    seasons = shop.seasons
    dry, damp = (_season(seasons.dry), _season(seasons.damp)) if seasons else (None, None)
    parts: list[WoodenPart] = []
    findings: list[Finding] = []
    brace_moisture = _glued_at(spec.wood["braces"], billets, shop)[0] if "braces" in spec.wood else None
    for part, wood in spec.wood.items():
        billet = billets.get(wood.billet) if wood.billet else None
        sized = _with_size_of_board(wood, spec) if part == "fretboard" else wood
        done = _part(part, sized, spec, shop, billets, (dry, damp), brace_moisture, plate_areas_mm2.get(part))
        parts.append(done)
        findings += findings_of_names(part, wood, billet)
        findings += findings_of_part(
            part, sized, billet, species=done.named.species, ring_degrees=done.ring_degrees,
            moisture_percent=done.moisture_percent, mass_is_known=done.mass_kg is not None,
            damp_percent=damp.moisture_percent if damp and part in PLATES else None,
        )  # fmt: skip
    masses = [each.mass_kg for each in parts if each.mass_kg is not None]
    results = WoodResults(tuple(parts), dry, damp, sum(masses) if masses else None, weighed_kg)
    findings += findings_of_whole(spec, shop, results.mass_kg, weighed_kg, lacks_moisture=_lacks_moisture(parts))
    return results, tuple(findings)


def _season(air: RoomAir) -> Season | None:
    moisture = _moisture_in(air)
    return None if moisture is None else Season(air.temperature, air.humidity, moisture)


def _lacks_moisture(parts: list[WoodenPart]) -> str | None:
    """The first part whose movement is asked for by its width, and whose moisture is not known."""
    return next((each.part for each in parts if each.width_mm is not None and each.moisture_percent is None), None)


def _with_size_of_board(wood: WoodSpec, spec: Spec) -> WoodSpec:
    """The fretboard's size is most often written with its frets; its wider end moves most."""
    board = spec.fretboard
    if board is None:
        return wood
    ends = [end for end in (board.width_at_nut, board.width_at_end) if end is not None]
    return replace(
        wood,
        length=wood.length or board.length,
        width=wood.width or (max(ends) if ends else None),
        finished=wood.finished or board.thickness,
    )


def _glued_at(
    wood: WoodSpec, billets: Mapping[str, Billet], shop: Shop
) -> tuple[float, MoistureFrom] | tuple[None, None]:
    """How moist a part was when it was glued, and how that is known: what was measured comes before the room."""
    if wood.scrap is not None:
        weighed = moisture_by_weighing_percent(wood.scrap.as_found, wood.scrap.oven_dry)
        if not isinstance(weighed, Outside):
            return weighed, "scrap weighed"
    if wood.moisture is not None:
        return wood.moisture, "meter on the part"
    billet = billets.get(wood.billet) if wood.billet else None
    rested = _moisture_in(wood.rested_in)
    if rested is not None:
        return rested, "where it rested"
    if billet is not None and billet.moisture is not None:
        return billet.moisture, "meter on the billet"
    usual = _moisture_in(shop.room)
    return (None, None) if usual is None else (usual, "usual room")


def _moisture_in(air: RoomAir | None) -> float | None:
    moisture = equilibrium_moisture_percent(air.temperature, air.humidity) if air else None
    return None if isinstance(moisture, Outside) else moisture


def _part(
    part: str,
    wood: WoodSpec,
    spec: Spec,
    shop: Shop,
    billets: Mapping[str, Billet],
    seasons: tuple[Season | None, Season | None],
    brace_moisture: float | None,
    area_mm2: float | None,
) -> WoodenPart:
    billet = billets.get(wood.billet) if wood.billet else None
    named = name_of_wood(wood, billet)
    species = named.species
    cut = wood.cut or (billet.cut if billet else None)
    degrees = wood.ring_angle if wood.ring_angle is not None else (DEGREES_OF_CUT[cut] if cut else None)
    moisture, known = _glued_at(wood, billets, shop)
    rest = humidity_of_rest_percent(_LIVED_IN_CELSIUS, moisture) if moisture is not None else None
    width_mm = wood.width.mm if wood.width else None
    thickness_mm = wood.finished.mm if wood.finished else None
    moved: list[Moved | None] = [None, None]
    if species is not None and degrees is not None and moisture is not None:
        flat, quarter = flat_and_quarter(species)
        wide, thick = across(flat, quarter, degrees), across(flat, quarter, 90 - degrees)
        held = brace_moisture if brace_moisture is not None else moisture
        crossed = _is_braced(part, spec)
        for number, season in enumerate(seasons):
            if season is not None:
                to = season.moisture_percent
                strain = restrained_strain(wide, (moisture, to), (held, to)) if crossed else None
                moved[number] = _moved(width_mm, thickness_mm, wide, thick, moisture, to, strain)
    at = moisture if moisture is not None else _usual_moisture(seasons)
    gravity, density = _weight(named, at)
    mass = _mass(wood, density, area_mm2)
    botanical = tuple(filter(None, (named.botanical, *(species.botanical if species else ()))))
    return WoodenPart(
        part, named, cut, degrees, width_mm, thickness_mm, wood.pieces or 1, moisture, known,
        None if isinstance(rest, Outside) else rest, moved[0], moved[1], gravity, density, mass,
        listings_of(botanical), dust_warnings_of(botanical),
    )  # fmt: skip


def _moved(
    width_mm: float | None,
    thickness_mm: float | None,
    wide: Movement,
    thick: Movement,
    from_percent: float,
    to_percent: float,
    strain: float | Missing | None,
) -> Moved:
    of_width = change_of(width_mm, wide, from_percent, to_percent) if width_mm is not None else None
    of_thickness = change_of(thickness_mm, thick, from_percent, to_percent) if thickness_mm is not None else None
    return Moved(
        of_width.amount if isinstance(of_width, Change) else None,
        of_thickness.amount if isinstance(of_thickness, Change) else None,
        next((each.equation for each in (of_width, of_thickness) if isinstance(each, Change)), None),
        None if isinstance(strain, Missing) else strain,
    )


def _is_braced(part: str, spec: Spec) -> bool:
    """Whether braces are glued across this part: those the body lists for it, or braces among the woods."""
    if part not in PLATES:
        return False
    if spec.body is not None and spec.body.braces:
        return any(brace.plate == part for brace in spec.body.braces)
    return "braces" in spec.wood


def _usual_moisture(seasons: tuple[Season | None, Season | None]) -> float | None:
    """Where nothing says how moist a wood was, it weighs what it weighs between the two seasons."""
    dry, damp = seasons
    return (dry.moisture_percent + damp.moisture_percent) / 2 if dry and damp else None


def _weight(named: WoodNamed, moisture_percent: float | None) -> tuple[float | None, float | None]:
    """Specific gravity and density at this moisture."""
    basic = basic_gravity(named.species) if named.species else None
    if basic is None or moisture_percent is None or named.species is None:
        return None, None
    shrinkage = named.species.shrinkage
    start = shrinkage.starts_at_percent if shrinkage else 30.0
    gravity = gravity_at(basic, moisture_percent, shrinkage.volumetric_percent if shrinkage else None, start)
    return gravity, density_kg_per_m3(gravity, moisture_percent)


def _mass(wood: WoodSpec, density_kg_m3: float | None, area_mm2: float | None) -> float | None:
    if density_kg_m3 is None or wood.finished is None:
        return None
    if area_mm2 is not None:
        return mass_kg(area_mm2, 1.0, wood.finished.mm, density_kg_m3) * (wood.pieces or 1)
    if wood.length is None or wood.width is None:
        return None
    return mass_kg(wood.length.mm, wood.width.mm, wood.finished.mm, density_kg_m3) * (wood.pieces or 1)
