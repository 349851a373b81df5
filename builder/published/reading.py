"""A snapshot read back: its bytes ─► `Published`, so that what was issued long ago can be shown again.

Names that this version does not know are passed over, and names that an older version did not write are filled with
nothing; which they were is said, so that nobody takes them for a change.
"""

from __future__ import annotations

import dataclasses
import json
import types
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any, Literal, NoReturn, TypeVar, Union, get_args, get_origin, get_type_hints

from builder.published import FORMAT, Published

T = TypeVar("T")


class NotReadable(ValueError):
    """The bytes are not what they should be; the message says where and why."""


class UnknownFormat(NotReadable):
    """The bytes say that they are of a format that this version does not know."""


@dataclass(frozen=True, slots=True)
class ReadBack:
    """A snapshot read back. `absent` and `unknown` are names, such as `PublishedWood.origin`.

    `absent`: this version has them and the snapshot has not. `unknown`: the other way round.
    """

    published: Published
    absent: frozenset[str]
    unknown: frozenset[str]


@dataclass(slots=True)
class _Notes:
    """What was met while reading."""

    absent: set[str]
    unknown: set[str]


_Reader = Callable[[Any, str, _Notes], Any]


@lru_cache(500)
def read_published(snapshot: bytes) -> ReadBack:
    """A snapshot as `Published`. Raises NotReadable, or UnknownFormat, with a plain word."""
    tree = read_json(snapshot)
    if isinstance(tree, dict) and tree.get("format") != FORMAT:
        raise UnknownFormat(f"it is of format {tree.get('format')!r}, and this version knows format {FORMAT}")
    notes = _Notes(set(), set())
    published = _reader_of(Published)(tree, "", notes)
    return ReadBack(published, frozenset(notes.absent), frozenset(notes.unknown))


def read_json(content: bytes) -> Any:
    """The JSON in these bytes. Raises NotReadable."""

    def no_number(word: str) -> NoReturn:
        raise NotReadable(f"{word} is no number")

    try:
        return json.loads(content.decode(), parse_constant=no_number)
    except NotReadable:
        raise
    except (ValueError, RecursionError):
        raise NotReadable("it is not JSON") from None


def read_as(shape: type[T], content: bytes) -> T:
    """JSON as a frozen dataclass, with exactly its names. Raises NotReadable."""
    notes = _Notes(set(), set())
    value: T = _reader_of(shape)(read_json(content), "", notes)
    if odd := sorted(notes.absent | notes.unknown):
        raise NotReadable(f"it has not the names it should have: {', '.join(odd)}")
    return value


def _reader_of(hint: Any) -> _Reader:
    return _made_reader_of(hint)


@cache
def _made_reader_of(hint: Any) -> _Reader:
    """How a value of this type is read."""
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return _group_reader(hint)
    origin, inside = get_origin(hint), get_args(hint)
    if origin is tuple:
        return _list_reader(inside)
    if origin in (Union, types.UnionType):
        return _choice_reader(tuple(_reader_of(each) for each in inside))
    if origin is Literal:
        return _plain_reader(lambda value: value in inside, f"one of {', '.join(map(str, inside))}")
    if hint in _PLAIN:
        return _plain_reader(*_PLAIN[hint])
    raise TypeError(f"nothing published has the type {hint}")


#: A whole number may stand where a number with decimals is meant, and stays as it was written.
_PLAIN: dict[Any, tuple[Callable[[Any], bool], str]] = {
    str: (lambda value: isinstance(value, str), "a text"),
    bool: (lambda value: isinstance(value, bool), "true or false"),
    int: (lambda value: isinstance(value, int) and not isinstance(value, bool), "a whole number"),
    float: (lambda value: isinstance(value, int | float) and not isinstance(value, bool), "a number"),
    type(None): (lambda value: value is None, "null"),
}


def _plain_reader(fits: Callable[[Any], bool], said: str) -> _Reader:
    def read(value: Any, where: str, notes: _Notes) -> Any:
        if not fits(value):
            raise NotReadable(f"{where or 'it'} is not {said}")
        return value

    return read


def _choice_reader(readers: tuple[_Reader, ...]) -> _Reader:
    def read(value: Any, where: str, notes: _Notes) -> Any:
        reasons = []
        for reader in readers:
            met = _Notes(set(), set())
            try:
                chosen = reader(value, where, met)
            except NotReadable as error:
                reasons.append(error)
                continue
            notes.absent |= met.absent
            notes.unknown |= met.unknown
            return chosen
        raise reasons[0]

    return read


def _list_reader(inside: tuple[Any, ...]) -> _Reader:
    if inside[-1] is Ellipsis:
        each = _reader_of(inside[0])

        def read_any_number(value: Any, where: str, notes: _Notes) -> Any:
            return tuple([each(item, where, notes) for item in _as_list(value, where)])

        return read_any_number
    readers = tuple(_reader_of(item) for item in inside)

    def read_so_many(value: Any, where: str, notes: _Notes) -> Any:
        items = _as_list(value, where)
        if len(items) != len(readers):
            raise NotReadable(f"{where or 'it'} has {len(items)} entries, not {len(readers)}")
        return tuple([reader(item, where, notes) for reader, item in zip(readers, items, strict=True)])

    return read_so_many


def _as_list(value: Any, where: str) -> list[Any]:
    if not isinstance(value, list):
        raise NotReadable(f"{where or 'it'} is not a list")
    return value


def _group_reader(shape: type[Any]) -> _Reader:
    hints = get_type_hints(shape)
    fields = [(field, hints[field.name]) for field in dataclasses.fields(shape)]
    readers = {field.name: _reader_of(hint) for field, hint in fields}
    # A name that is not written means nothing was known of it; what cannot be nothing must be there.
    empty = {field.name: _empty(field, hint) for field, hint in fields}

    def read(value: Any, where: str, notes: _Notes) -> Any:
        if not isinstance(value, dict):
            raise NotReadable(f"{where or 'it'} is not a group of names")
        values = {}
        for name, reader in readers.items():
            inside = f"{where}.{name}" if where else name
            if name in value:
                values[name] = reader(value[name], inside, notes)
            elif empty[name]:
                values[name] = empty[name][0]
                notes.absent.add(f"{shape.__name__}.{name}")
            else:
                raise NotReadable(f"{inside} is missing")
        notes.unknown |= {f"{shape.__name__}.{name}" for name in value.keys() - readers.keys()}
        return shape(**values)

    return read


def _empty(field: Any, hint: Any) -> tuple[Any, ...]:
    """The value that says nothing was known, in a tuple of its own; none where there is no such value."""
    if field.default is not dataclasses.MISSING:
        return (field.default,)
    if type(None) in get_args(hint):
        return (None,)
    if get_origin(hint) is tuple and get_args(hint)[-1] is Ellipsis:
        return ((),)
    return ()
