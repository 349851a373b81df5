"""End angles and braces of whole, half and empty records, the impossible with its words, and what is published."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.calculations.answers import Missing
from builder.calculations.rules import Graduation
from builder.lengths import Length, Position
from builder.limits import Degrees
from builder.problems import Finding
from builder.publish.bracing import bracing_for_the_bench_of, bracing_of
from builder.published import Figures
from builder.record import Spec
from builder.record.body import (
    BodySpec,
    BraceSpec,
    DepthSpec,
    EndBlocksSpec,
    LiningsSpec,
    OutlineSpec,
    SoundHoleSpec,
)
from builder.results.body import work_out_body
from builder.results.bracing import BracingResults, work_out_bracing
from builder.shop import Rule, Shop
from builder.workshop import open_shop

BLOCKS = tuple(Degrees(each) for each in (3.0, 5.0, 7.5, 10.0, 12.0))
RULES = (Rule("bench rule", Graduation(Fraction(1, 64), "in")),)
SHOP = Shop("1", "Shop", "Maker", "millimetres", RULES, "bench rule", angle_blocks=BLOCKS)


def mm(number: float) -> Length:
    return Length.from_mm(Fraction(number).limit_denominator(10**6))


def at(x: float, y: float) -> tuple[Position, Position]:
    return Position(Fraction(x).limit_denominator(10**6)), Position(Fraction(y).limit_denominator(10**6))


#: A body with straight sides: 160 mm wide at the tail, 60 mm at the head, over 500 mm; arctan 0.1 = 5.71°.
TAPERED = OutlineSpec(shape="trapezoid", length=mm(500), tail_width=mm(160), head_width=mm(60))
ROUND = OutlineSpec(shape="circle", width=mm(300))


def results(body: BodySpec, shop: Shop = SHOP) -> tuple[BracingResults | Missing, tuple[Finding, ...]]:
    spec = Spec(body=body)
    return work_out_bracing(spec, shop, work_out_body(spec)[0])


def known(body: BodySpec, shop: Shop = SHOP) -> BracingResults:
    answer, findings = results(body, shop)
    assert isinstance(answer, BracingResults), answer
    assert not [each for each in findings if each.severity == "error"], findings
    return answer


def bench(body: BodySpec, shop: Shop = SHOP) -> Figures:
    figures = bracing_for_the_bench_of(results(body, shop)[0], shop.unit)
    assert figures is not None
    return figures


def brace(starts: tuple[float, float], ends: tuple[float, float], **more: Any) -> BraceSpec:
    return BraceSpec(**{"plate": "back", "starts": at(*starts), "ends": at(*ends), "width": mm(8), **more})


def hole_at(x: float, y: float, long_mm: float = 30, **more: Any) -> SoundHoleSpec:
    return SoundHoleSpec(**{"at": at(x, y), "shape": "circle", "long": mm(long_mm), **more})


def cells(figures: Figures, key: str) -> list[dict[str, str | float]]:
    table = next(each.table for each in figures.tables if each.key == key)
    return [dict(zip((column.key for column in table.columns), row, strict=True)) for row in table.rows]


# Nothing, half, whole


def test_an_empty_record_says_what_is_missing_and_shows_nothing() -> None:
    assert work_out_bracing(Spec(), SHOP, Missing(("spec.body",))) == (Missing(("spec.body",)), ())
    answer, findings = results(BodySpec(outline=ROUND))
    assert answer == Missing(("spec.body.end_blocks", "spec.body.braces"))
    assert findings == ()
    assert bracing_of(answer) is None
    assert bracing_for_the_bench_of(answer, "mm") is None


def test_braces_without_an_outline_name_it() -> None:
    answer, (hint,) = results(BodySpec(braces=(brace((100, -20), (100, 20)),)))
    assert answer == Missing(("spec.body.outline",))
    assert (hint.code, hint.severity, hint.field) == ("half-known", "hint", "spec.body.braces")
    assert hint.hint == "add outline to body"


def test_end_blocks_without_an_outline_are_hinted_at_with_the_body() -> None:
    _, findings = work_out_body(Spec(body=BodySpec(end_blocks=EndBlocksSpec(tail=mm(50)))))
    assert [(each.severity, each.hint) for each in findings] == [("hint", "add outline")]
    assert results(BodySpec(end_blocks=EndBlocksSpec(tail=mm(50))))[1] == ()


def test_a_brace_without_a_width_names_it() -> None:
    answer, (hint,) = results(BodySpec(outline=ROUND, braces=(brace((100, -20), (100, 20), width=None),)))
    assert isinstance(answer, Missing)
    assert (hint.severity, hint.field, hint.hint) == ("hint", "spec.body.braces[0]", "add width")


def test_end_angles_of_straight_sides() -> None:
    """Right triangle: arctan(50/500) = 5.7106°; the tail narrows inwards, the head widens."""
    found = known(BodySpec(outline=TAPERED, end_blocks=EndBlocksSpec(tail=mm(60), head=mm(40))))
    assert [(each.end, each.side) for each in found.ends] == [
        ("tail", "bass"), ("tail", "treble"), ("head", "bass"), ("head", "treble"),
    ]  # fmt: skip
    tail, head = found.ends[0], found.ends[2]
    assert tail.angle.to_centre_line_degrees == pytest.approx(-5.7106, abs=5e-5)
    assert head.angle.to_centre_line_degrees == pytest.approx(5.7106, abs=5e-5)
    assert head.angle.to_end_face_degrees == pytest.approx(84.2894, abs=5e-5)
    assert head.block is not None
    assert (head.block.block_degrees, head.block.opens) == (5.0, "inner")
    assert head.block.gap_mm == pytest.approx(0.496, abs=5e-4)  # 40 · tan 0.7106°


def test_a_round_end_has_an_angle_and_no_block() -> None:
    """Elements III.32: on a circle of radius 150 a joint of 60 mm from the centre line lies at 90° − 60/300 rad."""
    blocks = EndBlocksSpec(tail=mm(60), tail_thickness=mm(30))
    found = known(BodySpec(outline=ROUND, end_blocks=blocks))
    assert found.ends[0].block is None
    assert found.ends[0].angle.to_end_face_degrees == pytest.approx(11.459, abs=0.01)
    (row,) = cells(bench(BodySpec(outline=ROUND, end_blocks=blocks)), "end_angles")
    assert "block" not in row
    assert (row["end"], row["side"]) == ("tail", "both")


def test_without_a_drawer_there_is_no_word_of_blocks() -> None:
    body = BodySpec(outline=TAPERED, end_blocks=EndBlocksSpec(tail=mm(60)))
    bare = Shop("1", "Shop", "Maker", "inches", RULES, "bench rule")
    (row,) = cells(bench(body, bare), "end_angles")
    assert set(row) == {"end", "side", "glued", "to_centre_line", "to_end_face", "off_straight"}
    assert row["glued"] == pytest.approx(60 / 25.4, abs=1e-6)


def whole() -> BodySpec:
    return BodySpec(
        outline=TAPERED,
        depth=DepthSpec(mm(50)),
        sides=mm(2),
        end_blocks=EndBlocksSpec(tail=mm(60), head=mm(40)),
        linings=LiningsSpec(width=mm(8), plates=("back",)),
        sound_holes=(hole_at(150, 30, mirrored=True), hole_at(350, 0)),
        braces=(
            brace((150, -60), (150, 60), name="tail bar"),
            brace((250, -51), (250, 51)),
            brace((300, 20), (400, 20), plate="soundboard", mirrored=True),
        ),
    )


def test_a_whole_body() -> None:
    found = known(whole())
    assert [(each.entry, each.is_mirror_image) for each in found.braces] == [
        (0, False), (1, False), (2, False), (2, True),
    ]  # fmt: skip
    tail_bar, second, along, image = found.braces
    # Half width at 150 mm is 80 − 15 = 65; the side is 2 mm thick, measured square: 2 / cos 5.71° = 2.010 mm across.
    assert tail_bar.fitted is not None
    assert tail_bar.fitted.length_mm == pytest.approx(2 * (65 - 2 * (1 + 0.1**2) ** 0.5), abs=1e-3)
    assert tail_bar.within_linings_mm == pytest.approx(2 * (65 - 10 * (1 + 0.1**2) ** 0.5), abs=1e-3)
    bevels = [bevel for bevel in tail_bar.bevels if bevel]
    assert [(round(each.degrees, 2), each.longer_towards) for each in bevels] == [(5.71, "tail"), (5.71, "tail")]
    assert tail_bar.reach == "into the linings"
    assert tail_bar.clearance_mm is None
    assert [each.entry for each in tail_bar.seen_through] == [0, 0]
    # A strip of 8 mm across the middle of a circle of 15 mm radius covers (2r²·asin(h/r) + 2h·√(r² − h²)) / πr².
    assert tail_bar.seen_through[0].part == pytest.approx(0.3355, abs=5e-4)
    assert second.seen_through == ()
    assert along.clearance_mm == image.clearance_mm == pytest.approx(20 - 4 - 15, abs=0.01)
    assert along.nearest_hole == 1
    assert along.within_linings_mm is None  # no lining on the soundboard
    assert [each.to_linings_mm for each in found.holes] == [None] * 3


def test_what_the_bench_reads() -> None:
    figures = bench(whole())
    tail_bar, second, along, image = cells(figures, "braces")
    assert (tail_bar["brace"], second["brace"], image["brace"]) == ("tail bar", "brace 2", "brace 3, mirror image")
    assert tail_bar["bevel_at_start"] == "5.7°, longer towards the tail"
    assert tail_bar["seen_through"] == "hole 1 (34 % of it) and hole 1, mirror image (34 % of it)"
    assert (tail_bar["clearance"], along["nearest_hole"]) == ("–", "hole 2")
    assert (along["inside_sides"], along["bevel_at_end"]) == ("–", "–")  # it stops well short of both ends
    tail, head = cells(figures, "end_angles")
    assert (tail["side"], tail["block"], head["block"], head["opens"]) == ("both", "5°", "5°", "the inner edge")
    assert any(note.startswith("Into the lining, which is let out for it: tail bar") for note in figures.notes)
    assert len(cells(figures, "around_sound_holes")) == 3


def test_what_a_buyer_reads() -> None:
    figures = bracing_of(results(whole())[0])
    assert figures is not None
    (fact,) = figures.facts
    assert (fact.title, fact.said) == ("Braces", "2 on the soundboard and 2 on the back")
    assert not figures.tables
    assert bracing_of(results(BodySpec(outline=TAPERED, end_blocks=EndBlocksSpec(tail=mm(60))))[0]) is None


def test_the_unit_of_the_shop_changes_no_number_but_how_it_is_said() -> None:
    imperial = Shop("1", "Shop", "Maker", "inches", RULES, "bench rule", angle_blocks=BLOCKS)
    assert results(whole())[0] == results(whole(), imperial)[0]
    in_mm, in_inches = (cells(bench(whole(), shop), "braces")[0]["length"] for shop in (SHOP, imperial))
    assert isinstance(in_mm, float)
    assert in_inches == pytest.approx(in_mm / 25.4, abs=1e-6)


# What cannot be


def severities(body: BodySpec) -> list[tuple[str, str, str]]:
    return [(each.severity, each.field, each.message) for each in results(body)[1]]


def test_a_brace_across_a_hole_of_its_own_plate_only() -> None:
    def body(plate: str) -> BodySpec:
        return BodySpec(
            outline=TAPERED, sound_holes=(hole_at(200, 0, 60),), braces=(brace((200, -50), (200, 50), plate=plate),)
        )

    ((severity, field, message),) = severities(body("soundboard"))
    assert (severity, field) == ("error", "spec.body.braces[0]")
    assert message == "this brace runs across sound hole 1 of the same plate"
    assert results(body("soundboard"))[1][0].hint == "move it or shorten it by 34 mm or more"
    assert severities(body("back")) == []


def test_a_brace_out_of_the_body_and_into_the_side() -> None:
    def body(half: float, **more: Any) -> BodySpec:
        return BodySpec(outline=ROUND, sides=mm(3), braces=(brace((150, -half), (150, half), **more),))

    assert severities(body(160)) == [("error", "spec.body.braces[0]", "this brace reaches out of the body")]
    assert results(body(160))[1][0].hint == "from side to side it is 294 mm long there"
    assert severities(body(148.5)) == [("warning", "spec.body.braces[0]", "this brace reaches into the side")]
    assert severities(body(146.9)) == []
    away = BodySpec(outline=ROUND, braces=(brace((900, -20), (900, 20)),))
    assert severities(away) == [("error", "spec.body.braces[0]", "this brace reaches out of the body")]


def test_a_mirror_image_out_of_a_lopsided_body() -> None:
    cutaway = OutlineSpec(
        points=(at(0, 100), at(400, 100), at(400, -20), at(200, -100), at(0, -100)), joined="straight"
    )
    body = BodySpec(outline=cutaway, braces=(brace((300, 70), (380, 70), mirrored=True),))
    assert severities(body) == [
        ("error", "spec.body.braces[0]", "the mirror image of this brace reaches out of the body")
    ]
    symmetrical = BodySpec(outline=TAPERED, braces=(brace((300, 70), (380, 70), mirrored=True),))
    assert len(severities(symmetrical)) == 1


def test_a_brace_of_no_length_and_one_that_is_its_own_mirror_image() -> None:
    nowhere = BodySpec(outline=ROUND, braces=(brace((150, 0), (150, 0)),))
    assert severities(nowhere) == [("error", "spec.body.braces[0]", "this brace starts and ends at one place")]
    itself = BodySpec(outline=ROUND, braces=(brace((150, -40), (150, 40), mirrored=True),))
    assert [each[:2] for each in severities(itself)] == [("warning", "spec.body.braces[0].mirrored")]
    assert len(known(itself).braces) == 1


def test_a_hole_near_the_edge_or_over_the_lining() -> None:
    near = BodySpec(outline=ROUND, sides=mm(3), sound_holes=(hole_at(150, 128, 30),))
    assert severities(near) == [
        ("warning", "spec.body.sound_holes[0].at", "this sound hole leaves little wood at the edge of its plate")
    ]
    lined = BodySpec(outline=ROUND, sides=mm(3), linings=LiningsSpec(width=mm(10)), sound_holes=(hole_at(150, 124),))
    ((severity, _, message),) = severities(lined)
    assert (severity, message) == (
        "warning", "this sound hole lies partly over the lining, which would show and be cut",
    )  # fmt: skip
    assert known(lined).holes[0].to_linings_mm == pytest.approx(137 - 15 - 124, abs=0.02)
    assert known(lined).holes[0].to_edge_mm == pytest.approx(150 - 15 - 124, abs=0.02)


def test_a_block_longer_than_the_side_or_round_a_corner() -> None:
    long = BodySpec(outline=OutlineSpec(shape="trapezoid", length=mm(100), tail_width=mm(160), head_width=mm(160)),
                    end_blocks=EndBlocksSpec(tail=mm(120)))  # fmt: skip
    assert severities(long) == [("error", "spec.body.end_blocks.tail", "the side is shorter than the block")]
    kite = OutlineSpec(points=(at(0, 0), at(60, 50), at(300, 0), at(60, -50)), joined="straight")
    bent = BodySpec(outline=kite, end_blocks=EndBlocksSpec(tail=mm(100)))
    ((severity, field, message),) = severities(bent)
    assert (severity, field) == ("warning", "spec.body.end_blocks.tail")
    assert message.startswith("the side turns a corner within the length of the block")


# As it is written

RECORD = """
format: 1
serial: 2026-001
kind: mountain dulcimer
spec:
  body:
    outline: {half_widths: [[0 in, 2 1/4 in], [7 in, 3 5/8 in], [16 in, 2 1/8 in], [28 in, 1 1/4 in]]}
    sides: 0.090 in
    end_blocks: {tail: 2 1/4 in, head: 1 3/4 in}
    linings: {width: 1/4 in}
    sound_holes: [{at: [8 in, 2 in], shape: ellipse, long: 1 1/4 in, wide: 3/4 in, tilt: 10, mirrored: yes}]
    braces:
      - {plate: back, starts: [10 in, -2 7/8 in], ends: [10 in, 2 7/8 in], width: 1/4 in}
      - {plate: soundboard, starts: [8 in, -2 in], ends: [8 in, 2 in], width: 1/4 in}
