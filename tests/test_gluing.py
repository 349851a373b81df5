"""Times of glue and finish, clamps and pressure, against values from outside and by other routes."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.calculations.answers import Missing, Outside
from builder.calculations.clamping import clamps_for_pressure, clamps_needed, pressure_pa, squeeze_of
from builder.calculations.coating import coat_moments
from builder.calculations.gluing import (
    JointHours,
    JointMoments,
    Limits,
    hours_between,
    joint_moments,
    moment_after,
    verdict_on,
)
from builder.reading.converters import read_force, read_hours, read_pressure
from builder.results.clamping import band_of
from builder.results.gluing import kind_in_words
from builder.tables.glues import KINDS, PRESSURES
from builder.units import PASCALS_PER_PSI

CLOSED_AT = datetime(2026, 2, 27, 14, 30)
LENGTHS = st.floats(1.0, 5000.0)


@given(st.datetimes(datetime(1800, 1, 1), datetime(2199, 12, 31)), st.integers(0, 60 * 24 * 400))
def test_moments_are_those_of_a_calendar_library(start: datetime, minutes: int) -> None:
    """numpy's datetime64 (a general-purpose library with a calendar of its own); none."""
    start = start.replace(microsecond=0)
    moment = moment_after(start, minutes / 60)
    wanted = np.datetime64(start, "s") + np.timedelta64(minutes, "m")
    assert isinstance(moment, datetime)
    assert moment.isoformat() == str(wanted)
    assert hours_between(start, moment) == pytest.approx(minutes / 60, abs=1e-9)


def test_a_joint_over_the_end_of_february() -> None:
    """An adhesive maker's gluing guide: 30 to 60 minutes in clamps, no load for 24 hours. 2026 has no 29 February."""
    aliphatic = KINDS["aliphatic"]
    assert aliphatic.clamps_off
    assert aliphatic.bears_load
    hours = JointHours(aliphatic.clamps_off.slow, aliphatic.bears_load.slow, None)
    assert joint_moments(datetime(2026, 2, 28, 23, 30), hours) == JointMoments(
        datetime(2026, 3, 1, 0, 30), datetime(2026, 3, 1, 23, 30), None
    )


def test_nothing_known_and_nothing_left_of_the_calendar() -> None:
    assert joint_moments(CLOSED_AT, JointHours()) == Missing(("clamps_off", "bears_load", "cured"))
    assert isinstance(moment_after(datetime(9999, 12, 31), 48), Outside)
    assert isinstance(moment_after(CLOSED_AT, -1), Outside)


def test_typical_values_are_those_of_their_sources() -> None:
    """The gluing guide (polyurethane 4 h), the craft sheet (hide 1–10 and 10–90 min, casein 15–45 min and 2–8 h)."""
    spans = {
        ("polyurethane", "clamps_off"): (4 * 60, 4 * 60),
        ("hot hide", "open_time"): (1, 10),
        ("hot hide", "clamps_off"): (10, 90),
        ("casein", "open_time"): (15, 45),
        ("casein", "clamps_off"): (120, 480),
        ("aliphatic", "clamps_off"): (30, 60),
        ("white", "clamps_off"): (30, 60),
    }
    for (kind, field), minutes in spans.items():
        typical = getattr(next(each for name, each in KINDS.items() if name == kind), field)
        assert (typical.fast * 60, typical.slow * 60) == pytest.approx(minutes)
        assert typical.how_known == "read"
    for kind, fahrenheit in (("aliphatic", 40), ("white", 55)):
        coldest = next(each for name, each in KINDS.items() if name == kind).least_temperature
        assert coldest is not None
        assert coldest.celsius * 1.8 + 32 == pytest.approx(fahrenheit)


def test_every_kind_waits_in_order_and_warns() -> None:
    for each in KINDS.values():
        waits = [typical.slow for typical in (each.clamps_off, each.bears_load, each.cured) if typical]
        assert waits == sorted(waits)
        assert all(t.fast <= t.slow for t in (each.open_time, each.clamps_off, each.bears_load, each.cured) if t)
        assert each.caution.endswith(".")


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("hot hide glue", "hot hide"),
        ("Liquid hide glue", "liquid hide"),
        ("hide glue", "hot hide"),
        ("yellow glue", "aliphatic"),
        ("urea formaldehyde resin", "urea-formaldehyde"),
        ("white glue", "white"),
        ("mystery glue", None),
        ("Hideous stuff", None),
    ],
)
def test_a_kind_is_known_by_its_words(name: str, kind: str | None) -> None:
    assert kind_in_words(name) == kind


def test_limits_include_their_ends() -> None:
    """68 °F is 20 °C by definition (NIST SP 811)."""
    limits = Limits((68 - 32) * 5 / 9, 25)
    assert [verdict_on(value, limits) for value in (19.9, 20, 25, 25.1)] == ["below", "within", "within", "above"]
    assert verdict_on(1000, Limits()) == "within"


