"""The woods of a record: found by any name, worked out as far as they are known, refused where they cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.calculations.answers import Missing
from builder.calculations.wood_movement import coefficient_of
from builder.lengths import Length
from builder.limits import Celsius, Degrees, Kilograms, Percent
from builder.problems import CODES, Finding
from builder.publish.wood import dust_of, wood_for_the_bench_of, wood_of
from builder.reading.converters import read_graduation
from builder.reading.folder import read_bytes
from builder.record import FretboardSpec, Pattern, Spec, WoodSpec
from builder.record.wood import RoomAir, ScrapWeighed
from builder.results.wood import WoodenPart, WoodResults, work_out_wood
from builder.results.woods_named import basic_gravity, flat_and_quarter
from builder.shop import Billet, BilletSize, Rule, Shop
from builder.shop.room import Seasons, findings_of_seasons
from builder.tables.species import SPECIES, SeveralWoods, wood_named
from builder.tables.trade_listings import TRADE_LISTINGS, listings_of
from builder.tables.wood_dust import DUST_WARNINGS, dust_warnings_of
from builder.tables.wood_properties import Species


def air(celsius: float, humidity: float) -> RoomAir:
    return RoomAir(Celsius(celsius), Percent(humidity))


SEASONS = Seasons(air(20, 30), air(24, 65))
BARE = Shop("1", "Shop", "Maker", "inches", (Rule("rule", read_graduation("1/64 in", "in")),), "rule")
SHOP = replace(BARE, seasons=SEASONS, room=air(20, 45))


def mm(number: float) -> Length:
    return Length.from_mm(number)


WALNUT = WoodSpec(
    species="walnut, black", cut="flatsawn", length=mm(700), width=mm(180), finished=mm(2.5), moisture=Percent(8.0)
)


def worked(
    wood: WoodSpec, shop: Shop = SHOP, part: str = "back", **more: WoodSpec
) -> tuple[WoodenPart, tuple[Finding, ...]]:
    results, findings = work_out_wood(Spec(wood={part: wood, **more}), shop)
    assert isinstance(results, WoodResults)
    return results.parts[0], findings


@pytest.mark.parametrize(
    ("name", "botanical"),
    [
        ("Walnut, black", "Juglans nigra"), ("BLACK WALNUTS", "Juglans nigra"), ("Juglans nigra", "Juglans nigra"),
        ("hard maple", "Acer saccharum"), ("cherries", "Prunus serotina"), ("Adirondack spruce", "Picea rubens"),
        ("western red cedar", "Thuja plicata"), ("reclaimed sitka spruce", "Picea sitchensis"),
        ("Norway spruce", "Picea abies"), ("African mahogany", "Khaya spp."), ("Douglas fir", "Pseudotsuga menziesii"),
        ("black cherry (from the church)", "Prunus serotina"),
    ],
)  # fmt: skip
def test_a_wood_goes_by_many_names(name: str, botanical: str) -> None:
    found = wood_named(name)
    assert isinstance(found, Species)
    assert found.botanical[0] == botanical


def test_a_name_of_several_woods_is_left_open() -> None:
    found = wood_named("walnut")
    assert isinstance(found, SeveralWoods)
    assert {"black walnut", "European walnut"} <= set(found.common)
    assert wood_named("mystery plank") is None
    assert wood_named("") is None


def test_the_table_is_large_enough_and_every_row_says_whence() -> None:
    assert len(SPECIES) >= 45
    assert len({each.common for each in SPECIES}) == len(SPECIES)
    for each in SPECIES:
        assert each.botanical
        assert isinstance(wood_named(each.common), Species)
        for row in (each.shrinkage, each.coefficients, each.gravity):
            assert row is None or (row.source and row.known)
        if each.shrinkage and each.shrinkage.radial_percent and each.shrinkage.tangential_percent:
            # wood shrinks more along the rings than across them: Wood Handbook, chapter 4
            assert each.shrinkage.radial_percent < each.shrinkage.tangential_percent
            flat, _ = flat_and_quarter(each)
            if flat.coefficient is None and each.coefficients and each.coefficients.tangential:
                assert each.doubt, each.common  # a printed coefficient is left aside only with a word about it
                assert coefficient_of(each.shrinkage.tangential_percent) > 0
        gravity = basic_gravity(each)
        assert gravity is None or 0.1 < gravity < 1.2


def test_data_of_listings_and_dust_have_a_source_and_a_day() -> None:
    assert all(each.source and each.published and each.since for each in TRADE_LISTINGS)
    assert all(each.source for each in DUST_WARNINGS)
    assert [each.appendix for each in listings_of(("Dalbergia nigra",))] == ["I"]
    assert [each.appendix for each in listings_of(("Dalbergia latifolia",))] == ["II"]
    assert listings_of(("Khaya spp.",))
    assert not listings_of(("Diospyros virginiana",))
    assert not listings_of(("Juglans nigra",))
    assert dust_warnings_of(("Thuja plicata",))


def test_moisture_is_taken_from_what_was_measured_before_the_room() -> None:
    scrap = ScrapWeighed(Kilograms(0.11), Kilograms(0.1))
    billets = {"W-1": Billet("black walnut", moisture=Percent(9.0))}
    bare = WoodSpec(billet="W-1", rested_in=air(20, 50))
    for wood, known, percent in (
        (replace(bare, moisture=Percent(7.0), scrap=scrap), "scrap weighed", 10.0),
        (replace(bare, moisture=Percent(7.0)), "meter on the part", 7.0),
        (bare, "where it rested", 9.27),
        (WoodSpec(billet="W-1"), "meter on the billet", 9.0),
        (WoodSpec(species="black walnut"), "usual room", 8.5),
    ):
        results, _ = work_out_wood(Spec(wood={"back": wood}), SHOP, billets)
        assert isinstance(results, WoodResults)
        assert results.parts[0].moisture_from == known
        assert results.parts[0].moisture_percent == pytest.approx(percent, abs=0.06)


def test_a_part_worked_out_whole() -> None:
    part, findings = worked(WALNUT, braces=WoodSpec(species="red spruce", moisture=Percent(8.0)))
    assert findings == ()
    assert part.dry is not None
    assert part.damp is not None
    assert part.dry.width_mm is not None
    assert part.damp.width_mm is not None
    assert part.dry.width_mm < 0 < part.damp.width_mm
    # Wood Handbook Eq. 13-2, by hand: 180 · 0.00274 · (6.2 − 8)
    assert part.dry.width_mm == pytest.approx(180 * 0.00274 * (6.2 - 8), abs=0.05)
    assert part.dry.strain is not None
    assert part.dry.strain < 0
    assert part.mass_kg == pytest.approx(0.1915, abs=0.0005)
    assert part.named.botanical == "Juglans nigra"


def test_what_buyer_and_bench_see() -> None:
    wood = {"back": WALNUT, "braces": WoodSpec(species="red spruce"), "bridge": WoodSpec(species="Indian rosewood")}
    results, _ = work_out_wood(Spec(wood=wood), SHOP, weighed_kg=1.0)
    buyer, bench = wood_of(results, "in"), wood_for_the_bench_of(results, "mm")
    assert buyer is not None
    assert bench is not None
    assert "in wider in the damp season than in the dry one" in buyer.facts[0].said
    assert any("in tension" in note and "cracks" in note for note in buyer.notes)
    assert "respirator" in bench.cautions[0]
    assert "walnut is suspected of causing cancer" in bench.cautions[0]
    assert dust_of(results) == bench.cautions
    assert {table.key for table in bench.tables} == {"wood_moisture", "wood_movement", "wood_mass"}


def test_a_nearly_empty_record_says_little() -> None:
    assert isinstance(work_out_wood(Spec(), BARE)[0], Missing)
    assert wood_of(Missing(("spec.wood",)), "in") is None
    results, findings = work_out_wood(Spec(wood={"back": WoodSpec(species="red spruce")}), BARE)
    assert findings == ()
    assert wood_of(results, "in") is None
    assert wood_for_the_bench_of(results, "in") is None
    assert dust_of(results, of_any_wood=False) == ()
    assert "respirator" in dust_of(results)[0]


def test_the_fretboard_takes_its_size_from_the_board() -> None:
    board = FretboardSpec(length=mm(740), thickness=mm(19), width_at_nut=mm(38), width_at_end=mm(42))
    results, _ = work_out_wood(Spec(wood={"fretboard": WoodSpec(species="persimmon")}, fretboard=board), SHOP)
    assert isinstance(results, WoodResults)
    assert results.parts[0].width_mm == 42
    assert results.parts[0].mass_kg is not None


BILLET = Billet("black walnut", "Juglans nigra", size=BilletSize(mm(900), mm(100), mm(25)))


@pytest.mark.parametrize(
    ("wood", "field", "severity", "words"),
    [
        (replace(WALNUT, rough=mm(2)), "spec.wood.back.finished", "error", "thicker when finished"),
        (replace(WALNUT, billet="W", species=None), "spec.wood.back.width", "error", "and its billet 100 mm"),
        (replace(WALNUT, billet="W", joined_from=2, length=mm(950)), "spec.wood.back.length", "error", "long, and"),
        (replace(WALNUT, billet="W", joined_from=2, rough=mm(30)), "spec.wood.back.rough", "warning", "thick, and"),
        (replace(WALNUT, ring_angle=Degrees(80)), "spec.wood.back.ring_angle", "warning", "growth rings at 80°"),
        (replace(WALNUT, moisture=Percent(14)), "spec.wood.back", "warning", "in tension all the year"),
        (replace(WALNUT, scrap=ScrapWeighed(Kilograms(0.1), Kilograms(0.2))), "spec.wood.back.scrap", "error", "more"),
        (replace(WALNUT, species="mapple"), "spec.wood.back.species", "hint", "not in the table of woods"),
        (replace(WALNUT, species="maple"), "spec.wood.back.species", "hint", "one of several woods"),
        (replace(WALNUT, species="bubinga"), "spec.wood.back.width", "hint", "how bubinga moves"),
        (replace(WALNUT, cut=None), "spec.wood.back.width", "hint", "how it was sawn"),
        (replace(WALNUT, finished=None), "spec.wood.back", "hint", "weighs is not worked out"),
        (WoodSpec(species="cocobolo", moisture=Percent(59)), "spec.wood.back.moisture", "error", "cannot hold"),
        (WoodSpec(billet="X"), "spec.wood.back.billet", "warning", "Juglans regia is European walnut"),
        (WoodSpec(billet="W", species="red maple"), "spec.wood.back.species", "warning", "its billet W black walnut"),
    ],
)
def test_what_does_not_agree_is_said(wood: WoodSpec, field: str, severity: str, words: str) -> None:
    billets = {"W": BILLET, "X": Billet("black walnut", "Juglans regia")}
    _, findings = work_out_wood(Spec(wood={"back": wood}), SHOP, billets)
    assert any(found.field == field and found.severity == severity and words in found.message for found in findings), (
        findings
    )
    assert all(found.code in CODES for found in findings)


def test_what_the_shop_file_lacks_is_said_once() -> None:
    spec = Spec(wood={"back": WALNUT, "soundboard": WALNUT})
    _, findings = work_out_wood(spec, BARE)
    assert [found.field for found in findings] == ["spec.wood.back.width"]
    _, findings = work_out_wood(Spec(wood={"back": replace(WALNUT, moisture=None)}), replace(SHOP, room=None))
    assert [found.severity for found in findings] == ["hint"]
    _, findings = work_out_wood(spec, SHOP, weighed_kg=0.1)
    assert any("the woods alone come to" in found.message for found in findings)


def test_seasons_that_are_changed_about() -> None:
    assert list(findings_of_seasons(SEASONS)) == []
    assert list(findings_of_seasons(None)) == []
    found = list(findings_of_seasons(Seasons(SEASONS.damp, SEASONS.dry)))
    assert [each.field for each in found] == ["seasons.dry"]


def test_an_outline_weighs_less_than_its_rectangle() -> None:
    spec = Spec(wood={"back": WALNUT})
    results, _ = work_out_wood(spec, SHOP, plate_areas_mm2={"back": 63_000.0})
    assert isinstance(results, WoodResults)
    assert results.parts[0].mass_kg == pytest.approx(0.1915 / 2, abs=0.0005)


def test_the_fields_are_read_and_the_impossible_refused() -> None:
    text = """
