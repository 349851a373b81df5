"""Setback and set-up from a record: full, half and empty, the impossible with its words, and what is published."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.calculations.answers import Missing
from builder.calculations.frets import FretNumber
from builder.calculations.pitch import Note, read_note
from builder.calculations.rules import Graduation
from builder.calculations.strings import read_course
from builder.lengths import Length, read_length
from builder.limits import Degrees
from builder.plots.setback import setback_svg
from builder.problems import CODES, Finding
from builder.publish.setback import CENTS_TABLE, setback_for_the_bench_of, setback_of
from builder.reading.folder import read_bytes
from builder.record import FretSpec, MultiScale, Record, Spacing, Spec
from builder.record.as_built import AsBuilt, FretPositions
from builder.record.setup import SetupSpec
from builder.record.strings import LongCourse
from builder.record.words import NameInShop
from builder.results.as_built import work_out_as_built
from builder.results.frets import work_out_frets
from builder.results.setback import SetbackResults, work_out_setback
from builder.results.spacing import work_out_spacing
from builder.results.string_heights import HeightResults, work_out_string_heights
from builder.results.string_loads import work_out_string_loads
from builder.results.strings import courses_of, work_out_strings
from builder.shop import FretWire, Rule, Shop


def inches(text: str) -> Length:
    return read_length(text, "in")


def at(**clearances: str) -> dict[FretNumber, Length]:
    """`at(_1="0.012 in", _7="0.095 in")`."""
    return {FretNumber(2 * int(name[1:])): inches(text) for name, text in clearances.items()}


CLEARANCE = at(_1="0.012 in", _7="0.095 in")
SETUP = SetupSpec(clearance=CLEARANCE, string_tails=(inches("2 in"), inches("4 in")))
WIRES = {"medium": FretWire(crown_height=inches("0.043 in"))}
SHOP = Shop("1", "S", "M", "inches", (Rule("bench", Graduation(Fraction(1, 64), "in")),), "bench", fret_wires=WIRES)
WOUND = LongCourse(string=read_course("D3 22w"), core=inches("0.011 in"), wrap=inches("0.0055 in"))
FRETS = FretSpec("diatonic", last=FretNumber(34), add=(FretNumber(13),), wire=NameInShop("medium"))
SPEC = Spec(
    scale_length=inches("27 in"),
    frets=FRETS,
    strings=(WOUND, read_course("A3 12"), read_course("D4 10 x2")),
    spacing=Spacing(inches("1 in"), inches("1 1/4 in"), pair_gap=inches("0.1 in")),
    setup=SETUP,
)


@dataclass(frozen=True)
class Worked:
    heights: HeightResults | Missing
    setback: SetbackResults | Missing
    findings: tuple[Finding, ...]

    @property
    def sure_heights(self) -> HeightResults:
        assert isinstance(self.heights, HeightResults), self.findings
        return self.heights

    @property
    def sure(self) -> SetbackResults:
        assert isinstance(self.setback, SetbackResults), self.findings
        return self.setback

    def only(self) -> Finding:
        (finding,) = self.findings
        assert finding.code in CODES
        return finding


def work(
    spec: Spec = SPEC, shop: Shop = SHOP, as_built: AsBuilt | None = None, cents: Mapping[Note, float] | None = None
) -> Worked:
    as_built = as_built or AsBuilt()
    frets, _ = work_out_frets(spec, shop)
    strings, _ = work_out_strings(spec, shop, frets)
    spacing, _ = work_out_spacing(spec, courses_of(spec, shop.string_sets))
    loads, _ = work_out_string_loads(spec, shop, frets, strings, spacing)
    heights, of_heights = work_out_string_heights(spec, shop, as_built, frets, strings, spacing)
    measured, _ = work_out_as_built(as_built, frets, shop)
    setback, of_setback = work_out_setback(spec, frets, heights, loads, measured, cents or {})
    return Worked(heights, setback, (*of_heights, *of_setback))


def with_setup(**given: Any) -> Spec:
    return replace(SPEC, setup=replace(SETUP, **given))


def test_a_full_record() -> None:
    worked = work()
    results = worked.sure
    assert worked.findings == ()
    assert [str(each.above.string) for each in results.strings] == ["D3 22w", "A3 12", "D4 10"]
    assert results.left_out == ()
    for each in results.strings:
        assert each.pinned_mm < each.best_mm < each.clamped_mm
        assert each.taken_mm == each.best_mm
        assert each.at_best.worst < each.without.worst
        assert each.as_sawn is not None
        assert each.as_measured is None
        assert each.nut_to_saddle_mm == pytest.approx(27 * 25.4 + each.best_mm)


def test_heights_are_those_of_the_line_through_the_clearances() -> None:
    """Similar triangles: 0.012 in at 2.9457 in, 0.095 in at 13.5 in (diatonic 1 and 7 are tone and octave)."""
    first = 27 * (1 - 2 ** (-2 / 12))
    rise = (0.095 - 0.012) / (13.5 - first)
    line = work().sure_heights.strings[0]
    assert line.line.at_nut_mm / 25.4 == pytest.approx(0.012 - rise * first)
    assert line.saddle_mm / 25.4 == pytest.approx(0.012 + rise * (27 - first))


def test_bass_and_treble_clearances_and_the_strings_between() -> None:
    heights = work(with_setup(clearance_treble=at(_1="0.010 in", _7="0.075 in"))).sure_heights.strings
    octave = [each.line.above_crowns_mm(13.5 * 25.4) / 25.4 for each in heights]
    assert octave[0] == pytest.approx(0.095)
    assert octave[-1] == pytest.approx(0.075)
    assert octave == sorted(octave, reverse=True)
    middle = heights[1]
    assert octave[1] == pytest.approx(0.095 - 0.020 * middle.across)


def test_one_straight_saddle_costs_something_and_is_taken_when_it_is_asked_for() -> None:
    stepped, straight = work().sure, work(with_setup(straight_saddle=True)).sure
    assert straight.decided == "straight"
    for one, other in zip(stepped.strings, straight.strings, strict=True):
        assert other.taken_mm == other.straight_mm == one.straight_mm
        squares = [sum(c**2 for c in each.lead if c is not None) for each in (one.at_best, other.at_taken)]
        assert squares[0] <= squares[1] + 1e-9
    ends = (straight.straight_bass_mm, straight.straight_treble_mm)
    assert min(ends) <= straight.strings[1].straight_mm <= max(ends)


def test_setbacks_that_are_given_are_taken() -> None:
    one = work(with_setup(setbacks=(inches("0.1 in"),))).sure
    assert [each.taken_mm for each in one.strings] == pytest.approx([2.54] * 3)
    assert one.decided == "given"
    each_own = work(with_setup(setbacks=(inches("3 mm"), inches("2 mm"), inches("1 mm")))).sure
    assert [each.taken_mm for each in each_own.strings] == [3, 2, 1]


def test_a_nut_that_may_move_leaves_less() -> None:
    still, moved = work().sure, work(with_setup(nut_setback=True)).sure
    for one, other in zip(still.strings, moved.strings, strict=True):
        assert one.nut_mm == 0 != other.nut_mm
        assert other.at_best.worst < one.at_best.worst


def test_strings_that_do_not_slide_want_more() -> None:
    sliding, held = work().sure, work(with_setup(slides=False)).sure
    assert all(b.best_mm > a.best_mm for a, b in zip(sliding.strings, held.strings, strict=True))


def test_measured_cents_lead() -> None:
    """A saddle set 2 mm back and an octave 3 cents sharp: the sums agree, and ask for more than 2 mm."""
    results = work(with_setup(setbacks=(inches("2 mm"),)), cents={read_note("A3"): 3.0}).sure
    wound, measured, _ = results.strings
    octave = results.frets.index("7")
    assert measured.measured_cents == 3.0
    assert wound.measured_cents is None
    for band in (measured.at_taken.lead, measured.at_taken.pinned, measured.at_taken.clamped):
        assert band[octave] == pytest.approx(3.0, abs=1e-6)
    assert measured.best_mm > 2


def test_measured_cents_that_cannot_be_are_left_out_with_a_warning() -> None:
    worked = work(cents={read_note("A3"): -60.0})
    finding = worked.only()
    assert finding.severity == "warning"
    assert finding.field == "as_built.setup.cents_at_octave.A3"
    assert "flatter than this string could sound" in finding.message
    assert worked.sure.strings[1].best_mm == work().sure.strings[1].best_mm


def test_measured_cents_of_a_string_without_an_octave_fret() -> None:
    spec = replace(
        SPEC,
        frets=FretSpec("diatonic", last=FretNumber(12)),
        setup=replace(SETUP, clearance=at(_1="0.3 mm", _5="2 mm")),
    )
    finding = work(spec, cents={read_note("A3"): 2.0}).only()
    assert finding.severity == "warning"
    assert "no fret under A3 is its octave" in finding.message


def test_a_partial_fret_counts_for_its_own_courses_only() -> None:
    spec = replace(SPEC, frets=replace(FRETS, partial={FretNumber(13): (2, 3)}))
    wound, other, _ = work(spec).sure.strings
    half = work(spec).sure.frets.index("6½")
    assert wound.at_best.lead[half] is None
    assert other.at_best.lead[half] is not None


WRITTEN = """
format: 1
serial: a
kind: dulcimer
spec:
  setup:
    clearance: {1: 0.012 in, 7: 0.095 in}
    clearance_treble: {1: 0.010 in, 7: 2 mm}
    break_angles: [12, 8°]
    string_tails: [2 in, 4 in]
    slides: yes
    setbacks: [1/8 in, 3 mm, 2 mm]
    straight_saddle: no
    nut_setback: no
