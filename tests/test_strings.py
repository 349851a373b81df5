"""Strings as the trade writes them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.strings import MAKES, read_course, read_gauge, read_tuning
from builder.lengths import NotUnderstood


@pytest.mark.parametrize(("gauge", "mm"), [("10", 0.254), ("12", 0.3048), ("22", 0.5588), ("9.5", 0.2413)])
def test_a_gauge_is_in_thousandths_of_an_inch(gauge: str, mm: float) -> None:
    """The inch is 25.4 mm exactly (1959)."""
    assert read_course(f"D4 {gauge}").strings[0].diameter_mm == pytest.approx(mm, rel=1e-12)


def test_a_string_without_a_gauge_has_no_diameter() -> None:
    string = read_course("D4").strings[0]
    assert (string.diameter_mm, string.make) == (None, None)


@given(st.sampled_from(["D3", "F#3", "Bb2"]), st.integers(5, 200), st.sampled_from(sorted(MAKES)), st.integers(1, 3))
def test_every_string_of_the_trade_is_read(note: str, gauge: int, make: str, count: int) -> None:
    course = read_course(f"{note} {gauge}{make} x{count}")
    assert len(course.strings) == count
    assert {(string.gauge_thousandths, string.make) for string in course.strings} == {(gauge, MAKES[make])}


@pytest.mark.parametrize(("text", "make"), [("22b", "brass"), ("22p", "phosphor bronze"), ("25.5 f", "fluorocarbon")])
def test_a_string_of_the_drawer_is_read_and_printed(text: str, make: str) -> None:
    gauge = read_gauge(text)
    assert gauge.make == make
    assert read_gauge(str(gauge)) == gauge
    string = read_course(f"D3 {gauge}").strings[0]
    assert string.gauge == gauge
    assert str(string) == f"D3 {gauge}"


@pytest.mark.parametrize("text", ["", "w", "22x", "4", "201", "22 w w", "D3 22"])
def test_what_is_no_string_of_the_drawer(text: str) -> None:
    with pytest.raises(NotUnderstood):
        read_gauge(text)


def test_a_tuning_is_read_bass_first_and_printed_so() -> None:
    tuning = read_tuning("D3  A3 Bb3")
    assert str(tuning) == "D3 A3 B♭3"
    assert read_tuning(str(tuning)) == tuning


@pytest.mark.parametrize("text", ["", " ", "D3, A3", "D3-A3-D4", "DAD", "D3 A"])
def test_what_is_no_tuning(text: str) -> None:
    with pytest.raises(NotUnderstood):
        read_tuning(text)
