"""Bodies of any shape, the same every time, with all that may be drawn in them."""

from __future__ import annotations

import random
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from builder.calculations.rules import Graduation
from builder.limits import Degrees
from builder.publish.pattern import body_pattern_of
from builder.published.pattern import PublishedPattern
from builder.reading.folder import read_bytes
from builder.record import Pattern, Spec
from builder.results.body import BodyResults, work_out_body
from builder.results.bracing import BracingResults, work_out_bracing
from builder.shop import Rule, Shop

RULES = (Rule("bench rule", Graduation(Fraction(1, 64), "in")),)
SHOP = Shop("1", "Shop", "Maker", "inches", RULES, "bench rule", angle_blocks=(Degrees(5.0), Degrees(10.0)))


@dataclass(frozen=True, slots=True)
class AnyBody:
    """A body worked out, and its pattern."""

    body: BodyResults
    bracing: BracingResults
    pattern: PublishedPattern


def spec_of(body: str, more: str = "") -> Spec:
    """A specification with this text of a body."""
    text = f"format: 1\nname: A\nkind: dulcimer\nspec:\n{more}  body:\n{body}"
    read = read_bytes(text.encode(), "x.yaml", Pattern, "mm")
    assert read.value is not None, read.problems
    return read.value.spec


def body_of(text: str, more: str = "") -> AnyBody:
    """The body of such a specification."""
    spec = spec_of(text, more)
    body, _ = work_out_body(spec)
    assert isinstance(body, BodyResults)
    bracing, _ = work_out_bracing(spec, SHOP, body)
    assert isinstance(bracing, BracingResults)
    pattern = body_pattern_of(body, bracing, spec, SHOP.unit, ("2026-001", "Heron", "dulcimer"))
    assert pattern is not None
    return AnyBody(body, bracing, pattern)


@cache
def random_body(number: int) -> AnyBody:
    """The body of a number: its bouts, waist, blocks, linings, sound holes and braces drawn by lot from it."""
    lot = random.Random(number)
    length = lot.uniform(250, 620)
    ranges = ((40, 70), (70, 130), (60, 65), (66, 110), (25, 60))
    widths = [lot.uniform(*between) for between in ranges]
    places = [0, lot.uniform(0.2, 0.3), lot.uniform(0.45, 0.55), lot.uniform(0.7, 0.8), 1]
    if number % 3 == 0:
        widths[0] = 0.0  # a round tail
    stations = ", ".join(f"[{at * length:.3f} mm, {width:.3f} mm]" for at, width in zip(places, widths, strict=True))
    brace_at, tilt = length * lot.uniform(0.55, 0.65), lot.uniform(-30, 30)
    leans = lot.uniform(-8, 8) if number % 2 else 0
    text = (
        f"    outline: {{half_widths: [{stations}]}}\n    sides: {lot.uniform(1.5, 3):.3f} mm\n"
        f"    end_blocks: {{tail: {lot.uniform(20, 40):.3f} mm, head: 25 mm, tail_thickness: 22 mm}}\n"
        f"    linings: {{width: {lot.uniform(5, 9):.3f} mm, height: 15 mm}}\n"
        "    sound_holes:\n"
        f"      - {{shape: ellipse, at: [{length * 0.35:.3f} mm, 32 mm], mirrored: yes, long: 40 mm, wide: 18 mm, "
        f"tilt: {tilt:.2f}}}\n"
        f"      - {{shape: heart, at: [{length * 0.68:.3f} mm, 30 mm], mirrored: yes, long: 20 mm, wide: 18 mm}}\n"
        f"      - {{shape: circle, at: [{length * 0.5:.3f} mm, 0], long: 24 mm, plate: back}}\n"
        "    braces:\n"
        f"      - {{plate: soundboard, starts: [{brace_at:.3f} mm, -40 mm], ends: [{brace_at + leans:.3f} mm, 40 mm], "
        "width: 7 mm, height: 12 mm}\n"
        f"      - {{plate: back, name: fan, starts: [{length * 0.2:.3f} mm, 12 mm], ends: [{length * 0.4:.3f} mm, "
        "20 mm], width: 5 mm, mirrored: yes}\n"
        f"      - {{plate: back, starts: [{length * 0.8:.3f} mm, -20 mm], ends: [{length * 0.8:.3f} mm, 20 mm]}}\n"
    )
    more = f"  scale_length: {length * 0.9:.3f} mm\n  fretboard: {{nut_from_tail: {length:.3f} mm}}\n"
    return body_of(text, more)
