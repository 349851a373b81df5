"""The worked examples of clamps, times and blanks, worked again with the sums themselves."""

from __future__ import annotations

import re
from datetime import datetime

import html5lib

from builder.calculations.clamping import clamps_for_pressure, clamps_needed, pressure_pa
from builder.calculations.coating import coat_moments
from builder.calculations.cutting import Allowances, Piece, blank_of, board_feet, stock_mm3
from builder.calculations.gluing import JointHours, JointMoments, joint_moments
from builder.reading.converters import read_force, read_pressure
from builder.results.gluing import LOG_SPEAKS_FOR_HOURS
from builder.tables.glues import PRESSURES
from builder.units import PASCALS_PER_PSI
from tests.shops import REPOSITORY


def said(section: str) -> str:
    text = (REPOSITORY / "site_theme" / "pages" / "methods" / f"{section}.html").read_text(encoding="utf-8")
    html = html5lib.parse(re.sub(r"\{%.*?%\}", " ", text))
    return " ".join("".join(html.itertext()).split())


def test_clamps_and_pressure() -> None:
    words, inch, force = said("clamps-and-pressure"), 25.4, read_force("60 lb")
    count = clamps_needed(62 * inch, 3 * inch, closed=True)
    assert f"62 / 3 = {62 / 3:.1f}, so {count} clamps" in words
    for width in (0.465, 0.090):
        psi = pressure_pa(force, count, 62 * inch, width * inch) / PASCALS_PER_PSI
        assert f"60 · {count} / (62 · {width:.3f}) = {psi:.1f} psi" in words
    wanted = clamps_for_pressure(read_pressure("100 psi"), force, 62 * inch, 0.465 * inch)
    assert f"For 100 psi on the lined edge {wanted} clamps" in words
    first, *others = PRESSURES
    assert f"softwoods want {first.least_psi:.0f} to {first.most_psi:.0f} psi" in words
    assert all(f"{band.least_psi:.0f} to {band.most_psi:.0f}" in words for band in others)


def test_glue_and_finish_times() -> None:
    words = said("glue-and-finish-times")
    moments = joint_moments(datetime(2026, 3, 4, 14, 30), JointHours(1, 24))
    assert isinstance(moments, JointMoments)
    off = f"clamps off from {moments.clamps_off:%Y-%m-%d %H:%M}"
    assert f"{off}, load from {moments.bears_load:%Y-%m-%d %H:%M}" in words
    *_, second = coat_moments([datetime(2026, 3, 4, 16), datetime(2026, 3, 5, 10)], [20, 20], [None, None])
    assert f"it had {second.waited_hours:.0f} h, and came {second.short_hours:.0f} h too soon" in words
    assert f"no more than {LOG_SPEAKS_FOR_HOURS:.0f} h away" in words


def test_cutting_list() -> None:
    inch = 25.4
    allowances = Allowances(inch, inch / 4, 0.0, inch / 8, 0.2)
    blank = blank_of(Piece("back", 1, 29 * inch, 7 * inch, 0.1 * inch, inch / 4), allowances)
    words = said("cutting-list")
    assert f"the blank is {blank.length_mm / inch:.0f} in by {blank.width_mm / inch:.2f} in" in words
    assert f"= {board_feet(stock_mm3(blank, 1, allowances)):.3f} board feet" in words
