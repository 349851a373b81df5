"""Glue-ups, coats, clamps and cutting lists of whole records: full, half, nearly empty, and impossible."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.answers import Missing
from builder.calculations.clamping import GlueRun
from builder.calculations.cutting import Piece
from builder.calculations.gluing import JointMoments
from builder.publish.cutting import cutting_for_the_bench_of
from builder.publish.gluing import clamping_for_the_bench_of, gluing_for_the_bench_of
from builder.reading.folder import read_bytes
from builder.reading.room_log import read_room_log
from builder.record import Record
from builder.results.clamping import clamp_findings, rim_runs, work_out_clamping
from builder.results.cutting import CuttingResults, put_together, work_out_cutting
from builder.results.gluing import GluingResults, work_out_gluing
from builder.results.strings import courses_of
from builder.shop import Billet, BilletSize, Shop
from builder.units import PASCALS_PER_PSI

SHOP = """
format: 1
name: Sandpiper Workshop
maker: Ada Ferrow
units: inches
rules: [{name: tape, marks: 1/32 in}]
working_rule: tape
finish_schedules:
  oil: {product: oil varnish, between_coats: 20 h, cured: 14 days, least_temperature: 60 F, most_humidity: 60 %}
"""
LABELS = """
glues:
  yellow glue: {kind: aliphatic, open_time: 5 min, clamps_off: 1 h, bears_load: 24 h, wood_moisture: [6 %, 10 %],
                pressure: [100 psi, 150 psi]}
clamps: {spacing: 3 in, force: 60 lb, count: 16}
room_limits: {temperature: [60 F, 80 F], humidity: [35 %, 55 %]}
allowances: {length: 1 in, width: 1/4 in, thickness: 1/16 in, kerf: 1/8 in, waste: 20 %}
"""
RECORD = "format: 1\nserial: 2026-014\nkind: mountain dulcimer\n"


def shop(text: str = LABELS) -> Shop:
    read = read_bytes((SHOP + text).encode(), "shop.yaml", Shop, "in")
    assert read.value, read.problems
    return read.value


def record(text: str) -> Record:
    read = read_bytes((RECORD + text).encode(), "record.yaml", Record, "in")
    assert read.value, read.problems
    return read.value


def gluing(text: str, log: str = "", shop_text: str = LABELS) -> tuple[GluingResults, list[tuple[str, str, str]]]:
    each = record(text)
    room = read_room_log(log.encode(), "room.csv")[0] if log else None
    results, findings = work_out_gluing(each.build, each.spec, shop(shop_text), room)
    assert isinstance(results, GluingResults)
    return results, [(finding.severity, finding.field, finding.message) for finding in findings]


def test_an_empty_record_says_nothing() -> None:
    assert work_out_gluing(record("").build, record("").spec, shop("")) == (Missing(("build.glue_ups",)), ())
    results, findings = work_out_cutting(record("").spec, shop(""), {}, (), Missing(("spec.frets",)))
    assert isinstance(results, Missing)
    assert not findings


def test_the_label_leads_and_the_kind_fills_in() -> None:
    results, findings = gluing("build: {glue_ups: [{parts: [a, b], at: 2026-03-04 14:30, glue: Yellow Glue}]}")
    joint = results.joints[0]
    assert joint.moments == JointMoments(datetime(2026, 3, 4, 15, 30), datetime(2026, 3, 5, 14, 30), None)
    assert joint.leads == ("label", "label", None)
    assert gluing_for_the_bench_of(results, "in").tables[0].table.rows[0][3] == "5 min"
    assert not findings
    results, _ = gluing("build: {glue_ups: [{parts: [a, b], at: 2026-03-04 14:30, glue: casein glue}]}")
    moments = results.joints[0].moments
    assert isinstance(moments, JointMoments)
    assert moments.clamps_off == datetime(2026, 3, 4, 22, 30)
    assert results.joints[0].leads == ("typical", "typical", "typical")
    shown = gluing_for_the_bench_of(results, "in")
    assert any("(typical)" in str(cell) for cell in shown.tables[0].table.rows[0])
    assert any("lime" in caution for caution in shown.cautions)


def test_an_unknown_glue_is_wanting_its_label() -> None:
    results, findings = gluing("build: {glue_ups: [{parts: [a, b], at: 2026-03-04 14:30, glue: grandfather's}]}")
    assert isinstance(results.joints[0].moments, Missing)
    assert gluing_for_the_bench_of(results, "in").wanting
    assert not findings


@pytest.mark.parametrize(
    ("more", "severity", "field", "words"),
    [
        ("temperature: 50 F", "warning", "temperature", "colder than the shop's room limits allow: 50 °F (10 °C)"),
        ("temperature: 38 F", "hint", "temperature", "colder than is typical"),
        (
            "humidity: 70 %",
            "warning",
            "humidity",
            "damper than the shop's room limits allow: 70 % against at most 55 %",
        ),
        ("wood_moisture: 12 %", "warning", "wood_moisture", "the wood was damper than the label"),
        ("clamps_off: 2026-03-04 15:00", "warning", "clamps_off", "came off before 2026-03-04 15:30"),
        ("clamps_off: 2026-03-04 14:00", "error", "clamps_off", "before the joint was closed"),
    ],
)
def test_what_a_joint_should_not_be(more: str, severity: str, field: str, words: str) -> None:
    _, findings = gluing(f"build: {{glue_ups: [{{parts: [a], at: 2026-03-04 14:30, glue: yellow glue, {more}}}]}}")
    assert any(each[:2] == (severity, f"build.glue_ups[0].{field}") and words in each[2] for each in findings), findings


def test_the_room_log_speaks_where_the_record_is_silent() -> None:
    text = "build: {glue_ups: [{parts: [a], at: 2026-03-04 14:30, glue: yellow glue, temperature: 68 F}]}"
    log = "time,temperature,humidity\n2026-03-04 13:00,40 F,70 %\n2026-03-05 14:00,68 F,45 %\n"
    _, findings = gluing(text, log)
    assert [each[1] for each in findings] == ["build.glue_ups[0].at"]
    assert "by the room log damper" in findings[0][2]
    _, findings = gluing(text, log.replace("13:00", "08:00"))
    assert not findings


def test_a_coat_too_soon_whatever_the_order_of_writing() -> None:
    text = """