"""
SHOP_FILE = """
format: 1
name: Shop
maker: Maker
units: inches
rules: [{name: bench rule, marks: 1/64 in}]
working_rule: bench rule
angle_blocks: [3, 5, 7.5°, 10 degrees, 12]
"""


def test_records_and_shop_file_are_read_and_a_crossing_brace_is_found(tmp_path: Path) -> None:
    folder = tmp_path / "records" / "instruments" / "2026-001"
    folder.mkdir(parents=True)
    (folder / "record.yaml").write_text(RECORD, encoding="utf-8")
    (tmp_path / "records" / "shop.yaml").write_text(SHOP_FILE, encoding="utf-8")
    workshop = open_shop(tmp_path, private_files=False)
    assert workshop.shop is not None
    assert workshop.shop.angle_blocks == BLOCKS
    spec = workshop.instruments[0].record.spec
    answer, findings = work_out_bracing(spec, workshop.shop, work_out_body(spec)[0])
    assert isinstance(answer, BracingResults)
    assert [(each.severity, each.field) for each in findings] == [("error", "spec.body.braces[1]")]
    assert all(end.block is not None for end in answer.ends if abs(end.angle.to_centre_line_degrees) < 20)
    tail = answer.ends[0].angle
    assert 8 < tail.to_centre_line_degrees < 20


# Any record that can be read

coordinates = st.floats(-3000, 3000)
any_brace = st.builds(
    lambda a, b, c, d, width, plate, mirrored: brace((a, b), (c, d), width=mm(width), plate=plate, mirrored=mirrored),
    coordinates, coordinates, coordinates, coordinates, st.floats(1, 100), st.sampled_from(["back", "soundboard"]),
    st.booleans(),
)  # fmt: skip
any_outline = st.one_of(
    st.just(TAPERED),
    st.builds(lambda w: OutlineSpec(shape="circle", width=mm(w)), st.floats(1, 3000)),
    st.builds(
        lambda a, b, c: OutlineSpec(half_widths=((mm(0), mm(a)), (mm(200), mm(b)), (mm(500), mm(c)))),
        st.floats(0, 1000), st.floats(1, 1000), st.floats(0, 1000),
    ),
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(any_outline, st.lists(any_brace, max_size=3), st.floats(2, 400), st.floats(0.3, 60), st.floats(1, 50))
def test_nothing_raises_and_what_is_shown_has_one_cell_a_column(
    outline: OutlineSpec, braces: list[BraceSpec], glued: float, side: float, lining: float
) -> None:
    body = BodySpec(
        outline=outline,
        sides=mm(side),
        end_blocks=EndBlocksSpec(tail=mm(glued), head=mm(glued), tail_thickness=mm(20), head_thickness=mm(20)),
        linings=LiningsSpec(width=mm(lining)),
        sound_holes=(hole_at(250, 0, 40),),
        braces=tuple(braces),
    )
    answer, _ = results(body)
    for unit in ("in", "mm"):
        figures = bracing_for_the_bench_of(answer, "in" if unit == "in" else "mm")
        for table in figures.tables if figures else ():
            assert all(len(row) == len(table.table.columns) for row in table.table.rows)
