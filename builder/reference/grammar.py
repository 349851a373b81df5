"""The grammar of a file as a tree that can be told in words or as a schema: it follows the shapes, as reading does."""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from builder.limits import Between, Words
from builder.reading.converters import converters
from builder.record import Pattern, PrivateFile, Record
from builder.record.repair import Repair
from builder.reference import meanings_of_records, meanings_of_the_shop
from builder.reference.examples import EXAMPLES
from builder.reference.values import VALUES, Value
from builder.shop import Shop, WoodRack
from builder.shop.private import ShopPrivate

#: The files of a shop: what they are called here, where they stand, and the shape they have.
FILES: Mapping[str, tuple[str, type[Any]]] = {
    "record": ("records/instruments/<serial>/record.yaml", Record),
    "private": ("records/instruments/<serial>/private.yaml", PrivateFile),
    "pattern": ("records/patterns/<name>.yaml", Pattern),
    "shop": ("records/shop.yaml", Shop),
    "wood": ("records/wood.yaml", WoodRack),
    "repair": ("records/repairs/<ticket>.yaml", Repair),
    "shop-private": ("records/private.yaml", ShopPrivate),
}

DEFAULT_WORDS = Words(200)


@dataclass(frozen=True, slots=True)
class Single:
    """One value; of a text also how long it may be, of a number or length between what it lies."""

    value: Value
    between: Between | None = None
    words: Words | None = None


@dataclass(frozen=True, slots=True)
class OneWord:
    """One of a few fixed words."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Several:
    """A list of any number of entries of one kind."""

    entry: Grammar


@dataclass(frozen=True, slots=True)
class Row:
    """A list of just so many entries."""

    entries: tuple[Grammar, ...]


@dataclass(frozen=True, slots=True)
class Named:
    """Keys of the maker's own choice, each with a value of one kind."""

    key: Grammar
    value: Grammar


@dataclass(frozen=True, slots=True)
class EitherOf:
    """Any of several kinds."""

    kinds: tuple[Grammar, ...]


@dataclass(frozen=True, slots=True)
class Field:
    """A key that is known: its meaning, an example of its value, what may be written, and whether something must be.

    A group has its fields, and no example.
    """

    name: str
    meaning: str
    example: str
    grammar: Grammar
    is_required: bool


@dataclass(frozen=True, slots=True)
class Group:
    """Known keys; `about` says what they are together."""

    name: str
    about: str
    fields: tuple[Field, ...]


Grammar = Single | OneWord | Several | Row | Named | EitherOf | Group


def grammar_of(file: str) -> Group:
    """The grammar of one of `FILES`."""
    return _group(FILES[file][1])


def meaning_of(shape: type[Any], field: str) -> str:
    """What a field means; one that a shape has from another is described there. Raises KeyError where nobody said."""
    for owner in shape.__mro__:
        for meanings in (meanings_of_records.MEANINGS, meanings_of_the_shop.MEANINGS):
            if field in meanings.get(owner.__name__, {}):
                return meanings[owner.__name__][field]
    raise KeyError(f"{shape.__name__}.{field}: say what it means, in meanings_of_records or meanings_of_the_shop")


def shapes() -> Iterator[type[Any]]:
    """Every shape of every file, once."""
    seen: dict[type[Any], None] = {}

    def walk(kind: Any) -> None:
        if isinstance(kind, type) and dataclasses.is_dataclass(kind) and kind not in VALUES and kind not in seen:
            seen[kind] = None
            for hint in get_type_hints(kind, include_extras=True).values():
                walk(hint)
        for inner in get_args(kind):
            walk(inner)

    for _, shape in FILES.values():
        walk(shape)
    yield from seen


def _group(shape: type[Any]) -> Group:
    hints = get_type_hints(shape, include_extras=True)
    return Group(
        shape.__name__,
        (shape.__doc__ or "").split("\n")[0],
        tuple(_field(shape, each, hints[each.name]) for each in dataclasses.fields(shape)),
    )


def _field(shape: type[Any], field: dataclasses.Field[Any], hint: Any) -> Field:
    grammar = _grammar(hint)
    return Field(
        field.name,
        meaning_of(shape, field.name),
        EXAMPLES.get((shape.__name__, field.name)) or example_of(grammar),
        grammar,
        field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING,
    )


def _grammar(kind: Any, limit: Words | Between | None = None) -> Grammar:
    origin, inside = get_origin(kind), get_args(kind)
    if origin is Annotated:
        limits = [note for note in inside[1:] if isinstance(note, Words | Between)]
        return _grammar(inside[0], limits[0] if limits else limit)
    if origin in (Union, types.UnionType):
        kinds = tuple(_grammar(each) for each in inside if each is not types.NoneType)
        return kinds[0] if len(kinds) == 1 else EitherOf(kinds)
    if origin is Literal:
        return OneWord(inside)
    if origin is tuple:
        return Several(_grammar(inside[0])) if inside[-1] is Ellipsis else Row(tuple(map(_grammar, inside)))
    if origin is Mapping:
        return Named(_grammar(inside[0]), _grammar(inside[1]))
    if kind in VALUES:
        words = (limit if isinstance(limit, Words) else DEFAULT_WORDS) if kind is str else None
        return Single(VALUES[kind], limit if isinstance(limit, Between) else None, words)
    return _group(kind)


def example_of(grammar: Grammar) -> str:
    """A value as it may be written; empty for a group, which has its fields."""
    match grammar:
        case Single(value, between):
            return next((example for example in value.examples if _lies_between(value, example, between)), "")
        case OneWord(words):
            return words[0]
        case Several(entry):
            return f"[{example_of(entry)}]" if example_of(entry) else ""
        case Row(entries):
            return f"[{', '.join(map(example_of, entries))}]"
        case Named(key, value):
            return f"{{{example_of(key)}: {example_of(value)}}}" if example_of(value) else ""
        case EitherOf(kinds):
            return next(filter(None, map(example_of, kinds)), "")
        case Group():
            return ""


def _lies_between(value: Value, example: str, between: Between | None) -> bool:
    if between is None:
        return True
    read = converters("in")[next(kind for kind, each in VALUES.items() if each is value)]
    return bool(read(between.least) <= read(example) <= read(between.most))
