"""Cutting files read back by libraries that know nothing of ours: svgelements for SVG, GDAL (pyogrio) for DXF."""

from __future__ import annotations

import math
import subprocess
import sys
from collections import defaultdict
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pyogrio.raw
import pytest
import shapely
import svgelements
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import readfile

from builder.published import PublishedDrawing
from builder.sheets.cutting_files import CutLine, board_lines, cutting_dxf, cutting_svg, pattern_lines
from builder.sheets.paper import CannotBePrinted
from tests.boards import drawing, fret_line
from tests.random_bodies import AnyBody, body_of, random_body

#: What the issue of a pattern may differ by: a thousandth of an inch.
THOU_MM = 0.0254
BODIES = range(20)
Places = Sequence[tuple[float, float]]
BOARD = drawing(500, 40, 52, (fret_line("1", 30.5, 41), fret_line("1½", 60.25, 42), fret_line("2", 100, 43)))


def dxf_lines(data: bytes, folder: Path) -> list[tuple[str, bool, Places]]:
    """Layer, whether it ends where it begins, and places of every line, as GDAL reads them."""
    file = folder / "read.dxf"
    file.write_bytes(data)
    meta, _, wkb, fields = pyogrio.raw.read(str(file))
    layers = fields[list(meta["fields"]).index("Layer")]
    found: list[tuple[str, bool, Places]] = []
    for layer, each in zip(layers, wkb, strict=True):
        places = [(float(x), float(y)) for x, y in shapely.get_coordinates(shapely.from_wkb(each))]
        found.append((layer, len(places) > 2 and places[0] == places[-1], places))
    return found


def svg_lines(text: str, folder: Path) -> list[tuple[str, bool, Places]]:
    """The same of an SVG, in millimetres from its top left corner, as svgelements reads them."""
    file = folder / "read.svg"
    file.write_text(text, encoding="utf-8")
    lines: list[tuple[str, bool, Places]] = []
    for group in svgelements.SVG.parse(str(file), ppi=25.4 * 100).select(lambda e: type(e) is svgelements.Group):
        for path in group:
            if not isinstance(path, svgelements.Path):
                continue
            places = [(piece.end.x / 100, piece.end.y / 100) for piece in path if piece.end is not None]
            closed = isinstance(path[-1], svgelements.Close)
            lines.append((str(group.id), closed, places))
    return lines


def strays(one: Places, other: Places) -> float:
    """How far two lines are apart at most, either way."""
    return float(shapely.hausdorff_distance(shapely.LineString(one), shapely.LineString(other)))


def ring(spots: Places) -> Places:
    return [*spots, spots[0]]


def expected(each: AnyBody) -> dict[str, list[Places]]:
    """What must be found on every layer, straight from the results."""
    body = each.body
    assert body.inside
    assert body.linings
    assert body.saddle_mm
    found: defaultdict[str, list[Places]] = defaultdict(list)
    found["outline"] = [ring(body.outline.spots)]
    found["inside"] = [ring(body.inside.spots)]
    found["linings"] = [ring(body.linings.edge)]
    found["end blocks"] = [ring(block.spots) for block in body.blocks]
    for hole in body.holes:
        found["sound holes" if hole.plate == "soundboard" else "sound holes back"].append(ring(hole.spots))
    for brace in body.braces:
        corners = ring(brace.corners) if len(brace.corners) == 4 else brace.corners
        found[f"braces {brace.plate}"].append(corners)
    found["centre line"] = [[(body.outline.tail_mm, 0), (body.outline.head_mm, 0)]]
    found["saddle"] = [[(body.saddle_mm, -25), (body.saddle_mm, 25)]]
    if body.nut_mm is not None and body.nut_mm <= body.outline.head_mm:
        found["nut"] = [[(body.nut_mm, -25), (body.nut_mm, 25)]]
    return found


