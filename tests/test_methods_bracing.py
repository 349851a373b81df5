"""The worked examples for end angles and braces, worked again with the sums themselves."""

from __future__ import annotations

import math
import re
from pathlib import Path

import html5lib
import pytest
from shapely import Polygon

from builder.calculations.body_shapes import hole
from builder.calculations.bracing import Brace, FittedBrace, clearance_mm, fitted_between, part_covered
from builder.calculations.curves import Spot
from builder.calculations.end_angles import NEAR_ENOUGH_DEGREES, BlockFit, EndAngle, end_angle, nearest_block
from builder.calculations.outline import ellipse
from builder.results.bracing import LEAST_EDGE_MM

METHODS = Path(__file__).parents[1] / "site_theme" / "pages" / "methods"


def said(section: str) -> str:
    """The words of a section's template, without its instructions."""
    text = re.sub(r"{%.*?%}", " ", (METHODS / f"{section}.html").read_text(encoding="utf-8"))
    return " ".join("".join(html5lib.parse(text).itertext()).split())


def test_end_angles() -> None:
    words = said("end-angles")
    start = math.radians(78)  # an arc that leaves its end at 12° to the centre line
    turns = [start + step / 5000 for step in range(1001)]
    side: list[Spot] = [
        (400 * (math.cos(start) - math.cos(turn)), 400 * (math.sin(turn) - math.sin(start))) for turn in turns
    ]
    angle = end_angle(side, 60)
    assert isinstance(angle, EndAngle)
    assert f"= {60 / 400:.2f} rad, which is {math.degrees(60 / 400):.2f}°" in words
    assert f"θ = 12° − {math.degrees(60 / 400) / 2:.2f}° = {angle.to_centre_line_degrees:.2f}°" in words
    assert f"To the end face it is {angle.to_end_face_degrees:.2f}°" in words
    fit = nearest_block((3, 5, 7.5, 10, 12), angle.to_centre_line_degrees, 60)
    assert isinstance(fit, BlockFit)
    assert f"The block of {fit.block_degrees}° leaves 60 · tan {-fit.off_degrees:.2f}° = {fit.gap_mm:.2f} mm" in words
    assert f"at the {fit.opens} edge" in words
    wide = nearest_block((12,), angle.to_centre_line_degrees, 60)
    assert isinstance(wide, BlockFit)
    assert f"A block cut to 12° would leave {wide.gap_mm:.2f} mm at the {wide.opens} edge" in words
    assert f"the side stands {angle.bow_mm:.2f} mm off the straight" in words
    assert f"more than {NEAR_ENOUGH_DEGREES:.0f}° off" in words


def test_braces_and_sound_holes() -> None:
    words = said("braces-and-sound-holes")
    brace = Brace((60, -40), (60, 40), 8)
    fitted = fitted_between(brace, ellipse((0, 0), 300, 300, 0.0001))
    assert isinstance(fitted, FittedBrace)
    assert f"= {fitted.length_mm:.2f} mm long" in words
    edges = [math.sqrt(150**2 - off**2) for off in (56, 64)]
    assert f"end {edges[0]:.2f} and {edges[1]:.2f} mm from its middle" in words
    assert fitted.end_bevel_degrees is not None
    bevel = f"{abs(fitted.end_bevel_degrees):.1f}°"
    assert f"arctan({edges[0] - edges[1]:.2f} / 8) = {bevel}, and arcsin(60 / 150) = {bevel}" in words
    assert clearance_mm(brace, Polygon(hole("circle", (0, 0), 80, 80))) == pytest.approx(16, abs=0.01)
    assert "60 − 4 − 40 = 16 mm away" in words
    covered = part_covered(brace, Polygon(hole("circle", (60, 0), 80, 80)))
    assert f"would cover {100 * covered:.1f} % of it" in words
    assert f"At least {LEAST_EDGE_MM} mm" in words
