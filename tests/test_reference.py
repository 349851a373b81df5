"""The grammar told to people and editors: nothing left out, every example readable, the schema no narrower."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from random import Random
from typing import Any, get_type_hints

import jsonschema
import pytest
import yaml

from builder import addresses
from builder.pages.reference import reference_page
from builder.publish.reference import publish_reference
from builder.reading.folder import read_bytes
from builder.reading.shapes import ShapeReader
from builder.reading.yaml_text import read_yaml
from builder.reference import meanings_of_records, meanings_of_the_shop
from builder.reference.examples import EXAMPLES
from builder.reference.grammar import (
    FILES,
    EitherOf,
    Grammar,
    Group,
    Named,
    OneWord,
    Row,
    Several,
    Single,
    grammar_of,
    shapes,
)
from builder.reference.schema import modeline, schema_name, schema_of
from tests.page_reading import body, tree
from tests.strategies import GOOD_FILES

#: So many files are made up for each kind of file, and so many records in all must be read.
MADE_UP, READ_AT_LEAST = 150, 300

SCHEMAS = {file: jsonschema.Draft202012Validator(schema_of(file)) for file in FILES}


def fields() -> Iterator[tuple[type[Any], str, Any]]:
    for shape in shapes():
        for name, hint in get_type_hints(shape, include_extras=True).items():
            yield shape, name, hint


@pytest.mark.parametrize("file", FILES)
def test_a_schema_is_one(file: str) -> None:
    """Against the meta-schema of draft 2020-12, as the package jsonschema carries it."""
    jsonschema.Draft202012Validator.check_schema(schema_of(file))


def test_every_field_has_a_meaning_and_nothing_else_has() -> None:
    told = {
        (shape, field)
        for module in (meanings_of_records, meanings_of_the_shop)
        for shape, meanings in module.MEANINGS.items()
        for field in meanings
    }
    owned = {(owner.__name__, name) for shape, name, _ in fields() for owner in shape.__mro__}
    assert told <= owned
    assert set(EXAMPLES) <= owned
    for file in FILES:
        grammar_of(file)  # asks for the meaning of every field


def test_every_example_is_read_as_it_stands() -> None:
    tried = 0
    for file in FILES:
        for group in groups_of(grammar_of(file)):
            hints = next(
                get_type_hints(shape, include_extras=True) for shape in shapes() if shape.__name__ == group.name
            )
            for field in group.fields:
                if not field.example:
                    continue
                tried += 1
                written = field.example.replace(", …]", "]")
                laid, problems, lines = read_yaml(f"{field.name}: {written}\n".encode(), "example")
                assert laid is not None, problems
                one = dataclasses.make_dataclass("One", [(field.name, hints[field.name])])
                one.__annotations__ = {field.name: hints[field.name]}
                reader = ShapeReader("example", lines, "in")
                assert reader.read(laid, one) is not None, (group.name, field.name, reader.problems)
    assert tried > 250


def groups_of(grammar: Grammar) -> Iterator[Group]:
    match grammar:
        case Group(_, _, inside):
            yield grammar
            for field in inside:
                yield from groups_of(field.grammar)
        case Several(inner) | Named(_, inner):
            yield from groups_of(inner)
        case EitherOf(kinds) | Row(kinds):
            for kind in kinds:
                yield from groups_of(kind)


def as_an_editor_reads(text: str) -> Any:
    """YAML 1.2's core schema (section 10.3.2 of its specification): plain numbers and truth values are no texts."""

    def resolved(node: Any) -> Any:
        if isinstance(node, yaml.MappingNode):
            return {key.value: resolved(value) for key, value in node.value}
        if isinstance(node, yaml.SequenceNode):
            return [resolved(each) for each in node.value]
        if node.style is None:
            if re.fullmatch(r"|~|null|Null|NULL", node.value):
                return None
            if re.fullmatch(r"true|True|TRUE|false|False|FALSE", node.value):
                return node.value.lower() == "true"
            if re.fullmatch(r"[-+]?[0-9]+", node.value):
                return int(node.value)
            if re.fullmatch(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", node.value):
                return float(node.value)
        return node.value

    return resolved(yaml.compose(text, Loader=yaml.BaseLoader))


def complaints(file: str, text: str) -> list[str]:
    both = [yaml.load(text, Loader=yaml.BaseLoader), as_an_editor_reads(text)]
    blank_is_nothing = [_without_blank(both[0]), both[1]]
    return [error.message[:300] for tree in blank_is_nothing for error in SCHEMAS[file].iter_errors(tree)]


def _without_blank(tree: Any) -> Any:
    if isinstance(tree, dict):
        return {key: None if value == "" else _without_blank(value) for key, value in tree.items()}
    return [_without_blank(each) for each in tree] if isinstance(tree, list) else tree


def made_up(random: Random, grammar: Grammar, example: str = "", share: float = 0.5) -> str:
    """A value in brackets, as it may be written: each key there or not, values at their bounds or as in the example."""
    match grammar:
        case Single(value, between, words):
            if words:
                return random.choice(("Ash", "two words", '"a: text, with signs"', "12", "no", "2026-01-02"))[
                    : words.most
                ]
            pool = [between.least, between.most] if between else value.examples
            return random.choice(pool)
        case OneWord(words):
            return random.choice(words)
        case Several(entry):
            return f"[{', '.join(made_up(random, entry) for _ in range(random.randint(0, 3)))}]"
        case Row(entries):
            return f"[{', '.join(made_up(random, each) for each in entries)}]"
        case Named(key, value):
            pairs = {made_up(random, key): made_up(random, value) for _ in range(random.randint(0, 2))}
            return f"{{{', '.join(f'{name}: {inside}' for name, inside in pairs.items())}}}"
        case EitherOf(kinds):
            return made_up(random, random.choice(kinds))
        case Group(_, _, inside):
            written = [
                f"{field.name}: {made_up(random, field.grammar, share=share * 0.8)}"
                for field in inside
                if field.is_required or random.random() < share
            ]
            return f"{{{', '.join(written)}}}"


def test_what_the_reader_accepts_the_schema_accepts() -> None:
    random, accepted = Random(11), 0
    for file, (_, shape) in FILES.items():
        grammar = grammar_of(file)
        for number in range(MADE_UP):
            text = made_up(random, grammar, share=0.1 + 0.5 * number / MADE_UP)
            if read_bytes(text.encode(), "made-up", shape, "in").value is not None:
                accepted += 1
                assert complaints(file, text) == [], text
    assert accepted >= READ_AT_LEAST


@pytest.mark.parametrize("path", GOOD_FILES, ids=lambda path: path.parent.name + "/" + path.name)
def test_the_good_files_are_good_to_an_editor(path: Any) -> None:
    file = {"shop.yaml": "shop", "wood.yaml": "wood", "record.yaml": "record", "private.yaml": "private"}.get(path.name)
    if path.parent.name == "repairs":
        file = "repair"
    if path.parent.name == "records" and path.name == "private.yaml":
        file = "shop-private"
    assert complaints(file or "pattern", path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("record", "{format: 1, serial: D-1}"),
        ("record", "{format: 1, serial: D-1, kind: lute, nmae: x}"),
        ("record", "{format: 2, serial: D-1, kind: lute}"),
        ("record", "{format: 1, serial: D 1, kind: lute}"),
        ("record", "{format: 1, serial: D-1, kind: lute, dates: 2026-01-01}"),
        ("record", "{format: 1, serial: D-1, kind: lute, dates: {ordered: soon}}"),
        ("record", "{format: 1, serial: D-1, kind: lute, spec: {frets: {layout: diatonc}}}"),
        ("shop", "{format: 1, name: x, maker: y, units: inches, rules: {}, working_rule: z}"),
    ],
)
def test_what_is_plainly_wrong_the_schema_refuses(file: str, text: str) -> None:
    assert complaints(file, text)


def test_the_page_tells_every_field_and_every_link_on_it_leads_somewhere() -> None:
    page = reference_page(publish_reference())
    html = tree(body(page))
    told = {each.text for each in html.iter("code") if each.text}
    assert {name for _, name, _ in fields()} <= told
    ids = {each.get("id") for each in html.iter() if each.get("id")}
    links = [each.get("href") for each in html.iter("a")]
    assert links
    assert {link.removeprefix("#") for link in links if link} <= ids
    assert page.path == addresses.REFERENCE


def test_a_file_names_its_schema_from_where_it_stands() -> None:
    assert modeline("record").endswith(f"$schema=../../schema/{schema_name('record')}")
    assert modeline("shop").endswith(f"$schema=schema/{schema_name('shop')}")
