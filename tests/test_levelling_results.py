"""Heights and places from a record's text to what is shown: whole, half written, and everything impossible."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.calculations.answers import Missing
from builder.calculations.rules import Graduation
from builder.limits import Kilograms
from builder.plots.levelling import levelling_svg
from builder.problems import CODES, Finding
from builder.publish.as_built import as_built_for_the_bench_of, as_built_of, weight_in_words
from builder.publish.levelling import heights_of, levelling_for_the_bench_of, levelling_of
from builder.published import Figures
from builder.reading.converters import converters
from builder.reading.folder import read_bytes
from builder.record import Record
from builder.record.as_built import RuleUsed
from builder.results.as_built import AsBuiltResults, work_out_as_built
from builder.results.frets import work_out_frets
from builder.results.levelling import LevellingResults, work_out_levelling
from builder.shop import Shop

SHOP = """
format: 1
name: Sandpiper Workshop
maker: Ada Ferrow
units: inches
rules: [{name: bench rule, marks: 1/64 in}, {name: metric rule, marks: 0.5 mm}]
working_rule: bench rule
fret_wires: {narrow: {crown_height: 0.040 in}}
"""
PLAN = "levelling: {tolerance: 0.002 in, fall_away: {starts_at: 5, by: 0.004 in}, least_crown: 0.030 in}\n"
#: Seven frets of a 27 in diatonic board, 2.946 in to 13.5 in from the nut, and where 64ths come nearest.
SPEC = "spec: {scale_length: 27 in, frets: {layout: diatonic, last: 7, wire: narrow}}\n"
PLACES = "[2 61/64, 5 9/16, 6 49/64, 8 63/64, 10 61/64, 11 27/32, 13 1/2]"
MULTI = "spec: {scale_length: {bass: 27 in, treble: 25.5 in, square_at: 0}, frets: {layout: chromatic, last: 3}}\n"


def shop_of(more: str = "") -> Shop:
    read = read_bytes((SHOP + more).encode(), "shop.yaml", Shop, "in")
    assert read.value is not None, read.problems
    return read.value


def record_of(as_built: str, spec: str = SPEC) -> Record:
    text = f"format: 1\nserial: 2026-014\nkind: mountain dulcimer\n{spec}as_built: {as_built}\n"
    read = read_bytes(text.encode(), "record.yaml", Record, "in")
    assert read.value is not None, read.problems
    return read.value


def worked(
    as_built: str, spec: str = SPEC, shop: Shop | None = None
) -> tuple[AsBuiltResults | Missing, LevellingResults | Missing, tuple[Finding, ...]]:
    shop = shop or shop_of(PLAN)
    record = record_of(as_built, spec)
    frets, _ = work_out_frets(record.spec, shop)
    measured, some = work_out_as_built(record.as_built, frets, shop)
    levelled, more = work_out_levelling(record.as_built, record.spec, frets, shop)
    for figures in (
        as_built_of(record.as_built, measured, shop.unit),
        as_built_for_the_bench_of(measured, shop.unit),
        levelling_of(levelled, shop.unit),
        levelling_for_the_bench_of(levelled, shop.unit),
    ):
        fits(figures)
    heights = heights_of(levelled, shop.unit)
    if heights is not None:
        ET.fromstring(levelling_svg(heights, name="2026-014").replace("&nbsp;", " "))
    findings = (*some, *more)
    assert all(finding.code in CODES for finding in findings)
    return measured, levelled, findings


def fits(figures: Figures | None) -> None:
    """Every row as wide as its table, and every number one that can be printed."""
    for table in figures.tables if figures else ():
        assert all(len(row) == len(table.table.columns) for row in table.table.rows)
        assert all(math.isfinite(cell) for row in table.table.rows for cell in row if isinstance(cell, float))


def heights(**sides: str) -> str:
    return "{fret_heights: {" + ", ".join(f"{side}: {values}" for side, values in sides.items()) + "}}"


# Reading


def test_a_rule_is_read_by_name_or_by_its_marks_and_heights_with_their_sign() -> None:
    read = converters("in")
    assert read[RuleUsed]("bench rule") == RuleUsed("bench rule", None)
    assert read[RuleUsed]("1/64 in") == RuleUsed("1/64 in", Graduation(Fraction(1, 64), "in"))
    built = record_of(heights(bass="[-0.002, +0.05 mm, 0]")).as_built
    assert built.fret_heights is not None
    assert [each.mm for each in built.fret_heights.bass] == pytest.approx([-0.0508, 0.05, 0])


@pytest.mark.parametrize(
    ("as_built", "words"),
    [
        ("{weight: 5 g}", "outside what is possible"),
        ("{crown_height: 20 mm}", "outside what is possible"),
        ("{fret_heights: {bass: [8 mm]}}", "outside what is possible"),
        ("{setup: {relief: -0.1 mm}}", "sign"),
        ("{setup: {cents_at_octave: {D3: 400}}}", "outside what is possible"),
        ("{fret_position: {values: [1]}}", "not known here"),
    ],
)
def test_what_no_instrument_can_have_is_refused_at_its_line(as_built: str, words: str) -> None:
    text = f"format: 1\nserial: 2026-014\nkind: dulcimer\nas_built: {as_built}\n"
    read = read_bytes(text.encode(), "record.yaml", Record, "in")
    assert read.value is None
    (problem,) = read.problems
    assert problem.line == 4
    assert words in problem.message


# Frets as measured


def test_every_fret_to_the_nearest_mark_is_within_what_the_rule_can_show() -> None:
    """Each place is the nearest 64th of the exact place, so that none can be told from it."""
    measured, _, findings = worked("{fret_positions: {rule: bench rule, values: " + PLACES + "}}")
    assert isinstance(measured, AsBuiltResults)
    assert findings == ()
    assert measured.mark_distance_mm == pytest.approx(25.4 / 64)
    assert measured.unreadable == measured.count == 7
    assert measured.worst_at_least_cents == 0
    assert measured.rms_cents <= abs(measured.worst.error.cents) <= measured.worst_at_most_cents


def test_the_rule_by_its_marks() -> None:
    by_marks, *_ = worked("{fret_positions: {rule: 1/64 in, values: " + PLACES + "}}")
    by_name, *_ = worked("{fret_positions: {rule: bench rule, values: " + PLACES + "}}")
    assert isinstance(by_marks, AsBuiltResults)
    assert isinstance(by_name, AsBuiltResults)
    assert by_marks.worst == by_name.worst
    assert by_marks.rule == "a rule with marks 1/64 in apart"


def test_a_buyer_reads_how_it_measures() -> None:
    shop = shop_of()
    text = (
        "{fret_positions: {rule: bench rule, values: "
        + PLACES.replace("8 63/64", "9 1/16")
        + "}, weight: 2 lb 3 oz, setup: {action: {7: 0.080 in}, relief: 0.004 in, cents_at_octave: {D3: +4, A3: 0}}}"
    )
    record = record_of(text)
    frets, _ = work_out_frets(record.spec, shop)
    measured, _ = work_out_as_built(record.as_built, frets, shop)
    figures = as_built_of(record.as_built, measured, shop.unit)
    assert figures is not None
    said = {fact.key: fact.said for fact in figures.facts}
    assert said["worst_fret"].startswith("8 cents sharp at fret 4; none can be more than 8.7 cents off")
    assert said["rule"] == "bench rule, 1/64 in: each place is sure to ±0.008 in"
    assert (said["action_7"], said["relief"], said["weight"]) == ("0.080 in", "0.004 in", "2 lb 3 oz")
    assert (said["octave_D3"], said["octave_A3"]) == ("4 cents sharp", "true")
    assert figures.tables == ()


def test_nothing_measured_shows_nothing() -> None:
    measured, levelled, findings = worked("{}")
    assert measured == Missing(("as_built.fret_positions",))
    assert levelled == Missing(("as_built.fret_heights",))
    assert findings == ()
    record = record_of("{}")
    assert as_built_of(record.as_built, measured, "in") is None
    assert levelling_for_the_bench_of(levelled, "in") is None


def test_weight_alone_is_shown_in_both_ways() -> None:
    record = record_of("{weight: 1.2 kg}", "")
    figures = as_built_of(record.as_built, Missing(("x",)), "mm")
    assert figures is not None
    assert [(fact.said, fact.also) for fact in figures.facts] == [("1.20 kg", "2 lb 10.5 oz")]
    assert weight_in_words(Kilograms(0.2), "in") == ("7 oz", "200 g")


@pytest.mark.parametrize(
    ("as_built", "spec", "field", "words", "severity"),
    [
        ("{fret_positions: {rule: 1/64 in, values: [3, 5]}}", SPEC, "values", "2 places for 7 frets", "error"),
        (
            "{fret_positions: {rule: 1/64 in, values: " + PLACES.replace("8 63/64", "6") + "}}",
            SPEC, "values[3]", "no further from the nut", "error",
        ),
        (
            "{fret_positions: {rule: 1/64 in, values: " + PLACES.replace("8 63/64", "9 3/16") + "}}",
            SPEC, "values[3]", "fret 4 lies 0.208 in past its place", "warning",
        ),
        (
            "{fret_positions: {rule: 1/64 in, values: " + PLACES.replace("13 1/2", "27") + "}}",
            SPEC, "values[6]", "at the saddle or past it", "error",
        ),
        (
            "{fret_positions: {rule: bench rul, values: " + PLACES + "}}",
            SPEC, "rule", "not among the rules", "error",
        ),
        ("{fret_positions: {values: " + PLACES + "}}", SPEC, "fret_positions", "which rule", "hint"),
        ("{fret_positions: {values: " + PLACES + "}}", "", "fret_positions", "where they belong", "hint"),
        ("{fret_positions: {rule: 1/64 in, values: [1, 2, 3]}}", MULTI, "values", "two scale lengths", "error"),
        ("{setup: {action: {9: 2 mm}}}", SPEC, "action.9", "no fret 9", "error"),
        (heights(bass="[0, 0]"), SPEC, "bass", "2 heights on the bass side for 7 frets", "error"),
        (heights(treble="[0, 0]"), "", "fret_heights", "where the frets lie", "hint"),
        (heights(treble="[0, 0, 0.1, 0, 0, 0, 0]"), SPEC, "treble[2]", "more than 1 mm above", "warning"),
        (heights(bass="[0, 0, 0.015, 0, 0, 0, 0]"), SPEC, "bass[2]", "would leave a crown of 0.027 in", "warning"),
        (
            heights(bass="[0, 0, 0, 0, 0, 0, 0]"),
            SPEC.replace(", wire: narrow", ""), "fret_heights", "how high they are", "hint",
        ),
    ],
)  # fmt: skip
def test_the_impossible_and_the_doubtful(as_built: str, spec: str, field: str, words: str, severity: str) -> None:
    *_, findings = worked(as_built, spec)
    found = [each for each in findings if each.field.endswith(field) and words in each.message]
    assert [each.severity for each in found] == [severity], findings
    assert all(each.hint for each in found)


def test_two_scale_lengths_are_measured_on_both_sides() -> None:
    positions = "{fret_positions: {rule: 0.5 mm, bass: [1.515, 2.945, 4.296], treble: [1.431, 2.782, 4.057]}}"
    measured, _, findings = worked(positions, MULTI)
    assert isinstance(measured, AsBuiltResults)
    assert findings == ()
    assert [column.name for column in measured.columns] == ["bass string", "treble string"]
    assert abs(measured.worst.error.error_mm) < 0.02


# Heights


def test_a_low_fret_is_seated_anew_and_nothing_filed() -> None:
    shop = shop_of()
    record = record_of(heights(bass="[0, 0, 0, -0.012, 0, 0, 0]", treble="[0, 0, 0, 0, 0, 0, 0]"))
    frets, _ = work_out_frets(record.spec, shop)
    levelled, findings = work_out_levelling(record.as_built, record.spec, frets, shop)
    assert isinstance(levelled, LevellingResults)
    assert findings == ()
    bass, treble = levelled.sides
    assert [bass.numbers[each.fret] for each in bass.work.reseat] == ["4"]
    assert sum(bass.work.file_mm) == 0
    assert not any(treble.work.rocks)
    figures = levelling_for_the_bench_of(levelled, "in")
    assert figures is not None
    assert figures.lead == "Seat 1 fret end anew."
    table = next(each.table for each in figures.tables if each.key == "reseat")
    (row,) = table.rows
    assert list(row) == ["1", "bass", "4", pytest.approx(0.012)]
    assert figures.cautions == ()
    assert levelling_of(levelled, "in") is None


def test_a_level_board_tells_the_buyer_so() -> None:
    _, levelled, _ = worked(heights(bass="[0, 0, 0, 0, 0, 0, 0]", treble="[0, 0, 0, 0, 0, 0, 0]"), shop=shop_of())
    figures = levelling_of(levelled, "in")
    assert figures is not None
    assert figures.facts[0].said == "no fret stands more than 0.002 in above its neighbours, on both sides of the board"


def test_crown_left_is_the_crown_less_what_is_filed() -> None:
    _, levelled, findings = worked(heights(bass="[0, 0, 0.006, 0, 0, 0, 0]"))
    assert isinstance(levelled, LevellingResults)
    assert findings == ()
    (bass,) = levelled.sides
    assert bass.crown_left_mm is not None
    for filed, left in zip(bass.work.file_mm, bass.crown_left_mm, strict=True):
        assert filed + left == pytest.approx(0.040 * 25.4)
    assert levelled.fall_away_from == "5"
    assert bass.work.file_mm[-1] == pytest.approx(0.004 * 25.4)


def test_relief_and_hump_are_told_apart() -> None:
    """A dip of 0.006 in is relief; the same turned over rocks nowhere, and is called a hump."""
    dip = "[0, -0.003, -0.004, -0.006, -0.0055, -0.005, 0]"
    for values, sign, word in ((dip, 1, "deep"), (dip.replace("-", ""), -1, "humped")):
        _, levelled, _ = worked(heights(bass=values), shop=shop_of("levelling: {tolerance: 0.02 in}\n"))
        assert isinstance(levelled, LevellingResults)
        assert levelled.sides[0].relief_mm == pytest.approx(sign * 0.006 * 25.4)
        figures = levelling_for_the_bench_of(levelled, "in")
        assert figures is not None
        assert any(fact.key == "relief_bass" and word in fact.said for fact in figures.facts)


def test_a_zero_fret_may_be_among_the_heights() -> None:
    spec = SPEC.replace("last: 7", "last: 7, zero_fret: yes")
    for count in (7, 8):
        _, levelled, _ = worked(heights(bass=str([0] * count)), spec)
        assert isinstance(levelled, LevellingResults)
        assert levelled.sides[0].numbers[0] == ("0" if count == 8 else "1")


def test_a_partial_fret_is_measured_where_it_lies() -> None:
    spec = (
        "spec: {scale_length: 27 in, strings: [D3, A3, D4], "
        "frets: {layout: diatonic, add: [6½], last: 7, partial: {6½: [3]}}}\n"
    )
    _, levelled, findings = worked(heights(bass=str([0] * 7), treble=str([0] * 8)), spec)
    assert isinstance(levelled, LevellingResults)
    assert not any(each.severity == "error" for each in findings)
    assert [len(side.numbers) for side in levelled.sides] == [7, 8]


def test_a_fall_away_past_the_board_is_left_out_and_said() -> None:
    shop = shop_of(PLAN.replace("starts_at: 5", "starts_at: 12"))
    _, levelled, _ = worked(heights(bass="[0, 0, 0, 0, 0, 0, 0]"), shop=shop)
    assert isinstance(levelled, LevellingResults)
    assert levelled.is_level
    figures = levelling_for_the_bench_of(levelled, "in")
    assert figures is not None
    assert any("no frets past fret 12" in note for note in figures.notes)


def test_the_drawing_names_both_sides_and_the_unit() -> None:
    _, levelled, _ = worked(heights(bass="[0, 0, 0, -0.012, 0, 0, 0]", treble="[0, 0, 0.006, 0, 0, 0, 0]"))
    drawn = heights_of(levelled, "in")
    assert drawn is not None
    assert drawn.sides[0].heights[3] == pytest.approx(-12)
    svg = levelling_svg(drawn, name="2026-014")
    assert svg == levelling_svg(drawn, name="2026-014")
    for words in ("bass side, as measured", "treble side, once the work is done", "thousandths of an inch"):
        assert words in svg
    assert re.search(r"<title[^>]*>How high the frets stand.*4 to seat anew", svg)


# Whatever the reader accepts


@settings(max_examples=40)
@given(
    st.lists(st.floats(-6, 6).map(lambda each: f"{each:.4f} mm"), min_size=7, max_size=7),
    st.floats(0, 1),
    st.integers(0, 9),
    st.floats(0, 2),
)
def test_no_heights_trip_the_sums(values: list[str], tolerance: float, starts_at: int, by: float) -> None:
    plan = f"levelling: {{tolerance: {tolerance:.4f} mm, fall_away: {{starts_at: {starts_at}, by: {by:.4f} mm}}}}\n"
    shop = shop_of(plan)
    record = record_of(heights(bass=f"[{', '.join(values)}]"))
    frets, _ = work_out_frets(record.spec, shop)
    levelled, _ = work_out_levelling(record.as_built, record.spec, frets, shop)
    assert isinstance(levelled, LevellingResults)
    assert min(levelled.sides[0].work.file_mm) >= 0
    fits(levelling_for_the_bench_of(levelled, "mm"))


@settings(max_examples=40)
@given(st.lists(st.floats(1, 2500).map(lambda each: f"{each:.3f} mm"), min_size=7, max_size=7), st.booleans())
def test_no_places_trip_the_sums(values: list[str], in_order: bool) -> None:
    values = sorted(values, key=lambda each: float(each.split()[0])) if in_order else values
    shop = shop_of()
    record = record_of("{fret_positions: {rule: 10 mm, values: [" + ", ".join(values) + "]}}")
    frets, _ = work_out_frets(record.spec, shop)
    measured, findings = work_out_as_built(record.as_built, frets, shop)
    assert isinstance(measured, AsBuiltResults) or any(each.severity == "error" for each in findings)
    fits(as_built_for_the_bench_of(measured, "in"))
