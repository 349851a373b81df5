"""The label inside: which size counts, how it is laid on the paper, and what is refused as too small to be read."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from typing import Any

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.calculations.rules import Graduation
from builder.lengths import Length
from builder.limits import WebAddress
from builder.publish.label import label_of
from builder.published import Measure, Published, PublishedShop
from builder.published.label import PublishedLabel
from builder.reading.folder import read_bytes
from builder.record import Record, Spec
from builder.record.label import LabelSize
from builder.sheets.label import SetLabel, label_html, set_label
from builder.sheets.page_code import LEAST_MODULE_MM
from builder.sheets.paper import CannotBePrinted, Paper
from builder.shop import Rule, Shop
from builder.shop.label import Label
from tests.certificate_samples import (
    BARE_SHOP,
    IDEOGRAPHS,
    NEARLY_EMPTY,
    RUNNING,
    SHOP,
    USUAL,
    WIDE,
    longest,
    longest_shop,
)

SVG = "{http://www.w3.org/2000/svg}"

#: ISO 216 (A4) and ANSI/ASME Y14.1 (size A), millimetres.
PAPERS: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}


def label(width_mm: float, height_mm: float, words: str | None = "All wood, by hand") -> PublishedLabel:
    width, height = (Measure(f"{mm:g} mm", f"{mm / 25.4:.3f} in", mm) for mm in (width_mm, height_mm))
    return PublishedLabel(width, height, "label.width", "label.height", words)


USUAL_LABEL = label(76.2, 50.8)


def read(html: str) -> Any:
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)


def labels_in(tree: Any) -> list[Any]:
    return [each for each in tree.iter("div") if (each.get("class") or "").startswith("label")]


def drawings_in(tree: Any, kind: str) -> list[Any]:
    return [each for each in tree.iter(f"{SVG}svg") if each.get("class") == kind]


def box_of(element: Any) -> tuple[float, float, float, float]:
    """Left, top, right, bottom in millimetres, from the element's own style."""
    found = {
        key: float(value) for key, value in re.findall(r"(left|top|width|height): ([\d.]+)mm", element.get("style"))
    }
    return found["left"], found["top"], found["left"] + found["width"], found["top"] + found["height"]


def test_the_record_size_wins_over_the_shop_and_only_where_it_is_written() -> None:
    shop = Shop(
        "1", "Shop", "Maker", "inches", (Rule("rule", Graduation(Fraction(1, 64), "in")),), "rule",
        site_address=WebAddress("https://example.org/"), label=Label(height=Length.from_inches(1), words="Ours"),
    )  # fmt: skip
    of_shop = label_of(Spec(), shop)
    assert (of_shop.width.mm, of_shop.height.mm, of_shop.words) == (76.2, 25.4, "Ours")
    assert (of_shop.width_field, of_shop.height_field) == ("label.width", "label.height")
    own = label_of(Spec(label=LabelSize(width=Length.from_mm(60))), shop)
    assert (own.width.mm, own.height.mm) == (60.0, 25.4)
    assert (own.width_field, own.height_field) == ("spec.label.width", "label.height")


def test_sizes_are_read_from_shop_file_and_record() -> None:
    shop_file = (
        "format: 1\nname: Shop\nmaker: Maker\nunits: inches\nrules: [{name: tape, marks: 1/32 in}]\n"
        "working_rule: tape\nlabel: {width: 3 1/2 in, words: All wood by hand}\n"
    )
    record = "format: 1\nserial: 2026-014\nkind: mountain dulcimer\nspec: {label: {height: 40 mm}}\n"
    shop = read_bytes(shop_file.encode(), "shop.yaml", Shop, "in")
    spec = read_bytes(record.encode(), "record.yaml", Record, "in")
    assert not shop.problems
    assert not spec.problems
    assert shop.value
    assert spec.value
    read = label_of(spec.value.spec, shop.value)
    assert (read.width.said, read.height.said, read.words) == ("3 1/2 in", "40 mm", "All wood by hand")


