"""Outlines of bodies, against closed forms, a vector-geometry library, and one another."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LinearRing, Polygon, affinity

from builder.calculations.answers import Outside
from builder.calculations.body_shapes import hole, hourglass, round_body, square_body, tapered_body, teardrop
from builder.calculations.curves import closed_through, flattened, never_beyond, open_through, spline
from builder.calculations.outline import Outline, inside_of, outline_of, thinned, through_half_widths, through_points
from builder.calculations.sides import Sides, sides_of, tightest_bend

#: What chains of straight lines lose against their curves, which they follow within 0.005 mm.
CHAIN = 1e-4


def made(answer: Outline | Outside) -> Outline:
    assert isinstance(answer, Outline), answer
    return answer


def ellipse_perimeter(long_mm: float, wide_mm: float) -> float:
    """The complete elliptic integral by the trapezoidal rule, which for a smooth round-trip is exact to all digits."""
    a, b, steps = long_mm / 2, wide_mm / 2, 4000
    angles = (2 * math.pi * n / steps for n in range(steps))
    return sum(math.hypot(a * math.sin(angle), b * math.cos(angle)) for angle in angles) * 2 * math.pi / steps


def ramanujan(long_mm: float, wide_mm: float) -> float:
    """S. Ramanujan, Modular Equations and Approximations to π, 1914: his second formula."""
    a, b = long_mm / 2, wide_mm / 2
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))


SIZES = st.floats(60, 1200)
few = settings(max_examples=15)


@few
@given(SIZES)
def test_a_circle(width: float) -> None:
    """Archimedes, Measurement of a Circle: πd round, πd²/4 inside."""
    circle = made(round_body(width, width))
    assert circle.perimeter_mm == pytest.approx(math.pi * width, rel=CHAIN)
    assert circle.area_mm2 == pytest.approx(math.pi * width**2 / 4, rel=4 * CHAIN)
    assert circle.middle == pytest.approx((width / 2, 0.0), abs=1e-6)
    assert (circle.length_mm, circle.width_mm) == pytest.approx((width, width))
    bend = tightest_bend(circle)
    assert bend is not None
    assert bend.radius_mm == pytest.approx(width / 2, rel=2e-3)
    assert bend.outwards


@few
@given(SIZES, st.floats(0.4, 2.5))
def test_an_ellipse(length: float, part: float) -> None:
    """Perimeter: elliptic integral, and Ramanujan's formula; area πab; tightest radius b²/a (its end)."""
    long, wide = length, length * part
    shape = made(round_body(long, wide))
    assert ellipse_perimeter(long, wide) == pytest.approx(ramanujan(long, wide), rel=1e-6)
    assert shape.perimeter_mm == pytest.approx(ellipse_perimeter(long, wide), rel=CHAIN)
    assert shape.area_mm2 == pytest.approx(math.pi * long * wide / 4, rel=4 * CHAIN)
    a, b = max(long, wide) / 2, min(long, wide) / 2
    bend = tightest_bend(shape)
    assert bend is not None
    if b * b / a > 20:
        assert bend.radius_mm == pytest.approx(b * b / a, rel=0.05)


def test_the_bend_of_a_large_ellipse_is_the_closed_form() -> None:
    """b²/a = 125 mm at the end of an ellipse of 1000 × 500 mm."""
    bend = tightest_bend(made(round_body(1000, 500)))
    assert bend is not None
    assert bend.radius_mm == pytest.approx(250**2 / 500, rel=1e-3)


@few
@given(SIZES, SIZES, st.floats(0, 0.5))
def test_a_rectangle_with_round_corners(length: float, width: float, part: float) -> None:
    """Closed form: 2(l + w) − (8 − 2π)r round, l·w − (4 − π)r² inside."""
    radius = min(length, width) * part
    shape = made(square_body(length, width, radius))
    assert shape.perimeter_mm == pytest.approx(2 * (length + width) - (8 - 2 * math.pi) * radius, rel=CHAIN)
    assert shape.area_mm2 == pytest.approx(length * width - (4 - math.pi) * radius**2, rel=4 * CHAIN)


def test_corners_that_do_not_fit() -> None:
    assert isinstance(square_body(300, 100, 51), Outside)


@few
@given(SIZES, st.floats(10, 300), st.floats(10, 300))
def test_straight_sides_are_the_hypotenuse(length: float, tail: float, head: float) -> None:
    shape = made(tapered_body(length, tail, head))
    sides = sides_of(shape)
    assert isinstance(sides, Sides)
    assert sides.bass.length_mm == pytest.approx(math.hypot(length, (tail - head) / 2))
    assert shape.area_mm2 == pytest.approx(length * (tail + head) / 2)


