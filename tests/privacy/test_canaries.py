"""What is private stays in the workshop: a canary in every place that can carry a word, found in no byte of a site."""

from __future__ import annotations

import io
import itertools
from collections.abc import Callable, Iterable, Iterator
from typing import Any, get_args

import pytest
from PIL import Image

from builder.beside import prepare
from builder.mkdocs_plugin import build
from builder.plain_folder import write_plain_folder
from builder.problems import in_words
from builder.prose import read_prose
from builder.record import PrivateFile
from builder.record.order import Buyer
from builder.record.repair import Repair
from builder.shop import BilletPrivate
from builder.shop.private import ShopPrivate
from builder.site import site_of
from builder.workshop import open_shop
from tests.privacy.canaries import EVERYBODY, NOBODY, Place, Planted
from tests.privacy.decisions import FIELDS, ONLY_LEADING_ON, PUBLISHED_IF, is_published
from tests.privacy.other_files import DRAFT
from tests.privacy.planting import ENDING, LEFT_AS_THEY_ARE, issue_some, plant
from tests.privacy.searching import canaries_in, what_it_says
from tests.privacy.trees import WITH_WORDS, groups_directly_in, hints_of, is_group, without_notes
from tests.shops import files_below

WRITERS = ("MkDocs", "plain folder")


@pytest.fixture(scope="module")
def planted(tmp_path_factory: pytest.TempPathFactory) -> Planted:
    planted = plant(tmp_path_factory.mktemp("canaries"))
    issue_some(planted.shop)
    return planted


@pytest.fixture(scope="module")
def sites(planted: Planted) -> dict[str, dict[str, bytes]]:
    """The site for buyers, as each writer writes it."""
    problems = prepare(open_shop(planted.shop, private_files=True), "shop").problems
    assert [in_words(each) for each in problems if each.severity == "error"] == [], "canaries must be read, not refused"
    prepared = prepare(open_shop(planted.shop, private_files=False), "buyer")
    build(planted.shop, prepared, "buyer", planted.shop / "site")
    pages = planted.shop / "records" / "pages"
    write_plain_folder(site_of(prepared), read_prose(pages), planted.shop / "plain")
    return {"MkDocs": files_below(planted.shop / "site"), "plain folder": files_below(planted.shop / "plain")}


@pytest.mark.parametrize("writer", WRITERS)
def test_no_canary_is_read_by_anybody_who_may_not(
    planted: Planted, sites: dict[str, dict[str, bytes]], writer: str
) -> None:
    everybody, own = planted.read_by(EVERYBODY), {each: planted.read_by(each) for each in planted.unlisted.values()}
    leaks = []
    for canary, places in canaries_in(sites[writer]).items():
        for place in places:
            name = place.partition(": ")[0]
            readers = [words for ending, words in own.items() if ending in name]
            if canary not in everybody.union(*readers):
                leaks.append(f"{planted.told(canary)} is read in {place}")
    assert leaks == []


@pytest.mark.parametrize("writer", WRITERS)
def test_nothing_else_knows_of_an_unlisted_instrument(
    planted: Planted, sites: dict[str, dict[str, bytes]], writer: str
) -> None:
    assert planted.unlisted
    for serial, ending in planted.unlisted.items():
        own = {name for name in sites[writer] if ending in name}
        assert len(own) >= 2
        for name in sites[writer].keys() - own:
            for where, said in what_it_says(sites[writer][name]):
                assert ending.encode() not in said, f"{name}: {where}"
                assert serial.encode() not in said, f"{name}: {where}"


@pytest.mark.parametrize("writer", WRITERS)
def test_the_address_of_an_instrument_that_is_not_for_buyers_is_read_nowhere(
    sites: dict[str, dict[str, bytes]], writer: str
) -> None:
    for name, content in sites[writer].items():
        assert ENDING not in name
        assert not any(ENDING.encode() in said for _, said in what_it_says(content)), name


