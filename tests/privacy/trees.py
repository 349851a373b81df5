"""The files of a shop as trees of texts, laid over the shape each has, so that every field of every file can be met.

The shapes are the grammar of the files (`builder/reading/shapes.py`): whoever walks them meets a new field by itself.
"""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

import yaml

from builder.limits import Between, Serial, WebAddress, Words
from builder.reading.converters import converters
from builder.reading.shapes import DEFAULT_WORDS
from builder.record.as_built import RuleUsed
from builder.record.words import NameInShop

#: A file of records as a general YAML library reads it: groups, lists and texts.
Tree = Any

#: Types of a value that may hold any words. All others hold a number, a day, a note, or one of a few fixed words.
WITH_WORDS: frozenset[Any] = frozenset({str, NameInShop, RuleUsed, Serial, WebAddress})


@dataclass(frozen=True)
class Leaf:
    """One value as it may be written in a file: its type and limit, where it stands, and what stands beside it.

    `fields` are the fields it lies below, the outermost first, each with its group; the last is its own. `names` are
    the keys of named entries above it: the billet, the finish, the part. A leaf that is itself such a key `is_name`.
    """

    kind: Any
    limit: Words | Between | None = None
    path: str = ""
    fields: tuple[tuple[type[Any], str], ...] = ()
    names: tuple[str, ...] = ()
    is_name: bool = False
    #: The group it stands in, as it was written.
    beside: Mapping[str, Tree] = dataclasses.field(default_factory=dict, compare=False)

    @property
    def owner_and_field(self) -> tuple[type[Any], str]:
        return self.fields[-1]

    @property
    def may_hold_words(self) -> bool:
        return self.kind in WITH_WORDS

    @property
    def most_letters(self) -> int:
        return self.limit.most if isinstance(self.limit, Words) else DEFAULT_WORDS.most


#: What becomes of a leaf: its text goes in (None where nothing is written), its new text comes out (None: not written).
Rewrite = Callable[[Leaf, str | None], str | None]
#: Whether a whole group or list that is not written is to be written from its types.
Grows = Callable[[type[Any], str], bool]


def rewritten(tree: Tree, shape: Any, rewrite: Rewrite, grows: Grows = lambda owner, field: False) -> Tree:
    """The tree with every leaf rewritten; leaves and groups that are not there are added where that is asked for."""
    return _Walk(rewrite, grows).value(tree, shape, Leaf(shape))


class _Walk:
    def __init__(self, rewrite: Rewrite, grows: Grows) -> None:
        self._rewrite, self._grows = rewrite, grows

    def value(self, tree: Tree, shape: Any, at: Leaf) -> Tree:
        shape, limit = without_notes(shape, at.limit)
        at = dataclasses.replace(at, kind=shape, limit=limit)
        origin = get_origin(shape)
        if origin in (Union, types.UnionType):
            return self.value(tree, _variant(tree, shape), at)
        if is_group(shape):
            return self._group(tree or {}, shape, at)
        if origin is tuple:
            return self._list(tree, get_args(shape), at)
        if origin is Mapping:
            key_kind, kind = get_args(shape)
            return self._mapping(tree, key_kind, kind, at)
        assert tree is None or isinstance(tree, str), f"{at.path}: {tree!r}"
        return self._rewrite(at, tree)

    def _group(self, tree: dict[str, Tree], shape: type[Any], at: Leaf) -> Tree:
        hints = hints_of(shape)
        assert set(tree) <= set(hints), f"{at.path}: {set(tree) - set(hints)}"
        written = {}
        for name in [*tree, *(name for name in hints if name not in tree)]:
            path, fields = f"{at.path}.{name}".lstrip("."), (*at.fields, (shape, name))
            below = dataclasses.replace(at, limit=None, path=path, fields=fields, beside=tree, is_name=False)
            inner = tree.get(name)
            if inner is None and not is_leaf(hints[name]) and not self._grows(shape, name):
                continue
            value = self.value(inner, hints[name], below)
            if value is not None and value != {} and value != []:
                written[name] = value
        return written

    def _list(self, tree: list[Tree] | None, kinds: tuple[Any, ...], at: Leaf) -> Tree:
        if kinds[-1] is Ellipsis:
            kinds = (kinds[0],) * (1 if tree is None else len(tree))
        items = [None] * len(kinds) if tree is None else tree
        pairs = enumerate(zip(items, kinds, strict=True))
        new = [self.value(item, kind, dataclasses.replace(at, path=f"{at.path}[{n}]")) for n, (item, kind) in pairs]
        return [item for item in new if item is not None]

    def _mapping(self, tree: dict[str, Tree] | None, key_kind: Any, kind: Any, at: Leaf) -> Tree:
        written = {}
        for name, inner in ({None: None} if tree is None else tree).items():
            key = self.value(name, key_kind, dataclasses.replace(at, path=f"{at.path}.{name}", is_name=True))
            if key is not None:
                below = dataclasses.replace(at, path=f"{at.path}.{name}", names=(*at.names, key), is_name=False)
                written[key] = self.value(inner, kind, below)
        return written