format: 1
name: Teardrop
kind: mountain dulcimer
spec:
  wood:
    back: {species: black walnut, cut: rift sawn, ring_angle: 40, length: 29 in, width: 7 in, joined_from: 2,
           rough: 1/4 in, finished: 0.110 in, moisture: 7.5 %, scrap: {as_found: 23.4 g, oven_dry: 21.6 g},
           rested_in: {temperature: 68 F, humidity: 44 %}}
"""
    read = read_bytes(text.encode(), "patterns/x.yaml", Pattern, "in")
    assert read.value is not None, read.problems
    assert read.value.spec.wood["back"].rested_in == air(20, 44)
    wrong = read_bytes(text.replace("44 %", "140 %").encode(), "patterns/x.yaml", Pattern, "in")
    assert [problem.code for problem in wrong.problems] == ["out-of-range"]
    assert wrong.problems[0].line > 0


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from([species.common for species in SPECIES]),
    st.floats(0, 60),
    st.floats(0, 90),
    st.floats(1, 2000),
    st.tuples(st.floats(-1, 43), st.floats(5, 95)),
)
def test_nothing_raises_whatever_is_written(
    name: str, moisture: float, angle: float, width: float, room: tuple[float, float]
) -> None:
    wood = replace(WALNUT, species=name, moisture=Percent(moisture), ring_angle=Degrees(angle), width=mm(width))
    shop = replace(SHOP, seasons=Seasons(air(*room), air(*reversed((50.0, 20.0)))), room=air(*room))
    results, _ = work_out_wood(Spec(wood={"back": wood, "braces": WoodSpec(species=name)}), shop, weighed_kg=2.0)
    for unit in ("in", "mm"):
        wood_of(results, "in" if unit == "in" else "mm")
        wood_for_the_bench_of(results, "in" if unit == "in" else "mm")