spec: {finish: {schedule: oil}}
build:
  coats:
    - {at: 2026-04-03 10:00, product: Oil varnish thinned by half}
    - {at: 2026-04-02 16:00, product: oil varnish}
    - {at: 2026-04-03 12:00, product: beeswax}
"""
    results, findings = gluing(text)
    assert [coat.of_schedule for coat in results.coats] == [True, True, False]
    assert [(each[0], each[1]) for each in findings] == [
        ("warning", "build.coats[0].at"),
        ("warning", "build.coats[2].at"),
    ]
    assert "2 h before" in findings[0][2]
    assert any("catch fire" in caution for caution in gluing_for_the_bench_of(results, "in").cautions)


def test_the_clamps_of_the_shop_on_a_rim() -> None:
    text = "build: {glue_ups: [{parts: [back, sides], at: 2026-03-04 14:30, glue: yellow glue}]}"
    runs = rim_runs("soundboard", 62 * 25.4, 0.09 * 25.4, 0.375 * 25.4)
    results, _ = work_out_clamping(record(text).build, shop(), runs, {})
    assert not isinstance(results, Missing)
    lined, bare = results.runs
    assert (lined.needed, lined.used, bare.needed) == (21, 16, 21)
    assert lined.pressure_pa == pytest.approx(60 * 16 / (62 * 0.465) * PASCALS_PER_PSI)
    assert bare.pressure_pa == pytest.approx(60 * 16 / (62 * 0.09) * PASCALS_PER_PSI)
    assert lined.wanted is None
    named = GlueRun("back", 62 * 25.4, 0.465 * 25.4, closed=True, parts=("back", "sides"))
    results, _ = work_out_clamping(record(text).build, shop(), [named], {"back": 0.6})
    assert not isinstance(results, Missing)
    assert results.runs[0].wanted is not None
    assert (results.runs[0].wanted.leads, results.runs[0].squeeze) == ("label", "too little")
    results, _ = work_out_clamping(record("").build, shop(), [named], {"back": 0.55, "sides": 0.40})
    assert not isinstance(results, Missing)
    assert results.runs[0].wanted is not None
    assert results.runs[0].wanted.woods == "softwoods"
    assert clamping_for_the_bench_of(results, "in").tables[0].table.rows[0][3:5] == (21, 16)


@pytest.mark.parametrize(
    ("text", "field", "severity"),
    [
        ("clamps: {force: 60 lb}", "clamps", "hint"),
        ("clamps: {spacing: 3 in}", "clamps", "hint"),
        ("room_limits: {humidity: [55 %, 35 %]}", "room_limits.humidity", "error"),
        ("glues: {g: {pressure: [150 psi, 100 psi]}}", "glues.g.pressure", "error"),
        ("glues: {g: {clamps_off: 5 h, bears_load: 2 h}}", "glues.g.bears_load", "error"),
    ],
)
def test_what_is_half_or_wrong_in_the_shop_file(text: str, field: str, severity: str) -> None:
    assert [(each.field, each.severity) for each in clamp_findings(shop(text))] == [(field, severity)]
    assert not list(clamp_findings(shop()))


WOOD = """
spec:
  strings: [D3 22w, A3 12, D4 10 x2]
  hardware: {nut: bone}
  wood:
    back: {billet: W-1, length: 29 in, width: 7 in, joined_from: 2, rough: 1/4 in, finished: 0.1 in}
    sides: {species: walnut, length: 31 in, width: 2 in, finished: 0.085 in}
