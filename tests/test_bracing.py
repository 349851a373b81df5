"""Braces against outline and sound holes: circles, ellipses and rectangles in closed form, and by brute force.

Sources: plane geometry (chords and segments of a circle, Hesse's normal form of a line, tangent and
support width of an ellipse), computed apart from the
project; shapely (a general-purpose geometry library) asked while the tests run.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate, scale, translate

from builder.calculations.answers import Outside
from builder.calculations.body_shapes import hole
from builder.calculations.bracing import (
    Brace,
    FittedBrace,
    clearance_mm,
    edge_room_mm,
    fitted_between,
    over_edge_mm,
    part_covered,
    reach_of,
)
from builder.calculations.curves import Spot


def circle(radius: float, steps: int = 720) -> list[Spot]:
    turns = [2 * math.pi * step / steps for step in range(steps)]
    return [(radius * math.cos(t), radius * math.sin(t)) for t in turns]


def fitted(brace: Brace, inside: list[Spot]) -> FittedBrace:
    answer = fitted_between(brace, inside)
    assert isinstance(answer, FittedBrace), answer
    return answer


def moved(brace: Brace, along: float, left: float) -> Brace:
    return Brace(brace.placed(along, left), (brace.placed(brace.length_mm + along, left)), brace.width_mm)


places = st.tuples(st.floats(-60, 60), st.floats(-60, 60))


@st.composite
def braces(draw: st.DrawFn) -> Brace:
    start, turn, length = draw(places), draw(st.floats(0, 2 * math.pi)), draw(st.floats(5, 200))
    end = start[0] + length * math.cos(turn), start[1] + length * math.sin(turn)
    return Brace(start, end, draw(st.floats(2, 20)))


holes = st.builds(
    lambda at, long_mm, wide, tilt: Polygon(hole("ellipse", at, long_mm, wide, tilt)),
    places, st.floats(5, 60), st.floats(5, 60), st.floats(-90, 90),
)  # fmt: skip


# The brace itself


@settings(max_examples=25)
@given(braces())
def test_a_brace_covers_its_rectangle(brace: Brace) -> None:
    """A line of shapely made as wide as the brace, with square ends."""
    line = LineString([brace.start, brace.end]).buffer(brace.width_mm / 2, cap_style="flat")
    assert float(brace.shape.symmetric_difference(line).area) == pytest.approx(0, abs=1e-6)
    assert float(brace.shape.area) == pytest.approx(brace.length_mm * brace.width_mm)


@settings(max_examples=25)
@given(braces(), places)
def test_seen_from_the_brace_and_placed_again(brace: Brace, place: Spot) -> None:
    assert brace.placed(*brace.seen_from(place)) == pytest.approx(place, abs=1e-9)


# Clearance to a sound hole


@settings(max_examples=25)
@given(st.floats(5, 40), st.floats(5, 100), st.floats(2, 20), st.floats(20, 80))
def test_clearance_to_a_round_hole_beside_a_brace(radius: float, off: float, width: float, half: float) -> None:
    """Straight beside the brace: the distance of the centre from its edge less the radius.

    Below zero sideways, as long as lengthways is further. Tolerance: the circle is a chain of short lines.
    """
    round_hole = Polygon(hole("circle", (0, off), 2 * radius, 2 * radius))
    wanted = off - width / 2 - radius
    assume(wanted > 0 or radius + half > -wanted)
    assert clearance_mm(Brace((-half, 0), (half, 0), width), round_hole) == pytest.approx(wanted, abs=0.02)


@settings(max_examples=25)
@given(st.floats(5, 40), st.floats(1, 60), st.floats(0.1, 1.5))
def test_clearance_from_the_corner_of_a_brace(radius: float, off: float, turn: float) -> None:
    """A round hole off a corner: Pythagoras from the corner to the centre, less the radius."""
    centre = 30 + (radius + off) * math.cos(turn), 4 + (radius + off) * math.sin(turn)
    round_hole = Polygon(hole("circle", centre, 2 * radius, 2 * radius))
    assert clearance_mm(Brace((-30, 0), (30, 0), 8), round_hole) == pytest.approx(off, abs=0.02)


@settings(max_examples=25)
@given(st.floats(-90, 90))
def test_clearance_to_a_tilted_ellipse(tilt: float) -> None:
    """An ellipse of half axes a and b tilted by τ reaches √(a²sin²τ + b²cos²τ) towards a straight edge."""
    a, b, turn = 30.0, 12.0, math.radians(tilt)
    ellipse = Polygon(hole("ellipse", (0, 60), 2 * a, 2 * b, tilt))
    reaches = math.hypot(a * math.sin(turn), b * math.cos(turn))
    brace = Brace((-200, 0), (200, 0), 10)
    assert clearance_mm(brace, ellipse) == pytest.approx(60 - 5 - reaches, abs=0.02)
    over = Brace((-200, 50), (200, 50), 10)
    assert clearance_mm(over, ellipse) == pytest.approx(-(reaches + 5 - 10), abs=0.02)


@settings(max_examples=25)
@given(braces(), places, st.floats(5, 60), st.floats(5, 60), st.floats(-90, 90))
def test_the_shortest_distance_by_looking_at_many_places(
    brace: Brace, at: Spot, long_mm: float, wide: float, tilt: float
) -> None:
    """Brute force without any library: 360 places of the ellipse, each against the rectangle of the brace."""
    turn = math.radians(tilt)
    shortest = math.inf
    for step in range(360):
        t = math.pi * step / 180
        x, y = long_mm / 2 * math.cos(t), wide / 2 * math.sin(t)
        spot = at[0] + x * math.cos(turn) - y * math.sin(turn), at[1] + x * math.sin(turn) + y * math.cos(turn)
        along, left = brace.seen_from(spot)
        beyond = max(-along, along - brace.length_mm, 0.0), max(abs(left) - brace.width_mm / 2, 0.0)
        shortest = min(shortest, math.hypot(*beyond))
    answer = clearance_mm(brace, Polygon(hole("ellipse", at, long_mm, wide, tilt)))
    if answer > 0.3:
        assert answer == pytest.approx(shortest, abs=0.05)


@settings(max_examples=25)
@given(braces(), holes)
def test_moved_by_its_clearance_a_crossing_brace_comes_clear(brace: Brace, opening: Polygon) -> None:
    """Independent route: move it the four ways and ask shapely; no move shorter by a hundredth may help."""
    clearance = clearance_mm(brace, opening)
    assume(clearance < -0.05)

    def clear_after(way: float) -> bool:
        ways = ((way, 0.0), (-way, 0.0), (0.0, way), (0.0, -way))
        return any(moved(brace, *each).shape.intersection(opening).area < 1e-6 for each in ways)

    assert clear_after(-clearance + 0.001)
    assert not clear_after(-clearance * 0.99 - 0.01)


@settings(max_examples=25)
@given(braces(), holes, st.floats(-180, 180), st.floats(0.1, 10))
def test_turning_keeps_the_clearance_and_size_scales_it(
    brace: Brace, opening: Polygon, degrees: float, size: float
) -> None:
    def changed(place: Spot) -> Spot:
        spot = scale(rotate(Point(place), degrees, origin=(0, 0)), size, size, origin=(0, 0))
        return float(spot.x), float(spot.y)

    turned = Brace(changed(brace.start), changed(brace.end), brace.width_mm * size)
    turned_hole = scale(rotate(opening, degrees, origin=(0, 0)), size, size, origin=(0, 0))
    assert clearance_mm(turned, turned_hole) == pytest.approx(size * clearance_mm(brace, opening), abs=1e-6 * size)
    assert part_covered(turned, turned_hole) == pytest.approx(part_covered(brace, opening), abs=1e-6)


@settings(max_examples=25)
@given(braces(), holes)
def test_mirrored_or_from_the_other_end_nothing_changes(brace: Brace, opening: Polygon) -> None:
    """Bass and treble changed about; and the brace written from its other end."""
    mirrored = Brace((brace.start[0], -brace.start[1]), (brace.end[0], -brace.end[1]), brace.width_mm)
    mirrored_hole = scale(opening, 1, -1, origin=(0, 0))
    wanted = clearance_mm(brace, opening)
    assert clearance_mm(mirrored, mirrored_hole) == pytest.approx(wanted, abs=1e-9)
    assert clearance_mm(Brace(brace.end, brace.start, brace.width_mm), opening) == pytest.approx(wanted, abs=1e-9)


@settings(max_examples=25)
@given(braces(), holes, st.floats(0.1, 10))
def test_a_wider_brace_never_lies_further_off(brace: Brace, opening: Polygon, wider: float) -> None:
    wide = Brace(brace.start, brace.end, brace.width_mm + wider)
    assert clearance_mm(wide, opening) <= clearance_mm(brace, opening) + 1e-9


def test_just_touching() -> None:
    assert clearance_mm(Brace((0, 0), (100, 0), 10), box(20, 5, 40, 15)) == 0
    assert clearance_mm(Brace((0, 0), (100, 0), 10), box(100, -5, 120, 5)) == 0


# Seen through


def test_how_much_of_a_hole_a_brace_covers() -> None:
    """A strip 2h wide across the middle of a circle: (2r²·asin(h/r) + 2h·√(r² − h²)) / πr²."""
    r, h = 40.0, 5.0
    wanted = (2 * r * r * math.asin(h / r) + 2 * h * math.sqrt(r * r - h * h)) / (math.pi * r * r)
    round_hole = Polygon(hole("circle", (300, 0), 2 * r, 2 * r))
    assert part_covered(Brace((300, -90), (300, 90), 2 * h), round_hole) == pytest.approx(wanted, abs=1e-4)
    assert part_covered(Brace((200, -90), (200, 90), 2 * h), round_hole) == 0
    assert part_covered(Brace((250, 0), (350, 0), 200), round_hole) == 1


# Fitted between the sides


@settings(max_examples=25)
@given(st.floats(60, 300), st.floats(-0.9, 0.9), st.floats(2, 15))
def test_a_brace_across_a_round_body(radius: float, part: float, width: float) -> None:
    """A chord y off the centre is 2√(r² − y²) long; its end is bevelled by asin(y/r).

    Over the width w of the brace, exactly: tan = (√(r² − (y − w/2)²) − √(r² − (y + w/2)²)) / w.
    """
    y = part * radius
    assume(abs(y) + width / 2 < 0.95 * radius)
    answer = fitted(Brace((-10, y), (10, y), width), circle(radius, 1440))
    near, far = (math.sqrt(radius**2 - (y + sign * width / 2) ** 2) for sign in (-1, 1))
    over_width = math.degrees(math.atan((far - near) / width))
    assert answer.length_mm == pytest.approx(2 * math.sqrt(radius**2 - y**2), rel=1e-4)
    assert answer.longest_mm == pytest.approx(2 * max(near, far, math.sqrt(radius**2 - y**2)), rel=1e-4)
    for bevel in (answer.start_bevel_degrees, answer.end_bevel_degrees):
        assert bevel == pytest.approx(over_width, abs=0.1)


@pytest.mark.parametrize("y", [0.0, 30.0, -60.0, 90.0])
def test_the_bevel_of_a_narrow_brace_is_the_tangent(y: float) -> None:
    answer = fitted(Brace((-10, y), (10, y), 1.0), circle(120, 2880))
    assert answer.end_bevel_degrees == pytest.approx(-math.degrees(math.asin(y / 120)), abs=0.1)


@settings(max_examples=25)
@given(st.floats(0.3, 1.2))
def test_the_bevel_on_an_ellipse_by_calculus(t: float) -> None:
    """At (a·cos t, b·sin t) a brace along y meets a side that falls by b·cos t / (a·sin t)."""
    a, b = 320.0, 110.0
    ring = [(a * math.cos(2 * math.pi * k / 1500), b * math.sin(2 * math.pi * k / 1500)) for k in range(1500)]
    x = a * math.cos(t)
    answer = fitted(Brace((x, -5), (x, 5), 2.0), ring)
    assert answer.length_mm == pytest.approx(2 * b * math.sin(t), rel=1e-4)
    # The tail edge lies to the left of a brace that runs to the bass side, and is the longer one here.
    assert answer.end_bevel_degrees == pytest.approx(
        math.degrees(math.atan2(b * math.cos(t), a * math.sin(t))), abs=0.1
    )
    assert answer.start_bevel_degrees == pytest.approx(answer.end_bevel_degrees)


def test_between_parallel_sides_a_brace_ends_square_and_askew_by_its_own_angle() -> None:
    sides: list[Spot] = [(0, -80), (600, -80), (600, 80), (0, 80)]
    square = fitted(Brace((200, -20), (200, 40), 6), sides)
    assert square == FittedBrace(160, 160, 0, 0)
    askew = fitted(Brace((200, -20), (240, 20), 6), sides)
    assert askew.length_mm == pytest.approx(160 * math.sqrt(2))
    assert askew.end_bevel_degrees == pytest.approx(-45)  # the right edge, towards the head, is the longer one
    assert askew.start_bevel_degrees == pytest.approx(45)


@settings(max_examples=25)
@given(braces())
def test_the_length_between_the_sides_is_shapelys(brace: Brace) -> None:
    ring = circle(130, 300)
    middle = brace.placed(brace.length_mm / 2, 0)
    assume(math.hypot(*middle) < 120)
    line = LineString([brace.placed(-1000, 0), brace.placed(1000, 0)])
    assert fitted(brace, ring).length_mm == pytest.approx(float(line.intersection(Polygon(ring)).length))


@settings(max_examples=25)
@given(braces(), st.floats(0.05, 20))
def test_size_changes_no_bevel(brace: Brace, size: float) -> None:
    ring = circle(130, 300)
    assume(math.hypot(*brace.placed(brace.length_mm / 2, 0)) < 110)
    large_ring = [(size * x, size * y) for x, y in ring]
    (x1, y1), (x2, y2) = brace.start, brace.end
    large = fitted(Brace((x1 * size, y1 * size), (x2 * size, y2 * size), brace.width_mm * size), large_ring)
    small = fitted(brace, ring)
    assert large.length_mm == pytest.approx(size * small.length_mm)
    assert large.end_bevel_degrees == pytest.approx(small.end_bevel_degrees, abs=1e-6)


def test_a_brace_whose_middle_is_not_in_the_body() -> None:
    assert isinstance(fitted_between(Brace((500, -20), (500, 20), 6), circle(100)), Outside)
    # Close to the end of the body one edge of a wide brace meets no side any more.
    edge = fitted(Brace((98, -5), (98, 5), 10), circle(100))
    assert (edge.start_bevel_degrees, edge.end_bevel_degrees) == (None, None)
    assert edge.length_mm == pytest.approx(2 * math.sqrt(100**2 - 98**2), rel=1e-2)


def test_in_an_hourglass_the_near_sides_count() -> None:
    """A brace in one lobe of a body like a U does not run on into the other."""
    ring: list[Spot] = [(0, -90), (100, -90), (100, -30), (20, -30), (20, 30), (100, 30), (100, 90), (0, 90)]
    assert fitted(Brace((60, 50), (60, 60), 4), ring).length_mm == pytest.approx(60)
    assert fitted(Brace((10, 50), (10, 60), 4), ring).length_mm == pytest.approx(180)


# How far it reaches

OUTSIDE, INSIDE, CLEAR = (Polygon(circle(radius, 720)) for radius in (150, 147, 140))


@pytest.mark.parametrize(
    ("half", "reach"),
    [(130, "inside"), (139.9, "inside"), (143, "into the linings"), (146.9, "into the linings"),
     (148.5, "into the side"), (149.9, "into the side"), (150.2, "outside"), (400, "outside")],
)  # fmt: skip
def test_how_far_a_brace_across_the_middle_reaches(half: float, reach: str) -> None:
    brace = Brace((0, -half), (0, half), 2.0)
    assert reach_of(brace, OUTSIDE, INSIDE, CLEAR) == reach
    known = {"into the linings": "inside"}.get(reach, reach)
    assert reach_of(brace, OUTSIDE, INSIDE) == known
    assert reach_of(brace, OUTSIDE) == {"into the side": "inside"}.get(known, known)


def test_bevelled_ends_are_not_blamed_for_their_corners() -> None:
    """A brace as long as the body is wide at its station, with corners that would stick out before they are cut."""
    half = math.sqrt(147**2 - 100**2)
    brace = Brace((100, -half), (100, half), 10)
    assert not INSIDE.covers(brace.shape)
    assert reach_of(brace, OUTSIDE, INSIDE) == "inside"


def test_a_brace_along_the_side_may_leave_the_body_between_its_ends() -> None:
    # Hesse's normal form: 8 mm across from the waist, where the side leans by arctan 0.1.
    waisted = Polygon([(0, -80), (300, -50), (600, -80), (600, 80), (300, 50), (0, 80)])
    brace = Brace((100, 55), (500, 55), 6)
    assert waisted.covers(Point(brace.start))
    assert waisted.covers(Point(brace.end))
    assert reach_of(brace, waisted) == "outside"
    assert over_edge_mm(brace.shape, waisted) == pytest.approx(8 * math.cos(math.atan(0.1)), abs=0.05)


@settings(max_examples=25)
@given(st.floats(5, 30), st.floats(0, 200))
def test_room_between_a_round_hole_and_a_round_edge(radius: float, off: float) -> None:
    """Circles of radii R and r with centres d apart: R − r − d is left, or so much sticks out."""
    answer = edge_room_mm(Polygon(hole("circle", (off, 0), 2 * radius, 2 * radius)), OUTSIDE)
    assert answer == pytest.approx(150 - radius - off, abs=0.03)


def test_room_to_nothing() -> None:
    assert edge_room_mm(box(0, 0, 1, 1), Polygon()) == -math.inf


@settings(max_examples=25)
@given(braces(), places)
def test_moving_everything_together_changes_nothing(brace: Brace, by: Spot) -> None:
    there = Brace(
        (brace.start[0] + by[0], brace.start[1] + by[1]), (brace.end[0] + by[0], brace.end[1] + by[1]), brace.width_mm
    )
    assert over_edge_mm(there.shape, translate(OUTSIDE, *by)) == pytest.approx(
        over_edge_mm(brace.shape, OUTSIDE), abs=1e-6
    )
