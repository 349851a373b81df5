"""The worked examples of the three sums of wood, worked again with the sums themselves."""

from __future__ import annotations

import re
from pathlib import Path

from builder.calculations.answers import Missing, Outside
from builder.calculations.moisture import (
    equilibrium_moisture_percent,
    humidity_of_rest_percent,
    moisture_by_weighing_percent,
)
from builder.calculations.wood_mass import density_kg_per_m3, gravity_at, mass_kg, shrinkage_to_percent
from builder.calculations.wood_movement import Change, across, change_of, restrained_strain
from builder.results.woods_named import basic_gravity, flat_and_quarter
from builder.tables.species import wood_named
from builder.tables.wood_properties import Species

PAGES = Path(__file__).parents[1] / "site_theme" / "pages" / "methods"


def example(name: str) -> str:
    page = (PAGES / f"{name}.html").read_text(encoding="utf-8")
    block = page.partition("{% block example %}")[2].partition("{% endblock %}")[0]
    return re.sub(r"<.*?>", "", block)


def walnut() -> Species:
    found = wood_named("black walnut")
    assert isinstance(found, Species)
    return found


def test_moisture_of_wood() -> None:
    words = example("moisture-of-wood")
    dry, damp = equilibrium_moisture_percent(20, 30), equilibrium_moisture_percent(20, 65)
    rest, scrap = humidity_of_rest_percent(20, 8), moisture_by_weighing_percent(115, 100)
    for answer in (dry, damp, rest, scrap):
        assert not isinstance(answer, Outside)
    assert f"wood comes to {dry:.1f} %, at 65 % to {damp:.1f} %" in words
    assert f"at rest in {rest:.1f} % humidity" in words
    assert f"held {scrap:.1f} %" in words


def test_how_wood_moves() -> None:
    words = example("how-wood-moves")
    flat, quarter = flat_and_quarter(walnut())

    def moved(degrees: float, to: float) -> str:
        change = change_of(8.0, across(flat, quarter, degrees), 8, to)
        assert isinstance(change, Change)
        return f"−{-change.amount:.3f} in"

    assert f"= {moved(0, 6)} at 6 %" in words
    assert f"it is {moved(90, 6)}, rift sawn {moved(45, 6)}." in words
    assert f"is used: {moved(0, 5)}." in words
    strain = restrained_strain(flat, (8, 6), (8, 6))
    assert not isinstance(strain, Missing)
    assert f"in tension at 6 % by {-strain * 100:.2f} % of its width" in words


def test_what_the_wood_weighs() -> None:
    words = example("what-the-wood-weighs")
    gravity = basic_gravity(walnut())
    assert gravity == 0.51
    at_8 = gravity_at(gravity, 8, 12.8)
    density = density_kg_per_m3(at_8, 8)
    mass = mass_kg(700, 180, 2.5, density)
    assert f"= {shrinkage_to_percent(12.8, 8):.2f} %, G" in words
    assert f"= {at_8:.3f}, and a cubic metre weighs {density:.0f} kg" in words
    assert f"weighs {mass * 1000:.1f} g, which is {mass / 0.45359237 * 16:.1f} oz" in words