@pytest.mark.parametrize("writer", WRITERS)
def test_no_picture_shows_what_a_draft_shows(sites: dict[str, dict[str, bytes]], writer: str) -> None:
    pictures = [content for name, content in sites[writer].items() if name.endswith((".jpg", ".jpeg", ".png", ".webp"))]
    assert len(pictures) > 20
    for content in pictures:
        with Image.open(io.BytesIO(content)) as picture:
            width, height = picture.size
            assert abs(width / height - DRAFT.width / DRAFT.height) > 0.1
            assert picture.convert("RGB").resize((1, 1)).getpixel((0, 0)) != pytest.approx(
                DRAFT.getpixel((0, 0)), abs=8
            )


def test_every_published_field_that_holds_words_is_read_by_a_buyer(
    planted: Planted, sites: dict[str, dict[str, bytes]]
) -> None:
    """The list of what is published says no more than is so; and the search finds what is there to be found."""
    found = canaries_in(sites["MkDocs"])
    read = {field for canary in found for field in fields_of(planted, canary, is_read)}
    published = {each for each in fields_with_words(FIELDS) if is_published(*each)}
    assert published - read == ONLY_LEADING_ON | LEFT_AS_THEY_ARE
    assert len(published) > 30


def test_every_field_that_may_hold_words_has_a_canary_where_a_leak_would_show(planted: Planted) -> None:
    """In an instrument that buyers see, in the shop file or in the rack; and in private files every field there is."""
    instruments = open_shop(planted.shop, private_files=False).instruments
    seen = [f"instruments/{each.record.serial}/" for each in instruments if each.record.is_for_buyers]
    planted_in = {
        field
        for canary in planted.places
        for field in fields_of(
            planted, canary, lambda place: place.file.startswith((*seen, "shop.y", "wood.y", "pri", "repairs/"))
        )
    }
    wanted = fields_with_words([*FIELDS, *private_groups()])
    assert wanted - planted_in == LEFT_AS_THEY_ARE
    assert {Buyer, BilletPrivate} <= {group for group, _ in wanted}


def test_what_is_published_only_with_another_field_is_kept_without_it(planted: Planted) -> None:
    for field in PUBLISHED_IF:
        readers = {place.reader for place in all_places(planted) if place.leaf and place.leaf.owner_and_field == field}
        assert {NOBODY, EVERYBODY} <= readers


def fields_with_words(groups: Iterable[type[Any]]) -> set[tuple[type[Any], str]]:
    """Fields of these groups that are written as a text which may be any words, or as several."""
    return {(group, name) for group in groups for name in hints_of(group) if holds_words(hints_of(group)[name])}


def is_read(place: Place) -> bool:
    """Whether somebody may read a canary here; or it names an entry, and is read wherever that is named."""
    return place.reader != NOBODY or (place.leaf is not None and place.leaf.is_name)


def holds_words(hint: Any) -> bool:
    hint, _ = without_notes(hint)
    return hint in WITH_WORDS or (not is_group(hint) and any(map(holds_words, get_args(hint))))


def private_groups() -> set[type[Any]]:
    """Every group of keys of the private files, and that of a billet's seller."""
    waiting, found = [PrivateFile, ShopPrivate, Repair, BilletPrivate], set()
    while waiting:
        found.add(group := waiting.pop())
        waiting += [each for hint in hints_of(group).values() for each in groups_directly_in(hint)]
    return found


def all_places(planted: Planted) -> Iterator[Place]:
    return itertools.chain.from_iterable(planted.places.values())


def fields_of(planted: Planted, canary: str, wanted: Callable[[Place], bool]) -> set[tuple[type[Any], str]]:
    """The fields a canary stands in, at places that are wanted."""
    places = filter(wanted, planted.places.get(canary, ()))
    return {place.leaf.owner_and_field for place in places if place.leaf is not None}
