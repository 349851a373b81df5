"""What instruments are told apart by in a list: choices that leave some out, and what each instrument says to them."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from builder.pages.found_by import found_by
from builder.pages.instruments import instruments_page
from builder.published import Published, PublishedShop
from tests.page_reading import body, tree
from tests.small_shop import publish_all


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Published], PublishedShop]:
    return publish_all(tmp_path_factory.mktemp("shop"))


def test_spans_of_scale_lengths_hold_their_lower_end_and_two_scale_lengths_lie_in_all_between(
    house: tuple[dict[str, Published], PublishedShop],
) -> None:
    chosen = [house[0][serial] for serial in ("2026-014", "2025-003", "2020-001", "2020-004", "2024-001")]
    found = found_by(chosen, "in")
    told = {serial: json.loads(said)["scale"] for serial, said in found.told.items()}
    assert told == {
        "2026-014": ["26 to under 28 in"],  # 27 in
        "2025-003": ["20 to under 22 in"],  # 20 in exactly
        "2020-001": ["24 to under 26 in", "26 to under 28 in"],  # 25 to 26 1/2 in
        "2020-004": ["20 to under 22 in"],  # 508 mm, which is 20 in
        "2024-001": [],
    }
    (scale,) = [choice for choice in found.choices if choice.name == "scale"]
    assert scale.values == ("20 to under 22 in", "24 to under 26 in", "26 to under 28 in")
    in_mm = json.loads(found_by(chosen, "mm").told["2025-003"])["scale"]
    assert in_mm == ["500 to under 550 mm"]


def test_only_what_tells_some_from_others_is_a_choice(house: tuple[dict[str, Published], PublishedShop]) -> None:
    heron = house[0]["2026-014"]
    assert found_by([heron], "in").choices == ()
    assert found_by([], "in").choices == ()
    assert "bb-find" not in body(instruments_page([heron], house[1]))
    other = replace(heron, serial="2026-015", year=2027)
    assert [(each.name, each.values) for each in found_by([heron, other], "in").choices] == [("year", ("2027", "2026"))]


def test_stage_and_batch_are_choices_of_the_workshop_alone(house: tuple[dict[str, Published], PublishedShop]) -> None:
    chosen = [house[0]["2026-014"], house[0]["2020-002"]]
    assert {choice.name for choice in found_by(chosen, "in").choices} == {"wood", "year"}
    found = found_by(chosen, "in", {"2026-014": "finished", "2020-002": "delivered"})
    assert [(each.title, each.values) for each in found.choices[-2:]] == [
        ("Stage", ("delivered", "finished")), ("Batch", ("Spring birds",)),
    ]  # fmt: skip
    assert json.loads(found.told["2026-014"])["batch"] == []
    page = body(instruments_page(chosen, house[1]))
    assert "Spring birds" not in page


def test_hostile_names_stay_words(house: tuple[dict[str, Published], PublishedShop]) -> None:
    html = body(instruments_page(list(house[0].values()), house[1]))
    page = tree(html)
    assert [each.get("src") for each in page.iter("script")] == ["../assets/boutbook/find.js"]
    told = [json.loads(each.get("data-told", "")) for each in page.iter() if each.get("data-told")]
    assert len(told) == 2 * len(house[0])
    kinds = {value for each in told for value in each["kind"]}
    assert house[0]["2023-001"].kind.casefold() in kinds
    (kind,) = [each for each in page.iter("select") if each.get("name") == "kind"]
    assert {option.text for option in kind} == {"any", *kinds}
