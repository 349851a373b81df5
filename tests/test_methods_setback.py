"""The worked examples of stretch, stiffness, setback and heights, worked again with the sums themselves."""

from __future__ import annotations

import math
from dataclasses import replace

import html5lib
import pytest

from builder.calculations.frets import distance_from_nut_mm
from builder.calculations.setback import (
    FretPlace,
    FrettedString,
    Setback,
    best_setback,
    fretted_cents,
    pressed_longer_mm,
    straight_saddle,
)
from builder.calculations.stiffness import inharmonicity, raised_by, stiffness_of
from builder.calculations.string_heights import HeightLine, height_line
from builder.calculations.string_loads import tension_newtons
from builder.calculations.string_weights import plain_weight_kg_per_m
from builder.calculations.temperaments import equal_ratio
from builder.templates import section

SCALE_MM = 685.8
CORE = stiffness_of(200e9, 0.3048)
PULL = tension_newtons(plain_weight_kg_per_m(0.3048, 7850), SCALE_MM, 220)
STRING = FrettedString(SCALE_MM, PULL, CORE.stretching_newtons, CORE.bending_newton_mm2, 0.5, 4.5, 150)
RATIOS = [equal_ratio(semitones, 12) for semitones in (2, 4, 5, 7, 9, 10, 12)]
FRETS = [FretPlace(distance_from_nut_mm(SCALE_MM, ratio), ratio) for ratio in RATIOS]


def said(name: str) -> str:
    html = section(name, name, f"pages/methods/{name}.html", citations=()).html
    return " ".join("".join(html5lib.parse(html).itertext()).split())


def octave_cents(clamped: float, setback_mm: float = 0.0) -> float:
    cents = fretted_cents(replace(STRING, clamped=clamped), FRETS, setback_mm)
    assert isinstance(cents, tuple)
    return cents[-1]


def best(clamped: float) -> float:
    found = best_setback(replace(STRING, clamped=clamped), FRETS)
    assert isinstance(found, Setback)
    return found.saddle_mm


def cents(factor: float) -> str:
    return f"{1200 * math.log2(factor):.2f}"


def test_stretch_and_stiffness() -> None:
    words = said("stretch-and-stiffness")
    assert f"pulls {PULL:.2f} N" in words
    assert f"E · A = {CORE.stretching_newtons:,.0f} N".replace(",", " ") in words
    assert f"E · I = {CORE.bending_newton_mm2:.2f} N·mm²" in words
    whole, half = (inharmonicity(CORE.bending_newton_mm2, PULL, SCALE_MM / part) for part in (1, 2))
    assert f"Open, B = {whole:.7f}; at the octave, {half:.7f}." in words
    assert f"by {cents(raised_by(half))} cents pinned and by {cents(raised_by(half, 1))} cents clamped" in words
    assert f"the open string by {cents(raised_by(whole))} and {cents(raised_by(whole, 1))}." in words
    longer_mm = pressed_longer_mm(STRING, SCALE_MM / 2, FRETS[0].place_mm)
    assert f"makes it {longer_mm:.4f} mm longer" in words
    assert f"pulls {CORE.stretching_newtons * longer_mm / (SCALE_MM + 150):.3f} N more" in words
    sharp = f"{octave_cents(0):.1f} cents sharp with pinned ends, {octave_cents(1):.1f} with clamped ones"
    assert f"{sharp}, {octave_cents(0.5):.1f} half-way" in words


def test_setback() -> None:
    words = said("setback")
    assert f"Without setback the octave is {octave_cents(0.5):.1f} cents sharp." in words
    assert f"With 2.50 mm of setback it is {octave_cents(0.5, 2.5):.1f} cents sharp." in words
    assert f"are at {best(0.5):.2f} mm ({best(0):.2f} with pinned ends, {best(1):.2f} with clamped ones)" in words
    left = fretted_cents(STRING, FRETS, best(0.5))
    assert isinstance(left, tuple)
    assert f"fret 1 is {left[0]:.1f} cents sharp and the octave {-left[-1]:.1f} flat" in words
    at_bass, slant = straight_saddle((0, 0.5, 1), (3.2, 2.4, 1.8), (1, 1, 1))
    assert f"{at_bass:.2f} mm back under the bass string and {at_bass + slant:.2f} mm under the treble" in words


def test_nut_and_saddle_heights() -> None:
    words = said("nut-and-saddle-heights")
    line = height_line((FRETS[0].place_mm, SCALE_MM / 2), (0.305, 2.413))
    assert isinstance(line, HeightLine)
    assert f"({FRETS[0].place_mm:.2f} mm from the nut)" in words
    saddle_mm = line.above_crowns_mm(SCALE_MM)
    assert f"the nut lies at −{-line.at_nut_mm:.2f} mm" in words
    assert f"the saddle at {saddle_mm:.2f} mm" in words
    assert f"{line.at_nut_mm + 1.09:.2f} mm over the board, and the saddle {saddle_mm + 1.09:.2f} mm" in words
    assert pytest.approx(SCALE_MM / 2) == 342.90
