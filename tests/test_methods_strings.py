"""The worked examples of the strings on the page of methods, worked again with the sums themselves."""

from __future__ import annotations

import math
from pathlib import Path

import html5lib

import builder
from builder.calculations.string_loads import (
    bridge_torque_newton_metres,
    frequency_of_hz,
    nearest_pull,
    saddle_force_newtons,
    semitones_up_to,
    strength_at,
    stress_mpa,
    tension_newtons,
    weight_for_kg_per_m,
)
from builder.calculations.string_weights import (
    HEXAGON_AREA,
    HEXAGON_PERIMETER,
    core_area_mm2,
    diameter_for_weight_mm,
    likely_wound_weight,
    plain_weight_kg_per_m,
    wound_weight_kg_per_m,
)
from builder.tables.music_wire import LEAST_STRENGTH_MPA
from builder.tables.string_materials import HEAVIEST_WRAP, LIGHTEST_WRAP, STRING_MATERIALS
from builder.units import MPA_PER_KSI, NEWTONS_PER_POUND

STEEL = STRING_MATERIALS["steel"].density.value
BRONZE = STRING_MATERIALS["phosphor bronze"].density.value
MM = 0.0254
E4 = 440 * 2 ** (-5 / 12)
PLAIN = plain_weight_kg_per_m(10 * MM, STEEL)


def said(section: str) -> str:
    page = Path(builder.__file__).parent.parent / "site_theme" / "pages" / "methods" / f"{section}.html"
    return " ".join("".join(html5lib.parse(page.read_text(encoding="utf-8")).itertext()).split())


def test_string_weights() -> None:
    words = said("string-weights")
    assert f"0.8660 d², P = {HEXAGON_PERIMETER:.4f} d" in words
    assert f"{HEXAGON_AREA:.4f}" in words
    assert f"= {1000 * PLAIN:.4f} g/m" in words
    hexed, rounded = (
        wound_weight_kg_per_m(12 * MM, 5 * MM, STEEL, BRONZE, "hex"),
        wound_weight_kg_per_m(12 * MM, 5 * MM, STEEL, BRONZE),
    )
    core = STEEL * core_area_mm2(12 * MM, "hex") / 1000
    assert f"{1000 * hexed:.4f} g/m, of which the core is {core:.4f} g/m" in words
    assert f"it would be {1000 * rounded:.4f} g/m" in words
    light, heavy = (STRING_MATERIALS[name].density.value for name in (LIGHTEST_WRAP, HEAVIEST_WRAP))
    band = likely_wound_weight(22 * MM, STEEL, light, heavy)
    assert f"between {1000 * band.least_kg_per_m:.4f} and {1000 * band.most_kg_per_m:.4f} g/m" in words


def test_string_tension() -> None:
    words = said("string-tension")
    pull = tension_newtons(PLAIN, 648, E4)
    assert f"{pull:.1f} N, which is {pull / NEWTONS_PER_POUND:.1f} lb" in words
    assert f"{float(NEWTONS_PER_POUND):.6f} N" in words
    wished = float(20 * NEWTONS_PER_POUND)
    exact = diameter_for_weight_mm(weight_for_kg_per_m(wished, 648, E4), STEEL) / MM
    assert f"{exact:.1f} thousandths" in words
    best = nearest_pull(wished, {each: plain_weight_kg_per_m(each * MM, STEEL) for each in (10, 11, 12)}, 648, E4)
    assert best is not None
    assert f"the nearest is {best[0]}, and it pulls {best[1] / NEWTONS_PER_POUND:.1f} lb" in words


def test_how_near_to_breaking() -> None:
    words = said("how-near-to-breaking")
    strength, area = strength_at(10 * MM, LEAST_STRENGTH_MPA), core_area_mm2(10 * MM, "round")
    assert isinstance(strength, float)
    assert f"bear {strength / MPA_PER_KSI:.0f} 000 lb" in words
    pull, load = tension_newtons(PLAIN, 648, E4), strength * area
    assert f"breaks at {load / NEWTONS_PER_POUND:.1f} lb" in words
    assert f"{pull / NEWTONS_PER_POUND:.1f} lb, {100 * pull / load:.0f} % of that" in words
    assert f"its stress is {stress_mpa(pull, area):.0f} MPa" in words
    spare = semitones_up_to(E4, frequency_of_hz(PLAIN, 648, 0.75 * load))
    assert f"go up {spare} semitones" in words


def test_force_on_the_saddle() -> None:
    words = said("force-on-the-saddle")
    front, behind = (math.sin(math.radians(each)) for each in (12, 8))
    assert f"240 · ({front:.4f} + {behind:.4f}) = {saddle_force_newtons(240, 12, 8):.1f} N" in words
    assert f"{bridge_torque_newton_metres(240, 19, 12, 8, 'glued'):.2f} N·m towards the nut" in words
    assert f"{-bridge_torque_newton_metres(240, 19, 12, 8, 'floating'):.3f} N·m the other way" in words