@pytest.mark.parametrize("number", BODIES)
def test_a_dxf_read_by_gdal_holds_every_line_of_the_results(number: int, tmp_path: Path) -> None:
    body = random_body(number)
    wanted = expected(body)
    found = dxf_lines(cutting_dxf(pattern_lines(body.pattern)), tmp_path)
    assert sorted(layer for layer, _, _ in found) == sorted(layer for layer in wanted for _ in wanted[layer])
    for layer, closed, places in found:
        assert min(strays(places, each) for each in wanted[layer]) < THOU_MM
        assert closed == (len(places) > 2)
    for layer, lines in wanted.items():
        for line in lines:
            assert min(strays(line, places) for each, _, places in found if each == layer) < THOU_MM


@pytest.mark.parametrize("number", BODIES)
def test_an_svg_read_by_svgelements_holds_every_line_of_the_results(number: int, tmp_path: Path) -> None:
    body = random_body(number)
    wanted = {layer.replace(" ", "-"): lines for layer, lines in expected(body).items()}
    found = svg_lines(cutting_svg(pattern_lines(body.pattern), "Heron"), tmp_path)
    left = 5.0 - min(x for lines in wanted.values() for line in lines for x, _ in line)
    down = 5.0 + max(y for lines in wanted.values() for line in lines for _, y in line)
    assert sorted(layer for layer, _, _ in found) == sorted(layer for layer in wanted for _ in wanted[layer])
    for layer, closed, places in found:
        upright = [(x - left, down - y) for x, y in places]
        assert min(strays(upright, each) for each in wanted[layer]) < THOU_MM
        assert closed == (len(places) > 2)


def test_an_svg_says_its_size_in_millimetres() -> None:
    text = cutting_svg((CutLine("outline", "a < b", True, ((0, 0), (100, 0), (100, 50.5))),), "A & B")
    assert 'width="110.0000mm" height="60.5000mm" viewBox="0 0 110.0000 60.5000"' in text
    assert "<title>A &amp; B</title>" in text
    assert "a &lt; b" in text


@pytest.mark.parametrize("number", range(3))
def test_a_dxf_is_without_fault_in_the_eyes_of_its_library_and_in_millimetres(number: int, tmp_path: Path) -> None:
    file = tmp_path / "a.dxf"
    file.write_bytes(cutting_dxf(pattern_lines(random_body(number).pattern)))
    document = readfile(file)
    assert not document.audit().has_errors
    assert document.header["$INSUNITS"] == 4  # millimetres: DXF reference, group $INSUNITS
    polylines = [each for each in document.modelspace() if isinstance(each, LWPolyline)]
    assert len(polylines) > 8
    assert all(each.closed for each in polylines)


PROGRAM = """
import sys
from tests.random_bodies import random_body
from builder.sheets.cutting_files import cutting_dxf, cutting_svg, pattern_lines
lines = pattern_lines(random_body(7).pattern)
sys.stdout.buffer.write(cutting_dxf(lines) + cutting_svg(lines, 'Heron').encode())
"""


def test_the_same_bytes_twice_whatever_the_hour() -> None:
    made = [
        subprocess.run(
            [sys.executable, "-c", PROGRAM],
            check=True, capture_output=True, cwd=Path(__file__).parents[1],
            env={"PYTHONHASHSEED": seed, "TZ": zone},
        ).stdout
        for seed, zone in (("1", "UTC"), ("4", "Asia/Tokyo"))
    ]  # fmt: skip
    assert made[0] == made[1]
    assert len(made[0]) > 10_000
    lines = pattern_lines(random_body(7).pattern)
    assert cutting_dxf(lines) == cutting_dxf(lines)
    assert made[0].startswith(cutting_dxf(lines))


