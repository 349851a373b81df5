"""From the text of a file to frozen values that know where they stood."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from datetime import date, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from builder.calculations.frets import FretNumber
from builder.calculations.rules import Graduation
from builder.lengths import Length
from builder.limits import Percent
from builder.problems import Finding, did_you_mean, in_short
from builder.reading import yaml_text
from builder.reading.folder import FileRead, read_bytes, read_file
from builder.reading.tree import Entries, Items, Node, Place, Text
from builder.reading.yaml_text import read_yaml
from builder.record import Pattern, PrivateFile, Record
from builder.shop import Shop, WoodRack
from builder.words import in_a_row
from tests.conftest import RECORDS
from tests.strategies import GOOD_FILES

GOOD = RECORDS / "good_shop" / "records"
HERON = GOOD / "instruments" / "2026-014" / "record.yaml"


def read_record(text: str) -> FileRead[Record]:
    head = "format: 1\nserial: 2026-014\nkind: mountain dulcimer\n"
    return read_bytes((head + text).encode(), "record.yaml", Record, "in")


def spec_of(text: str) -> Any:
    read = read_record(text)
    assert read.value is not None, read.problems
    return read.value.spec


def test_a_record_is_read_field_by_field() -> None:
    read = read_file(HERON, RECORDS / "good_shop", Record, "in")
    record = read.value
    assert record is not None
    assert (record.serial, record.name, record.kind) == ("2026-014", "Heron", "mountain dulcimer")
    assert record.dates.finished == date(2026, 4, 30)
    assert record.spec.scale_length == Length.from_inches(27)
    assert record.spec.frets is not None
    assert record.spec.frets.add == (FretNumber(3), FretNumber(13), FretNumber(27))
    assert record.spec.wood["soundboard"].finished == Length.from_inches(Fraction("0.110"))
    assert dict(record.spec.hardware) == {"tuners": "geared", "nut": "bone"}
    assert record.build.glue_ups[0].at == datetime(2026, 3, 4, 14, 30)
    assert record.build.glue_ups[0].temperature == pytest.approx(20)
    assert record.build.steps[1].done is None
    assert record.story == "Built for a *player* who asked for a quiet one.\n\nIt is not quiet."
    assert record.is_for_buyers


def test_the_other_files_are_read() -> None:
    shop = read_file(GOOD / "shop.yaml", RECORDS / "good_shop", Shop, "in").value
    wood = read_file(GOOD / "wood.yaml", RECORDS / "good_shop", WoodRack, "in").value
    pattern = read_file(GOOD / "patterns" / "teardrop.yaml", RECORDS / "good_shop", Pattern, "in").value
    private = read_file(HERON.with_name("private.yaml"), RECORDS / "good_shop", PrivateFile, "in").value
    assert shop is not None
    assert shop.rules[2].marks == Graduation(Fraction(1, 2), "mm")
    assert wood is not None
    assert wood.billets["W-031"].moisture == Percent(8)
    assert pattern is not None
    assert pattern.name == "Teardrop"
    assert private is not None
    assert private.buyer.name == "canary-buyer"


def test_words_that_other_readers_turn_into_something_else_stay_words() -> None:
    spec = spec_of("spec:\n  hardware: {nut: no, tuners: null, saddle: 0x10, case: 12:30, pickup: 1e3, markers: ~}\n")
    assert list(spec.hardware.values()) == ["no", "null", "0x10", "12:30", "1e3", "~"]


def test_a_serial_keeps_its_noughts() -> None:
    read = read_bytes(b"format: 1\nserial: 007\nkind: guitar\n", "record.yaml", Record, "in")
    assert read.value is not None
    assert read.value.serial == "007"


def test_a_key_left_open_is_as_if_it_were_not_there() -> None:
    read = read_record("name:\ndates:\n  ordered:\nspec:\n")
    assert read.value is not None
    assert (read.value.name, read.value.dates.ordered) == (None, None)


def test_good_typesetting_does_not_get_in_the_way() -> None:
    spec = spec_of("spec: {scale_length: 27\u00a01/2\u202fin}\n")
    assert spec.scale_length == Length.from_inches(27.5)


def test_a_radius_is_flat_or_a_length() -> None:
    assert spec_of("spec: {fretboard: {radius: flat}}\n").fretboard.radius == "flat"
    assert spec_of("spec: {fretboard: {radius: 12 in}}\n").fretboard.radius == Length.from_inches(12)


def test_strings_stand_one_by_one_or_by_the_name_of_a_set() -> None:
    assert spec_of("spec: {strings: light}\n").strings == "light"
    assert [str(course.note) for course in spec_of("spec: {strings: [D3 22w, A3 12]}\n").strings] == ["D3", "A3"]


def test_what_is_read_cannot_be_changed() -> None:
    spec = spec_of("spec: {scale_length: 27 in, hardware: {nut: bone}}\n")
    with pytest.raises(dataclasses.FrozenInstanceError):
        spec.scale_length = None
    with pytest.raises(TypeError):
        spec.hardware["nut"] = "brass"


def everything_in(value: Any) -> Any:
    """A value as plain things that can be compared."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {each.name: everything_in(getattr(value, each.name)) for each in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {key: everything_in(inner) for key, inner in value.items()}
    return tuple(map(everything_in, value)) if isinstance(value, tuple) else value