@few
@given(SIZES, st.floats(0.3, 1.0))
def test_half_widths_of_an_ellipse_give_the_ellipse(length: float, part: float) -> None:
    """With a station at its widest; closed form as above."""
    wide = length * part
    at = [0, 0.05, 0.2, 0.5, 0.7, 0.9, 1]
    stations = [(length * x, wide / 2 * math.sqrt(max(1 - (2 * x - 1) ** 2, 0))) for x in at]
    shape = made(through_half_widths(stations))
    assert shape.perimeter_mm == pytest.approx(ellipse_perimeter(length, wide), rel=CHAIN)


half_widths = st.lists(st.tuples(st.floats(20, 200), st.floats(10, 200)), min_size=2, max_size=9)


@few
@given(half_widths)
def test_an_outline_goes_through_its_half_widths_and_never_beyond(steps: list[tuple[float, float]]) -> None:
    at, stations = 0.0, []
    for step, width in steps:
        stations.append((at, width))
        at += step
    shape = made(through_half_widths(stations))
    assert shape.width_mm == pytest.approx(2 * max(width for _, width in stations), abs=1e-9)
    ring = LinearRing(shape.spots)
    assert all(any(math.dist(spot, station) < 1e-9 for spot in shape.spots) for station in stations)
    assert ring.is_simple
    widths = never_beyond([x for x, _ in stations], [w for _, w in stations])
    for (x, one), (to_x, other) in pairwise(stations):
        between = [widths(x + (to_x - x) * n / 20) for n in range(21)]
        rising = [after - before for before, after in pairwise(between)]
        assert min(rising) * max(rising) >= -1e-9
        assert max(between) == pytest.approx(max(one, other))


@few
@given(half_widths, st.floats(0.2, 5))
def test_a_body_made_larger_has_more_round_and_inside(steps: list[tuple[float, float]], times: float) -> None:
    """Scaling: lengths by k, areas by k²."""
    at, stations = 0.0, []
    for step, width in steps:
        stations.append((at, width))
        at += step
    one = made(through_half_widths(stations))
    other = made(through_half_widths([(x * times, w * times) for x, w in stations]))
    assert other.perimeter_mm == pytest.approx(times * one.perimeter_mm, rel=1e-3)
    assert other.area_mm2 == pytest.approx(times**2 * one.area_mm2, rel=1e-3)


SHAPES = [
    round_body(360, 200), square_body(400, 150, 30), teardrop(700, 190, 200), teardrop(700, 190, 200, 60, 40),
    hourglass(700, (180, 190), (370, 110), (540, 150), 60, 40), hourglass(480, (130, 360), (280, 240), (400, 280)),
    through_points([(0, 40), (100, 80), (300, 60), (400, 20)], mirrored=True),
    through_points([(0, 0), (60, 90), (300, 70), (400, 0)], mirrored=True),
    through_points([(0, 10), (60, 90), (300, 70), (400, 0), (280, -60), (90, -100)]),
]  # fmt: skip


@pytest.mark.parametrize("shape", SHAPES)
def test_perimeter_and_area_are_those_of_a_geometry_library(shape: Outline | Outside) -> None:
    """shapely (GEOS); turned about, the body stays as long round."""
    outline = made(shape)
    polygon = Polygon(outline.spots)
    assert outline.perimeter_mm == pytest.approx(polygon.length, rel=1e-12)
    assert outline.area_mm2 == pytest.approx(polygon.area, rel=1e-12)
    assert outline.middle == pytest.approx((polygon.centroid.x, polygon.centroid.y), abs=1e-6)
    turned = made(outline_of(list(affinity.rotate(polygon, 37).exterior.coords)))
    assert turned.perimeter_mm == pytest.approx(outline.perimeter_mm, rel=1e-9)


@pytest.mark.parametrize("shape", SHAPES)
def test_the_sides_and_the_faces_are_the_whole_way_round(shape: Outline | Outside) -> None:
    outline = made(shape)
    sides = sides_of(outline)
    assert isinstance(sides, Sides)
    faces = [math.dist(sides.bass.spots[n], sides.treble.spots[n]) for n in (0, -1)]
    assert (faces[0] > 1e-6, faces[1] > 1e-6) == (sides.tail_face, sides.head_face)
    total = sides.bass.length_mm + sides.treble.length_mm + sum(faces)
    assert total == pytest.approx(outline.perimeter_mm, rel=1e-9)
    assert sides.bass.at(sides.bass.length_mm / 2)[1] > sides.treble.at(sides.treble.length_mm / 2)[1]


