"""What is known of one string before it is tuned: its weight, the core that carries the pull, what that bears."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from builder.calculations.answers import Missing, Outside
from builder.calculations.string_loads import breaking_load_newtons, strength_at
from builder.calculations.string_weights import (
    CoreShape,
    StringWeight,
    core_area_mm2,
    core_of_gauge_mm,
    likely_wound_weight,
    plain_weight_kg_per_m,
    wound_weight_kg_per_m,
    wrap_of_gauge_mm,
)
from builder.calculations.strings import Gauge
from builder.record.strings import StringBuild
from builder.tables.music_wire import LEAST_STRENGTH_MPA, MOST_STRENGTH_MPA
from builder.tables.string_materials import (
    HEAVIEST_WRAP,
    LIGHTEST_WRAP,
    MATERIAL_OF_MAKE,
    NOT_OF_METAL,
    STRING_MATERIALS,
    USUAL_CORE,
)

Basis = Literal["measured", "worked out", "estimate"]

#: Densities known less well than this (least to most, of the best figure) give a weight with a band.
CLOSE_DENSITY = 0.03

#: Core and two wraps may differ so far from the gauge on the packet: thousandths are rounded, wraps bite into corners.
LOOSE_FIT = 0.10


@dataclass(frozen=True, slots=True)
class Core:
    """What carries the pull: the whole of a plain string, the core of a wound one. `across_mm` is across the flats."""

    across_mm: float
    shape: CoreShape
    material: str

    @property
    def area_mm2(self) -> float:
        """Its cross-section."""
        return core_area_mm2(self.across_mm, self.shape)


@dataclass(frozen=True, slots=True)
class BreakingLoad:
    """At which pull a string breaks: surely not below `least`, surely by `most` where that is known.

    `stated` by whoever measured or sells it, after the table of `music wire`, or from a `rough` strength.
    """

    least_newtons: float
    most_newtons: float | None
    basis: Literal["stated", "music wire", "rough"]


@dataclass(frozen=True, slots=True)
class KnownString:
    """One string as it lies in the drawer, as far as it is known.

    `wanting` names what is not written and would let the rest be worked out; `doubts` what does not agree; `is_assumed`
    says that core material or shape are the usual ones because nobody wrote them.
    """

    gauge: Gauge
    weight: StringWeight | None = None
    basis: Basis | None = None
    core: Core | None = None
    wrap_mm: float | None = None
    breaking: BreakingLoad | Outside | None = None
    wanting: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    is_assumed: bool = False


def known_string(gauge: Gauge, build: StringBuild, beside_filament: bool) -> KnownString:
    """All that gauge, make and what is written of its build say of a string.

    `beside_filament`: other strings of the instrument are nylon, fluorocarbon or gut; then a wound string's core is
    not taken to be of steel. A measured weight wins over a worked out one.
    """
    known = _wound(gauge, build, beside_filament) if gauge.make == "wound" else _plain(gauge, build)
    if build.unit_weight is not None:
        known = replace(known, weight=StringWeight.exactly(build.unit_weight), basis="measured")
    if build.breaking_load is not None:
        known = replace(known, breaking=BreakingLoad(build.breaking_load, None, "stated"))
    elif known.core is not None:
        known = replace(known, breaking=_breaking(known.core, is_core=gauge.make == "wound"))
    return known


def plain_density(make: str) -> float | None:
    """Density of a plain string by its make; None for a wound one."""
    return STRING_MATERIALS[MATERIAL_OF_MAKE[make]].density.value if make in MATERIAL_OF_MAKE else None


def _plain(gauge: Gauge, build: StringBuild) -> KnownString:
    material = build.core_material or MATERIAL_OF_MAKE[gauge.make]
    density = STRING_MATERIALS[material].density
    doubts = [
        f"a plain string has no {name}"
        for name, value in (("core", build.core), ("wrap", build.wrap), ("wrap material", build.wrap_material))
        if value is not None
    ]
    best, least, most = (
        plain_weight_kg_per_m(gauge.diameter_mm, each) for each in (density.value, density.least, density.most)
    )
    is_close = most - least <= CLOSE_DENSITY * best
    weight = StringWeight.exactly(best) if is_close else StringWeight(best, least, most)
    core = Core(gauge.diameter_mm, "round", material)
    return KnownString(gauge, weight, "worked out", core, doubts=tuple(doubts))


def _wound(gauge: Gauge, build: StringBuild, beside_filament: bool) -> KnownString:
    material = build.core_material or (None if beside_filament else USUAL_CORE)
    if material is None:
        return KnownString(gauge, wanting=("core_material", "unit_weight"))
    if STRING_MATERIALS[material].is_filament or material in NOT_OF_METAL:
        return KnownString(gauge, wanting=("unit_weight",))
    sizes = _core_and_wrap_mm(gauge, build)
    light, heavy = (STRING_MATERIALS[name].density.value for name in _wraps(build))
    if isinstance(sizes, Missing):
        weight = likely_wound_weight(gauge.diameter_mm, STRING_MATERIALS[material].density.value, light, heavy)
        return KnownString(gauge, weight, "estimate", wanting=sizes.fields)
    core_mm, wrap_mm = sizes
    if core_mm <= 0 or wrap_mm <= 0:
        doubt = f"core and wrap do not fit into {gauge.thousandths:g} thousandths of an inch"
        return KnownString(gauge, wanting=("core", "wrap"), doubts=(doubt,))
    doubts: tuple[str, ...] = ()
    if abs(core_mm + 2 * wrap_mm - gauge.diameter_mm) > LOOSE_FIT * gauge.diameter_mm:
        thousandths = (core_mm + 2 * wrap_mm) / gauge.diameter_mm * gauge.thousandths
        doubts = (f"core and two wraps make {thousandths:.1f} thousandths of an inch, not {gauge.thousandths:g}",)
    core = Core(core_mm, build.core_shape or "round", material)
    density = STRING_MATERIALS[material].density.value
    least, most = (wound_weight_kg_per_m(core_mm, wrap_mm, density, wrap, core.shape) for wrap in (light, heavy))
    weight = StringWeight((least + most) / 2, least, most)
    return KnownString(
        gauge,
        weight,
        "estimate" if weight.is_a_band else "worked out",
        core,
        wrap_mm,
        wanting=("wrap_material",) if weight.is_a_band else (),
        doubts=doubts,
        is_assumed=build.core_material is None or build.core_shape is None,
    )


def _wraps(build: StringBuild) -> tuple[str, str]:
    """The lightest and the heaviest wrap that is possible: one and the same where it is written."""
    return (build.wrap_material, build.wrap_material) if build.wrap_material else (LIGHTEST_WRAP, HEAVIEST_WRAP)


def _core_and_wrap_mm(gauge: Gauge, build: StringBuild) -> tuple[float, float] | Missing:
    """Both thicknesses; one that is not written is what the gauge leaves of the other."""
    if build.core is not None and build.wrap is not None:
        return build.core.mm, build.wrap.mm
    if build.core is not None:
        return build.core.mm, wrap_of_gauge_mm(gauge.diameter_mm, build.core.mm)
    if build.wrap is not None:
        return core_of_gauge_mm(gauge.diameter_mm, build.wrap.mm), build.wrap.mm
    return Missing(("core", "wrap"))


def _breaking(core: Core, *, is_core: bool) -> BreakingLoad | Outside | None:
    """Steel after the table of music wire; other materials where a rough strength is known; else nothing."""
    area_mm2 = core.area_mm2
    if core.material == "steel":
        least = strength_at(core.across_mm, LEAST_STRENGTH_MPA)
        most = strength_at(core.across_mm, MOST_STRENGTH_MPA)
        if isinstance(least, Outside):
            return least
        most_load = None if isinstance(most, Outside) else breaking_load_newtons(most, area_mm2)
        return BreakingLoad(breaking_load_newtons(least, area_mm2), most_load, "music wire")
    strength = STRING_MATERIALS[core.material].strength_mpa
    if strength is None or (is_core and STRING_MATERIALS[core.material].is_filament):
        return None
    least_load, most_load = (breaking_load_newtons(each, area_mm2) for each in (strength.least, strength.most))
    return BreakingLoad(least_load, most_load, "rough")
