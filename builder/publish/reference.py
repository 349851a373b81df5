"""Names what is told of the grammar: every field of every file."""

from __future__ import annotations

from collections.abc import Iterator

from builder.published.reference import PublishedField, PublishedFile, PublishedGroup
from builder.reference.grammar import (
    FILES,
    EitherOf,
    Field,
    Grammar,
    Group,
    Named,
    OneWord,
    Row,
    Several,
    Single,
    grammar_of,
)
from builder.reference.seen_by_buyers import may_be_seen
from builder.words import in_a_row

#: What a maker calls each kind of file.
TITLES = {
    "record": "An instrument's record",
    "private": "Its private file",
    "pattern": "A pattern",
    "shop": "The shop file",
    "wood": "The wood rack",
    "repair": "A repair",
    "shop-private": "The shop's private file",
}


def publish_reference() -> tuple[PublishedFile, ...]:
    """Every file with its groups. A group that several files have is told in the first of them."""
    told: set[str] = set()
    files = []
    for file, (place, _) in FILES.items():
        groups = tuple(_groups(file, "", grammar_of(file), told))
        files.append(PublishedFile(file, TITLES[file], place, groups))
    return tuple(files)


def _groups(file: str, path: str, group: Group, told: set[str]) -> Iterator[PublishedGroup]:
    if group.name in told:
        return
    told.add(group.name)
    fields = tuple(_field(file, group, field) for field in group.fields)
    yield PublishedGroup(group.name, path, group.about, fields)
    for field in group.fields:
        inside = f"{path}.{field.name}" if path else field.name
        for below, more in _below(field.grammar):
            yield from _groups(file, f"{inside}{more}", below, told)


def _below(grammar: Grammar) -> Iterator[tuple[Group, str]]:
    """The groups that a field leads to, and how its path goes on to them."""
    match grammar:
        case Group():
            yield grammar, ""
        case Several(entry):
            yield from ((group, f"[ ]{more}") for group, more in _below(entry))
        case Named(_, value):
            yield from ((group, f".…{more}") for group, more in _below(value))
        case EitherOf(kinds):
            for kind in kinds:
                yield from _below(kind)
        case _:
            return


def _field(file: str, group: Group, field: Field) -> PublishedField:
    below = next((inside.name for inside, _ in _below(field.grammar)), None)
    return PublishedField(
        name=field.name,
        meaning=field.meaning,
        written=_written(field.grammar),
        example=field.example,
        bounds=_bounds(field.grammar),
        group=below,
        is_required=field.is_required,
        is_for_buyers=may_be_seen(file, group.name, field.name),
    )


def _written(grammar: Grammar) -> str:
    match grammar:
        case Single(value):
            return value.words
        case OneWord(words):
            return in_a_row(words, "or")
        case Several(entry):
            return f"list: {_written(entry)}"
        case Row(entries):
            return f"list of {len(entries)}: {', '.join(dict.fromkeys(map(_written, entries)))}"
        case Named(key, value):
            return f"names of your own ({_written(key)}), each with: {_written(value)}"
        case EitherOf(kinds):
            return "; or ".join(dict.fromkeys(map(_written, kinds)))
        case Group():
            return "keys of its own"


def _bounds(grammar: Grammar) -> str:
    match grammar:
        case Single(_, between, words):
            if between:
                return f"{between.least} to {between.most}"
            return f"up to {words.most} letters" if words else ""
        case Several(inside) | Named(_, inside):
            return _bounds(inside)
        case Row(entries):
            return "; ".join(dict.fromkeys(filter(None, map(_bounds, entries))))
        case EitherOf(kinds):
            return "; ".join(dict.fromkeys(filter(None, map(_bounds, kinds))))
        case _:
            return ""