@pytest.mark.parametrize("shape", SHAPES)
def test_the_inside_lies_a_thickness_from_the_outside(shape: Outline | Outside) -> None:
    """Independent route: the distance of every place of it from the outline, as shapely measures it."""
    outline = made(shape)
    inside = made(inside_of(outline, 3.0))
    ring = LinearRing(outline.spots)
    from shapely import points

    away = ring.distance(points(inside.spots))
    assert away.min() == pytest.approx(3.0, abs=0.01)
    assert away.max() == pytest.approx(3.0, abs=0.01)


@few
@given(SIZES, st.floats(0.5, 1.0), st.floats(0.5, 4.0))
def test_steiners_formula_for_the_inside(length: float, part: float, thickness: float) -> None:
    """J. Steiner, 1840: P − 2πt, and A − Pt + πt², for a smooth line that bulges everywhere; t below b²/a."""
    outline = made(round_body(length, length * part))
    inside = made(inside_of(outline, thickness))
    perimeter, area = outline.perimeter_mm, outline.area_mm2
    assert inside.perimeter_mm == pytest.approx(perimeter - 2 * math.pi * thickness, rel=2 * CHAIN)
    expected = area - perimeter * thickness + math.pi * thickness**2
    assert inside.area_mm2 == pytest.approx(expected, rel=1e-3)


@few
@given(st.floats(100, 900), st.floats(60, 300), st.floats(0.5, 20))
def test_the_inside_of_a_rectangle_is_a_rectangle(length: float, width: float, thickness: float) -> None:
    inside = made(inside_of(made(square_body(length, width)), thickness))
    assert (inside.length_mm, inside.width_mm) == pytest.approx((length - 2 * thickness, width - 2 * thickness))


def test_sides_too_thick_for_their_body() -> None:
    assert isinstance(inside_of(made(round_body(100, 100)), 50), Outside)
    waist = made(hourglass(480, (130, 360), (280, 30), (400, 280), 200, 150))
    answer = inside_of(waist, 20)
    assert isinstance(answer, Outside)
    assert "meet in the middle" in answer.reason


@pytest.mark.parametrize("count", [12, 16, 40])
def test_a_curve_through_places_of_a_circle(count: int) -> None:
    """Closed form: a circle's perimeter, within the spline's own error (fourth power of the spacing)."""
    angles = [math.pi - 2 * math.pi * n / count for n in range(count)]
    shape = made(through_points([(100 + 100 * math.cos(a), 100 * math.sin(a)) for a in angles]))
    assert shape.perimeter_mm == pytest.approx(200 * math.pi, rel=CHAIN + 3 * (1 / count) ** 4)


def test_straight_points_are_a_polygon() -> None:
    shape = made(through_points([(0, 50), (400, 30), (400, -30), (0, -50)], "straight"))
    assert shape.area_mm2 == 400 * (100 + 60) / 2
    half = made(through_points([(0, 50), (400, 30)], "straight", mirrored=True))
    assert half == shape


@few
@given(st.lists(st.tuples(st.floats(1, 50), st.floats(-100, 100)), min_size=3, max_size=12))
def test_a_spline_is_smooth_and_goes_through_its_values(steps: list[tuple[float, float]]) -> None:
    """C. de Boor, A Practical Guide to Splines, 1978: slope and bend agree on both sides of every place."""
    at = [sum(step for step, _ in steps[: n + 1]) for n in range(len(steps))]
    values = [value for _, value in steps]
    curve = spline(at, values)
    assert [curve(x) for x in at] == pytest.approx(values, abs=1e-9)

    def bend(piece: int, part: float) -> float:
        width = at[piece + 1] - at[piece]
        step = (values[piece + 1] - values[piece]) / width
        start, end = curve.slopes[piece], curve.slopes[piece + 1]
        return ((6 * step - 4 * start - 2 * end) * (1 - part) + (2 * start + 4 * end - 6 * step) * part) / width

    for piece in range(len(at) - 2):
        assert bend(piece, 1) == pytest.approx(bend(piece + 1, 0), abs=1e-6, rel=1e-6)
    assert bend(0, 0) == pytest.approx(0, abs=1e-6)


def test_straight_lines_and_parabolas_come_out_exact() -> None:
    at = (0.0, 1.0, 2.5, 4.0, 7.0)
    laws: tuple[Callable[[float], float], ...] = (lambda x: 3 + 2 * x, lambda x: (x + 1) ** 2)
    for law in laws:
        curve = never_beyond(at, [law(x) for x in at])
        assert [curve(x / 10) for x in range(71)] == pytest.approx([law(x / 10) for x in range(71)])


