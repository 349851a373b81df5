"""What buyers may not see changes no byte of what they get: pairs of shops that differ in nothing else are the same.

Two hundred pairs are compared as the list of pages and files that both writers get; that they get nothing else stands
below. Then each writer writes some pairs out, with another clock, time zone, seed of hashes and folder.
"""

from __future__ import annotations

import copy
import itertools
import os
import random
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from builder.beside import Prepared, prepare
from builder.prose import read_prose
from builder.record import Record
from builder.record.photo import PhotoWords
from builder.record.recording import RecordingWords
from builder.shop import Shop, WoodRack
from builder.site import Site, site_of
from builder.templates import theme_folder
from builder.workshop import open_shop
from tests.privacy.decisions import FIELDS, is_leaf_published
from tests.privacy.generated_shops import (
    FULL,
    PUBLIC_PARTS,
    VARIATIONS,
    Draft,
    kept_fields,
    public_part,
    times_of_files,
    write,
)
from tests.privacy.trees import Leaf, Tree, rewritten
from tests.shops import files_below

PAIRS = int(os.environ.get("BOUTBOOK_EXAMPLES", "200"))

#: The public part that has the instrument with most of what there is, and photographs.
WITH_EVERYTHING = 11

#: Whether a file is shown at all; it is varied with the file.
DRAFTS = {(PhotoWords, "draft"), (RecordingWords, "draft")}

NAMES = [each.__name__ for each in VARIATIONS]


def varied(draft: Draft, names: Iterable[str], seed: str) -> Draft:
    """The shop with what buyers may not see made up anew, in the ways that are named."""
    draft = copy.deepcopy(draft)
    for each in VARIATIONS:
        if each.__name__ in names:
            each(draft, random.Random(f"{seed} {each.__name__}"))
    return draft


def prepared_in(folder: Path) -> Prepared:
    return prepare(open_shop(folder, private_files=False), "buyer")


def told(prepared: Prepared) -> dict[str, Any]:
    """All that a writer gets of the buyer's edition, less what belongs to unlisted instruments alone."""
    assert not prepared.has_errors
    workshop = prepared.workshop
    pages = workshop.folder / "records" / "pages"
    prose = [each for each in read_prose(pages) if not each.is_draft]
    site = site_of(prepared, "buyer", care=next((each.text for each in prose if each.path == "care.md"), ""))
    endings = {each.address_ending for each in workshop.instruments if each.record.is_unlisted and each.address_ending}
    return {"prose": [(each.path, each.front_matter, each.text) for each in prose], **listed(site, endings)}


def listed(site: Site, endings: Iterable[str]) -> dict[str, Any]:
    """A site as plain values: what has one of these endings in its address is not listed."""

    def is_listed(address: str) -> bool:
        return not any(ending in address for ending in endings)

    theme = theme_folder()
    assets = {
        each.path: each.content if isinstance(each.content, Path) and theme in each.content.parents else each.read()
        for each in site.assets
    }
    return {
        "edition": site.edition,
        "shop": site.shop,
        "pages": [page for page in site.pages if is_listed(page.path)],
        "for programs": [site.for_programs(page) for page in site.pages if is_listed(page.path)],
        "assets": [(path, content) for path, content in assets.items() if is_listed(path)],
        "newest date": site.newest_date,
        "handed over": sorted(filter(is_listed, site.handed_over)),
    }


@settings(max_examples=PAIRS)
@given(
    public=st.integers(0, PUBLIC_PARTS - 1),
    seed=st.integers(0, 10_000),
    names=st.sets(st.sampled_from(NAMES), min_size=1),
)
def test_shops_that_differ_in_what_is_kept_give_writers_the_same(
    folders: Iterator[Path], public: int, seed: int, names: set[str]
) -> None:
    draft = public_part(public)
    one, other = (write(varied(draft, names, f"{seed} {number}"), next(folders)) for number in (1, 2))
    both = prepared_in(one), prepared_in(other)
    assume(not any(each.has_errors for each in both))  # a value that is varied may no longer go with another
    first, second = map(told, both)
    for key, value in first.items():
        assert value == second[key], key


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Folders for shops, each of another name."""
    base = tmp_path_factory.mktemp("pairs")
    return (base / f"{'x' * (number % 7)}{number}" for number in itertools.count())


@pytest.mark.parametrize("name", NAMES)
def test_every_way_of_varying_a_shop_changes_its_files(folders: Iterator[Path], name: str) -> None:
    draft = public_part(WITH_EVERYTHING)
    one, other = (write(varied(draft, [name], str(seed)), next(folders)) for seed in (1, 2))
    if name == times_of_files.__name__:
        days = [{path.relative_to(each): path.stat().st_mtime for path in each.rglob("*")} for each in (one, other)]
        assert days[0] != days[1]
    else:
        assert files_below(one) != files_below(other)


def test_every_kept_field_is_varied() -> None:
    """The shop with most in it has all of them, and of none does the value stay."""
    draft = public_part(WITH_EVERYTHING)
    values = kept_values(draft)
    decided = {(group, name) for group in FIELDS for name in FIELDS[group].kept.split()}
    assert decided - {field for fields, _ in values.values() for field in fields} == DRAFTS
    seen = [kept_values(varied(draft, [kept_fields.__name__], str(seed))) for seed in range(12)]
    fixed = {place for place in values if len({each.get(place) for each in seen}) == 1}
    names = {place.replace(": ", ".").rpartition(".")[2] for place in fixed}
    assert names <= {"format", "visibility", "started_from", "promised"}


def kept_values(draft: Draft) -> dict[str, tuple[tuple[tuple[type[Any], str], ...], str]]:
    """Every kept leaf of shop file, rack and records by its place: the fields it lies below, and its text."""
    found: dict[str, tuple[tuple[tuple[type[Any], str], ...], str]] = {}
    shaped: list[tuple[str, Tree, Any]] = [("shop", draft.shop, Shop), ("rack", draft.rack, WoodRack)]
    for place, tree, shape in [*shaped, *((serial, tree, Record) for serial, tree in draft.records.items())]:

        def note(leaf: Leaf, text: str | None, place: str = place) -> str | None:
            if text is not None and not is_leaf_published(leaf) and not leaf.is_name:
                found[f"{place}: {leaf.path}"] = leaf.fields, text
            return text

        rewritten(tree, shape, note)
    return found


@pytest.mark.parametrize("name", ["story", "kind", "made_by"])
def test_what_is_published_is_told_apart(folders: Iterator[Path], name: str) -> None:
    """The comparison can fail: a word that buyers read changes what writers get."""
    draft = public_part(WITH_EVERYTHING)
    other = copy.deepcopy(draft)
    other.records[FULL][name] = "Another"
    assert told(prepared_in(write(draft, next(folders)))) != told(prepared_in(write(other, next(folders))))
