"""The plot of what each rule costs: the right numbers in the right places, and the page's colours."""

from __future__ import annotations

import re
import subprocess
import sys

import html5lib
import pytest

from builder.plots.rule_costs import rule_costs_svg
from builder.plots.temperament import temperament_svg
from builder.published import Column, PublishedFrets, PublishedRule, Table
from tests import boards

SVG = "{http://www.w3.org/2000/svg}"


def frets(names: tuple[str, ...] = ("bench rule", "tape"), worst: tuple[float, ...] = (2.0, 4.0)) -> PublishedFrets:
    rules = tuple(
        PublishedRule(name, "1/64 in", n == 0, cents, cents, cents <= 3.0, False)
        for n, (name, cents) in enumerate(zip(names, worst, strict=True))
    )
    columns = (
        Column("fret", "fret", "", "record"),
        *(Column(f"rule_{n}", name, "cents", "cents", 1, True) for n, name in enumerate(names)),
    )
    rows = tuple((fret, *((-1) ** n * cents for cents in worst)) for n, fret in enumerate(("1", "1½", "2", "3")))
    table = Table(columns, rows)
    return boards.frets(last="3", added=("1½",), count=4, rules=rules, table=table, rule_costs=table)


def words(svg: str) -> list[str]:
    tree = html5lib.parse(svg, treebuilder="etree", namespaceHTMLElements=False)
    return [each.text or "" for each in tree.iter(f"{SVG}text")]


def test_frets_go_by_name_and_cents_have_true_signs() -> None:
    said = words(rule_costs_svg(frets(), name="a"))
    assert [each for each in said if each in ("1", "1½", "2", "3")] == ["1", "1½", "2", "3"]
    assert {"+2", "−2", "0", "sharp", "flat", "±3 cents"} <= set(said)


def test_every_rule_is_named_and_the_working_rule_first() -> None:
    said = words(rule_costs_svg(frets(), name="a"))
    assert said.index("bench rule, 1/64 in (the working rule)") < said.index("tape, 1/64 in")


def test_no_colour_and_no_typeface_of_its_own() -> None:
    svg = str(rule_costs_svg(frets(tuple("abcdefg"), (1.0,) * 7), name="a"))
    assert not re.search(r"#[0-9a-f]{6}\b", svg)
    assert "font-family" not in svg
    assert "DejaVu" not in svg
    assert "<style" not in svg
    assert "var(--bb-rule-5)" in svg


def test_rules_are_told_apart_without_colour() -> None:
    svg = str(rule_costs_svg(frets(("a", "b", "c"), (1.0, 2.0, 3.0)), name="a"))
    styles = {style for style in re.findall(r'style="([^"]*)"', svg) if "fill: none" in style and "--bb-rule-" in style}
    dashes = {re.search(r"stroke-dasharray: [\d.,]+", style) for style in styles}
    assert len({found and found.group() for found in dashes}) == 3


def test_the_same_bytes_every_time_and_ids_of_its_own() -> None:
    first, second = rule_costs_svg(frets(), name="a"), rule_costs_svg(frets(), name="b")
    assert first == rule_costs_svg(frets(), name="a")
    ids = [re.findall(r'\bid="([^"]+)"', svg) for svg in (first, second)]
    assert all(len(each) == len(set(each)) for each in ids)
    assert set(ids[0]).isdisjoint(ids[1])
    for svg, known in zip((first, second), ids, strict=True):
        assert set(re.findall(r'(?:href="|url\()#([\w.-]+)', svg)) <= set(known)


def test_it_carries_no_prolog_metadata_or_address() -> None:
    svg = rule_costs_svg(frets(), name="a")
    assert svg.startswith("<svg")
    assert "<metadata" not in svg
    assert "http" not in svg
    assert "<!" not in svg


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "$x_1^2$", "_hidden", "a $ b", "°"])
def test_the_name_of_a_rule_is_shown_as_it_is(name: str) -> None:
    svg = rule_costs_svg(frets((name, "tape")), name="a")
    assert "<script" not in svg
    assert any(name.lstrip("_") in each for each in words(svg))


def test_a_rule_far_too_coarse_leaves_the_picture() -> None:
    svg = rule_costs_svg(frets(worst=(1.0, float("inf"))), name="a")
    assert "too coarse for this board" in svg
    assert "inf" not in svg.replace("inferior", "")


def test_matplotlib_is_loaded_only_to_draw() -> None:
    code = "import sys, builder.plots.rule_costs; sys.exit('matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def tempered() -> PublishedFrets:
    """A chart with three frets that are not of twelve equal steps."""
    columns = (Column("fret", "fret", "", "record"), Column("cents_against_equal", "", "cents", "cents", 1, True))
    return boards.frets(tuning=Table(columns, (("1", 3.9), ("1½", -13.7), ("2", 0.0))))


def test_a_temperament_is_drawn_fret_by_fret_with_its_reach_in_words() -> None:
    svg = temperament_svg(tempered(), name="a")
    assert {"1", "1½", "2", "sharp", "flat"} <= set(words(svg))
    assert "from −13.7 to +3.9 cents" in svg
    assert not re.search(r"#[0-9a-f]{6}\b", svg)
    assert svg == temperament_svg(tempered(), name="a")
    assert 'id="a-tuning-' not in temperament_svg(tempered(), name="b")
