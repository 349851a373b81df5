"""The demo shop uses every part of the grammar and has nothing wrong with it; the starter shop reads as it lies."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
import yaml

from builder.calculations.fretting import slot_depth_mm
from builder.publish import publish
from builder.reading.converters import converters
from builder.reading.folder import ShopRead, read_shop_folder
from builder.record import Pattern, PrivateFile, Record
from builder.record.repair import Repair
from builder.results.strings import courses_of
from builder.shop import Shop, WoodRack
from builder.shop.private import ShopPrivate
from builder.workshop import Workshop, open_shop

PROJECT = Path(__file__).parent.parent
STARTER = PROJECT / "builder" / "starter"
INSTRUMENTS = PROJECT / "records" / "instruments"

DELIVERED = [
    "2023-002", "2024-003", "2024-005", "2024-007", "2025-002", "2025-004", "2025-006", "2025-008", "2025-009",
    "2026-001",
]  # fmt: skip
IN_PROGRESS = ["2026-004", "2026-005", "2026-006"]
#: Called off, and come back.
NOT_SOLD = ["2023-001", "2026-003"]


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(PROJECT, private_files=True)


@pytest.fixture(scope="module")
def files() -> ShopRead:
    return read_shop_folder(PROJECT, private_files=True)


def test_nothing_is_wrong_with_the_demo(demo: Workshop) -> None:
    assert demo.problems == ()


def test_nothing_is_wrong_with_the_demo_without_its_private_files() -> None:
    assert open_shop(PROJECT, private_files=False).problems == ()


def test_ten_instruments_are_delivered_and_three_are_in_progress(demo: Workshop) -> None:
    records = [instrument.record for instrument in demo.instruments]
    assert [record.serial for record in records if record.is_for_buyers] == DELIVERED
    assert len({record.kind for record in records}) >= 6
    assert [record.serial for record in records if not record.is_for_buyers] == sorted(IN_PROGRESS + NOT_SOLD)


def test_every_instrument_has_a_private_file_with_an_invented_buyer(files: ShopRead) -> None:
    for instrument in files.instruments:
        assert instrument.private is not None
        assert instrument.private.value is not None
        buyer = instrument.private.value.buyer
        if instrument.private.value.order.for_stock:
            continue
        assert buyer.name
        assert (buyer.email or "").endswith(("@example.org", "@example.net"))
        assert (buyer.telephone or "").startswith("555-01")


@pytest.mark.parametrize("serial", [*DELIVERED, *IN_PROGRESS])
def test_the_working_rule_places_every_fret_within_tolerance(demo: Workshop, serial: str) -> None:
    assert demo.shop is not None
    instrument = next(each for each in demo.instruments if each.record.serial == serial)
    frets = publish(instrument, demo.shop).frets
    assert frets is not None
    worst = [rule.worst_cents for rule in frets.rules if rule.is_working_rule]
    assert worst
    assert max(worst) < frets.tolerance_cents


@pytest.mark.parametrize("serial", DELIVERED)
def test_a_delivered_instrument_has_all_its_coats(demo: Workshop, serial: str) -> None:
    assert demo.shop is not None
    record = next(each.record for each in demo.instruments if each.record.serial == serial)
    assert record.spec.finish is not None
    assert len(record.build.coats) == demo.shop.finish_schedules[record.spec.finish.schedule].coats


@pytest.mark.parametrize("serial", DELIVERED)
def test_the_work_lies_between_order_and_delivery(demo: Workshop, serial: str) -> None:
    record = next(each.record for each in demo.instruments if each.record.serial == serial)
    dates, build = record.dates, record.build
    assert dates.ordered is not None
    assert dates.finished is not None
    days = [step.done for step in build.steps if step.done]
    days += [entry.date for entry in build.log]
    days += [glue_up.at.date() for glue_up in build.glue_ups]
    days += [coat.at.date() for coat in build.coats]
    assert dates.ordered < min(days)
    assert max(days) <= dates.finished
    assert [coat.at for coat in build.coats] == sorted(coat.at for coat in build.coats)
    assert [step.done for step in build.steps] == sorted(step.done for step in build.steps if step.done)


@pytest.mark.parametrize("serial", DELIVERED)
def test_the_slots_are_deep_enough_and_brass_wire_lies_under_no_steel_string(demo: Workshop, serial: str) -> None:
    assert demo.shop is not None
    instrument = next(each for each in demo.instruments if each.record.serial == serial)
    frets = instrument.record.spec.frets
    assert frets is not None
    assert frets.wire is not None
    assert frets.slot_depth is not None
    wire = demo.shop.fret_wires[frets.wire]
    assert wire.tang_depth is not None
    assert frets.slot_depth.mm >= slot_depth_mm(wire.tang_depth.mm)
    courses = courses_of(instrument.record.spec, demo.shop.string_sets)
    of_steel = any(string.make in ("plain steel", "wound") for course in courses for string in course.strings)
    assert not (of_steel and wire.material == "brass")


FEATURES: dict[str, Callable[[Record], bool]] = {
    "a billet of the rack": lambda record: any(wood.billet for wood in record.spec.wood.values()),
    "a plain species": lambda record: any(wood.species for wood in record.spec.wood.values()),
    "a string set by name": lambda record: isinstance(record.spec.strings, str),
    "strings one by one": lambda record: isinstance(record.spec.strings, tuple) and bool(record.spec.strings),
    "a doubled course": lambda record: any(len(course.strings) == 2 for course in _listed(record)),
    "a diatonic board": lambda record: record.spec.frets is not None and record.spec.frets.layout == "diatonic",
    "a chromatic board": lambda record: record.spec.frets is not None and record.spec.frets.layout == "chromatic",
    "half frets": lambda record: record.spec.frets is not None and bool(record.spec.frets.add),
    "a sharp note": lambda record: "F♯3" in _notes(record),
    "a flat note": lambda record: "B♭3" in _notes(record),
    "a board with a radius": lambda record: _radius(record) not in (None, "flat"),
    "a flat board": lambda record: _radius(record) == "flat",
    "started from a pattern": lambda record: record.started_from == "teardrop-28",
    "started from an earlier instrument": lambda record: record.started_from == "2024-003",
    "kept in the shop": lambda record: record.visibility == "shop only",
    "public": lambda record: record.visibility == "public",
    "found by its address alone": lambda record: record.visibility == "unlisted",
    "a step still to do": lambda record: any(step.done is None for step in record.build.steps),
    "a story of several paragraphs": lambda record: record.story is not None and "\n\n" in record.story,
    "no name": lambda record: record.name is None,
}


@pytest.mark.parametrize("feature", FEATURES)
def test_some_record_of_the_demo_has(demo: Workshop, feature: str) -> None:
    assert any(FEATURES[feature](instrument.record) for instrument in demo.instruments)


WRITINGS = {
    "a group in braces": "dates: {",
    "a group on lines of its own": "dates:\n",
    "a list in brackets": "tunings: [",
    "a list of lines": "tunings:\n",
    "a block text": "story: |",
    "a remark": " # ",
    "a text in quotes": ': "',
    "a half fret with a plus": "6+",
    "a half fret as a decimal": "1.5",
    "a half fret as a fraction": "8 1/2",
    "feet and inches": " ft ",
    "an inch sign": '17"',
    "millimetres": "650 mm",
    "degrees Fahrenheit": " F,",
    "degrees Celsius": " C,",
}


@pytest.mark.parametrize("writing", WRITINGS)
def test_some_record_of_the_demo_is_written_with(writing: str) -> None:
    records = [path.read_text(encoding="utf-8") for path in sorted(INSTRUMENTS.glob("*/record.yaml"))]
    assert any(WRITINGS[writing] in text for text in records)


def test_every_length_of_the_guitar_is_written_in_millimetres() -> None:
    text = (INSTRUMENTS / "2025-002" / "record.yaml").read_text(encoding="utf-8")
    spec = yaml.safe_load(text)["spec"]
    board = [spec["fretboard"][name] for name in ("length", "thickness", "width_at_nut", "width_at_end")]
    finished = [wood["finished"] for wood in spec["wood"].values() if "finished" in wood]
    lengths = [spec["scale_length"], spec["frets"]["slot_width"], *board, *finished]
    assert all(str(length).endswith(" mm") for length in lengths)


@pytest.mark.parametrize("shape", [Shop, ShopPrivate, WoodRack, Pattern, Record, PrivateFile, Repair])
def test_every_key_is_written_somewhere_in_the_demo(files: ShopRead, shape: type[Any]) -> None:
    """The demo stays a page of all the parts: a new field of a record needs an instrument that has it."""
    written: dict[type[Any], set[str]] = {}
    for value, tree in _values_and_trees(files):
        _note_keys(value, tree, written)
    for group in _groups_of(shape):
        assert written.get(group, set()) == {field.name for field in dataclasses.fields(group)}, group.__name__


def test_the_draft_page_is_marked_as_one() -> None:
    pages = PROJECT / "records" / "pages"
    drafts = [page.name for page in sorted(pages.glob("*.md")) if "draft: true" in page.read_text(encoding="utf-8")]
    assert drafts == ["bench-notes.md"]


def test_the_starter_shop_reads_without_problems_and_shows_one_page() -> None:
    starter = open_shop(STARTER, private_files=True)
    assert starter.problems == ()
    assert [instrument.record.is_for_buyers for instrument in starter.instruments] == [True]
    assert starter.shop is not None
    published = publish(starter.instruments[0], starter.shop)
    assert published.title == "Sample"
    assert published.drawing is not None


def test_the_starter_has_every_file_a_new_shop_needs() -> None:
    files = {path.relative_to(STARTER).as_posix() for path in STARTER.rglob("*") if path.is_file()}
    assert files == {
        "gitignore",
        "mkdocs.yml",
        "records/instruments/2026-001/private.yaml",
        "records/instruments/2026-001/record.yaml",
        "records/pages/care.md",
        "records/pages/index.md",
        "records/patterns/first-pattern.yaml",
        "records/private.yaml",
        "records/shop.yaml",
        "records/wood.yaml",
    }


def test_every_yaml_file_of_the_starter_begins_with_what_it_is_for() -> None:
    for path in sorted(STARTER.rglob("*.y*ml")):
        assert path.read_text(encoding="utf-8").startswith("# "), path.name


def _listed(record: Record) -> Iterable[Any]:
    return record.spec.strings if isinstance(record.spec.strings, tuple) else ()


def _notes(record: Record) -> set[str]:
    return {str(note) for tuning in record.spec.tunings for note in tuning.notes}


def _radius(record: Record) -> Any:
    return record.spec.fretboard.radius if record.spec.fretboard else None


def _groups_of(shape: Any) -> set[type[Any]]:
    """A shape and every group of keys inside it. Values the calculations read from one text are no groups."""
    if dataclasses.is_dataclass(shape) and isinstance(shape, type):
        if shape in converters("in"):
            return set()
        hints = get_type_hints(shape)
        return {shape}.union(*(_groups_of(hints[field.name]) for field in dataclasses.fields(shape)))
    return set().union(*map(_groups_of, get_args(shape)))


def _values_and_trees(files: ShopRead) -> Iterator[tuple[Any, Any]]:
    """Every file's value with the same file as a general YAML library reads it, which shows what was written."""
    read: list[Any] = [files.shop, files.private, files.wood, *files.patterns.values(), *files.repairs.values()]
    for instrument in files.instruments:
        read += [instrument.record, instrument.private]
    for each in read:
        yield each.value, yaml.safe_load((PROJECT / each.file).read_text(encoding="utf-8"))


def _note_keys(value: Any, tree: Any, written: dict[type[Any], set[str]]) -> None:
    """Note which keys of which group are written, all the way down."""
    if isinstance(value, Mapping) and isinstance(tree, dict):
        for inner_value, inner in zip(value.values(), tree.values(), strict=True):
            _note_keys(inner_value, inner, written)
    elif isinstance(value, tuple) and isinstance(tree, list):
        for inner_value, inner in zip(value, tree, strict=True):
            _note_keys(inner_value, inner, written)
    elif dataclasses.is_dataclass(value) and not isinstance(value, type) and isinstance(tree, dict):
        written.setdefault(type(value), set()).update(tree)
        for key, inner in tree.items():
            _note_keys(getattr(value, key), inner, written)