def test_sound_holes_that_are_alike_are_alike_to_the_last_place() -> None:
    """Two ovals of one size, each with its mirror image: moved and turned back, all four are one."""
    holes = "{shape: ellipse, mirrored: yes, long: 40 mm, wide: 18 mm, "
    each = body_of(
        "    outline: {shape: ellipse, length: 600 mm, width: 300 mm}\n    end_blocks: {tail: 20 mm}\n"
        f"    sound_holes:\n      - {holes}at: [200 mm, 60 mm], tilt: 15}}\n"
        f"      - {holes}at: [400 mm, 50 mm], tilt: -20}}\n"
    )
    edges = [line.places for line in pattern_lines(each.pattern) if line.layer == "sound holes"]
    turns = (15, -15, -20, 20)
    middles = ((200, 60), (200, -60), (400, 50), (400, -50))
    assert len(edges) == 4
    shapes = []
    for edge, turn, (x, y), sign in zip(edges, turns, middles, (1, -1, 1, -1), strict=True):
        cos, sin = math.cos(math.radians(-turn)), math.sin(math.radians(-turn))
        moved = [(px - x, py - y) for px, py in edge]
        shapes.append([(px * cos - py * sin, (px * sin + py * cos) * sign) for px, py in moved])
    for shape in shapes[1:]:
        assert shape == [pytest.approx(place, abs=2e-6) for place in shapes[0]]


def test_straight_pieces_stray_less_than_a_hundredth_of_a_millimetre_from_an_ellipse() -> None:
    """By the ellipse's own equation: the middle of every piece lies that near to the curve (x/a)² + (y/b)² = 1."""
    each = body_of("    outline: {shape: ellipse, length: 500 mm, width: 300 mm}\n    end_blocks: {tail: 20 mm}\n")
    (outline,) = [line for line in pattern_lines(each.pattern) if line.layer == "outline"]
    for (x, y), (to_x, to_y) in zip(outline.places, ring(outline.places)[1:], strict=True):
        along, across = ((x + to_x) / 2 - 250) / 250, (y + to_y) / 2 / 150
        off = abs(1 - math.hypot(along, across)) * 250 * 150  # to the first order: value over the slope there
        assert off / math.hypot(150 * along, 250 * across) < 0.01


@pytest.mark.parametrize("slot_mm", [0.6, None])
def test_fret_slots_have_their_places_and_their_width(slot_mm: float | None, tmp_path: Path) -> None:
    found = dxf_lines(cutting_dxf(board_lines(BOARD, slot_mm)), tmp_path)
    slots = [places for layer, _, places in found if layer == ("fret slots" if slot_mm else "frets")]
    assert len(slots) == len(BOARD.frets)
    for slot, fret in zip(slots, BOARD.frets, strict=True):
        xs, ys = [x for x, _ in slot], [y for _, y in slot]
        assert (min(xs) + max(xs)) / 2 == pytest.approx(-fret.bass.x, abs=1e-6)
        assert max(xs) - min(xs) == pytest.approx(slot_mm or 0.0, abs=1e-6)
        assert (max(ys), min(ys)) == pytest.approx((fret.bass.y, fret.treble.y))


def test_a_leaning_slot_is_as_wide_square_across_it(tmp_path: Path) -> None:
    lean: dict[str, Any] = {"bass": BOARD.frets[0].bass, "treble": BOARD.frets[1].treble}
    fret = type(BOARD.frets[0])("1", False, False, lean["bass"], lean["treble"], 35.0)
    board = drawing(500, 40, 52, (fret,))
    (slot,) = [
        places for layer, _, places in dxf_lines(cutting_dxf(board_lines(board, 0.6)), tmp_path) if "slot" in layer
    ]
    rectangle = shapely.Polygon(slot)
    length = math.dist((fret.bass.x, fret.bass.y), (fret.treble.x, fret.treble.y))
    assert rectangle.area == pytest.approx(0.6 * length)
    assert rectangle.centroid.x == pytest.approx(-(fret.bass.x + fret.treble.x) / 2)


def test_without_an_outline_or_a_board_it_is_said_plainly() -> None:
    with pytest.raises(CannotBePrinted, match="outline of the body is not known"):
        pattern_lines(None)
    nothing: PublishedDrawing | None = None
    with pytest.raises(CannotBePrinted, match="where the fret slots lie"):
        board_lines(nothing, 0.6)
