"""The worked examples of outline, sides and air on the page of methods, worked again."""

from __future__ import annotations

import math

import html5lib
import pytest

from builder.calculations.air import Opening, air_resonance_hz, conductance_mm, speed_of_sound
from builder.calculations.body_shapes import round_body
from builder.calculations.linings import kerf_spacing_mm, run_mm
from builder.calculations.outline import Outline, inside_of
from builder.calculations.sides import Sides, sides_of, tightest_bend
from builder.results.body import LONGER_MM
from builder.templates import render

IN = 25.4


def said(section: str) -> str:
    html = str(render(f"pages/methods/{section}.html", citations=()))
    return " ".join("".join(html5lib.parse(html).itertext()).split())


@pytest.fixture(scope="module")
def body() -> tuple[Outline, Outline]:
    outline = round_body(20 * IN, 12 * IN)
    assert isinstance(outline, Outline)
    inside = inside_of(outline, 0.1 * IN)
    assert isinstance(inside, Outline)
    return outline, inside


def sides(outline: Outline) -> Sides:
    answer = sides_of(outline)
    assert isinstance(answer, Sides)
    return answer


def test_outline_and_perimeter(body: tuple[Outline, Outline]) -> None:
    words = said("outline-and-perimeter")
    outline, inside = body
    assert f"is {outline.perimeter_mm / IN:.2f} in round and holds {outline.area_mm2 / IN**2:.1f} square" in words
    assert f"{outline.perimeter_mm / IN:.2f} − 2π · 0.1 = {inside.perimeter_mm / IN:.2f} in round" in words
    assert inside.perimeter_mm / IN == pytest.approx(outline.perimeter_mm / IN - 2 * math.pi * 0.1, abs=1e-3)


def test_sides_and_linings(body: tuple[Outline, Outline]) -> None:
    words = said("sides-and-linings")
    outline, inside = body
    side = sides(outline).bass.length_mm
    assert f"are {side / IN:.2f} in long each; cut them {(side + LONGER_MM) / IN:.2f} in" in words
    bends = tightest_bend(outline), tightest_bend(inside)
    assert bends[0]
    assert bends[1]
    assert f"6² / 10 = {bends[0].radius_mm / IN:.2f} in" in words
    assert f"it is {bends[1].radius_mm / IN:.2f} in, and kerfs" in words
    assert f"3.50 · 0.030 / 0.3125 = {kerf_spacing_mm(3.5, 0.030, 0.3125):.3f} in apart" in words
    within = sides(inside).bass.length_mm
    run = run_mm(within, IN, IN)
    assert f"A side is {within / IN:.2f} in long inside" in words
    assert f"a run is {run / IN:.2f} in, and all four are {4 * run / IN:.2f} in" in words


def test_volume_and_air(body: tuple[Outline, Outline]) -> None:
    words = said("volume-and-air")
    area = body[1].area_mm2
    assert f"an area of {area / IN**2:.1f} square inches, 2.5 in deep, is {area * 2.5 / IN**2:.1f} cubic" in words
    assert f"which is {area * 2.5 * IN / 1e6:.2f} litres" in words
    large, small, lumped = (Opening(square * math.pi, 2.5) for square in (40**2, 20**2, 2 * 20**2))
    assert f"S = {large.area_mm2:.0f} mm², G = 5027 / (2.5 + 1.70 · 40) = {conductance_mm(large):.1f} mm" in words
    notes = [air_resonance_hz(10e6, (large,)), air_resonance_hz(4e6, (small, small)), air_resonance_hz(4e6, (lumped,))]
    assert f"c = {speed_of_sound(20):.1f} m/s, f = {notes[0]:.1f} Hz" in words
    assert f"G = {conductance_mm(small):.1f} mm each, f = {notes[1]:.1f} Hz; lumped" in words
    assert f"it would be {notes[2]:.1f} Hz" in words