"""


def cutting(text: str) -> tuple[CuttingResults, list[tuple[str, str, str]]]:
    read = read_bytes(b"size: {length: 36 in, width: 5 in, thickness: 1 in}\nspecies: cherry", "", Billet, "in").value
    assert read is not None
    assert read.size != BilletSize()
    spec = record(text).spec
    more = (Piece("brace 1", 1, 200, 8, 12, species="spruce"), Piece("back", 9, 1, 1, 1))
    results, findings = work_out_cutting(
        spec, shop(), {"W-1": read}, courses_of(spec, {}), Missing(("spec.frets",)), more
    )
    assert isinstance(results, CuttingResults)
    return results, [(each.severity, each.field, each.message) for each in findings]


def test_a_list_and_a_batch_of_three() -> None:
    results, findings = cutting(WOOD.replace("finished: 0.085", "pieces: 2, finished: 0.085"))
    assert not findings
    assert [(each.piece.part, each.piece.count) for each in results.pieces] == [
        ("back", 2),
        ("sides", 2),
        ("brace 1", 1),
    ]
    assert results.strings == (("22w", 1), ("12", 1), ("10", 2))
    assert dict(results.board_feet_by_species)["cherry"] == pytest.approx(2 * 30.125 * 3.875 * 0.25 * 1.2 / 144)
    batch = put_together([results] * 3)
    assert isinstance(batch, CuttingResults)
    assert batch.instruments == 3
    assert batch.strings == (("22w", 3), ("12", 3), ("10", 6))
    for one, three in zip(results.pieces, batch.pieces, strict=True):
        assert three.piece.count == 3 * one.piece.count
        assert three.board_feet == pytest.approx(3 * one.board_feet)
    shown = cutting_for_the_bench_of(batch, "mm")
    assert shown.lead == "For 3 instruments."
    count, *sizes = map(float, shown.tables[0].table.rows[0][3:6])
    assert count == 6
    assert sizes == pytest.approx([30 * 25.4, 3.75 * 25.4])
    assert put_together([]) == Missing(("instruments",))


@pytest.mark.parametrize(
    ("before", "after", "severity", "words"),
    [
        ("", "", "hint", "how many sides there are"),
        ("rough: 1/4 in, finished: 0.1 in", "rough: 0.05 in, finished: 0.1 in", "error", "thinner than the finished"),
        ("rough: 1/4 in, finished: 0.1 in", "rough: 0.12 in, finished: 0.1 in", "warning", "less to plane"),
        ("length: 29 in", "length: 36 in", "warning", "longer than billet W-1"),
        ("width: 7 in, joined_from: 2", "width: 7 in", "warning", "wider or thicker than billet W-1"),
        (", finished: 0.085 in", "", "hint", "without «finished»"),
    ],
)
def test_what_does_not_fit_and_what_is_half_there(before: str, after: str, severity: str, words: str) -> None:
    _, findings = cutting(WOOD.replace(before, after) if before else WOOD)
    assert any(each[0] == severity and words in each[2] for each in findings), findings


@given(
    st.sampled_from(["0 min", "60 days"]),
    st.sampled_from(["5 mm", "1 m"]),
    st.sampled_from(["0.1 lb", "5000 lb"]),
    st.sampled_from(["1800-01-01 00:00", "2199-12-31 23:59"]),
    st.sampled_from(["0 psi", "2000 psi"]),
    st.sampled_from(["0.1", "6000"]),
)
def test_nothing_raises_at_the_ends_of_what_can_be_written(
    hours: str, spacing: str, force: str, at: str, psi: str, run: str
) -> None:
    text = (
        f"glues: {{g: {{clamps_off: {hours}, bears_load: {hours}, cured: 365 days, pressure: [{psi}, {psi}]}}}}\n"
        f"clamps: {{spacing: {spacing}, force: {force}, count: 1}}\n"
    )
    each = record(f"build: {{glue_ups: [{{parts: [a], at: {at}, glue: g}}], coats: [{{at: {at}, product: oil}}]}}")
    results, _ = work_out_gluing(each.build, each.spec, shop(text))
    assert isinstance(results, GluingResults)
    assert gluing_for_the_bench_of(results, "in").tables
    seam = GlueRun("seam", float(run), float(run), closed=False, parts=("a",))
    clamping, _ = work_out_clamping(each.build, shop(text), [seam], {})
    assert not isinstance(clamping, Missing)
    assert clamping_for_the_bench_of(clamping, "mm").tables
    assert list(clamp_findings(shop(text))) == []
