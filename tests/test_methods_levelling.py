"""The worked examples of levelling and of frets as measured, worked again with the sums themselves."""

from __future__ import annotations

import html5lib
import pytest

from builder.calculations.as_built import PlaceError, error_of, root_mean_square
from builder.calculations.levelling import LevelledSide, feeler_gap_mm, level_side, proud_mm
from builder.templates import render

MM = 25.4


def said(name: str) -> str:
    html = render(f"pages/methods/{name}.html", citations=("A source.",))
    return " ".join("".join(html5lib.parse(str(html)).itertext()).split())


def test_proud_and_feeler() -> None:
    words = said("levelling")
    (proud,) = proud_mm((0.0, 1.0, 1.8), (0.001, 0.005, 0.002))
    assert f"= {0.005 - proud:.4f} in, so the fret is proud by {proud:.4f} in" in words
    assert f"a feeler of {feeler_gap_mm(proud, 1.0, 0.8):.5f} in" in words


def test_one_low_fret() -> None:
    words = said("levelling")
    places = [MM * n for n in range(1, 8)]
    side = level_side(places, [-0.010 * MM * (n == 3) for n in range(7)], 0.002 * MM)
    assert isinstance(side, LevelledSide)
    assert [n for n, rocks in enumerate(side.rocks) if rocks] == [2, 4]
    assert f"proud by {(side.proud_mm[2] or 0) / MM:.3f} in each" in words
    assert f"Filing would take {side.filing_without_reseating_mm / MM:.4f} in off these two" in words
    assert [each.fret for each in side.reseat] == [3]
    assert sum(side.file_mm) == 0


def test_an_octave_fret_as_measured() -> None:
    words = said("as-built-errors")
    error = error_of(13 + 17 / 32, 13.5, 13.5, 1 / 64)
    assert isinstance(error, PlaceError)
    assert f"error +{error.error_mm + 1e-9:.4f} in, so 1200 · log₂(13.5 / {27 - 13 - 17 / 32:.5f})" in words
    assert f"= {error.cents:+.1f} cents" in words
    assert f"between {error.least_cents:+.1f} and {error.most_cents:+.1f} cents" in words
    assert f"the root mean square is {root_mean_square((4.0, -1.0, 0.0)):.1f} cents" in words
    assert error.error_mm == pytest.approx(1 / 32)