@pytest.mark.parametrize(
    "label", ["{width: 19 mm}", "{width: 181 mm}", "{height: 14 mm}", "{height: 241 mm}", f"{{words: {'w' * 121}}}"]
)
def test_a_label_that_no_instrument_takes_is_refused(label: str) -> None:
    shop_file = (
        "format: 1\nname: Shop\nmaker: Maker\nunits: inches\nrules: [{name: tape, marks: 1/32 in}]\n"
        f"working_rule: tape\nlabel: {label}\n"
    )
    read = read_bytes(shop_file.encode(), "shop.yaml", Shop, "in")
    assert [problem.code for problem in read.problems] == ["out-of-range"]


def test_it_names_shop_maker_instrument_number_and_date() -> None:
    tree = read(label_html([(USUAL, USUAL_LABEL)], SHOP, "a4"))
    words = " ".join("".join(labels_in(tree)[0].itertext()).split())
    for said in (
        "Tern & Alder", "Lower Fell, Cumbria", "Heron", "Mountain dulcimer, number 2026-014", "Made by Ida Marsh",
        "30 April 2026", "All wood, by hand",
    ):  # fmt: skip
        assert said in words
    bare = read(label_html([(NEARLY_EMPTY, label(60, 40, None))], BARE_SHOP, "a4"))
    words = " ".join("".join(labels_in(bare)[0].itertext()).split())
    assert words == "Tern & Alder Mountain dulcimer Number 2026-001 Made by Ida Marsh"
    assert not drawings_in(bare, "code")
    assert len(drawings_in(tree, "code")) == len(labels_in(tree))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    ("width", "height", "at_least"), [(76.2, 50.8, 8), (100.0, 30.0, 7), (45.0, 60.0, 8), (180.0, 240.0, 1)]
)
def test_a_sheet_is_filled_and_no_label_lies_on_another(
    paper: Paper, width: float, height: float, at_least: int
) -> None:
    tree = read(label_html([(USUAL, label(width, height))], SHOP, paper))
    boxes = [box_of(each) for each in labels_in(tree)]
    assert len(boxes) >= at_least
    paper_width, paper_height = PAPERS[paper]
    for left, top, right, bottom in boxes:
        assert right - left == pytest.approx(width, abs=0.002)
        assert bottom - top == pytest.approx(height, abs=0.002)
        # Marks reach 3 mm out, and printers leave up to 6 mm white (common practice).
        assert left >= 9
        assert top >= 9
        assert right <= paper_width - 9
        assert bottom <= paper_height - 9
    for one, other in combinations(boxes, 2):
        assert one[2] < other[0] or other[2] < one[0] or one[3] < other[1] or other[3] < one[1]


def test_marks_stand_at_every_corner_and_outside_the_labels() -> None:
    tree = read(label_html([(USUAL, USUAL_LABEL)], SHOP, "letter"))
    (marks,) = drawings_in(tree, "marks")
    strokes = re.findall(r"M([\d.]+) ([\d.]+)([hv])(-?[\d.]+)", marks.find(f"{SVG}path").get("d"))
    boxes = [box_of(each) for each in labels_in(tree)]
    assert len(strokes) == 8 * len(boxes)
    for x, y, way, length in strokes:
        ends = [(float(x), float(y))]
        ends.append(
            (ends[0][0] + float(length), ends[0][1]) if way == "h" else (ends[0][0], ends[0][1] + float(length))
        )
        for at_x, at_y in ends:
            assert not any(left < at_x < right and top < at_y < bottom for left, top, right, bottom in boxes)
        edges = {round(edge, 2) for box in boxes for edge in (box[1::2] if way == "h" else box[0::2])}
        assert round(ends[0][1] if way == "h" else ends[0][0], 2) in edges


