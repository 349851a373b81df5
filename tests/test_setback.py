"""Stretch, stiffness, setback and heights, against the physics of strings by other routes.

Outside values: Young's constant (R. W. Young, J. Acoust. Soc. Am. 24, 1952: read, published-values table), the beam
with finite elements and with its exact frequency equation (numpy), the law of the string (OpenStax), brute force,
numpy's least squares, and what the trade says as orders of magnitude (common practice).
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.calculations.answers import Outside
from builder.calculations.frets import distance_from_nut_mm
from builder.calculations.setback import (
    FretPlace,
    FrettedString,
    Setback,
    agreeing_with,
    best_setback,
    fretted_cents,
    pressed_longer_mm,
    straight_saddle,
)
from builder.calculations.stiffness import (
    core_second_moment_mm4,
    inharmonicity,
    raised_by,
    stiffness_of,
    tension_in_tune,
)
from builder.calculations.string_heights import HeightLine, height_line, line_between
from builder.calculations.temperaments import equal_ratio

STEEL_PASCALS = 200e9
DENSITY = 7850.0


def frets_on(scale_mm: float, semitones: range = range(1, 21)) -> list[FretPlace]:
    ratios = [equal_ratio(each, 12) for each in semitones]
    return [FretPlace(distance_from_nut_mm(scale_mm, ratio), ratio) for ratio in ratios]


def steel(
    thousandths: float, hertz: float, scale_mm: float = 648.0, core_thousandths: float = 0.0, kg_per_m: float = 0.0
) -> FrettedString:
    """A steel string (or steel core) on a guitar with ordinary clearances: 0.4 mm at fret 1, 2.2 mm at fret 12."""
    diameter_mm, core_mm = thousandths * 0.0254, (core_thousandths or thousandths) * 0.0254
    weight = kg_per_m or DENSITY * math.pi / 4 * diameter_mm**2 * 1e-6
    core = stiffness_of(STEEL_PASCALS, core_mm)
    first_mm = distance_from_nut_mm(scale_mm, equal_ratio(1, 12))
    line = height_line((first_mm, scale_mm / 2), (0.4, 2.2))
    assert isinstance(line, HeightLine)
    return FrettedString(
        scale_mm,
        weight * (2 * scale_mm / 1000 * hertz) ** 2,
        core.stretching_newtons,
        core.bending_newton_mm2,
        line.at_nut_mm,
        line.above_crowns_mm(scale_mm),
        tails_mm=100,
    )


def cents_of(string: FrettedString, frets: list[FretPlace], setback_mm: float = 0.0, nut_mm: float = 0.0) -> np.ndarray:
    cents = fretted_cents(string, frets, setback_mm, nut_mm)
    assert not isinstance(cents, Outside), cents
    return np.array(cents)


def best_of(string: FrettedString, frets: list[FretPlace], *, nut_too: bool = False) -> Setback:
    best = best_setback(string, frets, nut_too=nut_too)
    assert isinstance(best, Setback), best
    return best


# Stiffness


def test_young_1952_constant_of_inharmonicity() -> None:
    """Cents = 3.4e13 · n² d² / (f² l⁴), in centimetres and hertz, for E/ρ = 25.5e10 (cm/s)²: read; printed to 0.2 %.

    The two digits printed are met by 3.404e13, which is what the stiff string's B gives: 0.12 % off.
    """
    modulus, diameter_cm, length_cm, hertz = 25.5e10 * DENSITY * 1e-4, 0.1, 60.0, 261.63
    core = stiffness_of(modulus, diameter_cm * 10)
    weight = DENSITY * math.pi / 4 * (diameter_cm / 100) ** 2
    tension = weight * (2 * length_cm / 100 * hertz) ** 2
    bar = inharmonicity(core.bending_newton_mm2, tension, length_cm * 10)
    for mode in (1, 2, 3):
        printed = 3.4e13 * mode**2 * diameter_cm**2 / (hertz**2 * length_cm**4)
        assert 600 / math.log(2) * bar * mode**2 == pytest.approx(printed, rel=2e-3)
        assert 1200 * math.log2(raised_by(bar, mode=mode)) == pytest.approx(printed, rel=2e-2)


def test_young_1952_partials_of_middle_c_are_about_a_cent_sharp() -> None:
    """Mode 2 of middle C is about 1.2 cents sharp on pianos: read; an order of magnitude, for pianos differ."""
    core, weight = stiffness_of(25.5e10 * DENSITY * 1e-4, 1.0), DENSITY * math.pi / 4 * 0.001**2
    bar = inharmonicity(core.bending_newton_mm2, weight * (2 * 0.65 * 261.63) ** 2, 650)
    assert 0.6 < 1200 * math.log2(raised_by(bar, mode=2)) < 2.4


def beam(bar: float, *, clamped: bool, mode: int = 1, elements: int = 90) -> float:
    """The factor on a partial of a flexible string of unit length, pull and weight, by finite elements.

    Cubic beam elements with their geometric stiffness, crowded towards the ends, where a clamped string bends.
    """
    places = (1 - np.cos(np.linspace(0, math.pi, elements + 1))) / 2
    bending = bar / math.pi**2
    stiff, mass = np.zeros((2 * elements + 2,) * 2), np.zeros((2 * elements + 2,) * 2)
    for number, h in enumerate(np.diff(places)):
        part = slice(2 * number, 2 * number + 4)
        stiff[part, part] += bending / h**3 * np.array(
            [[12, 6*h, -12, 6*h], [6*h, 4*h*h, -6*h, 2*h*h], [-12, -6*h, 12, -6*h], [6*h, 2*h*h, -6*h, 4*h*h]]
        ) + 1 / (30 * h) * np.array(
            [[36, 3*h, -36, 3*h], [3*h, 4*h*h, -3*h, -h*h], [-36, -3*h, 36, -3*h], [3*h, -h*h, -3*h, 4*h*h]]
        )  # fmt: skip
        mass[part, part] += h / 420 * np.array(
            [[156, 22*h, 54, -13*h], [22*h, 4*h*h, 13*h, -3*h*h], [54, 13*h, 156, -22*h], [-13*h, -3*h*h, -22*h, 4*h*h]]
        )  # fmt: skip
    held = {0, 2 * elements} | ({1, 2 * elements + 1} if clamped else set())
    free = [each for each in range(2 * elements + 2) if each not in held]
    inverse = np.linalg.inv(np.linalg.cholesky(mass[np.ix_(free, free)]))
    eigenvalues = np.linalg.eigvalsh(inverse @ stiff[np.ix_(free, free)] @ inverse.T)
    return float(math.sqrt(eigenvalues[mode - 1]) / (mode * math.pi))


@pytest.mark.parametrize(
    ("bar", "clamped", "within_cents"),
    [
        *((bar, False, 1e-3) for bar in (1e-5, 1e-4, 1e-3, 1e-2)),
        (1e-5, True, 0.01), (1e-4, True, 0.05), (1e-3, True, 0.1), (5e-3, True, 0.25), (2e-2, True, 1.5),
    ],
)  # fmt: skip
def test_a_stiff_string_by_finite_elements(bar: float, clamped: bool, within_cents: float) -> None:
    found = 1200 * math.log2(raised_by(bar, float(clamped)) / beam(bar, clamped=clamped))
    assert abs(found) < within_cents


@pytest.mark.parametrize("bar", [1e-5, 1e-4, 1e-3, 5e-3])
def test_a_clamped_string_by_its_exact_equation(bar: float) -> None:
    """The exact beam under tension: 2ab(1 − cos a·cosh b) + (b² − a²) sin a·sinh b = 0, b² − a² = 1/ε², halved.

    Symmetric motion of it: a·tan(a/2) + b·tanh(b/2) = 0, with ω² = a²(1 + ε²a²) for unit length, pull and weight.
    """
    e2 = bar / math.pi**2

    def miss(a: float) -> float:
        b = math.sqrt(a * a + 1 / e2)
        return a * math.sin(a / 2) + b * math.tanh(b / 2) * math.cos(a / 2)

    low, high = math.pi, 1.5 * math.pi
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if miss(low) * miss(middle) > 0 else (low, middle)
    exact = low * math.sqrt(1 + e2 * low * low) / math.pi
    assert abs(1200 * math.log2(raised_by(bar, 1.0) / exact)) < 0.25
    assert exact == pytest.approx(beam(bar, clamped=True), rel=1e-5)


def test_second_moments_by_adding_up_strips() -> None:
    """∫y² dA over thin strips, round and six-sided with 2 across the flats (numpy)."""
    y = (np.arange(200_000) + 0.5) / 200_000 * 2 - 1
    strip = 2 / 200_000
    assert core_second_moment_mm4(2) == pytest.approx(float(np.sum(y**2 * 2 * np.sqrt(1 - y**2)) * strip), rel=1e-6)
    wide = 2 * (2 / math.sqrt(3) - np.abs(y) / math.sqrt(3))
    assert core_second_moment_mm4(2, "hex") == pytest.approx(float(np.sum(y**2 * wide) * strip), rel=1e-6)


def test_a_pinned_string_in_tune_pulls_what_is_left_after_bending() -> None:
    """T(1 + B) = T₀ with B = π²EI/(TL²): T = T₀ − π²EI/L², by algebra."""
    assert tension_in_tune(80.0, 900.0, 650.0) == pytest.approx(80 - math.pi**2 * 900 / 650**2, rel=1e-12)
    assert tension_in_tune(0.1, 9000.0, 100.0, 1.0) is None
    tuned = tension_in_tune(80.0, 900.0, 650.0, 1.0)
    assert tuned is not None
    bar = inharmonicity(900.0, tuned, 650.0)
    assert tuned * raised_by(bar, 1.0) ** 2 == pytest.approx(80, rel=1e-9)


def test_computed_anchors_of_inharmonicity() -> None:
    """B of a 0.022 in steel D3 on 680 mm: 2.66142e-4; of a 0.010 in E4 on 648 mm: 1.32312e-5 (computed apart)."""
    for thousandths, scale_mm, hertz, printed in ((22, 680, 146.8324, 2.66142e-4), (10, 648, 329.6276, 1.32312e-5)):
        string = steel(thousandths, hertz, scale_mm)
        bar = inharmonicity(string.bending_newton_mm2, string.tension_newtons, scale_mm)
        assert bar == pytest.approx(printed, rel=1e-5)


# Stretch and setback


def test_a_flexible_string_without_clearance_needs_no_setback() -> None:
    """The law of the string: two thirds of it sounds 3/2 as high (OpenStax, College Physics, ch. 17)."""
    string = FrettedString(648.0, 70.0, 0.0, 0.0)
    assert cents_of(string, [FretPlace(216.0, 1.5)]) == pytest.approx([0.0], abs=1e-9)
    assert best_of(string, frets_on(648)).saddle_mm == pytest.approx(0, abs=1e-9)
    still = FrettedString(648.0, 70.0, 10_000.0, 0.0)
    assert best_of(still, frets_on(648), nut_too=True).saddle_mm == pytest.approx(0, abs=1e-7)


def test_the_stretch_by_another_road() -> None:
    """For small heights: ΔL = a²/2x + b²/2(L − x) − (b − a)²/2L (binomial series), to a thousandth."""
    string = FrettedString(650.0, 70.0, 10_000.0, 0.0, 0.4, 3.6)
    for place in (36.5, 162.0, 325.0, 480.0):
        series = 0.4**2 / (2 * place) + 3.6**2 / (2 * (650 - place)) - 3.2**2 / (2 * 650)
        assert pressed_longer_mm(string, place, 36.5) == pytest.approx(series, rel=1e-3)


def test_a_string_over_a_nut_lower_than_the_crowns_rests_on_the_first_of_them() -> None:
    string = FrettedString(685.8, 70.0, 10_000.0, 0.0, -0.28, 5.0)
    path = math.hypot(75, 0.28) + 125 + math.hypot(485.8, 5.0) - math.hypot(685.8, 5.28)
    assert pressed_longer_mm(string, 200, 75) == pytest.approx(path, abs=1e-9)
    assert pressed_longer_mm(string, 200, 75) > pressed_longer_mm(string, 200, 200)


def test_the_cents_of_stretching_alone() -> None:
    """Without stiffness and at zero setback a fret is off by 600·log2(1 + EA·ΔL/(L·T)) and the slopes of the string."""
    string = replace(steel(12, 293.66, 680), bending_newton_mm2=0.0, tails_mm=0.0)
    octave = FretPlace(340.0, 2.0)
    open_mm = math.hypot(680, string.height_at_saddle_mm - string.height_at_nut_mm)
    pull = string.tension_newtons * (open_mm / 680) ** 2
    rise = string.stretching_newtons * pressed_longer_mm(string, 340, 340) / open_mm / pull
    sounds = open_mm / math.hypot(340, string.height_at_saddle_mm) * math.sqrt(1 + rise)
    assert cents_of(string, [octave])[0] == pytest.approx(1200 * math.log2(sounds / 2), abs=1e-9)
    assert cents_of(replace(string, tails_mm=150.0), [octave])[0] < cents_of(string, [octave])[0]


STRINGS = {
    "plain 10": steel(10, 329.63), "plain 17": steel(17, 196.0), "wound 32": steel(32, 146.83, 648, 15, 3.3e-3),
    "wound 53": steel(53, 82.41, 648, 19, 9.5e-3),
}  # fmt: skip


@pytest.mark.parametrize("name", STRINGS)
def test_the_best_setback_by_brute_force(name: str) -> None:
    """Every hundredth of a millimetre tried, and the least sum of squared cents taken."""
    string, frets = STRINGS[name], frets_on(648)
    tried = np.arange(0, 8, 0.01)
    sums = [float(np.sum(cents_of(string, frets, each) ** 2)) for each in tried]
    best = best_of(string, frets)
    assert best.saddle_mm == pytest.approx(tried[int(np.argmin(sums))], abs=0.006)
    assert np.sum(cents_of(string, frets, best.saddle_mm) ** 2) <= min(sums) + 1e-9


def test_the_best_setback_of_nut_and_saddle_by_brute_force() -> None:
    string, frets = STRINGS["plain 17"], frets_on(648)
    best = best_of(string, frets, nut_too=True)
    least = float(np.sum(cents_of(string, frets, best.saddle_mm, best.nut_mm) ** 2))
    for saddle in np.linspace(best.saddle_mm - 0.5, best.saddle_mm + 0.5, 11):
        for nut in np.linspace(best.nut_mm - 0.3, best.nut_mm + 0.3, 11):
            assert np.sum(cents_of(string, frets, saddle, nut) ** 2) >= least - 1e-9
    assert least < np.sum(cents_of(string, frets, best_of(string, frets).saddle_mm) ** 2) / 2


def test_what_the_trade_says_of_setback() -> None:
    """About 2 mm for a plain steel 10, 3 to 4 for a wound bass on 25 1/2 in: common practice, orders of magnitude."""
    assert 1.0 < best_of(STRINGS["plain 10"], frets_on(648)).saddle_mm < 3.0
    assert 2.5 < best_of(STRINGS["wound 53"], frets_on(648)).saddle_mm < 6.0


def test_the_straight_saddle_by_brute_force_and_by_numpy() -> None:
    """The line is numpy's weighted one, and no line nearby leaves fewer squared cents over all strings and frets."""
    strings, frets = list(STRINGS.values()), frets_on(648)
    across = [50.0, 32.0, 17.0, 0.0]
    bests = [best_of(string, frets) for string in strings]
    at_zero, slant = straight_saddle(across, [each.saddle_mm for each in bests], [each.weight for each in bests])
    fitted = np.polyfit(across, [each.saddle_mm for each in bests], 1, w=np.sqrt([each.weight for each in bests]))
    assert (slant, at_zero) == pytest.approx(tuple(fitted))

    def left(at_zero: float, slant: float) -> float:
        return sum(
            float(np.sum(cents_of(s, frets, at_zero + slant * x) ** 2)) for s, x in zip(strings, across, strict=True)
        )

    least = left(at_zero, slant)
    for shift in (-0.1, 0.1):
        assert left(at_zero + shift, slant) > least
        assert left(at_zero, slant + shift / 30) > least
    assert straight_saddle([5.0, 5.0], [1.0, 3.0], [1.0, 1.0]) == (2.0, 0.0)
    assert straight_saddle([0.0, 5.0], [1.0, 3.0], [0.0, 0.0]) == (2.0, 0.0)


