"""What is worked out for a record, whole or half written."""

from __future__ import annotations

import dataclasses
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.answers import Missing
from builder.calculations.frets import FretNumber
from builder.calculations.rules import Graduation
from builder.calculations.strings import read_course, read_tuning
from builder.lengths import Length
from builder.limits import Hertz
from builder.record import FretboardSpec, FretSpec, Spec
from builder.results import FretboardResults, FretResults, StringResults, work_out
from builder.shop import Rule, Shop
from builder.workshop import Workshop

RULES = (
    Rule("bench rule", Graduation(Fraction(1, 64), "in")),
    Rule("steel rule", Graduation(Fraction(1, 2), "mm")),
)
SHOP = Shop("1", "Shop", "Maker", "inches", RULES, "steel rule")
FRETS = FretSpec("diatonic", FretNumber(34), (FretNumber(13),))


def frets_of(spec: Spec, shop: Shop = SHOP) -> FretResults:
    frets = work_out(spec, shop).frets
    assert isinstance(frets, FretResults)
    return frets


def test_half_a_record_says_what_is_missing() -> None:
    nothing = work_out(Spec(), SHOP)
    assert nothing.frets == Missing(("spec.scale_length", "spec.frets"))
    assert nothing.fretboard == nothing.frets
    assert nothing.strings == Missing(("spec.strings",))
    assert nothing.findings == ()
    assert work_out(Spec(frets=FRETS), SHOP).frets == Missing(("spec.scale_length",))
    scale_alone = work_out(Spec(scale_length=Length.from_inches(27)), SHOP)
    assert scale_alone.frets == Missing(("spec.frets",))
    no_widths = Spec(scale_length=Length.from_inches(27), frets=FRETS, fretboard=FretboardSpec())
    missing = Missing(("spec.fretboard.width_at_nut", "spec.fretboard.width_at_end"))
    assert work_out(no_widths, SHOP).fretboard == missing


def test_the_fret_chart_has_every_fret_on_every_rule() -> None:
    frets = frets_of(Spec(scale_length=Length.from_inches(27), frets=FRETS))
    assert [str(fret.number) for fret in frets.frets][5:8] == ["6", "6½", "7"]
    assert len(frets.frets) == 18
    assert all(len(fret.places[0].readings) == 2 for fret in frets.frets)
    assert frets.working == 1
    octave = frets.frets[7].places[0]
    assert octave.from_nut_mm == pytest.approx(342.9)
    assert (octave.readings[0].mark, octave.readings[1].mark) == ("13 1/2", "343.0")
    worst = max(abs(fret.places[0].readings[1].cents) for fret in frets.frets)
    assert frets.worst_cents(1) == worst > 0


@given(st.fractions(100, 2500, max_denominator=10_000), st.integers(1, 28))
def test_the_unit_of_the_shop_moves_no_fret(scale_length_mm: Fraction, last: int) -> None:
    in_mm = Spec(scale_length=Length(scale_length_mm, "mm"), frets=FretSpec("diatonic", FretNumber(2 * last)))
    in_inches = dataclasses.replace(in_mm, scale_length=Length.from_inches(scale_length_mm / Fraction("25.4")))
    metric = dataclasses.replace(SHOP, units="millimetres")
    assert frets_of(in_mm).frets == frets_of(in_inches).frets == frets_of(in_mm, metric).frets


@pytest.mark.parametrize(
    ("frets", "field", "code", "left"),
    [
        (FretSpec("diatonic", FretNumber(14), (FretNumber(5),)), "spec.frets.add[0]", "impossible-fret", 7),
        (FretSpec("diatonic", FretNumber(14), (FretNumber(13), FretNumber(14))), "spec.frets.add[1]",
         "impossible-fret", 8),
        (FretSpec("diatonic", FretNumber(14), (FretNumber(15),)), "spec.frets.add[0]", "does-not-fit", 7),
        (FretSpec("diatonic", FretNumber(11)), "spec.frets.last", "impossible-fret", 5),
        (FretSpec("chromatic", FretNumber(24), (FretNumber(3),)), "spec.frets.add[0]", "impossible-fret", 12),
    ],
)  # fmt: skip
def test_a_fret_that_cannot_be_is_a_finding_and_is_left_out(frets: FretSpec, field: str, code: str, left: int) -> None:
    results = work_out(Spec(scale_length=Length.from_mm(650), frets=frets), SHOP)
    assert [(finding.field, finding.code) for finding in results.findings] == [(field, code)]
    assert isinstance(results.frets, FretResults)
    assert len(results.frets.frets) == left


