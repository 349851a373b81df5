"""Strings of a record, tuned: what is known of each, what is said of what is not, and what must break."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.answers import Missing
from builder.lengths import Unit
from builder.problems import CODES, Finding
from builder.publish.string_loads import gauge_in_words, string_loads_for_the_bench_of, string_loads_of
from builder.published import Figures
from builder.reading.folder import read_bytes
from builder.record import Record, Spec
from builder.record.strings import LongCourse, StringMaterialName
from builder.results.frets import work_out_frets
from builder.results.spacing import work_out_spacing
from builder.results.string_loads import StringLoadResults, work_out_string_loads
from builder.results.strings import courses_of, work_out_strings
from builder.shop import Shop
from builder.tables.string_materials import STRING_MATERIALS
from builder.units import NEWTONS_PER_POUND

SHOP = """
format: 1
name: A
maker: B
units: inches
rules: [{name: r, marks: 1/64 in}]
working_rule: r
string_sets: {long: [D3 22w, A3 12, D4 10 x2]}
string_stock:
  22w: {core: 0.012 in, wrap: 0.005 in, core_shape: hex, core_material: steel, wrap_material: phosphor bronze}
  11: {}
  14: {}
"""
RECORD = "format: 1\nserial: a-1\nkind: dulcimer\nspec:\n"


def shop_of(text: str = SHOP) -> Shop:
    read = read_bytes(text.encode(), "shop.yaml", Shop, "in")
    assert read.value is not None, read.problems
    return read.value


def spec_of(text: str) -> Spec:
    body = "".join(f"  {line}\n" for line in text.strip().splitlines())
    read = read_bytes((RECORD + body).encode(), "record.yaml", Record, "in")
    assert read.value is not None, read.problems
    return read.value.spec


def worked(text: str, shop: Shop | None = None) -> tuple[StringLoadResults | Missing, tuple[Finding, ...]]:
    spec, shop = spec_of(text), shop or shop_of()
    frets, _ = work_out_frets(spec, shop)
    strings, _ = work_out_strings(spec, shop, frets)
    spacing, _ = work_out_spacing(spec, courses_of(spec, shop.string_sets))
    return work_out_string_loads(spec, shop, frets, strings, spacing)


def loads(text: str, shop: Shop | None = None) -> StringLoadResults:
    results, _ = worked(text, shop)
    assert isinstance(results, StringLoadResults)
    return results


FULL = """
scale_length: 27 in
frets: {layout: diatonic, last: 14}
strings: [D3 22w, A3 12, D4 10 x2]
tunings: [D3 A3 D4, D3 G3 D4]
setup: {break_angles: [12, 8]}
bridge: {kind: floating, height: 0.75 in}
wished_tension: 18 lb
"""


def test_a_full_record_is_worked_out_whole() -> None:
    results, findings = worked(FULL)
    assert isinstance(results, StringLoadResults)
    assert findings == ()
    assert results.wanting == ()
    assert [load.known.basis for load in results.strings if load.known] == ["worked out"] * 4
    assert results.total is not None
    assert results.total.newtons == pytest.approx(sum(load.pull.newtons for load in results.strings if load.pull))
    assert results.saddle is not None
    assert results.saddle.newtons == pytest.approx(sum(results.saddle.by_course_newtons))
    assert [each.tuning.notes[1].letter for each in results.tunings] == ["A", "G"]
    assert results.tunings[1].newtons < results.tunings[0].newtons
    assert [str(each.nearest) for each in results.wished] == ["22w", "14", "11"]
    middle = results.strings[1]
    assert middle.share == pytest.approx(52.154 / 189.662, abs=1e-3)
    assert str(middle.highest) == "F4"


def test_an_empty_record_says_what_is_missing() -> None:
    assert worked("scale_length: 27 in") == (Missing(("spec.strings",)), ())
    assert worked("strings: [D4 10]") == (Missing(("spec.scale_length",)), ())
    assert worked("scale_length: 27 in\nstrings: [D4, A3]") == (Missing(("spec.strings",)), ())
    for each in (string_loads_of, string_loads_for_the_bench_of):
        assert each(Missing(("spec.strings",)), "in") == Figures()


def test_a_string_of_the_long_form_is_a_string() -> None:
    spec = spec_of("scale_length: 27 in\nstrings: [{string: D3 22w x2, unit_weight: 1.6 g/m}, D4 10]")
    assert isinstance(spec.strings[0], LongCourse)
    assert str(spec.strings[0].note) == "D3"
    assert [len(course.strings) for course in courses_of(spec, {})] == [2, 1]


def test_a_measured_weight_wins_and_the_stock_fills_in_the_core() -> None:
    load = loads("scale_length: 27 in\nstrings: [{string: D3 22w, unit_weight: 1.6 g/m}]").strings[0]
    assert load.known is not None
    assert (load.known.basis, load.known.weight.kg_per_m if load.known.weight else None) == ("measured", 0.0016)
    assert load.known.core is not None
    assert load.known.core.shape == "hex"


def test_an_unknown_wound_string_is_an_estimate_and_says_what_it_wants() -> None:
    results = loads("scale_length: 27 in\nstrings: [D3 24w, D4 10]")
    wound = results.strings[0]
    assert wound.pull is not None
    assert wound.pull.is_a_band
    assert (wound.share, wound.stress_mpa, wound.highest) == (None, None, None)
    assert results.wanting == (
        "D3 24w: core: and wrap: of this string, in the record or in string_stock of the shop file",
    )
    figures = string_loads_of(results, "in")
    assert " to " in str(figures.tables[0].table.rows[0][4])
    assert any("estimate" in note for note in figures.notes)
    assert figures.facts[0].said.startswith("about ")


def test_beside_nylon_a_wound_string_must_be_weighed() -> None:
    results = loads("scale_length: 650 mm\nstrings: [D3 29w, G3 40n]")
    assert [load.pull is None for load in results.strings] == [True, False]
    assert results.total is None
    assert "unit_weight" in results.wanting[0]


@pytest.mark.parametrize("share", [60, 75, 100])
def test_a_string_that_must_break_is_an_error_at_its_line(share: int) -> None:
    """Steel breaks near G♯4 on 27 in: 2668 MPa at least, ρ(2Lf)² at A4 2866 MPa."""
    shop = shop_of(f"{SHOP}breaking_share: {share} %\n")
    _, findings = worked("scale_length: 27 in\nstrings: [D3 22w, A4 10]", shop)
    assert [(each.code, each.field, each.severity) for each in findings] == [("impossible", "spec.strings[1]", "error")]
    assert "it must break" in findings[0].message
    assert "lower" in findings[0].hint


def test_near_breaking_is_a_warning_with_a_caution() -> None:
    results, findings = worked("scale_length: 27 in\nstrings: [F#4 10]")
    assert [(each.code, each.severity) for each in findings] == [("doubtful", "warning")]
    assert "eye protection" in findings[0].hint
    assert "slowly" in string_loads_of(results, "in").cautions[0]


def test_a_tuning_that_breaks_a_string_is_told_at_the_tuning() -> None:
    _, findings = worked("scale_length: 27 in\nstrings: [D3 22w, D4 10 x2]\ntunings: [D3 D4, D3 A4]")
    assert [(each.code, each.field) for each in findings] == [("impossible", "spec.tunings[1]")]


def test_a_rough_strength_never_proves_a_break() -> None:
    _, findings = worked("scale_length: 27 in\nstrings: [A4 20g]")
    assert [each.severity for each in findings] == ["warning"]
    _, findings = worked("scale_length: 27 in\nstrings: [{string: A4 20g, breaking_load: 5 lb}]")
    assert [each.severity for each in findings] == ["error"]


@pytest.mark.parametrize(
    ("more", "code", "severity"),
    [
        ("strings: [{string: D4 10, core: 0.005 in}]", "does-not-fit", "warning"),
        ("strings: [{string: D3 22w, core: 0.012 in, wrap: 0.009 in}]", "does-not-fit", "warning"),
        ("strings: [{string: D3 24w, core: 0.030 in}]", "does-not-fit", "error"),
        ("strings: [D4 10]\nwished_tension: [18 lb, 20 lb]", "does-not-fit", "error"),
        ("strings: [D4 10]\nsetup: {break_angles: [12]}", "does-not-fit", "error"),
        ("strings: [D4 10]\nbridge: {kind: glued, height: 0.5 in}", "half-known", "hint"),
    ],
)
def test_what_does_not_agree_is_said(more: str, code: str, severity: str) -> None:
    _, findings = worked(f"scale_length: 27 in\n{more}")
    assert [(each.code, each.severity) for each in findings] == [(code, severity)]
    assert findings[0].code in CODES


def test_a_short_string_and_two_scale_lengths_have_their_own_length() -> None:
    frets = "frets: {layout: chromatic, last: 17}"
    banjo = loads(f"scale_length: 26 in\n{frets}\nstrings: [G4 10 from 5, D3 20]")
    assert banjo.strings[0].sounding_mm == pytest.approx(26 * 25.4 * 2 ** (-5 / 12))
    fan = "scale_length: {bass: 27 in, treble: 25 in, square_at: 7}"
    spaced = "spacing: {at_nut: 1.5 in, at_saddle: 2 in, rule: equal centres}"
    for more in ("", f"\n{frets}\n{spaced}"):
        found = [load.sounding_mm for load in loads(f"{fan}\nstrings: [D3 20, A3 14, D4 10]{more}").strings]
        assert found == pytest.approx([27 * 25.4, 26 * 25.4, 25 * 25.4], rel=2e-4)
    short = loads("scale_length: 26 in\nstrings: [G4 10 from 5, D3 20]")
    assert "spec.frets" in short.wanting[0]


@given(
    st.integers(5, 200), st.sampled_from(["", "w", "n", "f", "g", "b", "p"]), st.sampled_from(["C1", "D3", "A4", "B8"])
)
def test_no_string_raises(gauge: int, make: str, note: str) -> None:
    text = (
        f"scale_length: 2.5 m\nstrings: [{note} {gauge}{make}]\nwished_tension: 1 N\nsetup: {{break_angles: [80, 0]}}"
    )
    results, findings = worked(text)
    assert {each.code for each in findings} <= set(CODES)
    units: tuple[Unit, ...] = ("in", "mm")
    for unit in units:
        for figures in (string_loads_of(results, unit), string_loads_for_the_bench_of(results, unit)):
            for each in figures.tables:
                assert all(len(row) == len(each.table.columns) for row in each.table.rows)
                assert len({column.key for column in each.table.columns}) == len(each.table.columns)


@given(
    st.floats(0.05, 5),
    st.floats(0.05, 5),
    st.sampled_from(["round", "hex"]),
    st.sampled_from(sorted(STRING_MATERIALS)),
    st.sampled_from(sorted(STRING_MATERIALS)),
    st.sampled_from(["w", "", "g"]),
)
def test_no_build_raises(core: float, wrap: float, shape: str, of_core: str, of_wrap: str, make: str) -> None:
    build = f"core: {core:.4f} mm, wrap: {wrap:.4f} mm, core_shape: {shape}, core_material: {of_core}"
    text = f"scale_length: 100 mm\nstrings: [{{string: C1 40{make}, {build}, wrap_material: {of_wrap}}}]"
    results, findings = worked(text)
    assert {each.code for each in findings} <= set(CODES)
    string_loads_for_the_bench_of(results, "mm")


def test_wire_beyond_the_table_is_said_so() -> None:
    results = loads("scale_length: 27 in\nstrings: [C2 64]")
    assert results.strings[0].share is None
    assert any("thicker than the table" in note for note in string_loads_of(results, "in").notes)


def test_what_is_published_says_the_shops_unit_first() -> None:
    results = loads(FULL)
    assert results.total is not None
    for unit, first in (("in", "lb"), ("mm", "N")):
        figures = string_loads_of(results, "in" if unit == "in" else "mm")
        assert figures.facts[0].said.endswith(first)
        assert [column.unit for column in figures.tables[0].table.columns][4] == first
    row = string_loads_of(results, "in").tables[0].table.rows[2]
    assert row[:4] == ("3", "D4", "0.010 in plain steel", 27.0)
    assert row[4] == pytest.approx(64.534 / NEWTONS_PER_POUND, abs=1e-3)
    bench = string_loads_for_the_bench_of(results, "in")
    assert [each.key for each in bench.tables] == ["string_builds", "pull_by_tuning", "saddle_force", "wished_strings"]
    assert [fact.key for fact in bench.facts] == ["total_pull", "saddle_force", "bridge_torque"]
    assert "away from the nut" in bench.facts[2].said


def test_a_gauge_on_the_packet() -> None:
    courses = courses_of(spec_of("strings: [E4 25.5f, D3 22p]"), {})
    gauges = [string.gauge for course in courses for string in course.strings]
    assert [gauge_in_words(gauge) for gauge in gauges if gauge] == [
        "0.0255 in fluorocarbon",
        "0.022 in phosphor bronze",
    ]


def test_the_words_of_a_record_are_the_rows_of_the_table() -> None:
    assert set(get_args(StringMaterialName)) == set(STRING_MATERIALS)


def test_a_gauge_that_is_none_is_refused_in_the_drawer() -> None:
    read = read_bytes(SHOP.replace("  14: {}", "  thick: {}").encode(), "shop.yaml", Shop, "in")
    assert [(problem.code, problem.field) for problem in read.problems] == [("not-understood", "string_stock.thick")]


def test_strings_that_must_all_be_weighed_are_named() -> None:
    results = loads("scale_length: 650 mm\nstrings: [{string: D3 29w, core_material: nylon}]")
    assert "unit_weight" in results.wanting[0]
    assert string_loads_of(results, "mm") == Figures()
    assert string_loads_for_the_bench_of(results, "mm").wanting == results.wanting
