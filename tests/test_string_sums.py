"""What strings weigh, pull and bear, against textbooks, tables, geometry by another library, and a string of beads."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.answers import Outside
from builder.calculations.string_loads import (
    breaking_load_newtons,
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
    CORE_SHAPES,
    CoreShape,
    StringWeight,
    core_area_mm2,
    core_of_gauge_mm,
    core_perimeter_mm,
    diameter_for_weight_mm,
    likely_wound_weight,
    plain_weight_kg_per_m,
    wound_weight_kg_per_m,
    wrap_of_gauge_mm,
    wrap_per_length,
)
from builder.results.pulls import pull_in_words
from builder.tables.music_wire import LEAST_STRENGTH_MPA, MUSIC_WIRE
from builder.tables.string_materials import MATERIAL_OF_MAKE, STRING_MATERIALS
from builder.units import MPA_PER_KSI, NEWTONS_PER_POUND
from tests.conftest import published_values

E4, D4, D3 = 329.6276, 293.6648, 146.8324
STEEL, BRONZE = 7850.0, 8860.0
diameters = st.floats(0.1, 2.5)
lengths = st.floats(100, 2500)
hertz = st.floats(20, 2000)


# OpenStax, University Physics vol. 1 (16.3, 16.6, 17.6) and College Physics: printed answers.


def test_the_textbook_guitar_strings() -> None:
    """v = 2Lf, so any length and note of that speed will do: 427.23 m/s and 5.78e-3 kg/m pull 1055.00 N."""
    assert tension_newtons(5.78e-3, 500, 427.23) == pytest.approx(1055.00, abs=0.05)
    assert frequency_of_hz(3.09e-4, 500, 56.40) == pytest.approx(427.23, abs=0.05)


@pytest.mark.parametrize(
    ("weight", "length_mm", "pull", "first_hz"),
    [(0.006, 2000, 2.0 * 9.8, 14.29), (0.0090 / 3.00, 3000, 200.00, 43.03), (0.005, 3500, 90.00, 95.83 / 5)],
)
def test_textbook_standing_waves(weight: float, length_mm: float, pull: float, first_hz: float) -> None:
    assert frequency_of_hz(weight, length_mm, pull) == pytest.approx(first_hz, abs=0.006)
    assert tension_newtons(weight, length_mm, first_hz) == pytest.approx(pull, rel=1e-3)
    assert weight_for_kg_per_m(pull, length_mm, first_hz) == pytest.approx(weight, rel=1e-3)


def test_the_worked_examples_of_the_table_are_those_above() -> None:
    rows = {row["id"]: row for row in published_values("string-worked-examples.csv")}
    assert rows["UP-16.ex-guitar-c"]["printed_answer"].startswith("1055.00 N")
    beats = rows["UP-17.6-beats-fork"]
    assert "1076.83" in beats["printed_answer"]
    assert 9 * 2 * frequency_of_hz(0.0062, 1300, 150.00) == pytest.approx(1076.83, abs=0.05)


def test_a_third_shorter_sounds_half_as_high_again() -> None:
    """College Physics, ch. 17: 225/L becomes 337.5/L."""
    whole = frequency_of_hz(0.001, 900, 100)
    assert frequency_of_hz(0.001, 600, 100) / whole == pytest.approx(337.5 / 225)


@pytest.mark.parametrize(
    ("thousandths", "length_mm", "note_hz", "newtons", "pounds", "mpa"),
    [(10, 648, E4, 72.591, 16.319, 1432.6), (12, 680, D4, 91.363, 20.539, 1252.1), (22, 680, D3, 76.770, 17.259, None)],
)
def test_plain_steel_by_hand(
    thousandths: int, length_mm: float, note_hz: float, newtons: float, pounds: float, mpa: float | None
) -> None:
    """Computed apart from this project, with 7850 kg/m³."""
    mm = thousandths * 0.0254
    pull = tension_newtons(plain_weight_kg_per_m(mm, STEEL), length_mm, note_hz)
    assert pull == pytest.approx(newtons, abs=0.001)
    assert pull / NEWTONS_PER_POUND == pytest.approx(pounds, abs=0.001)
    assert pull_in_words(pull, "in") == (f"{pounds:.1f} lb", f"{newtons:.1f} N")
    if mpa is not None:
        assert stress_mpa(pull, core_area_mm2(mm, "round")) == pytest.approx(mpa, abs=0.1)


def test_a_pound_of_force() -> None:
    """NIST SP 811: 1 lbf = 0.45359237 kg · 9.80665 m/s²; 1 ksi is a thousand of it on a square inch."""
    assert math.isclose(NEWTONS_PER_POUND, 0.45359237 * 9.80665, rel_tol=1e-15)
    assert math.isclose(MPA_PER_KSI, 1000 * 0.45359237 * 9.80665 / 25.4**2, rel_tol=1e-12)


# ASTM A228.


def test_music_wire_is_the_table_without_its_misprint() -> None:
    rows = published_values("music-wire-a228.csv")
    assert len(rows) == len(MUSIC_WIRE)
    for row, wire in zip(rows, MUSIC_WIRE, strict=True):
        printed = float(row["max_ksi_as_printed"])
        assert (wire.diameter_in, wire.least_ksi) == (float(row["diameter_in"]), float(row["min_ksi"]))
        assert wire.most_ksi == (355 if wire.diameter_in == 0.036 else printed)
        strength = strength_at(wire.diameter_mm, LEAST_STRENGTH_MPA)
        assert isinstance(strength, float)
        load = breaking_load_newtons(strength, core_area_mm2(wire.diameter_mm, "round"))
        assert load / NEWTONS_PER_POUND == pytest.approx(float(row["min_breaking_load_lbf_computed"]), abs=0.006)
    assert all(one.least_ksi > two.least_ksi and one.most_ksi > two.most_ksi for one, two in pairwise(MUSIC_WIRE))


@given(st.floats(0.1016, 1.6002))
def test_between_the_rows_strength_lies_between_them(mm: float) -> None:
    got = strength_at(mm, LEAST_STRENGTH_MPA)
    places, strengths = (list(column) for column in zip(*LEAST_STRENGTH_MPA, strict=True))
    assert got == pytest.approx(float(np.interp(mm, places, strengths)), rel=1e-9)


@pytest.mark.parametrize(("mm", "word"), [(0.1, "thinner"), (1.61, "thicker")])
def test_outside_the_table_there_is_no_answer(mm: float, word: str) -> None:
    got = strength_at(mm, LEAST_STRENGTH_MPA)
    assert isinstance(got, Outside)
    assert word in got.reason


# Geometry by another route.


def hexagon(across: float) -> shapely.Polygon:
    corner = across / math.sqrt(3)
    return shapely.Polygon([(corner * math.cos(k * math.pi / 3), corner * math.sin(k * math.pi / 3)) for k in range(6)])


@given(diameters, diameters)
def test_a_hexagon_against_shapely(across: float, wrap: float) -> None:
    shape = hexagon(across)
    assert core_area_mm2(across, "hex") == pytest.approx(shape.area, rel=1e-9)
    assert core_perimeter_mm(across, "hex") == pytest.approx(shape.length, rel=1e-9)
    turn = math.hypot(shape.buffer(wrap / 2, quad_segs=64).length, wrap)
    assert wrap_per_length(across, wrap, "hex") * wrap == pytest.approx(turn, rel=1e-4)


@pytest.mark.parametrize(("core", "wrap"), [(0.3, 0.13), (0.5, 0.1), (0.2, 0.5)])
def test_a_helix_against_its_points_added_up(core: float, wrap: float) -> None:
    angle = np.linspace(0, 20 * math.pi, 50_001)
    radius = (core + wrap) / 2
    points = np.stack([radius * np.cos(angle), radius * np.sin(angle), wrap * angle / (2 * math.pi)])
    length = float(np.sum(np.linalg.norm(np.diff(points), axis=0)))
    assert wrap_per_length(core, wrap) == pytest.approx(length / (10 * wrap), rel=1e-6)
    weight = wound_weight_kg_per_m(core, wrap, STEEL, BRONZE)
    by_hand = STEEL * math.pi * core**2 / 4 + BRONZE * math.pi * wrap**2 / 4 * length / (10 * wrap)
    assert weight == pytest.approx(by_hand * 1e-6, rel=1e-6)


def test_a_string_of_beads_sounds_the_note_its_pull_is_worked_out_for() -> None:
    """Finite differences: the lowest swing of 200 beads on a weightless thread, ends held."""
    weight, length_mm, pull, beads = 4e-4, 650.0, 70.0, 200
    step = length_mm / 1000 / (beads + 1)
    stiffness = (2 * np.eye(beads) - np.eye(beads, k=1) - np.eye(beads, k=-1)) * pull / step
    lowest = math.sqrt(float(np.linalg.eigvalsh(stiffness)[0]) / (weight * step)) / (2 * math.pi)
    assert frequency_of_hz(weight, length_mm, pull) == pytest.approx(lowest, rel=3e-5)
    assert tension_newtons(weight, length_mm, lowest) == pytest.approx(pull, rel=5e-5)


# Laws.


@given(diameters, lengths, hertz)
def test_stress_does_not_know_the_gauge(mm: float, length_mm: float, frequency: float) -> None:
    """Dimensional identity: ρ(2Lf)² whatever the diameter."""
    pull = tension_newtons(plain_weight_kg_per_m(mm, STEEL), length_mm, frequency)
    expected = STEEL * (2 * length_mm / 1000 * frequency) ** 2 / 1e6
    assert stress_mpa(pull, core_area_mm2(mm, "round")) == pytest.approx(expected, rel=1e-9)


@given(diameters, lengths, hertz, st.floats(1.01, 3))
def test_pull_grows_as_the_square_of_everything(mm: float, length_mm: float, frequency: float, times: float) -> None:
    def pull(d: float, length: float, f: float) -> float:
        return tension_newtons(plain_weight_kg_per_m(d, STEEL), length, f)

    square = times**2 * pull(mm, length_mm, frequency)
    assert pull(times * mm, length_mm, frequency) == pytest.approx(square, rel=1e-9)
    assert pull(mm, times * length_mm, frequency) == pytest.approx(square, rel=1e-9)
    assert pull(mm, length_mm, times * frequency) == pytest.approx(square, rel=1e-9)


@given(diameters, lengths, hertz)
def test_weight_pull_and_note_lead_back_to_each_other(mm: float, length_mm: float, frequency: float) -> None:
    weight = plain_weight_kg_per_m(mm, STEEL)
    pull = tension_newtons(weight, length_mm, frequency)
    assert frequency_of_hz(weight, length_mm, pull) == pytest.approx(frequency, rel=1e-9)
    assert diameter_for_weight_mm(weight_for_kg_per_m(pull, length_mm, frequency), STEEL) == pytest.approx(mm, rel=1e-9)


@given(
    st.floats(0.3, 2.5),
    st.floats(0.35, 0.7),
    st.sampled_from(["nickel-plated steel", "phosphor bronze", "80/20 bronze", "nickel"]),
    st.sampled_from(CORE_SHAPES),
)
def test_the_estimate_holds_every_wound_string_it_speaks_of(
    gauge: float, part: float, wrap: str, shape: CoreShape
) -> None:
    core = part * gauge
    light, heavy = (STRING_MATERIALS[name].density.value for name in ("nickel-plated steel", "nickel"))
    band = likely_wound_weight(gauge, STEEL, light, heavy)
    density = STRING_MATERIALS[wrap].density.value
    real = wound_weight_kg_per_m(core, wrap_of_gauge_mm(gauge, core), STEEL, density, shape)
    assert 0.998 * band.least_kg_per_m <= real <= 1.002 * band.most_kg_per_m
    assert band.is_a_band
    assert band.most_kg_per_m / band.least_kg_per_m < 1.35
    assert core_of_gauge_mm(gauge, wrap_of_gauge_mm(gauge, core)) == pytest.approx(core)


def test_a_known_weight_has_no_band() -> None:
    assert not StringWeight.exactly(0.001).is_a_band


@given(st.floats(0.01, 0.99))
def test_semitones_to_spare(share: float) -> None:
    """The pull of n semitones more is 2^(n/6) times: within the limit at n, past it at n + 1."""
    spare = semitones_up_to(440 * math.sqrt(share), 440)
    assert share * 2 ** (spare / 6) <= 1 + 1e-6
    assert share * 2 ** ((spare + 1) / 6) > 1 - 1e-6


def test_an_octave_is_twelve_semitones_either_way() -> None:
    assert (semitones_up_to(220, 440), semitones_up_to(440, 220)) == (12, -12)


@given(st.floats(1, 500), st.floats(0, 80), st.floats(0, 80))
def test_the_saddle_in_vectors(pull: float, front: float, behind: float) -> None:
    """Statics: both halves of the string as arrows, added up; torque as their cross product about the foot."""
    arrows = [
        pull * np.array([-math.cos(math.radians(front)), -math.sin(math.radians(front))]),
        pull * np.array([math.cos(math.radians(behind)), -math.sin(math.radians(behind))]),
    ]
    total = arrows[0] + arrows[1]
    assert saddle_force_newtons(pull, front, behind) == pytest.approx(-total[1], abs=1e-9)
    height_mm = 15.0
    floating = -total[0] * height_mm / 1000
    assert bridge_torque_newton_metres(pull, height_mm, front, behind, "floating") == pytest.approx(floating, abs=1e-9)
    glued = bridge_torque_newton_metres(pull, height_mm, front, behind, "glued")
    assert glued == pytest.approx(-arrows[0][0] * height_mm / 1000, abs=1e-9)
    assert glued == bridge_torque_newton_metres(pull, height_mm, front, behind, "pinned") >= floating


def test_the_nearest_string_in_the_drawer() -> None:
    drawer = {name: plain_weight_kg_per_m(name * 0.0254, STEEL) for name in (9, 10, 11, 12)}
    best = nearest_pull(75, drawer, 648, E4)
    assert best is not None
    assert best[0] == min(drawer, key=lambda name: abs(tension_newtons(drawer[name], 648, E4) - 75)) == 10
    assert best[1] == pytest.approx(72.591, abs=0.001)
    assert nearest_pull(75, {}, 648, E4) is None


# The table of materials.


@pytest.mark.parametrize(
    ("material", "density"),
    [("brass", 8440), ("copper", 8920), ("silver", 10490), ("phosphor bronze", 8860), ("steel", 7800)],
)
def test_densities_that_were_read(material: str, density: float) -> None:
    """OpenStax (brass 8.44, copper 8.92, silver 10.49, steel 7.8 g/cm³), mill sheet of C51000 (8.86)."""
    known = STRING_MATERIALS[material].density
    assert known.least <= density <= known.most


def test_every_row_of_the_table_has_its_source() -> None:
    for material in STRING_MATERIALS.values():
        for known in filter(None, (material.density, material.youngs_gpa, material.strength_mpa)):
            assert known.least <= known.value <= known.most
            assert known.source
            assert known.how_known
    assert set(MATERIAL_OF_MAKE.values()) <= set(STRING_MATERIALS)