heights = st.floats(0, 6)
moduli = st.floats(0, 30_000)
bendings = st.floats(0, 1000)


@settings(max_examples=40)
@given(st.floats(0, 1), heights, moduli, bendings, st.floats(0, 1), st.floats(0, 2))
def test_a_stiffer_core_never_asks_for_less(
    nut: float, saddle: float, stretching: float, bending: float, clamped: float, stiffer: float
) -> None:
    string = FrettedString(650.0, 70.0, stretching, bending, nut, saddle, 80.0, 1.0, clamped)
    frets = frets_on(650, range(2, 18, 3))
    asked = best_of(string, frets).saddle_mm
    assert best_of(replace(string, stretching_newtons=stretching * (1 + stiffer)), frets).saddle_mm >= asked - 1e-6
    assert best_of(replace(string, bending_newton_mm2=bending * (1 + stiffer)), frets).saddle_mm >= asked - 1e-6
    assert cents_of(replace(string, tails_mm=0.0), frets).sum() >= cents_of(string, frets).sum() - 1e-9


@settings(max_examples=40)
@given(st.floats(6, 20), st.floats(1, 1.2), st.floats(0, 2.5), st.floats(0.1, 1.5))
def test_a_thicker_core_or_more_clearance_never_asks_for_less(
    thousandths: float, thicker: float, at_octave_mm: float, more_mm: float
) -> None:
    """One string, one pull: a thicker core; and the same string with more clearance at the octave."""
    frets = frets_on(650, range(1, 13, 2))

    def asked(core_thousandths: float, raised_mm: float) -> float:
        core = stiffness_of(STEEL_PASCALS, core_thousandths * 0.0254)
        rise = (at_octave_mm + raised_mm) / 325
        string = FrettedString(650.0, 80.0, core.stretching_newtons, core.bending_newton_mm2, 0.0, rise * 650)
        return best_of(string, frets).saddle_mm

    plain = asked(thousandths, 0)
    assert asked(thousandths * thicker, 0) >= plain - 1e-6
    assert asked(thousandths, more_mm) >= plain - 1e-6


