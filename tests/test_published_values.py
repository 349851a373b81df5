"""The table of outside values is what it says: enough of them, from enough sources, each with a test that is there."""

from __future__ import annotations

import ast
import importlib
from functools import cache
from pathlib import Path

HERE = Path(__file__).parent
README = HERE / "published_values" / "README.md"

FEWEST_PAIRS, FEWEST_SOURCES = 120, 12

#: Independent routes of our own: another way to the same number, and no source from outside. They are not counted.
OWN_ROUTES = {
    "Hesse normal form", "area of a circular segment", "binomial series", "brute force", "calculus of the ellipse",
    "chords of a circle", "closed form", "computed anchors", "differential geometry", "dimensional identity",
    "distance of circles", "elliptic integral", "equal temperament", "exact beam under tension", "finite elements",
    "force is pressure times area", "hand-worked boards", "helix by numerical integration", "integration in strips",
    "law of the string", "linear programming by enumeration", "plane geometry", "right triangles",
    "statics by vectors", "string of beads", "support width of the ellipse",
}  # fmt: skip


def pairs() -> list[list[str]]:
    """Source, function, tolerance and test of each line of the second table."""
    table = README.read_text(encoding="utf-8").partition("## Source by function")[2]
    lines = [line for line in table.splitlines() if line.startswith("| ")]
    return [[cell.strip().strip("`") for cell in line.strip("|").split("|")] for line in lines[1:]]


def test_there_are_enough_of_them_each_once() -> None:
    checked = {(source, function) for source, function, _, _ in pairs()}
    assert len(checked) == len(pairs())
    from_outside = {(source, function) for source, function in checked if source.partition(",")[0] not in OWN_ROUTES}
    assert len(from_outside) >= FEWEST_PAIRS
    assert len({source.partition(",")[0] for source, _ in from_outside}) >= FEWEST_SOURCES


def test_the_routes_of_our_own_are_those_of_the_table() -> None:
    assert {source.partition(",")[0] for source, _, _, _ in pairs()} >= OWN_ROUTES


def test_every_function_and_test_named_is_there_and_the_test_uses_the_function() -> None:
    homes = ("builder.calculations", "builder.reading", "builder.tables", "builder.sheets", "builder.pages", "builder")
    for _, function, _, test in pairs():
        module, _, name = function.partition(".")
        found = None
        for home in homes:
            try:
                found = importlib.import_module(f"{home}.{module}")
            except ModuleNotFoundError:
                continue
            break
        assert found is not None, function
        outer, *inner = name.split(".")
        owner = getattr(found, outer)
        for each in inner:
            assert hasattr(owner, each) or each in getattr(owner, "__slots__", ()), function
        assert (inner[-1] if inner else outer) in names_used_in(test), f"{test} does not use {function}"


@cache
def names_used_in(test: str) -> frozenset[str]:
    """Every name and attribute that a test file uses; importing one is not using it."""
    nodes = list(ast.walk(ast.parse((HERE / test).read_text(encoding="utf-8"))))
    names = {node.id for node in nodes if isinstance(node, ast.Name)}
    return frozenset(names | {node.attr for node in nodes if isinstance(node, ast.Attribute)})
