"""Papers for travel: what is listed and what it weighs, fittings of shell and bone, and never a promise."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.collection import Neighbours
from builder.lengths import Length
from builder.limits import Percent, Serial
from builder.publish.beside import publish_beside
from builder.publish.travel import travel_of
from builder.published import Figures
from builder.record import Record, Spec, WoodSpec
from builder.record.body import BodySpec, BraceSpec
from builder.results import Beside, work_out
from builder.shop import Billet, Shop
from builder.sources import SOURCES
from builder.tables.hardware_materials import HARDWARE_MATERIALS, materials_in
from builder.tables.trade_listings import listings_of
from builder.units import KG_PER_OUNCE
from builder.workshop import Instrument, Workshop

BILLETS = {
    "W-1": Billet(species="Indian rosewood", origin="Legs of a piano", country="India", moisture=Percent(8)),
    "W-2": Billet(species="red spruce", country="Canada"),
}


def mm(size: float) -> Length:
    return Length.from_mm(size)


def instrument(spec: Spec, shop: Shop) -> Instrument:
    record = Record("1", Serial("2026-001"), "guitar", spec=spec)
    return Instrument(record, work_out(spec, shop, Beside(billets=BILLETS)), Neighbours(BILLETS))


@pytest.fixture(scope="module")
def shop(workshop: Workshop) -> Shop:
    assert workshop.shop
    return workshop.shop


def travel(spec: Spec, shop: Shop) -> Figures:
    figures = travel_of(instrument(spec, shop), "in")
    assert figures is not None
    return figures


ROSEWOOD = Spec(
    wood={
        "back": WoodSpec(billet="W-1", width=mm(370), length=mm(490), finished=mm(2.3)),
        "bridge": WoodSpec(billet="W-1", width=mm(29), length=mm(182), finished=mm(8.5)),
        "head plate": WoodSpec(billet="W-1"),
        "soundboard": WoodSpec(billet="W-2", width=mm(370), length=mm(490), finished=mm(2.4)),
    }
)


def test_a_listed_wood_is_told_with_its_parts_and_what_they_weigh(shop: Shop) -> None:
    (fact,) = travel(ROSEWOOD, shop).facts
    assert fact.title == "Rosewoods (Dalbergia)"
    assert fact.said.startswith("back, bridge and head plate may fall under Appendix II of CITES; ")
    assert fact.said.endswith(" oz by reckoning, without head plate")
    parts = {part.part: part for part in instrument(ROSEWOOD, shop).results.wood.parts}  # type: ignore[union-attr]
    masses = [parts[name].mass_kg for name in ("back", "bridge")]
    together = sum(mass for mass in masses if mass is not None)
    assert fact.value == pytest.approx(together)
    # Dalbergia latifolia weighs about 0.83 kg for a litre, dried in the air (from memory, and so asked only roughly).
    litres = 0.370 * 0.490 * 2.3 + 0.029 * 0.182 * 8.5
    assert 0.6 < together / litres < 1.1


def test_woods_stand_with_botanical_name_country_and_origin_and_only_listed_ones_are_weighed(shop: Shop) -> None:
    rosewood, spruce = travel(ROSEWOOD, shop).tables[0].table.rows
    assert rosewood[:4] == (
        "Indian rosewood", "Dalbergia latifolia", "back, bridge and head plate", "India: Legs of a piano",
    )  # fmt: skip
    (fact,) = travel(ROSEWOOD, shop).facts
    assert fact.value is not None
    assert rosewood[4] == pytest.approx(fact.value / KG_PER_OUNCE, abs=1e-5)
    assert spruce == ("red spruce", "Picea rubens", "soundboard", "Canada", "")


def test_what_is_told_defers_to_the_authority_and_says_how_it_is_known(shop: Shop) -> None:
    figures = travel(ROSEWOOD, shop)
    assert "This is no permit" in figures.lead
    assert "no promise" in figures.lead
    (asked,) = figures.cautions
    assert "Ask your national authority before you travel" in asked
    (listing,) = listings_of(("Dalbergia latifolia",))
    told = next(note for note in figures.notes if note.startswith(listing.called))
    for words in (listing.covers, listing.since, listing.published, listing.source, listing.known):
        assert words in told


def test_none_listed_is_said_of_known_woods_alone(shop: Shop) -> None:
    known = travel(Spec(wood={"back": WoodSpec(species="black walnut")}), shop)
    assert known.lead.endswith("None of its woods stands in the listings known here.")
    assert "Ask your national authority" in known.cautions[0]
    strange = travel(Spec(wood={"back": WoodSpec(species="rosewood"), "neck": WoodSpec(species="moonwood")}), shop)
    assert "None of its woods" not in strange.lead
    assert strange.notes[-1].endswith("is not known: rosewood (back) and moonwood (neck).")


def test_braces_that_only_the_body_names_cross_the_border_too(shop: Shop) -> None:
    places = ((mm(0), mm(0)), (mm(10), mm(10)))
    brace = BraceSpec("back", *places, species="Brazilian rosewood")  # type: ignore[arg-type]
    figures = travel(Spec(body=BodySpec(braces=(brace,))), shop)
    assert [fact.title for fact in figures.facts] == ["Brazilian rosewood"]
    assert "Appendix I of CITES" in figures.facts[0].said


def test_fittings_are_found_in_the_words_of_the_record(shop: Shop) -> None:
    hardware = {"nut": "Bone", "saddle": "camel bone", "markers": "Mother-of-pearl dots", "tuners": "Ebony pegs"}
    figures = travel(Spec(hardware=hardware), shop)
    rows = figures.tables[0].table.rows
    assert [row[:2] for row in rows] == [
        ("Bone", "nut: Bone; saddle: camel bone"),
        ("Mother-of-pearl", "markers: Mother-of-pearl dots"),
        ("Ebony", "tuners: Ebony pegs"),
    ]  # fmt: skip
    assert [fact.said for fact in figures.facts] == ["tuners may fall under Appendix II of CITES"]
    assert any(note.startswith("Bone and Mother-of-pearl: as of 2023") for note in figures.notes)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("Ivory", ["Elephant ivory"]),
        ("Mammoth ivory, from the permafrost", ["Ivory of mammoths"]),
        ("whale bone", ["Bone, teeth or baleen of whales"]),
        ("Tagua, the vegetable ivory", ["Vegetable ivory"]),
        ("tortoise-shell", ["Shell of sea turtles"]),
        ("Dots of abalone and nautilus", ["Abalone", "Shell of nautilus"]),
        ("horn nut, bone saddle", ["Bone", "Horn"]),
        ("cocobolo", ["A rosewood"]),
        ("Friction pegs, rosewood-coloured maple", []),
        ("imitation ivory", []),
        ("celluloid tortoiseshell", []),
        ("Ebonised buttons", []),
        ("Planetary, 4 to 1, pearl-white buttons", []),
        ("ivory-coloured plastic, bone", ["Bone"]),
        ("no ivory", []),
        ("Trombone brass, backbone of the shop", []),
    ],
)
def test_what_only_looks_like_it_is_not_taken_for_it(words: str, found: list[str]) -> None:
    assert [each.called for each in materials_in(words)] == found


def test_every_material_has_its_day_its_source_and_words_of_its_own() -> None:
    words = [word for each in HARDWARE_MATERIALS for word in each.words]
    assert len(set(words)) == len(words)
    for each in HARDWARE_MATERIALS:
        assert each.published
        assert each.source
        for word in each.words:
            assert materials_in(word) == (each,)
        assert not each.botanical or listings_of(each.botanical)


def test_nothing_named_is_nothing_told(shop: Shop) -> None:
    assert travel_of(instrument(Spec(hardware={"tuners": "Geared"}), shop), "in") is None


def test_what_stands_beside_names_the_sources_of_travel(shop: Shop) -> None:
    bare = Record("1", Serial("2026-001"), "guitar")
    assert publish_beside(bare).sources == ()
    beside = publish_beside(bare, travel(replace(ROSEWOOD, hardware={"nut": "bone"}), shop))
    assert {source.key for source in beside.sources} == {"record", "species", "wood-mass", "trade-listings"}
    assert all(source.citation == SOURCES[source.key] for source in beside.sources)
