"""What two snapshots say differently is told completely: no name of `Published` can change unseen."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, get_args, get_type_hints

import pytest

from builder.certificates.fields import TABLES, WORKED_OUT, WRITTEN
from builder.certificates.told import MOST_LETTERS, differences
from builder.publish import publish
from builder.published import Published, PublishedEvent, as_json
from builder.published.issued import PublishedChange
from builder.published.reading import ReadBack, read_published
from builder.workshop import open_shop
from tests.certificate_samples import NEARLY_EMPTY, USUAL, inches
from tests.conftest import RECORDS
from tests.small_shop import publish_all

#: Names that are not told, with why: what they follow from, or that they are wording.
FOLLOWS = {
    "Published.format", "Published.serial", "Published.address",  # which snapshot it is
    "Published.title", "Published.year",  # name, kind and serial; the day it was finished
    "Published.sources", "PublishedSource.key", "PublishedSource.citation",  # the bibliography
    "PublishedFrets.temperament_source", "PublishedFrets.rules", "PublishedFretting.frets_of_wire",
    "PublishedString.frequency_hz", "PublishedString.diameter_mm", "PublishedCourse.are_alike",  # note, gauge, strings
    "PublishedTuning.frequencies_hz", "PublishedTuning.intervals",  # notes and concert pitch
    "PublishedReach.beyond_by_scale",  # its table and the hand
    "Measure.also", "Measure.mm",  # a length as said
    "Subject.key", "Subject.title", "Figures.lead", "Figures.cautions", "Figures.notes", "Figures.wanting",  # wording
    "Figure.key", "Figure.title", "Figure.value", "Figure.unit", "Figure.source",
    "FigureTable.key", "FigureTable.title", "FigureTable.caption", "FigureTable.folded",
    "Column.key", "Column.title", "Column.unit", "Column.source", "Column.decimals", "Column.signed",
}  # fmt: skip


def told(before: Published, now: Published) -> list[PublishedChange]:
    return [each.change for each in differences(ReadBack(before, frozenset(), frozenset()), now)]


@pytest.fixture(scope="module")
def samples(tmp_path_factory: pytest.TempPathFactory) -> list[Published]:
    """Instruments that have every part among them."""
    by_serial, _ = publish_all(tmp_path_factory.mktemp("shop"))
    workshop = open_shop(RECORDS / "good_shop", private_files=False)
    assert workshop.shop
    return [
        replace(USUAL, batch="Summer school"),
        *by_serial.values(),
        *(publish(each, workshop.shop) for each in workshop.instruments),
    ]


def spoilt(value: Any) -> Any:
    """Another value of the same kind."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return value + 7
    return f"{value} else"