def test_several_instruments_get_one_label_each_on_as_many_sheets_as_needed() -> None:
    many = [(replace(USUAL, serial=f"2026-{n:03}"), USUAL_LABEL) for n in range(1, 12)]
    tree = read(label_html(many, SHOP, "a4"))
    assert len(list(tree.iter("section"))) == 2
    numbers = re.findall(r"number (2026-\d{3})", " ".join("".join(tree.find("body").itertext()).split()))
    assert numbers == [instrument.serial for instrument, _ in many]


@pytest.mark.parametrize("width", [20.0, 23.9])
def test_too_narrow_for_the_code_is_said_with_field_and_least_size(width: float) -> None:
    # The address has 63 letters; at 0.4 mm a module and four modules of quiet zone its code takes 18 mm and more.
    with pytest.raises(CannotBePrinted) as refused:
        set_label(USUAL, label(width, 200.0), longest_shop(RUNNING))
    assert refused.value.message.startswith("label.width: ")
    assert "too narrow for the code" in refused.value.message
    found = re.search(r"at least (\d+) mm \(([\d.]+) in\)", refused.value.hint)
    assert found
    assert float(found[2]) * 25.4 == pytest.approx(float(found[1]), abs=0.6)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(20, 180),
    st.floats(15, 240),
    st.sampled_from([USUAL, NEARLY_EMPTY, longest(RUNNING), longest(WIDE), longest(IDEOGRAPHS)]),
    st.sampled_from([SHOP, BARE_SHOP, longest_shop(RUNNING)]),
    st.sampled_from([None, "All wood, by hand", "W" * 120]),
)
def test_any_label_is_readable_or_the_size_that_would_do_is_said(
    width: float, height: float, instrument: Published, shop: PublishedShop, words: str | None
) -> None:
    asked = label(width, height, words)
    done, refused = tried(asked, instrument, shop)
    for _ in range(2):  # the width may have to grow, and then the height
        if refused is None:
            break
        found = re.search(r"at least (\d+) mm", refused.hint)
        assert found, refused.hint
        which = "width" if refused.message.startswith("label.width: ") else "height"
        assert refused.message.startswith(f"label.{which}: ")
        least = Measure(f"{found[1]} mm", "", float(found[1]))
        assert least.mm > getattr(asked, which).mm
        asked = replace(asked, width=least) if which == "width" else replace(asked, height=least)
        done, refused = tried(asked, instrument, shop)
    assert done is not None, "a label of the size asked for was refused again"
    assert (done.code is None) == (shop.site_address is None)
    if done.code:
        assert done.code_mm / done.code.modules >= LEAST_MODULE_MM - 1e-9
        assert done.code_mm < min(done.width_mm, done.height_mm)


def tried(
    asked: PublishedLabel, instrument: Published, shop: PublishedShop
) -> tuple[SetLabel | None, CannotBePrinted | None]:
    """The label, or why not."""
    try:
        return set_label(instrument, asked, shop), None
    except CannotBePrinted as refused:
        return None, refused


def test_a_label_larger_than_the_paper_is_refused() -> None:
    with pytest.raises(CannotBePrinted, match=r"label\.width: the label is larger than the paper"):
        label_html([(USUAL, label(250, 100))], SHOP, "a4")
    with pytest.raises(CannotBePrinted, match=r"label\.height: the label is larger than the paper"):
        label_html([(USUAL, label(100, 290))], SHOP, "letter")


def test_text_of_a_record_stays_text() -> None:
    hostile = "<script>alert(1)</script>\"'&<b onclick=x>"
    instrument = replace(USUAL, name=hostile, title=hostile, kind=hostile, made_by=hostile)
    html = label_html([(instrument, label(150, 100, hostile))], replace(SHOP, name=hostile, place=hostile), "a4")
    tree = read(html)
    assert not [*tree.iter("script"), *tree.iter("b"), *tree.iter("img"), *tree.iter("link")]
    assert hostile in {"".join(each.itertext()) for each in tree.iter("p")}


def test_same_instrument_same_bytes() -> None:
    assert label_html([(USUAL, USUAL_LABEL)], SHOP, "a4") == label_html([(USUAL, USUAL_LABEL)], SHOP, "a4")