def test_a_last_fret_that_is_a_half_is_there() -> None:
    frets = frets_of(Spec(scale_length=Length.from_mm(650), frets=FretSpec("diatonic", FretNumber(13))))
    assert [str(fret.number) for fret in frets.frets][-2:] == ["6", "6½"]


@pytest.mark.parametrize("last", [0, 198])
def test_a_board_that_cannot_be_gives_a_finding_and_no_frets(last: int) -> None:
    spec = Spec(scale_length=Length.from_mm(650), frets=FretSpec("chromatic", FretNumber(last)))
    results = work_out(spec, SHOP)
    assert results.frets == Missing(("spec.frets.last",))
    assert [finding.code for finding in results.findings] == ["out-of-range"]


def board(**more: Any) -> Spec:
    widths = {"width_at_nut": Length.from_mm(40), "width_at_end": Length.from_mm(50)}
    return Spec(scale_length=Length.from_mm(650), frets=FRETS, fretboard=FretboardSpec(**{**widths, **more}))


def test_the_fretboard_widens_to_its_end_and_has_its_markers_between_frets() -> None:
    results = work_out(board(length=Length.from_mm(620), markers=(FretNumber(2), FretNumber(34))), SHOP)
    laid_out, frets = results.fretboard, results.frets
    assert isinstance(laid_out, FretboardResults)
    assert isinstance(frets, FretResults)
    assert laid_out.length_is_known
    places = [fret.places[0].from_nut_mm for fret in frets.frets]
    assert [each.line.bass.x for each in laid_out.frets] == pytest.approx(places)
    assert all(40 < each.line.bass.distance_mm(each.line.treble) < 50 for each in laid_out.frets)
    assert laid_out.markers[0].x == pytest.approx(places[0] / 2)
    before, last = places[-2:]
    assert laid_out.markers[1].x == pytest.approx((before + last) / 2)


def test_a_board_of_unknown_length_is_shown_a_little_past_its_last_fret() -> None:
    laid_out = work_out(board(), SHOP).fretboard
    assert isinstance(laid_out, FretboardResults)
    assert not laid_out.length_is_known
    assert laid_out.length_mm == pytest.approx(laid_out.frets[-1].line.bass.x + 13)


def test_a_marker_without_its_fret_is_a_finding() -> None:
    results = work_out(board(markers=(FretNumber(6), FretNumber(7))), SHOP)
    assert [(each.code, each.field) for each in results.findings] == [("does-not-fit", "spec.fretboard.markers[1]")]


def test_strings_sound_at_the_concert_pitch_of_the_shop() -> None:
    spec = Spec(strings=(read_course("A3 12"), read_course("A4 9")), tunings=(read_tuning("G3 A4"),))
    low = dataclasses.replace(SHOP, concert_pitch=Hertz(415.0))
    strings = work_out(spec, low).strings
    assert isinstance(strings, StringResults)
    assert strings.frequencies_hz == ((207.5,), (415.0,))
    assert strings.tunings[0].frequencies_hz[1] == 415.0


def test_a_tuning_needs_one_note_a_course() -> None:
    spec = Spec(strings=(read_course("A3 12"),), tunings=(read_tuning("A3"), read_tuning("D3 A3")))
    (finding,) = work_out(spec, SHOP).findings
    assert (finding.code, finding.field) == ("does-not-fit", "spec.tunings[1]")
    assert finding.message == "this tuning has 2 notes for 1 course"


def test_results_cannot_be_changed(workshop: Workshop) -> None:
    results = workshop.instruments[0].results
    with pytest.raises(dataclasses.FrozenInstanceError):
        results.findings = ()  # type: ignore[misc]