def test_clamps_counted_one_by_one() -> None:
    """Brute force: walk along the run and set a clamp whenever the next one would be too far. Exact in whole mm."""
    for run in range(1, 200):
        for spacing in range(1, 60):
            places = [0]
            while run - places[-1] > spacing:
                places.append(places[-1] + spacing)
            assert clamps_needed(run, spacing, closed=True) == len(places)
            assert clamps_needed(run, spacing, closed=False) == len(places) + 1


def test_a_run_that_is_an_exact_number_of_spacings() -> None:
    """Ceilings of exact fractions: 63 in at 3 in is 21, whatever a float makes of it in millimetres."""
    for eighths in range(1, 400):
        run = Fraction(eighths * 21, 8) * Fraction(254, 10)
        assert clamps_needed(float(run), float(run / 21), closed=True) == 21


def test_twelve_square_inches_at_150_psi_are_1800_pounds() -> None:
    """Force is pressure times area: 12 in² · 150 psi = 1,800 lbf; 1e-12 relative."""
    force = read_force("1800 lb")
    assert pressure_pa(force, 1, 12 * 25.4, 25.4) == pytest.approx(read_pressure("150 psi"), rel=1e-12)
    assert pressure_pa(read_force("60 lb"), 30, 4 * 25.4, 3 * 25.4) / PASCALS_PER_PSI == pytest.approx(150, rel=1e-12)
    assert clamps_for_pressure(read_pressure("150 psi"), read_force("60 lb"), 12 * 25.4, 25.4) == 30


@pytest.mark.parametrize(("psi", "kpa"), [(100, 689.5), (150, 1034.2), (250, 1723.7)])
def test_pounds_a_square_inch_in_kilopascals(psi: float, kpa: float) -> None:
    """NIST SP 811: 1 psi = 6894.757 Pa; as printed, and exact from pound, gravity and inch."""
    assert psi * PASCALS_PER_PSI / 1000 == pytest.approx(kpa, abs=0.05)
    exact = Fraction(45359237, 10**8) * Fraction(980665, 10**5) / Fraction(254, 10**4) ** 2
    assert pytest.approx(float(exact), rel=1e-15) == PASCALS_PER_PSI


@pytest.mark.parametrize(
    ("specific_gravity", "least", "most"), [(0.40, 100, 150), (0.50, 150, 200), (0.54, 150, 200), (0.63, 200, 300)]
)
def test_pressures_of_the_gluing_guide(specific_gravity: float, least: float, most: float) -> None:
    """An adhesive maker's gluing guide: softwoods, cherry and soft maple, oak and birch."""
    band = band_of(specific_gravity)
    assert (band.least_psi, band.most_psi) == (least, most)


def test_a_pressure_against_what_the_guide_wants() -> None:
    """An adhesive maker's gluing guide: 100 to 150 psi for softwoods, both ends included."""
    softwood = PRESSURES[0]
    judged = [squeeze_of(psi, softwood.least_psi, softwood.most_psi) for psi in (99, 100, 150, 151)]
    assert judged == ["too little", "enough", "enough", "more than it wants"]


@given(LENGTHS, LENGTHS, st.floats(1, 2000), st.integers(1, 200))
def test_more_clamps_never_press_less(run: float, width: float, force: float, count: int) -> None:
    assert pressure_pa(force, count + 1, run, width) > pressure_pa(force, count, run, width)
    assert pressure_pa(force, count, run, width) > pressure_pa(force, count, run, width * 2)


@given(LENGTHS, LENGTHS)
def test_laws_of_the_ceiling(run: float, spacing: float) -> None:
    closed, opened = (clamps_needed(run, spacing, closed=each) for each in (True, False))
    assert opened == closed + 1
    assert run / closed <= spacing * (1 + 1e-8)
    assert clamps_needed(run, spacing / 2, closed=True) >= closed
    assert clamps_needed(run * 25.4, spacing * 25.4, closed=True) == pytest.approx(closed, abs=0)


@given(st.floats(1e4, 1e7), st.floats(1, 5000), LENGTHS, st.floats(0.5, 100))
def test_the_fewest_clamps_are_enough_and_one_fewer_is_not(p: float, force: float, run: float, width: float) -> None:
    count = clamps_for_pressure(p, force, run, width)
    assert pressure_pa(force, count, run, width) >= p * (1 - 1e-8)
    assert count == 1 or pressure_pa(force, count - 1, run, width) < p * (1 + 1e-8)


def test_coats_wait_for_the_one_below() -> None:
    laid = [CLOSED_AT + timedelta(hours=hours) for hours in (0, 24, 40)]
    first, second, third = coat_moments(laid, [20, 20, None], [336, 336, None])
    assert first.waited_hours is None
    assert first.short_hours == 0
    assert first.next_coat == datetime(2026, 2, 28, 10, 30)
    assert first.cured == datetime(2026, 3, 13, 14, 30)
    assert (second.waited_hours, second.short_hours) == (24, 0)
    assert (third.waited_hours, third.short_hours, third.next_coat, third.cured) == (16, 4, None, None)


def test_what_is_typical_of_pressure_follows_density() -> None:
    assert [band.lighter_than for band in PRESSURES] == sorted(band.lighter_than for band in PRESSURES)
    assert math.isinf(PRESSURES[-1].lighter_than)
    assert float(read_hours("60 min")) == 1.0