@settings(max_examples=20)
@given(st.floats(0.5, 4))
def test_a_board_drawn_larger_has_the_same_cents(size: float) -> None:
    """All lengths times k, E·I times k², the pull the same: the cents are the same, and the setback is k times as long.

    So inches give what millimetres give.
    """
    string, frets = STRINGS["wound 32"], frets_on(648)
    larger = FrettedString(
        648 * size, string.tension_newtons, string.stretching_newtons, string.bending_newton_mm2 * size**2,
        string.height_at_nut_mm * size, string.height_at_saddle_mm * size, string.tails_mm * size,
    )  # fmt: skip
    assert cents_of(larger, frets_on(648 * size), 2 * size) == pytest.approx(cents_of(string, frets, 2), abs=1e-8)
    assert best_of(larger, frets_on(648 * size)).saddle_mm == pytest.approx(
        size * best_of(string, frets).saddle_mm, rel=1e-4
    )


# Calibration


@pytest.mark.parametrize("measured", [-4.0, -2.0, 0.0, 3.0, 12.0])
def test_measured_cents_at_the_octave_are_met(measured: float) -> None:
    string, frets = STRINGS["wound 53"], frets_on(648)
    agreeing = agreeing_with(string, frets[0], frets[11], measured, 2.5)
    assert isinstance(agreeing, FrettedString)
    assert cents_of(agreeing, frets, 2.5)[11] == pytest.approx(measured, abs=1e-6)
    assert agreeing.stretch == 0 or agreeing.clamped == string.clamped


