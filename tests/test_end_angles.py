"""End angles against closed forms: triangles, arcs of a circle, an ellipse; the drawer of angle blocks by brute force.

Sources: Euclid, *Elements*, III.32 (the angle between tangent and chord is half the arc's), right triangles, and the
calculus of the ellipse; all computed apart from the project.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.calculations.answers import Outside
from builder.calculations.curves import Spot
from builder.calculations.end_angles import (
    NEAR_ENOUGH_DEGREES,
    BlockFit,
    EndAngle,
    end_angle,
    nearest_block,
    side_from,
)
from builder.calculations.end_blocks import End
from builder.calculations.outline import Outline, outline_of
from builder.calculations.sides import Sides, sides_of

ENDS: tuple[End, ...] = ("tail", "head")
#: Angle blocks as they are cut for a drawer: common practice.
DRAWER = (3.0, 5.0, 7.5, 10.0, 12.0)


def angle(side: list[Spot] | tuple[Spot, ...], glue_length_mm: float, from_mm: float = 0.0) -> EndAngle:
    answer = end_angle(side, glue_length_mm, from_mm)
    assert isinstance(answer, EndAngle), answer
    return answer


def sides_from(ring: list[Spot], end: End) -> tuple[tuple[Spot, ...], tuple[Spot, ...]]:
    """Bass and treble side of an outline, seen from one end."""
    outline = outline_of(ring)
    assert isinstance(outline, Outline)
    sides = sides_of(outline)
    assert isinstance(sides, Sides)
    return side_from(sides.bass.spots, end, bass=True), side_from(sides.treble.spots, end, bass=False)


def arc(radius: float, start: float, stop: float, steps: int = 300) -> list[Spot]:
    """A side that is an arc: turned so that at `start` it runs along the centre line at 90° less `start`."""
    turns = [start + (stop - start) * step / steps for step in range(steps + 1)]
    return [(radius * (math.cos(start) - math.cos(t)), radius * (math.sin(t) - math.sin(start))) for t in turns]


def ring_of(half_width: list[Spot]) -> list[Spot]:
    """The outline whose both sides are this line of (along, half width)."""
    return [*((x, -h) for x, h in half_width), *((x, h) for x, h in reversed(half_width) if h > 0)]


# A straight side: right triangles


@settings(max_examples=40)
@given(st.floats(-60, 60), st.floats(5, 200))
def test_a_straight_side_has_the_angle_of_its_triangle(degrees: float, glue_length_mm: float) -> None:
    """tan θ = rise / run, whatever the length of the block; nothing to hollow."""
    slope = math.tan(math.radians(degrees))
    side = [(x, 300.0 + slope * x) for x in (0.0, 40.0, 41.0, 300.0)]
    answer = angle(side, glue_length_mm)
    assert answer.to_centre_line_degrees == pytest.approx(degrees, abs=1e-9)
    assert answer.to_end_face_degrees == pytest.approx(90 - degrees, abs=1e-9)
    assert answer.chord_mm == pytest.approx(glue_length_mm)
    assert answer.bow_mm == pytest.approx(0, abs=1e-9)


def test_a_rectangle_stands_square() -> None:
    for end in ENDS:
        for side in sides_from([(0, -80), (600, -80), (600, 80), (0, 80)], end):
            answer = angle(side, 50)
            assert (answer.to_centre_line_degrees, answer.to_end_face_degrees) == (0.0, 90.0)


def test_the_three_four_five_triangle() -> None:
    """The angle beside the side of 4 is 36.8699°, in every table of Pythagorean triangles."""
    assert angle([(0, 0), (40, 30), (80, 60)], 50).to_centre_line_degrees == pytest.approx(36.8699, abs=5e-5)


# An arc: tangent and chord


@settings(max_examples=40)
@given(st.floats(60, 900), st.floats(0, 1.4), st.floats(0.02, 0.6))
def test_tangent_and_chord_of_an_arc(radius: float, start: float, turned: float) -> None:
    """Elements III.32: the chord leaves the tangent by half of the arc's own angle; sagitta r(1 − cos half).

    The chord is 2r·sin(half). Tolerance: the arc is drawn as 300 straight pieces.
    """
    answer = angle(arc(radius, start, start + turned * 1.01), radius * turned)
    tangent = math.pi / 2 - start
    assert math.radians(answer.to_centre_line_degrees) == pytest.approx(tangent - turned / 2, abs=1e-6)
    assert answer.chord_mm == pytest.approx(2 * radius * math.sin(turned / 2), rel=1e-6)
    assert answer.bow_mm == pytest.approx(radius * (1 - math.cos(turned / 2)), rel=2e-4)


def test_the_chord_is_not_the_direction_at_the_end() -> None:
    """What a block is cut for by mistake: on a bout of 200 mm a block of 60 mm is 8.6° off the tangent."""
    answer = angle(arc(200, 1.2, 1.7), 60)
    tangent_degrees = 90 - math.degrees(1.2)
    assert tangent_degrees - answer.to_centre_line_degrees == pytest.approx(math.degrees(60 / 200 / 2), abs=1e-4)


def test_a_glue_surface_that_starts_further_in() -> None:
    whole = arc(300, 1.0, 1.6)
    later = arc(300, 1.0 + 20 / 300, 1.6)
    assert angle(whole, 50, 20).to_centre_line_degrees == pytest.approx(
        angle(later, 50).to_centre_line_degrees, abs=5e-4
    )


@settings(max_examples=40)
@given(st.floats(100, 800), st.floats(0.1, 0.5))
def test_inside_the_side_the_chord_of_an_arc_has_the_same_direction(radius: float, turned: float) -> None:
    """Why the outside of the side may be taken: two circles about one centre."""
    outer = angle(arc(radius, 0.9, 2.0), radius * turned)
    inner = angle(arc(radius - 2.3, 0.9, 2.0), (radius - 2.3) * turned)
    assert outer.to_centre_line_degrees == pytest.approx(inner.to_centre_line_degrees, abs=1e-4)


# An ellipse: by calculus


@settings(max_examples=40)
@given(st.floats(0.2, 1.2))
def test_a_short_block_on_an_ellipse_lies_along_its_tangent(t: float) -> None:
    """x = a(1 − cos t), y = b·sin t: the slope there is b·cos t / (a·sin t)."""
    a, b = 320.0, 110.0
    side = [(a * (math.cos(t) - math.cos(t + k / 1e5)), b * (math.sin(t + k / 1e5) - math.sin(t))) for k in range(200)]
    assert math.radians(angle(side, 0.01).to_centre_line_degrees) == pytest.approx(
        math.atan2(b * math.cos(t), a * math.sin(t)), abs=2e-4
    )


def test_a_rounded_end_starts_on_the_centre_line() -> None:
    """An ellipse of half axes 320 and 110 mm, by its own arithmetic: the place 60 mm along its edge from the end."""
    a, b, steps = 320.0, 110.0, 20_000
    reached, t = 0.0, 0.0
    while reached < 60:  # the length of the edge, summed in small steps at their middles
        t += math.pi / steps
        middle = t - math.pi / steps / 2
        reached += math.hypot(a * math.sin(middle), b * math.cos(middle)) * math.pi / steps
    wanted = math.degrees(math.atan2(b * math.sin(t), a * (1 - math.cos(t))))
    ring = [(a - a * math.cos(2 * math.pi * k / 2000), -b * math.sin(2 * math.pi * k / 2000)) for k in range(2000)]
    for end in ENDS:
        for side in sides_from(ring, end):
            assert side[0] == pytest.approx((0, 0), abs=1e-9)
            assert angle(side, 60).to_centre_line_degrees == pytest.approx(wanted, abs=0.01)


# Where the sides start


def dulcimer(scale: float = 1.0) -> list[Spot]:
    """Half widths of a body with flat ends: 40 mm at the tail, 30 mm at the head, a hump of 50 mm between."""
    line = [(scale * x, scale * (40 - x / 60 + 50 * math.sin(math.pi * x / 600))) for x in range(0, 601, 10)]
    return ring_of(line)


def test_both_ends_and_both_sides_start_at_their_corners() -> None:
    (tail_bass, tail_treble), (head_bass, head_treble) = sides_from(dulcimer(), "tail"), sides_from(dulcimer(), "head")
    assert tail_bass[0] == tail_treble[0] == (0.0, 40.0)
    assert head_bass[0] == pytest.approx((0.0, 30.0))
    assert head_treble[0] == pytest.approx((0.0, 30.0))
    # Slopes at the ends: ±50π/600 − 1/60 by calculus; over a short block the chord is the tangent.
    rise = 50 * math.pi / 600
    assert math.tan(math.radians(angle(tail_bass, 2).to_centre_line_degrees)) == pytest.approx(rise - 1 / 60, rel=2e-3)
    assert math.tan(math.radians(angle(head_bass, 2).to_centre_line_degrees)) == pytest.approx(rise + 1 / 60, rel=2e-3)


def test_a_pointed_end_starts_both_sides_at_the_point() -> None:
    ring: list[Spot] = [(0, 0), (400, -100), (500, 0), (400, 100)]
    for side in sides_from(ring, "tail"):
        assert angle(side, 80).to_centre_line_degrees == pytest.approx(math.degrees(math.atan(0.25)))


def lopsided() -> list[Spot]:
    return [(x, y if y < 0 else y * (1 + 0.2 * math.sin(x / 200))) for x, y in dulcimer()]


@settings(max_examples=40)
@given(st.floats(10, 120))
def test_mirrored_the_sides_change_places(length: float) -> None:
    bass, treble = sides_from(lopsided(), "tail")
    mirrored_bass, mirrored_treble = sides_from([(x, -y) for x, y in lopsided()], "tail")
    assert angle(bass, length).to_centre_line_degrees != pytest.approx(angle(treble, length).to_centre_line_degrees)
    for one, other in ((bass, mirrored_treble), (treble, mirrored_bass)):
        assert angle(one, length).to_centre_line_degrees == pytest.approx(angle(other, length).to_centre_line_degrees)


@settings(max_examples=40)
@given(st.floats(0.02, 50), st.floats(10, 120))
def test_size_and_unit_change_no_angle(scale: float, length: float) -> None:
    """In inches or in millimetres, on a toy or on a bass."""
    one, other = sides_from(dulcimer(), "head")[0], sides_from(dulcimer(scale), "head")[0]
    small, large = angle(one, length), angle(other, length * scale)
    assert large.to_centre_line_degrees == pytest.approx(small.to_centre_line_degrees, abs=1e-6)
    assert large.bow_mm == pytest.approx(scale * small.bow_mm, rel=1e-6, abs=1e-9)


# What cannot be


def test_a_block_longer_than_its_side() -> None:
    side: list[Spot] = [(0, 40), (100, 40)]
    assert end_angle(side, 100.1) == Outside("the side is shorter than the block")
    assert angle(side, 100).chord_mm == 100
    assert isinstance(end_angle(side, 0), Outside)
    assert isinstance(end_angle(side, 10, -1), Outside)


def test_a_block_around_a_corner_is_refused() -> None:
    assert end_angle([(0, 40), (30, 40), (30, 90)], 60) == Outside(
        "the side turns a corner within the length of the block"
    )
    small_circle = arc(10, 0, 2 * math.pi)
    assert end_angle(small_circle, 55) == Outside("the side turns round within the length of the block")


# The drawer


@settings(max_examples=40)
@given(st.lists(st.floats(0, 45), min_size=1, max_size=12), st.floats(-55, 55), st.floats(10, 120))
def test_the_nearest_block_by_looking_at_every_one(blocks: list[float], side: float, length: float) -> None:
    answer = nearest_block(blocks, side, length)
    least = min(abs(block - abs(side)) for block in blocks)
    if least > NEAR_ENOUGH_DEGREES:
        assert isinstance(answer, Outside)
        return
    assert isinstance(answer, BlockFit)
    assert abs(answer.off_degrees) == pytest.approx(least, abs=1e-9)
    assert answer.block_degrees in blocks


@settings(max_examples=40)
@given(st.floats(-12, 22), st.floats(10, 120))
def test_the_gap_is_seen_by_putting_the_block_against_the_side(side: float, length: float) -> None:
    """Another route: two straight lines through the point where they first touch, and how far they part.

    The block's face and the side, both as lines over the glue length; the block is slid up until it touches, and the
    gap is measured square to the block at the other end.
    """
    answer = nearest_block(DRAWER, side, length)
    assert isinstance(answer, BlockFit)
    block = math.radians(math.copysign(answer.block_degrees, side))
    # In the block's own frame its face is flat; the side rises by tan(side − block) along it.
    heights = {"outer": 0.0, "inner": length * math.tan(math.radians(side) - block)}
    touching = min(heights, key=lambda edge: heights[edge])
    gap = max(heights.values()) - min(heights.values())
    assert answer.gap_mm == pytest.approx(gap, abs=1e-9)
    if gap > 1e-9:
        assert answer.opens == ("inner" if touching == "outer" else "outer")


def test_a_gap_worked_by_hand() -> None:
    """Side 8.3°, glue length 57.15 mm: 7.5° is nearest, 57.15 · tan 0.8° = 0.798 mm, open at the inner edge."""
    answer = nearest_block(DRAWER, 8.3, 57.15)
    assert isinstance(answer, BlockFit)
    assert (answer.block_degrees, answer.opens) == (7.5, "inner")
    assert answer.gap_mm == pytest.approx(0.798, abs=0.0005)
    wider = nearest_block(DRAWER, 9.2, 57.15)
    assert isinstance(wider, BlockFit)
    assert (wider.block_degrees, wider.opens) == (10.0, "outer")
    assert wider.gap_mm == pytest.approx(0.798, abs=0.0005)


def test_a_block_that_fits_leaves_no_gap_and_an_empty_drawer_no_block() -> None:
    assert nearest_block(DRAWER, 7.5, 60) == BlockFit(7.5, 0.0, 0.0, None)
    assert nearest_block(DRAWER, -7.5, 60) == BlockFit(7.5, 0.0, 0.0, None)
    assert isinstance(nearest_block((), 7.5, 60), Outside)
    assert nearest_block(DRAWER, 60, 60) == Outside("no angle block comes within 10°")


@settings(max_examples=40)
@given(st.floats(-12, 12), st.floats(10, 120), st.floats(1.01, 3))
def test_a_longer_block_gapes_wider(side: float, length: float, longer: float) -> None:
    short, long = nearest_block(DRAWER, side, length), nearest_block(DRAWER, side, length * longer)
    assert isinstance(short, BlockFit)
    assert isinstance(long, BlockFit)
    assert long.gap_mm == pytest.approx(short.gap_mm * longer)
