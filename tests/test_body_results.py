"""What a record's body gives: with a full record, half a record and an empty one, and what is impossible."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.calculations.answers import Missing
from builder.drawings.body import body_svg
from builder.lengths import Unit
from builder.problems import CODES, Finding
from builder.publish.body import body_drawing_of, body_for_the_bench_of, body_of
from builder.published import Figures
from builder.reading.folder import read_bytes
from builder.reading.outlines import read_outlines
from builder.record import Pattern, Spec
from builder.results.body import BodyResults, work_out_body

HEAD = "format: 1\nname: A\nkind: dulcimer\nspec:\n"
WOOD = "  wood: {soundboard: {finished: 0.1 in}, back: {finished: 0.1 in}}\n"
STATIONS = "[[0 in, 2 1/4 in], [6 in, 3 1/2 in], [13 in, 2 1/2 in], [20 in, 3 in], [27 in, 1 1/2 in]]"
FULL = (
    WOOD
    + "  scale_length: 27 in\n  fretboard: {nut_from_tail: 30 in}\n"
    + f"  body:\n    outline: {{half_widths: {STATIONS}}}\n"
    + "    depth: {tail: 2 in, head: 1 7/8 in, measured: outside}\n    sides: 0.090 in\n"
    + "    end_blocks: {tail: 2 1/4 in, head: 1 3/4 in}\n"
    + "    linings: {width: 3/8 in, height: 3/4 in, kerf: 0.030 in, kerf_depth: 5/16 in, strip: 25 in}\n"
    + "    sound_holes:\n"
    + "      - {shape: ellipse, at: [8 in, 1 1/2 in], mirrored: yes, long: 1 1/4 in, wide: 3/4 in, tilt: 10}\n"
    + "      - {shape: heart, at: [20 in, 0], long: 1 in, wide: 1 in, plate: back}\n"
    + "    braces: [{plate: back, starts: [10 in, -2 in], ends: [10 in, 2 in], width: 1/4 in, height: 1/2 in}]\n"
)


def spec_of(text: str, unit: Unit = "in") -> Spec:
    read = read_bytes((HEAD + text).encode(), "x.yaml", Pattern, unit)
    assert read.value is not None, read.problems
    return read.value.spec


def worked(text: str, tracings: dict[str, str] | None = None) -> tuple[BodyResults, tuple[Finding, ...]]:
    results, findings = work_out_body(spec_of(text), tracings or {})
    assert isinstance(results, BodyResults), findings
    return results, findings


def shown(figures: Figures | None) -> dict[str, str]:
    assert figures is not None
    return {figure.key: figure.said for figure in figures.facts}


def test_a_full_record() -> None:
    results, findings = worked(FULL)
    assert findings == ()
    assert results.outline.length_mm == pytest.approx(27 * 25.4)
    assert results.outline.width_mm == pytest.approx(7 * 25.4)
    assert results.widest_at_mm == pytest.approx(6 * 25.4)
    assert results.depth
    assert results.depth.inside_mm == pytest.approx((1.8 * 25.4, 1.675 * 25.4))
    assert results.saddle_mm == pytest.approx(3 * 25.4)
    assert results.linings
    assert len(results.linings.runs) == 4
    assert results.linings.strips == 4
    assert results.volume
    assert results.volume.counted == ("end blocks", "linings")
    assert [hole.is_mirror_image for hole in results.holes] == [False, True, False]
    assert results.air_hz
    assert 150 < results.air_hz < 260


def test_a_box_holds_what_a_box_holds() -> None:
    """Closed form: a rectangular box with plates, sides, blocks and linings, 400 × 200 × 80 mm outside."""
    text = (
        "  wood: {soundboard: {finished: 3 mm}, back: {finished: 2 mm}}\n"
        "  body: {outline: {shape: rectangle, length: 400 mm, width: 200 mm}, depth: {tail: 80 mm}, sides: 5 mm,\n"
        "    end_blocks: {tail: 30 mm, head: 20 mm}, linings: {width: 6 mm, height: 10 mm}}\n"
    )
    results, findings = worked(text)
    assert findings == ()
    assert results.volume
    assert results.volume.whole_mm3 == pytest.approx(390 * 190 * 75)
    assert results.volume.blocks_mm3 == pytest.approx(190 * 75 * (30 + 20))
    assert results.volume.linings_mm3 == pytest.approx(4 * (390 - 50) * 6 * 10)
    assert results.sides
    assert results.sides.bend is None
    assert results.linings
    assert results.linings.kerf_spacing_mm is None


def test_a_wedge_holds_its_mean_depth() -> None:
    """Closed form: a box whose depth falls evenly from 80 to 40 mm holds as much as one 60 mm deep."""
    box = "outline: {shape: rectangle, length: 400 mm, width: 200 mm}, sides: 5 mm"
    wedge, _ = worked(f"  body: {{{box}, depth: {{tail: 80 mm, head: 40 mm, measured: inside}}}}\n")
    even, _ = worked(f"  body: {{{box}, depth: {{tail: 60 mm, measured: inside}}}}\n")
    assert wedge.volume
    assert even.volume
    assert wedge.volume.net_mm3 == pytest.approx(even.volume.net_mm3)


@settings(max_examples=12)
@given(st.floats(1.2, 3.0))
def test_a_body_made_larger_holds_more_by_the_third_power(times: float) -> None:
    def text(by: float) -> str:
        return (
            f"  wood: {{soundboard: {{finished: {3 * by:.6f} mm}}, back: {{finished: {3 * by:.6f} mm}}}}\n"
            f"  body: {{outline: {{shape: teardrop, length: {300 * by:.6f} mm, width: {120 * by:.6f} mm, "
            f"widest_at: {100 * by:.6f} mm}}, sides: {2 * by:.6f} mm, depth: {{tail: {50 * by:.6f} mm}},\n"
            f"    sound_holes: [{{shape: circle, at: [{100 * by:.6f} mm, 0 mm], long: {40 * by:.6f} mm}}]}}\n"
        )

    one, other = worked(text(1))[0], worked(text(times))[0]
    assert one.volume
    assert other.volume
    assert other.volume.net_mm3 == pytest.approx(times**3 * one.volume.net_mm3, rel=1e-3)
    assert one.air_hz
    assert other.air_hz == pytest.approx(one.air_hz / times, rel=1e-3)


def test_the_unit_makes_no_difference() -> None:
    in_mm = FULL
    for inches, mm in (("0.1 in", "2.54 mm"), ("27 in", "685.8 mm"), ("2 in,", "50.8 mm,"), ("0.090 in", "2.286 mm")):
        in_mm = in_mm.replace(inches, mm)
    assert in_mm != FULL
    one, other = worked(FULL)[0], worked(in_mm)[0]
    assert one == other
    for unit in ("in", "mm"):
        assert body_of(one, spec_of(FULL), unit) == body_of(other, spec_of(in_mm), unit)


def test_what_a_buyer_sees() -> None:
    results, _ = worked(FULL)
    figures = body_of(results, spec_of(FULL), "in")
    facts = shown(figures)
    assert facts["length"] == "27.000 in"
    assert facts["width"] == "7.000 in"
    assert facts["depth"] == "2.000 in at the tail, 1.875 in at the head"
    assert facts["sound_holes"] == "2 ovals in the soundboard and 1 heart in the back"
    assert facts["room"].endswith("cubic inches")
    assert facts["air"].startswith("roughly ")
    assert figures
    assert "rough" in figures.notes[0]


def test_what_the_bench_sees() -> None:
    results, _ = worked(FULL)
    figures = body_for_the_bench_of(results, spec_of(FULL), "mm")
    facts = shown(figures)
    assert results.sides
    blank_mm = results.sides.sides.bass.length_mm + 50.8
    assert float(facts["blank_length"].removesuffix(" mm")) == pytest.approx(blank_mm, abs=0.006)
    assert facts["lining_strips"] == "4 strips"
    assert facts["kerf_spacing"].endswith(" mm at the most")
    assert "along the side from the tail end" in facts["tightest_bend"]
    assert figures
    assert [table.key for table in figures.tables] == ["side_widths", "lining_runs"]
    widths = [row[1] for row in figures.tables[0].table.rows]
    assert widths == sorted(widths, reverse=True)


def test_the_drawing() -> None:
    results, _ = worked(FULL)
    drawing = body_drawing_of(results)
    assert drawing
    assert max(y for _, y in drawing.outline) == pytest.approx(3.5 * 25.4, abs=0.05)
    svg = body_svg(drawing, name="2026-001")
    assert svg.count("bb-body-hole") == 3
    assert svg.count("bb-body-block") == 2
    assert svg.count("bb-body-saddle") == 1
    assert "3 sound holes" not in svg
    assert "2 sound holes, 1 in the back, 1 brace as a broken line" in svg
    assert len(svg) < 12_000
    bare = body_drawing_of(worked("  body: {outline: {shape: circle, width: 12 in}}\n")[0])
    assert bare
    assert "bb-body-inside" not in body_svg(bare, name="x")


def test_nothing_known_nothing_said() -> None:
    assert work_out_body(spec_of(WOOD)) == (Missing(("spec.body",)), ())
    results, findings = work_out_body(spec_of("  body: {}\n"))
    assert (results, findings) == (Missing(("spec.body.outline",)), ())
    for publish in (body_of, body_for_the_bench_of):
        assert publish(results, spec_of("  body: {}\n"), "in") is None
    assert body_drawing_of(results) is None


def test_an_outline_alone_is_enough_for_its_size() -> None:
    text = "  body: {outline: {shape: circle, width: 12 in}}\n"
    results, findings = worked(text)
    assert findings == ()
    assert list(shown(body_of(results, spec_of(text), "in"))) == ["length", "width"]
    facts = shown(body_for_the_bench_of(results, spec_of(text), "in"))
    assert facts["perimeter"] == f"{12 * math.pi:.3f} in"
    assert "6.000 in" in facts["tightest_bend"]


CIRCLE = "outline: {shape: circle, width: 300 mm}"
SIDED = f"{CIRCLE}, sides: 3 mm"

IMPOSSIBLE = [
    ("outline: {half_widths: [[0, 50 mm], [0, 60 mm]]}", "outline.half_widths[1]", "must rise"),
    ("outline: {half_widths: [[1 in, 50 mm], [9 in, 60 mm]]}", "outline.half_widths", "tail end"),
    ("outline: {half_widths: [[0, 50 mm]]}", "outline.half_widths", "two places"),
    ("outline: {half_widths: [[0, 0 mm], [1 in, 0 mm], [2 in, 1 in]]}", "outline.half_widths", "no width"),
    ("outline: {points: [[0, 0], [9 in, 9 in], [9 in, 0], [0, 9 in]], joined: straight}", "outline.points", "crosses"),
    ("outline: {points: [[0, 1 in], [9 in, 9 in], [9 in, 2 in]], joined: straight}", "outline", "centre line twice"),
    ("outline: {traced: a.svg}", "outline.traced", "no picture «a.svg»"),
    ("outline: {traced: bad.svg}", "outline.traced", "not SVG"),
    ("outline: {shape: circle, width: 9 in, waist: 3 in}", "outline.waist", "a circle has no «waist»"),
    ("outline: {shape: circle, width: 9 in, half_widths: [[0, 1], [1, 1]]}", "outline.shape", "2 ways"),
    ("outline: {shape: rectangle, length: 9 in, width: 3 in, corners: 2 in}", "outline.shape", "rounder"),
    ("outline: {shape: circle, width: 200 mm}, sides: 55 mm, linings: {width: 46 mm}", "linings.width",
     "meet in the middle"),
    ("outline: {shape: circle, width: 100 mm}, sides: 55 mm", "sides", "nothing is left"),
    (f"{SIDED}, depth: {{tail: 40 mm, measured: inside}}, linings: {{height: 21 mm}}", "linings.height", "higher"),
    (f"{SIDED}, linings: {{width: 6 mm, kerf: 1 mm, kerf_depth: 6 mm}}", "linings.kerf_depth", "pieces"),
    ("outline: {shape: circle, width: 30 mm}, sides: 1 mm, linings: {kerf: 1 mm, kerf_depth: 20 mm}", "linings.kerf",
     "no wood is left"),
    (f"{SIDED}, end_blocks: {{tail: 400 mm, head: 300 mm, tail_thickness: 30 mm, head_thickness: 30 mm}}",
     "end_blocks.tail", "blocks meet"),
    ("outline: {shape: rectangle, length: 300 mm, width: 90 mm}, sides: 3 mm, end_blocks: {tail: 300 mm}",
     "end_blocks.tail", "more than the whole side"),
    (f"{CIRCLE}, sound_holes: [{{shape: circle, at: [-9 in, 0], long: 1 in}}]", "sound_holes[0].at", "outside"),
    (f"{CIRCLE}, sound_holes: [{{shape: circle, at: [0, 0], long: 1 in}}]", "sound_holes[0].at", "across the edge"),
    (f"{SIDED}, sound_holes: [{{shape: circle, at: [16 mm, 0], long: 30 mm}}]", "sound_holes[0].at", "over the sides"),
    (f"{CIRCLE}, sound_holes: [{{shape: circle, at: [3 in, 5 mm], long: 1 in, mirrored: yes}}]", "sound_holes[0].at",
     "mirror image"),
    (f"{CIRCLE}, sound_holes: [{{shape: circle, at: [3 in, 0], long: 1 in}}, {{shape: circle, at: [4 in, 0], "
     "long: 2 in}]", "sound_holes[1].at", "sound hole 1"),
    (f"{CIRCLE}, sound_holes: [{{shape: circle, at: [3 in, 0], long: 1 in, wide: 2 in}}]", "sound_holes[0].wide",
     "as wide as"),
]  # fmt: skip


@pytest.mark.parametrize(("body", "field", "said"), IMPOSSIBLE)
def test_the_impossible_is_an_error_at_its_field(body: str, field: str, said: str) -> None:
    _, findings = work_out_body(spec_of(f"  body: {{{body}}}\n"), {"bad.svg": "no"})
    errors = [finding for finding in findings if finding.severity == "error"]
    assert [finding.field for finding in errors] == [f"spec.body.{field}"]
    assert said in errors[0].message
    assert errors[0].code in CODES


def test_plates_thicker_than_the_body() -> None:
    text = "  wood: {soundboard: {finished: 30 mm}, back: {finished: 30 mm}}\n"
    _, findings = worked(f"{text}  body: {{{CIRCLE}, depth: {{tail: 50 mm}}}}\n")
    assert next((finding.severity, finding.field) for finding in findings) == ("error", "spec.body.depth")


@pytest.mark.parametrize(("scale", "said"), [("34 in", "before the tail end"), ("10 in", "beyond the head end")])
def test_a_saddle_off_the_body(scale: str, said: str) -> None:
    body = f"  scale_length: {scale}\n  fretboard: {{nut_from_tail: 30 in}}\n  body: {{{CIRCLE}}}\n"
    results, findings = worked(body)
    assert results.saddle_mm is None
    assert [finding.field for finding in findings] == ["spec.fretboard.nut_from_tail"]
    assert said in findings[0].message


@pytest.mark.parametrize(("at", "said"), [("32 mm, 0", "end block"), ("150 mm, 0", ""), ("150 mm, 40 mm", "")])
def test_a_hole_over_a_block_is_doubtful(at: str, said: str) -> None:
    body = (
        "outline: {shape: rectangle, length: 400 mm, width: 160 mm}, sides: 3 mm, end_blocks: {tail: 30 mm}, "
        f"linings: {{width: 8 mm}}, sound_holes: [{{shape: circle, at: [{at}], long: 20 mm}}]"
    )
    results, findings = worked(f"  body: {{{body}}}\n")
    assert len(results.holes) == 1
    warnings = [finding for finding in findings if finding.severity == "warning"]
    assert [(finding.field, finding.code) for finding in warnings] == (
        [("spec.body.sound_holes[0].at", "doubtful")] if said else []
    )
    assert all(said in finding.message for finding in warnings)


def test_places_have_signs_and_come_in_pairs() -> None:
    hole = "  body: {outline: {shape: circle, width: 12 in}, sound_holes: [{shape: circle, at: [%s], long: 1 in}]}\n"
    for text, mm in (("-1 1/2 in", -38.1), ("−1.5", -38.1), ("+2 cm", 20.0), ("0", 0.0)):
        body = spec_of(hole % f"3 in, {text}").body
        assert body
        assert body.sound_holes[0].at[1].mm == pytest.approx(mm)
    for text, said in (("3 in", "write 2 values in [ ]"), ("3, 4, 5", "write 2 values in [ ]"), ("3, --4", "sign")):
        read = read_bytes((HEAD + hole % text).encode(), "x.yaml", Pattern, "in")
        assert read.value is None
        assert any(said in problem.hint + problem.message for problem in read.problems)


HALF = [
    ("depth: {tail: 2 in}", "spec.body", "add outline"),
    ("outline: {length: 9 in}", "spec.body.outline", "half_widths, points, shape or traced"),
    ("outline: {shape: teardrop, length: 9 in}", "spec.body.outline.shape", "add width and widest_at"),
    (f"{CIRCLE}, linings: {{width: 6 mm}}", "spec.body.sides", "add sides"),
    (f"{SIDED}, depth: {{tail: 2 in}}", "spec.body.depth", "wood of the soundboard"),
    (f"{SIDED}, sound_holes: [{{shape: circle, at: [3 in, 0], long: 1 in}}]", "spec.body.depth", "add depth"),
    (f"{SIDED}, sound_holes: [{{shape: heart, at: [3 in, 0], long: 1 in}}], depth: {{tail: 2 in, measured: inside}}",
     "spec.body.sound_holes[0]", "add wide"),
    (f"{SIDED}, sound_holes: [{{shape: circle, at: [3 in, 0], long: 1 in}}], depth: {{tail: 2 in, measured: inside}}",
     "spec.body.sound_holes", "wood of the soundboard"),
    (f"{SIDED}, linings: {{kerf: 1 mm}}", "spec.body.linings", "add kerf_depth"),
    (f"{SIDED}, end_blocks: {{tail: 2 in}}", "spec.body.end_blocks.tail", "tail_thickness"),
    (f"{CIRCLE}, depth: {{tail: 2 in, measured: inside}}", "spec.body.sides", "add sides"),
]  # fmt: skip


@pytest.mark.parametrize(("body", "field", "hint"), HALF)
def test_half_a_sum_names_what_it_lacks(body: str, field: str, hint: str) -> None:
    _, findings = work_out_body(spec_of(f"  body: {{{body}}}\n"))
    hints = [finding for finding in findings if finding.field == field]
    assert [(each.severity, each.code) for each in hints] == [("hint", "half-known")]
    assert hint in hints[0].hint
    assert not [finding for finding in findings if finding.severity == "error"]


def picture(path: str) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" viewBox="0 0 100 100"><path d="{path}"/></svg>'


@pytest.mark.parametrize(
    ("tail_at", "path"),
    [("left", "M0 20L80 10V60L0 50Z"), ("right", "M80 50L0 60V10L80 20Z"),
     ("bottom", "M20 80L10 0H60L50 80Z"), ("top", "M50 0L60 80H10L20 0Z")],
)  # fmt: skip
def test_a_traced_outline_lies_with_its_tail_to_the_left(tail_at: str, path: str) -> None:
    text = f"  body: {{outline: {{traced: a.svg, length: 800 mm, tail_at: {tail_at}}}}}\n"
    results, findings = worked(text, {"a.svg": picture(path)})
    assert findings == ()
    assert results.outline.length_mm == pytest.approx(800)
    assert results.outline.width_mm == pytest.approx(500)
    assert sorted(y for x, y in results.outline.spots if x < 1) == pytest.approx([-150, 150])
    assert results.sides
    assert results.sides.sides.tail_face


def test_the_bass_side_of_a_picture_with_its_tail_below_is_to_the_left() -> None:
    lopsided = "M20 80L0 40L20 0H50V80Z"
    results, _ = worked("  body: {outline: {traced: a.svg, tail_at: bottom}}\n", {"a.svg": picture(lopsided)})
    x, y = max(results.outline.spots, key=lambda spot: spot[1])
    assert (x, y) == pytest.approx((40, 25))


def test_traced_outlines_lie_in_a_folder_of_their_own(tmp_path: Path) -> None:
    (tmp_path / "outlines").mkdir()
    (tmp_path / "outlines" / "a.svg").write_text(picture("M0 0L9 0 9 9z"), encoding="utf-8")
    (tmp_path / "outlines" / "b.svg").write_bytes(b"\xff\xfe\xff")
    (tmp_path / "outlines" / "c.txt").write_text("x", encoding="utf-8")
    (tmp_path / "outlines" / "d.svg").mkdir()
    assert list(read_outlines(tmp_path)) == ["a.svg"]
    assert not read_outlines(tmp_path / "nowhere")


@settings(max_examples=40)
@given(
    st.sampled_from([
        "shape: ellipse, length: 1 mm, width: 3 m", "shape: circle, width: 3 m", "shape: circle, width: 1 mm",
        "shape: rectangle, length: 3 m, width: 1 mm", "shape: trapezoid, length: 1 mm, tail_width: 0, head_width: 3 m",
        "shape: teardrop, length: 3 m, width: 1 mm, widest_at: 1 mm",
        "shape: hourglass, length: 900 mm, width: 300 mm, widest_at: 200 mm, waist: 30 mm, waist_at: 400 mm, "
        "upper_bout: 200 mm, upper_bout_at: 600 mm",
    ]),
    st.sampled_from(["0.3 mm", "5 mm", "60 mm"]), st.sampled_from(["5 mm", "600 mm"]),
    st.sampled_from(["2 mm", "400 mm"]), st.sampled_from(["1 mm", "50 mm"]), st.sampled_from(["0.1 mm", "6 mm"]),
    st.sampled_from(["-3 m", "0", "20 mm", "3 m"]), st.sampled_from(["1 mm", "600 mm"]),
)  # fmt: skip
def test_the_extremes_of_every_field_give_results_or_findings(
    outline: str, sides: str, depth: str, block: str, lining: str, kerf: str, at: str, hole: str
) -> None:
    text = (
        f"  wood: {{soundboard: {{finished: 0.2 mm}}, back: {{finished: 0.2 mm}}}}\n"
        f"  body: {{outline: {{{outline}}}, sides: {sides}, depth: {{tail: {depth}, head: 5 mm}},\n"
        f"    end_blocks: {{tail: {block}, head: {block}, tail_thickness: {block}}},\n"
        f"    linings: {{width: {lining}, height: {lining}, kerf: {kerf}, kerf_depth: {lining}, strip: 50 mm}},\n"
        f"    sound_holes: [{{shape: slot, at: [{at}, {at}], long: {hole}, wide: 1 mm, mirrored: yes, tilt: -180}}]}}\n"
    )
    spec = spec_of(text)
    results, findings = work_out_body(spec)
    assert all(finding.code in CODES for finding in findings)
    for unit in ("in", "mm"):
        body_of(results, spec, unit)
        body_for_the_bench_of(results, spec, unit)
    drawing = body_drawing_of(results)
    assert drawing is None or "nan" not in body_svg(drawing, name="x")