def test_measured_cents_that_no_string_could_give() -> None:
    string, frets = STRINGS["plain 10"], frets_on(648)
    flat = agreeing_with(string, frets[0], frets[11], -80, 2.0)
    sharp = agreeing_with(string, frets[0], frets[11], 90, 2.0)
    assert isinstance(flat, Outside)
    assert "flatter" in flat.reason
    assert isinstance(sharp, Outside)
    assert "sharper" in sharp.reason
    bar = replace(string, bending_newton_mm2=1e6)
    assert isinstance(agreeing_with(bar, frets[0], frets[11], 0, 2.0), Outside)


def test_a_string_measured_as_the_model_has_it_is_left_as_it_is() -> None:
    string, frets = STRINGS["plain 17"], frets_on(648)
    agreeing = agreeing_with(string, frets[0], frets[11], cents_of(string, frets, 1.0)[11], 1.0)
    assert isinstance(agreeing, FrettedString)
    assert agreeing.stretch == pytest.approx(1, rel=1e-6)
    assert agreeing.clamped == string.clamped


# What cannot be done


def test_what_lies_outside() -> None:
    string, frets = STRINGS["plain 10"], frets_on(648)
    assert isinstance(best_setback(string, []), Outside)
    assert isinstance(fretted_cents(string, [FretPlace(700.0, 2.0)]), Outside)
    assert isinstance(fretted_cents(string, [FretPlace(-1.0, 2.0)]), Outside)
    assert isinstance(fretted_cents(replace(string, bending_newton_mm2=1e6), frets), Outside)
    assert isinstance(fretted_cents(replace(string, bending_newton_mm2=4e3), frets_on(648, range(36, 37))), Outside)
    wild = replace(string, height_at_saddle_mm=60.0)
    answer = best_setback(wild, frets)
    assert isinstance(answer, Outside)
    assert "twentieth" in answer.reason


