"""Additions to files of every layout: right or refused, never wrong, and every other byte as it was."""

from __future__ import annotations

import copy
import difflib
from collections import Counter
from collections.abc import Iterator
from random import Random
from typing import Any

import yaml

from builder.editing.additions import Path, Refused, add_entry, set_value, without_key
from builder.editing.layout import Plain
from tests.random_layouts import KEYS, WORDS, laid_out, tree_of

FILES = 2_000

#: libyaml's where PyYAML has it: it is another parser than the one that finds places, and faster.
LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


def paths_in(tree: Plain, path: Path = ()) -> Iterator[tuple[Path, Plain]]:
    yield path, tree
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from paths_in(value, (*path, key))
    elif isinstance(tree, list):
        for number, value in enumerate(tree):
            yield from paths_in(value, (*path, number))


def as_texts(content: bytes) -> Any:
    """What an independent reading of the whole file gives, every scalar as text."""
    return yaml.load(content.decode(), Loader=LOADER)


def is_grown_from(new: bytes, old: bytes) -> bool:
    """Whether the old bytes stand in the new ones, with one piece put in."""
    ahead = next((at for at, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), min(len(old), len(new)))
    return len(new) > len(old) and new[:ahead] == old[:ahead] and new.endswith(old[ahead:])


def inside(tree: Any, path: Path) -> Any:
    for name in path:
        tree = tree[name]
    return tree


def test_an_addition_is_right_or_refused_and_leaves_every_other_byte() -> None:
    random, done = Random(7), Counter[str]()
    for _ in range(FILES):
        tree = tree_of(random)
        content = laid_out(random, tree).encode()
        if random.random() < 0.1:
            content = b"\xef\xbb\xbf" + content
        try:
            before = as_texts(content.removeprefix(b"\xef\xbb\xbf"))
        except yaml.YAMLError:
            done["not a file"] += 1
            continue
        entries: list[Plain] = [
            random.choice(WORDS),
            {"step": random.choice(WORDS), "done": "2026-01-02"},
            ["a", "b: c"],
        ]
        entry = random.choice(entries)
        lists = [path for path, value in paths_in(before) if isinstance(value, list)]
        groups = [path for path, value in paths_in(before) if isinstance(value, dict)]
        meant = copy.deepcopy(before)
        try:
            if lists and random.random() < 0.6:
                path = random.choice(lists)
                inside(meant, path).append(entry)
                new = add_entry(content, path, entry)
            else:
                path = random.choice(groups)
                key = random.choice([each for each in KEYS if inside(before, path).get(each, "") == ""] or ["other"])
                inside(meant, path)[key] = entry
                new = set_value(content, (*path, key), entry, lambda _: KEYS)
        except Refused:
            done["refused"] += 1
            continue
        assert as_texts(new.removeprefix(b"\xef\xbb\xbf")) == meant, content.decode()
        assert is_grown_from(new, content), "".join(
            difflib.unified_diff(content.decode().splitlines(True), new.decode().splitlines(True))
        )
        done["done"] += 1
    assert done["not a file"] < 0.02 * FILES, done
    assert done["refused"] < 0.02 * FILES, done


def lines_around(content: bytes, path: Path) -> tuple[bytes, bytes]:
    """The lines before a key, and those behind its value, where the parser's own marks have them."""
    node: Any = yaml.compose(content.decode(), Loader=yaml.BaseLoader)
    begins = 0
    for name in path:
        if isinstance(node, yaml.MappingNode):
            key, node = next((key, value) for key, value in node.value if key.value == name)
            begins = key.start_mark.line
        else:
            node = node.value[name]
    lines = content.decode().split("\n")
    return "\n".join(lines[:begins]).encode(), "\n".join(lines[node.end_mark.line + 1 :]).encode()


def test_a_value_put_in_the_place_of_another_and_a_key_taken_out_touch_nothing_else() -> None:
    random, done = Random(8), Counter[str]()
    for _ in range(FILES // 5):
        content = laid_out(random, tree_of(random)).encode()
        try:
            before = as_texts(content)
        except yaml.YAMLError:
            continue
        keys = [path for path, _ in paths_in(before) if path and isinstance(path[-1], str)]
        path = random.choice(keys)
        meant = copy.deepcopy(before)
        try:
            if random.random() < 0.5:
                values: list[Plain] = ["black cherry", "a: b", ["x", "y # z"], {"no": "12:30"}]
                value = random.choice(values)
                inside(meant, path[:-1])[path[-1]] = value
                new = set_value(content, path, value, replace=True)
            else:
                del inside(meant, path[:-1])[path[-1]]
                new = without_key(content, path)
        except Refused:
            done["refused"] += 1
            continue
        assert as_texts(new) == meant, content.decode()
        ahead, behind = lines_around(content, path)
        assert new.startswith(ahead)
        assert new.endswith(behind)
        done["done"] += 1
    assert done["refused"] < 0.25 * FILES // 5, done  # a text over several lines, the last key of a group in lines