def spoilings(value: Any) -> Iterator[tuple[str, Any]]:
    """Each way to change one plain value somewhere inside, with the name of the field it belongs to."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            inside, name = getattr(value, field.name), f"{type(value).__name__}.{field.name}"
            if isinstance(inside, str | int | float):
                other = "2001-02-03" if field.name in ("ordered", "finished", "delivered", "date") else spoilt(inside)
                yield name, replace(value, **{field.name: other})
            else:
                for owner, changed in spoilings(inside):
                    yield owner or name, replace(value, **{field.name: changed})
    elif isinstance(value, tuple):
        for place, inside in enumerate(value[:3]):
            around = value[:place], value[place + 1 :]
            if isinstance(inside, str | int | float):
                yield "", (*around[0], spoilt(inside), *around[1])
            else:
                for owner, changed in spoilings(inside):
                    yield owner, (*around[0], changed, *around[1])


def plain_names(shape: Any = Published) -> set[str]:
    """Every name of a shape, and of the shapes inside it, that may hold a text or a number."""
    if not (dataclasses.is_dataclass(shape) and isinstance(shape, type)):
        return set().union(*(plain_names(inside) for inside in get_args(shape)))
    hints = get_type_hints(shape)
    own = {f"{shape.__name__}.{field.name}" for field in dataclasses.fields(shape) if _is_plain(hints[field.name])}
    return own.union(*(plain_names(hint) for hint in hints.values()))


def _is_plain(hint: Any) -> bool:
    return hint in (str, int, float, bool) or any(_is_plain(inside) for inside in get_args(hint))


def test_whatever_changes_is_told_or_follows_from_what_is_told(samples: list[Published]) -> None:
    """A new name of `Published` must be told in `fields` or stand in FOLLOWS; and some sample must have it."""
    tried, silent = set(), set()
    for before in samples:
        for name, now in spoilings(before):
            tried.add(name)
            if not told(before, now):
                silent.add(name)
    assert silent - FOLLOWS == set()
    # What is wanting for a sum is said to the bench alone.
    assert plain_names() - tried == {"Figures.wanting"}


def test_the_names_that_are_told_are_there() -> None:
    for path in [*(each[0] for each in WRITTEN), *(each[0] for each in (*WORKED_OUT, *TABLES))]:
        hint: Any = Published
        for name in path.split("."):
            inside = (hint, *get_args(hint))
            (shape,) = (each for each in inside if dataclasses.is_dataclass(each))
            hint = get_type_hints(shape)[name]


def test_the_same_says_nothing(samples: list[Published]) -> None:
    for sample in samples:
        assert told(sample, sample) == []
        assert told(sample, replace(sample, address="another-place")) == []


def test_everything_new_and_everything_gone_is_told(samples: list[Published]) -> None:
    whole = samples[-1]
    bare = replace(NEARLY_EMPTY, serial=whole.serial)
    assert all(each.now and not each.was for each in told(bare, whole) if each.what not in ("Kind", "Maker"))
    gone = [each for each in told(whole, bare) if each.what not in ("Kind", "Maker")]
    assert all(each.was and not each.now for each in gone)
    assert len(gone) > 60


WOOD = USUAL.woods[0]
STEP = PublishedEvent("2026-02-20", None, "step", "sides bent", None, None)


@pytest.mark.parametrize(
    ("now", "changes"),
    [
        (replace(USUAL, name="Bittern"), [("Name", "Heron", "Bittern")]),
        (replace(USUAL, name=None), [("Name", "Heron", "")]),
        (replace(USUAL, delivered="2026-05-10"), [("Handed over", "9 May 2026", "10 May 2026")]),
        (replace(USUAL, scale_length=inches("28 in", 711.2)),
         [("Scale length", "28 1/2 in (723.9 mm)", "28 in (711.2 mm)")]),
        (replace(USUAL, woods=USUAL.woods[1:]), [
            ("Soundboard, wood", "western red cedar", ""), ("Soundboard, botanical name", "Thuja plicata", ""),
            ("Soundboard, origin", "Vancouver Island", ""), ("Soundboard, cut", "quartersawn", ""),
        ]),
        (replace(USUAL, woods=(replace(WOOD, origin="Cold Ridge"), *USUAL.woods[1:])),
         [("Soundboard, origin", "Vancouver Island", "Cold Ridge")]),
        (replace(USUAL, woods=USUAL.woods[::-1]), []),
        (replace(USUAL, hardware=(("tuners", "pegs"), *USUAL.hardware[2:])),
         [("Tuners", "open geared, brass", "pegs"), ("Nut", "bone", "")]),
        (replace(USUAL, build_log=(STEP,)), [("Built, 20 February 2026", "", "sides bent")]),
        (replace(USUAL, story="It came late."), [("Story", "", "It came late.")]),
    ],
)  # fmt: skip
def test_it_is_told_in_a_makers_words(now: Published, changes: list[tuple[str, str, str]]) -> None:
    assert [(each.what, each.was, each.now) for each in told(USUAL, now)] == changes


def test_of_a_long_text_the_passage_that_changed_is_told() -> None:
    before = "word " * 100 + "The boards dried for three years in the shed. " + "word " * 100
    (change,) = told(replace(USUAL, story=before), replace(USUAL, story=before.replace("three", "two")))
    assert (change.was, change.now) == ("… dried for three years in …", "… dried for two years in …")
    (change,) = told(replace(USUAL, story=before), replace(USUAL, story=f"{before} And then?"))
    assert (change.was, change.now) == ("… word word", "… word word And then?")
    (change,) = told(replace(USUAL, story=before), replace(USUAL, story="else " * 200))
    assert len(change.was) <= MOST_LETTERS + 4
    assert len(change.now) <= MOST_LETTERS + 4


def test_digits_that_nobody_sees_are_no_change(samples: list[Published]) -> None:
    whole = next(each for each in samples if each.frets)
    assert whole.frets
    rows = tuple(tuple(v + 1e-9 if isinstance(v, float) else v for v in row) for row in whole.frets.table.rows)
    table = replace(whole.frets.table, rows=rows)
    assert told(whole, replace(whole, frets=replace(whole.frets, table=table))) == []


def test_what_an_older_version_did_not_write_is_no_change() -> None:
    tree = json.loads(as_json(USUAL))
    del tree["fretting"], tree["story"]
    for wood in tree["woods"]:
        del wood["origin"]
    back = read_published(json.dumps(tree).encode())
    now = replace(USUAL, story="New", woods=(replace(WOOD, cut="flatsawn"), *USUAL.woods[1:]))
    assert [each.change.what for each in differences(back, now)] == ["Soundboard, cut"]


def test_what_is_written_comes_first_and_is_known_from_what_is_worked_out(samples: list[Published]) -> None:
    changes = told(replace(NEARLY_EMPTY, serial=samples[-1].serial), samples[-1])
    kinds = [each.is_written for each in changes]
    assert kinds == sorted(kinds, reverse=True)
    assert {True, False} == set(kinds)
    assert {each.what for each in changes if not each.is_written} >= {"Where the frets are", "Drawing of the fretboard"}