# Heights


def test_heights_by_numpy() -> None:
    """The line through two clearances is numpy's fit of degree one; the saddle lies on it."""
    line = height_line((74.8, 342.9), (0.3048, 2.413))
    assert isinstance(line, HeightLine)
    slope, at_nut = np.polyfit([74.8, 342.9], [0.3048, 2.413], 1)
    assert (line.rise, line.at_nut_mm) == pytest.approx((slope, at_nut))
    assert line.above_crowns_mm(685.8) == pytest.approx(at_nut + slope * 685.8)


@given(st.floats(10, 300), st.floats(310, 600), heights, heights)
def test_a_string_clears_what_it_was_meant_to_clear(one: float, other: float, at_one: float, at_other: float) -> None:
    line = height_line((one, other), (at_one, at_other))
    assert isinstance(line, HeightLine)
    assert line.above_crowns_mm(one) == pytest.approx(at_one, abs=1e-9)
    assert line.above_crowns_mm(other) == pytest.approx(at_other, abs=1e-9)
    treble = HeightLine(line.at_nut_mm + 1, line.rise)
    assert line_between(line, treble, 0.25).above_crowns_mm(one) == pytest.approx(at_one + 0.25, abs=1e-9)


def test_two_clearances_at_one_fret_make_no_line() -> None:
    assert isinstance(height_line((100.0, 100.0), (1.0, 2.0)), Outside)


def test_strings_of_a_set_ask_for_more_as_they_thicken() -> None:
    """Common practice: within plain strings and within wound ones the thicker asks for more (a stepped saddle)."""
    asked = [best_of(STRINGS[name], frets_on(648)).saddle_mm for name in STRINGS]
    plain, wound = asked[:2], asked[2:]
    assert all(one < other for one, other in (*pairwise(plain), *pairwise(wound)))