def test_a_swelling_between_two_ends_is_two_parabolas() -> None:
    """Closed form: with nothing else said, each side of the top is the parabola that runs level there."""
    curve = never_beyond((0.0, 80.0, 280.0), (15.0, 37.5, 10.0))
    for x in range(0, 281, 5):
        reach, fall = (80, 22.5) if x <= 80 else (200, 27.5)
        assert curve(x) == pytest.approx(37.5 - fall * ((x - 80) / reach) ** 2)


def test_a_closed_curve_returns_and_an_open_one_leaves_as_told() -> None:
    spots = [(0.0, 0.0), (10.0, 5.0), (20.0, -5.0), (5.0, -9.0)]
    curve = closed_through(spots)
    assert curve(0.0) == pytest.approx(spots[0])
    assert curve(4.0) == pytest.approx(spots[0])
    opened = open_through(spots, (0.0, 1.0))
    x, y = opened(1e-6)
    assert x / y == pytest.approx(0.0, abs=1e-5)


@few
@given(st.floats(0.001, 1))
def test_a_chain_strays_no_further_than_allowed(strays: float) -> None:
    """Sagitta of a chord: r(1 − cos(θ/2))."""
    chain = flattened(lambda a: (100 * math.cos(a), 100 * math.sin(a)), 0.0, 2.0, strays)
    for one, other in pairwise(chain):
        chord = math.dist(one, other)
        assert 100 - math.sqrt(100**2 - chord**2 / 4) <= strays * 1.01


def test_a_thinned_line_strays_no_further_than_allowed() -> None:
    outline = made(SHAPES[4])
    thin = thinned(outline.spots, 0.1)
    assert len(thin) < len(outline.spots) / 2
    assert LinearRing(thin).hausdorff_distance(LinearRing(outline.spots)) <= 0.1 + 1e-9


@pytest.mark.parametrize(
    ("shape", "area"),
    [
        ("circle", math.pi * 20 * 20 / 4), ("ellipse", math.pi * 20 * 12 / 4), ("rectangle", 240.0),
        ("diamond", 120.0), ("slot", 8 * 12 + math.pi * 36),
        # half circles stretched to 6 × 3 mm; below, twice the area under a quarter wave: 14 · 6 · 2/π
        ("heart", 2 * (math.pi / 2 * 6 * 3) + 2 * 14 * 6 * 2 / math.pi),
    ],
)  # fmt: skip
def test_holes_have_the_areas_of_their_closed_forms(shape: str, area: float) -> None:
    edge = hole(shape, (50, 7), 20, 20 if shape == "circle" else 12, 30)  # type: ignore[arg-type]
    polygon = Polygon(edge)
    assert polygon.is_valid
    assert polygon.area == pytest.approx(area, rel=3e-3)
    level = Polygon(hole(shape, (50, 7), 20, 20 if shape == "circle" else 12))  # type: ignore[arg-type]
    assert level.bounds == pytest.approx(
        (40, 7 - (10 if shape == "circle" else 6), 60, 17 if shape == "circle" else 13)
    )
    assert affinity.rotate(level, 30, origin=(50, 7)).symmetric_difference(polygon).area < 1e-6


@pytest.mark.parametrize(
    ("stations", "reason"),
    [
        (((0, 50),), "two places"),
        (((0, 50), (100, 60), (100, 70)), "must rise"),
        (((0, 50), (100, -1), (200, 70)), "negative"),
        (((0, 50), (100, 0), (200, 70)), "no width"),
        (((0, 0), (100, 0)), "no width"),
        (((0, 0), (100, 50)), "between the ends"),
    ],
)
def test_half_widths_that_make_no_body(stations: tuple[tuple[float, float], ...], reason: str) -> None:
    answer = through_half_widths(stations)
    assert isinstance(answer, Outside)
    assert reason in answer.reason


def test_lines_that_enclose_no_body() -> None:
    for spots in ([(0, 0), (10, 0)], [(0, 0), (10, 10), (10, 0), (0, 10)], [(0, 0), (10, 0), (20, 0)]):
        assert isinstance(outline_of(spots), Outside)
    aside = made(outline_of([(0, 10), (10, 20), (20, 10)]))
    assert isinstance(sides_of(aside), Outside)


def test_a_waist_that_is_none() -> None:
    assert isinstance(hourglass(480, (130, 200), (280, 240), (400, 280)), Outside)


@few
@given(st.lists(st.tuples(st.floats(-300, 300), st.floats(-300, 300)), min_size=3, max_size=9))
def test_any_places_give_an_outline_or_a_reason(spots: list[tuple[float, float]]) -> None:
    for joined in ("smooth", "straight"):
        for mirrored in (True, False):
            answer = through_points(spots, joined, mirrored=mirrored)
            if isinstance(answer, Outline):
                assert Polygon(answer.spots).is_valid
                tightest_bend(answer)
                sides_of(answer)
                inside_of(answer, 2.0)
