"""The worked examples on the page of methods, worked again with the sums themselves."""

from __future__ import annotations

import math
from fractions import Fraction

import html5lib
import pytest

from builder.calculations.frets import Fret, FretNumber, distance_from_nut_mm, fret_at
from builder.calculations.fretting import fit_of, slot_depth_mm, steps_of_wire
from builder.calculations.rules import cents_if_moved, stepped_mm
from builder.calculations.slanted import OuterStrings
from builder.calculations.spacing import equal_gap_mm
from builder.calculations.temperaments import (
    MEANTONE_FIFTH,
    PYTHAGOREAN_FIFTH,
    cents_of,
    equal_ratio,
    just_ratio,
    ratio_of_fifths,
    steps_of_fifths,
)
from builder.pages.methods import methods_page
from builder.publish import publish_shop
from builder.reading.converters import read_graduation
from builder.seam import Page
from builder.sources import SOURCES
from builder.tables.just_intonation import JUST_LISTS
from builder.workshop import Workshop


@pytest.fixture(scope="module")
def page(workshop: Workshop) -> Page:
    assert workshop.shop
    return methods_page(publish_shop(workshop.shop), SOURCES)


def said(page: Page, section: str) -> str:
    html = next(each.html for each in page.sections if each.id == section)
    return " ".join("".join(html5lib.parse(html).itertext()).split())


def inches(ratio: float) -> str:
    return f"{distance_from_nut_mm(27, ratio):.3f} in"


def test_temperaments(page: Page) -> None:
    words = said(page, "temperaments")
    assert f"5/4: 27 · (1 − 4/5) = {inches(ratio_of_fifths(4, 4, MEANTONE_FIFTH))}" in words
    assert f"against {inches(equal_ratio(4, 12))}" in words
    ratios = JUST_LISTS["duodene"].ratios
    assert f"may be {just_ratio(2, 0, ratios)}, at {inches(float(just_ratio(2, 0, ratios)))}" in words
    assert f"= {just_ratio(2, 5, ratios)}, at {inches(float(just_ratio(2, 5, ratios)))}" in words
    for spelled in ("sharp", "flat"):
        fret = fret_at(FretNumber(7), "diatonic", "sharp" if spelled == "sharp" else "flat")
        assert isinstance(fret, Fret)
        assert f"{cents_of(ratio_of_fifths(fret.semitones, fret.fifths, MEANTONE_FIFTH)):.1f}" in words
    third = Fraction(3, 2) ** 4 / 4
    assert f"it is {third}: 27 · (1 − 64/81) = {inches(ratio_of_fifths(4, 4, PYTHAGOREAN_FIFTH))}" in words
    steps = steps_of_fifths(4, 4, 3, 2)
    assert f"it is {steps} steps" in words
    assert f"= {inches(equal_ratio(steps, 19))}." in words


def test_the_just_lists_stand_in_a_table_with_their_sources(page: Page) -> None:
    html = next(each.html for each in page.sections if each.id == "temperaments")
    tree = html5lib.parseFragment(html, namespaceHTMLElements=False)
    head, *rows = [["".join(cell.itertext()) for cell in row] for row in tree.iter("tr")]
    assert head[1:] == list(JUST_LISTS)
    for number, name in enumerate(head[1:], 1):
        assert tuple(Fraction(row[number]) for row in rows) == JUST_LISTS[name].ratios
        assert f"{name}: {JUST_LISTS[name].source}" in said(page, "temperaments")


def test_two_scale_lengths(page: Page) -> None:
    words = said(page, "two-scale-lengths")
    nut, *_ = OuterStrings(27, 25.5, 1.5, 1.5).lines_mm((), 2.0)
    assert "13.500 in along the bass string and 12.750 in along the treble string" in words
    assert f"arctan(0.750 / 1.500) = −{-nut.degrees:.1f}°" in words
    assert math.isclose(nut.treble.x - nut.bass.x, 0.75)


def test_stepping(page: Page) -> None:
    words = said(page, "stepping-and-sawing")
    places = [distance_from_nut_mm(27 * 25.4, equal_ratio(n, 12)) for n in range(1, 13)]
    stepped = stepped_mm(places, read_graduation("1/32 in", "in"))[-1]
    assert f"comes to lie at {stepped / 25.4:.3f} in and not at {places[-1] / 25.4:.3f} in" in words
    assert f"which is {-cents_if_moved(27 * 25.4 - places[-1], stepped - places[-1]):.1f} cents flat" in words


def test_sawing(page: Page) -> None:
    assert f"= +{cents_if_moved(13.5, 0.0115):.1f} cents" in said(page, "stepping-and-sawing")


def test_strings_side_by_side(page: Page) -> None:
    gap = equal_gap_mm(1.125, (0.022, 0.012, 0.010), ())
    assert f"= {gap:.4f} in between each" in said(page, "strings-side-by-side")


def test_reach(page: Page) -> None:
    low, high = (distance_from_nut_mm(27, equal_ratio(n, 12)) for n in (2, 5))
    assert f"{high:.3f} − {low:.3f} = {high - low:.3f} in" in said(page, "reach")


def test_slots_and_wire(page: Page) -> None:
    assert fit_of(0.023, 0.020, 0.032) == "holds"
    words = said(page, "slots-and-wire")
    assert "the barbs hold" in words
    assert f"1.60 mm deep wants a slot of {slot_depth_mm(1.6):.2f} mm" in words
    assert f"buy {steps_of_wire((38.1,) * 10, 25.4)} in" in words