"""


def test_the_setup_is_read_as_it_is_written() -> None:
    read = read_bytes(WRITTEN.encode(), "record.yaml", Record, "in")
    assert read.problems == ()
    assert read.value
    setup = read.value.spec.setup
    assert setup
    assert dict(setup.clearance) == CLEARANCE
    assert list(setup.break_angles) == [12.0, 8.0]
    assert setup.slides
    assert not setup.nut_setback
    assert [each.mm for each in setup.setbacks] == [3.175, 3, 2]
    wrong = read_bytes(WRITTEN.replace("0.095 in", "2 in").encode(), "record.yaml", Record, "in")
    assert [each.code for each in wrong.problems] == ["out-of-range"]


def test_frets_as_measured() -> None:
    places = [each.from_nut_mm for fret in _frets().frets for each in fret.places]
    moved = tuple(Length.from_mm(each + 0.4) for each in places)
    results = work(as_built=AsBuilt(fret_positions=FretPositions(values=moved))).sure
    for each in results.strings:
        assert each.as_measured is not None
        for sharp, exact in zip(each.as_measured.lead, each.at_taken.lead, strict=True):
            assert sharp is not None
            assert exact is not None
            assert sharp > exact


def _frets() -> Any:
    frets, _ = work_out_frets(SPEC, SHOP)
    return frets


def test_a_board_of_two_scale_lengths_and_a_short_string() -> None:
    two = replace(SPEC, scale_length=MultiScale(inches("27 in"), inches("25 in"), FretNumber(14)))
    strings = work(two).sure.strings
    assert strings[0].above.sounding_mm > strings[1].above.sounding_mm > strings[2].above.sounding_mm
    banjo = replace(SPEC, strings=(read_course("G4 10 from 3"), read_course("D4 12")), spacing=None)
    short, whole = work(banjo).sure.strings
    assert short.above.frets[0] == 3
    assert short.without.lead[:3] == (None, None, None)
    assert whole.without.lead[0] is not None


def test_a_zero_fret_needs_one_clearance() -> None:
    spec = replace(with_setup(clearance=at(_7="0.095 in")), frets=replace(FRETS, zero_fret=True))
    assert work(spec).sure_heights.strings[0].line.at_nut_mm == pytest.approx(0, abs=1e-12)


# What is not there, and what cannot be


@pytest.mark.parametrize("spec", [Spec(), Spec(setup=SetupSpec()), replace(SPEC, setup=None)])
def test_nothing_written_nothing_said(spec: Spec) -> None:
    worked = work(spec)
    assert worked.findings == ()
    assert isinstance(worked.setback, Missing)
    assert setback_of(worked.setback, "in") is None
    assert setback_for_the_bench_of(worked.setback, worked.heights, "in") is None


@pytest.mark.parametrize(
    ("spec", "field", "hint"),
    [
        (Spec(setup=SETUP), "spec.setup.clearance", "spec.scale_length"),
        (replace(SPEC, strings=()), "spec.setup.clearance", "spec.strings"),
        (with_setup(clearance={}), "spec.setup", "write clearance: at two frets"),
    ],
)
def test_half_a_record_says_what_is_wanting(spec: Spec, field: str, hint: str) -> None:
    finding = work(spec).only()
    assert (finding.severity, finding.field, finding.code) == ("hint", field, "half-known")
    assert hint in finding.hint


def test_strings_whose_core_nobody_knows_are_left_out_with_the_reason() -> None:
    strings = (read_course("D3 22w"), read_course("A3 25g"), read_course("D4 10"))
    worked = work(replace(SPEC, strings=strings, spacing=None))
    assert [str(each.above.string) for each in worked.sure.strings] == ["D4 10"]
    bench = setback_for_the_bench_of(worked.setback, worked.heights, "in")
    assert bench
    assert [each.partition(":")[0] for each in bench.wanting] == ["D3 22w", "A3 25g"]


@pytest.mark.parametrize(
    ("given", "field", "words"),
    [
        ({"clearance": at(_1="0.012 in", _7="0.095 in", _14="0.1 in")}, "clearance", "3 clearances are named"),
        ({"clearance": at(_7="0.095 in")}, "clearance", "only one fret is named"),
        ({"clearance": at(_1="0.012 in", _40="0.095 in")}, "clearance.40", "there is no fret 40"),
        ({"clearance_treble": at(_7="0.095 in")}, "clearance_treble", "only one fret is named"),
        ({"clearance": {}, "clearance_treble": CLEARANCE}, "clearance", "no clearance is named"),
        ({"clearance": at(_1="0.5 in", _7="0.01 in")}, "clearance", "would lie on fret"),
        ({"clearance": at(_15="0.02 in", _17="0.2 in")}, "clearance", "would lie on fret 1"),
        ({"clearance": at(_15="0.2 in", _17="0.12 in")}, "clearance", "come down to the frets before the saddle"),
        ({"clearance": at(_1="0.012 in", _7="0.45 in")}, "clearance", "would lie below the board at the nut"),
        ({"string_tails": (Length.from_mm(20),)}, "string_tails", "there is 1 string tail"),
        ({"setbacks": (Length.from_mm(2), Length.from_mm(1))}, "setbacks", "there are 2 setbacks for 3 courses"),
    ],
)
def test_the_impossible_is_said(given: dict[str, Any], field: str, words: str) -> None:
    worked = work(with_setup(**given))
    finding = worked.only()
    assert finding.severity == "error"
    assert finding.field == f"spec.setup.{field}"
    assert words in finding.message
    assert finding.hint
    assert isinstance(worked.setback, Missing)


def test_a_string_that_is_nearly_a_bar_is_doubtful() -> None:
    strings = (read_course("D2 150"), read_course("D4 10"))
    worked = work(replace(SPEC, strings=strings, spacing=None))
    finding = worked.only()
    assert finding.severity == "warning"
    assert "D2 150" in finding.message
    assert [str(each.above.string) for each in worked.sure.strings] == ["D4 10"]


lengths = st.integers(0, 15_000).map(lambda each: Length(Fraction(each, 1000)))
anything = st.builds(
    SetupSpec,
    clearance=st.dictionaries(st.integers(0, 36).map(FretNumber), lengths, min_size=2, max_size=2),
    clearance_treble=st.dictionaries(st.integers(0, 36).map(FretNumber), lengths, max_size=2),
    break_angles=st.lists(st.floats(0, 80).map(Degrees), max_size=3).map(tuple),
    string_tails=st.lists(st.integers(0, 1000).map(Length.from_mm), max_size=3).map(tuple),
    slides=st.booleans(),
    setbacks=st.lists(st.integers(0, 30).map(Length.from_mm), max_size=3).map(tuple),
    straight_saddle=st.booleans(),
    nut_setback=st.booleans(),
)


@settings(max_examples=60, deadline=None)
@given(
    anything,
    st.lists(
        st.sampled_from(["D3 22", "A3 12", "C0 200", "B8 5", "D4 10 x2", "G4 30n", "G3 18 + G4 9"]),
        min_size=1,
        max_size=4,
    ),
    st.integers(100, 2500),
    st.floats(-100, 100),
)  # fmt: skip
def test_nothing_raises_whatever_is_written(setup: SetupSpec, strings: list[str], scale_mm: int, cents: float) -> None:
    spec = replace(
        SPEC, setup=setup, strings=tuple(map(read_course, strings)), scale_length=Length.from_mm(scale_mm), spacing=None
    )
    worked = work(spec, cents={read_note("A3"): cents, read_note("D3"): -cents})
    buyer = setback_of(worked.setback, "mm")
    bench = setback_for_the_bench_of(worked.setback, worked.heights, "in")
    assert (buyer is None) == isinstance(worked.setback, Missing)
    if not isinstance(worked.setback, Missing):
        assert bench
        assert all(each.measured_cents in (None, cents, -cents) for each in worked.setback.strings)


# Published


def test_what_the_buyer_sees() -> None:
    results = work().sure
    figures = setback_of(results, "in")
    assert figures
    assert [fact.title for fact in figures.facts] == [f"Nut to saddle, {each}" for each in ("D3 22w", "A3 12", "D4 10")]
    first = results.strings[0]
    assert f"{first.nut_to_saddle_mm / 25.4:.3f} in, {first.best_mm / 25.4:.3f} in longer" in figures.facts[0].said
    assert "worked out, not measured" in figures.lead
    measured = setback_of(work(cents={read_note(n): 2.0 for n in ("D3", "A3", "D4")}).sure, "in")
    assert measured
    assert "worked out, not measured" not in measured.lead
    assert "measured at the octave of D3, A3 and D4" in measured.lead


def test_what_the_bench_sees_in_inches_and_in_millimetres() -> None:
    worked = work()
    inch, metric = (setback_for_the_bench_of(worked.setback, worked.heights, unit) for unit in ("in", "mm"))
    assert inch
    assert metric
    assert [each.key for each in inch.tables] == ["heights", "setbacks", CENTS_TABLE, "as_sawn"]
    for one, other in zip(inch.tables[:2], metric.tables[:2], strict=True):
        for column, *cells in zip(one.table.columns, one.table.rows[0], other.table.rows[0], strict=True):
            if column.unit == "in":
                assert float(cells[1]) == pytest.approx(25.4 * float(cells[0]), abs=1e-4)
            else:
                assert cells[0] == cells[1]
    heights = {c.key: cell for c, cell in zip(inch.tables[0].table.columns, inch.tables[0].table.rows[0], strict=True)}
    assert float(heights["nut_over_board"]) == pytest.approx(float(heights["nut_over_crowns"]) + 0.043, abs=2e-6)
    no_wire = work(shop=replace(SHOP, fret_wires={}))
    bench = setback_for_the_bench_of(no_wire.setback, no_wire.heights, "in")
    assert bench
    assert bench.wanting[0].startswith("crown_height:")


def test_the_plot_has_a_line_and_a_band_for_every_string_and_the_same_bytes_each_time() -> None:
    worked = work()
    bench = setback_for_the_bench_of(worked.setback, worked.heights, "in")
    assert bench
    table = next(each for each in bench.tables if each.key == CENTS_TABLE)
    svg = setback_svg(table, name="Heron")
    assert svg == setback_svg(table, name="Heron")
    assert svg.count("opacity: 0.14") == 3
    for name in ("D3 22w", "A3 12", "D4 10"):
        assert f">{name}<" in svg
    worst = max(abs(float(row[1])) for row in table.table.rows)
    assert f"At worst, D3 22w: {worst:.1f} cents" in svg
    empty = replace(table, table=replace(table.table, rows=tuple((row[0], *[""] * 9) for row in table.table.rows)))
    assert "0.0 cents" in setback_svg(empty, name="Heron")