def test_a_byte_order_mark_and_windows_line_ends_change_no_value_and_no_place() -> None:
    content = HERON.read_bytes()
    plain = read_bytes(content, "record.yaml", Record, "in")
    for other in (b"\xef\xbb\xbf" + content, content.replace(b"\n", b"\r\n"),
                  b"\xef\xbb\xbf" + content.replace(b"\n", b"\r\n")):  # fmt: skip
        read = read_bytes(other, "record.yaml", Record, "in")
        assert read.problems == ()
        assert everything_in(read.value) == everything_in(plain.value)
        assert read.places == plain.places


@pytest.mark.parametrize(
    "bad", ["ten-mistakes", "bad-values", "syntax-second-colon", "decimal-comma", "flow-trap-hash"]
)
def test_a_byte_order_mark_and_windows_line_ends_change_no_problem(bad: str) -> None:
    content = (RECORDS / "bad" / "record" / f"{bad}.yaml").read_bytes()
    plain = read_bytes(content, "record.yaml", Record, "in").problems
    assert plain
    assert read_bytes(b"\xef\xbb\xbf" + content, "record.yaml", Record, "in").problems == plain
    assert read_bytes(content.replace(b"\n", b"\r\n"), "record.yaml", Record, "in").problems == plain


@pytest.mark.parametrize("path", GOOD_FILES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_both_parsers_read_the_same_tree(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(yaml_text, "_LOADER", yaml.CSafeLoader)
    fast, problems, _ = read_yaml(path.read_bytes(), path.name)
    monkeypatch.setattr(yaml_text, "_LOADER", yaml.SafeLoader)
    slow, more_problems, _ = read_yaml(path.read_bytes(), path.name)
    assert problems == more_problems == []
    assert fast == slow


def without_blanks(node: Node) -> Node:
    """The tree with one place for everything left open: there the two parsers differ by the space before it."""
    if isinstance(node, Entries):
        pairs = tuple((key, without_blanks(inner)) for key, inner in node.entries)
        return dataclasses.replace(node, entries=pairs)
    if isinstance(node, Items):
        return dataclasses.replace(node, items=tuple(map(without_blanks, node.items)))
    return dataclasses.replace(node, place=Place(1, 1)) if node.is_blank else node


def test_both_parsers_find_the_same_in_bad_files_that_have_a_tree(monkeypatch: pytest.MonkeyPatch) -> None:
    compared = 0
    for path in sorted((RECORDS / "bad").glob("*/*.yaml")):
        monkeypatch.setattr(yaml_text, "_LOADER", yaml.CSafeLoader)
        fast, problems, _ = read_yaml(path.read_bytes(), path.name)
        monkeypatch.setattr(yaml_text, "_LOADER", yaml.SafeLoader)
        slow, more_problems, _ = read_yaml(path.read_bytes(), path.name)
        assert (fast is None) == (slow is None), path.name
        assert [problem.code for problem in problems] == [problem.code for problem in more_problems], path.name
        if fast is not None:
            compared += 1
            assert slow is not None
            assert (without_blanks(fast), problems) == (without_blanks(slow), more_problems), path.name
    assert compared > 20


def written_at(node: Node, lines: list[str]) -> None:
    """Every text stands where the tree says it does."""
    if isinstance(node, Entries):
        for key, inner in node.entries:
            written_at(key, lines)
            written_at(inner, lines)
    elif isinstance(node, Items):
        for inner in node.items:
            written_at(inner, lines)
    elif not node.in_quotes:
        assert lines[node.place.line - 1][node.place.column - 1 :].startswith(node.text)


@pytest.mark.parametrize("path", GOOD_FILES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_places_are_true(path: Path) -> None:
    tree, _, lines = read_yaml(path.read_bytes(), path.name)
    assert tree is not None
    written_at(tree, lines)


def test_a_finding_of_a_sum_becomes_a_problem_at_its_field() -> None:
    read = read_file(HERON, RECORDS / "good_shop", Record, "in")
    problem = read.problem_at(Finding("impossible-fret", "spec.frets.add[1]", "odd"))
    assert problem.source_line[problem.column - 1 :].startswith("6½")
    around = read.problem_at(Finding("missing-key", "spec.fretboard.strings[3].gauge", "odd"))
    assert around.line == read.places["spec.fretboard"].line
    assert read.problem_at(Finding("missing-key", "nowhere", "odd")).line == 2, "where the record begins"


def test_the_place_of_a_key_in_quotes_and_of_a_block_text() -> None:
    tree, problems, _ = read_yaml(b"'a b': |\n  c\n", "any.yaml")
    assert not problems
    assert tree == Entries(
        ((Text("a b", Place(1, 1), in_quotes=True), Text("c\n", Place(1, 8), in_quotes=True)),), Place(1, 1)
    )


def test_did_you_mean() -> None:
    assert did_you_mean("soundbord", ["soundboard", "back"]) == "did you mean «soundboard»?"
    assert did_you_mean("SERIAL", ["serial"]) == "did you mean «serial»?"
    assert did_you_mean("zzz", ["a", "b", "c"]) == "write a, b or c"
    assert did_you_mean("zzz", []) == ""
    assert did_you_mean("zzz", map(str, range(100))) == ""
    assert in_a_row(["a"]) == "a"
    assert in_short("a\n  b") == "a b"
    assert in_short("x" * 100) == "x" * 59 + "…"