#: What becomes of a group: its shape and its keys with their values.
Change = Callable[[type[Any], dict[str, Tree]], dict[str, Tree]]


def regrouped(tree: Tree, shape: Any, change: Change) -> Tree:
    """The tree with every group of keys changed as a whole, the inmost first: keys left out, or in another order."""
    shape, _ = without_notes(shape)
    origin = get_origin(shape)
    if origin in (Union, types.UnionType):
        return regrouped(tree, _variant(tree, shape), change)
    if is_group(shape):
        hints = hints_of(shape)
        return change(shape, {name: regrouped(inner, hints[name], change) for name, inner in tree.items()})
    if origin is tuple:
        return [regrouped(item, get_args(shape)[0], change) for item in tree]
    if origin is Mapping:
        return {name: regrouped(inner, get_args(shape)[1], change) for name, inner in tree.items()}
    return tree


_HINTS: dict[type[Any], dict[str, Any]] = {}


def hints_of(shape: type[Any]) -> dict[str, Any]:
    """Field ─► type, with what is noted beside the type."""
    if shape not in _HINTS:
        hints = get_type_hints(shape, include_extras=True)
        _HINTS[shape] = {field.name: hints[field.name] for field in dataclasses.fields(shape)}
    return _HINTS[shape]


def without_notes(shape: Any, limit: Words | Between | None = None) -> tuple[Any, Words | Between | None]:
    """A type without what is noted beside it, and the limit that was noted."""
    if get_origin(shape) is Annotated:
        inner, *notes = get_args(shape)
        return inner, next((note for note in notes if isinstance(note, Words | Between)), limit)
    return shape, limit


def is_group(shape: Any) -> bool:
    """Whether a type is a group of keys. What the sums read from one text is none."""
    return isinstance(shape, type) and dataclasses.is_dataclass(shape) and shape not in converters("in")


def groups_directly_in(shape: Any) -> set[type[Any]]:
    """The groups of keys that a type is written as, without those inside them."""
    shape, _ = without_notes(shape)
    return {shape} if is_group(shape) else set().union(*map(groups_directly_in, get_args(shape)))


def is_leaf(shape: Any) -> bool:
    """Whether a type is written as one text, in its simplest form."""
    shape, _ = without_notes(shape)
    if get_origin(shape) in (Union, types.UnionType):
        return is_leaf(get_args(shape)[0])
    return not is_group(shape) and get_origin(shape) not in (tuple, Mapping)


def leaf_kinds_in(shape: Any) -> set[Any]:
    """The type of every leaf inside a shape; fixed words count as one type."""
    shape, _ = without_notes(shape)
    if is_group(shape):
        return set().union(*map(leaf_kinds_in, hints_of(shape).values()))
    if get_origin(shape) in (Union, types.UnionType, tuple, Mapping):
        return set().union(*(leaf_kinds_in(each) for each in get_args(shape) if each not in (type(None), Ellipsis)))
    return {Literal if get_origin(shape) is Literal else shape}


def _variant(tree: Tree, shape: Any) -> Any:
    """Which of several types is written here: the text's own shape decides, then whether it is one of fixed words."""
    kinds = [kind for kind in get_args(shape) if kind is not type(None)]
    if tree is None:
        return kinds[0]
    fitting = [kind for kind in kinds if _written_as(kind) is type(tree)]
    for kind in fitting:
        bare, _ = without_notes(kind)
        if get_origin(bare) is Literal and tree in get_args(bare):
            return kind
    return next(kind for kind in fitting if get_origin(without_notes(kind)[0]) is not Literal)


def _written_as(kind: Any) -> type[Any]:
    kind, _ = without_notes(kind)
    if get_origin(kind) is tuple:
        return list
    return dict if get_origin(kind) is Mapping or is_group(kind) else str


def read_tree(text: str) -> Tree:
    """A file as groups, lists and texts; every value stays the text it is written as."""
    return yaml.load(text, yaml.CBaseLoader)


def as_yaml(tree: Tree) -> str:
    """The tree as a maker's file, a key a line, in the order it has."""
    return str(yaml.dump(tree, Dumper=yaml.CSafeDumper, sort_keys=False, allow_unicode=True, width=10_000))
