"""What stands on care card, string card and repair ticket, read as a browser reads it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import html5lib
import pytest

from builder.published import Published, PublishedShop
from builder.sheets.cards import MOST_CARE_LETTERS, care_card_html
from builder.sheets.paper import CannotBePrinted
from builder.sheets.repair_ticket import PARTS_TO_LOOK_AT, repair_ticket_html
from builder.sheets.string_card import string_card_html
from tests.card_samples import RICH
from tests.certificate_samples import BARE_SHOP, FANNED, NEARLY_EMPTY, SHOP, USUAL

CARDS: dict[str, Callable[[Published, PublishedShop], str]] = {
    "care": care_card_html,
    "strings": string_card_html,
    "repair": repair_ticket_html,
}
HOSTILE = "<script>alert(1)</script>\"'&<b onclick=x>"


def read(html: str) -> Any:
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)


def words_of(element: Any) -> str:
    return " ".join("".join(element.itertext()).split())


def rows_of(tree: Any) -> list[list[str]]:
    return [[words_of(cell) for cell in row] for row in tree.iter("tr")]


def test_the_string_card_says_what_to_buy_and_where_the_saddle_stands() -> None:
    tree = read(string_card_html(RICH, SHOP))
    head, *rows = rows_of(tree)
    assert head == ["Course", "Note", "Gauge", "Make", "How many", "Pull of each", "Nut to saddle"]
    assert rows == [
        ["1", "D3", "0.022 in 0.56 mm", "wound", "1", "18.9 to 20.1 lb 84.1 to 89.4 N",
         "28.667 in, 0.167 in longer than the scale 728.14 mm, 4.24 mm longer"],
        ["2", "A3", "0.012 in 0.30 mm", "plain steel", "1", "13.1 lb 58.1 N", ""],
        ["3", "D4", "0.0095 in 0.24 mm", "plain steel", "2", "",
         "28.592 in, 0.092 in longer than the scale 726.25 mm, 2.35 mm longer"],
    ]  # fmt: skip
    body = words_of(tree.find("body"))
    for said in (
        "Heron, mountain dulcimer, number 2026-014", "Tuned D3 A3 D4 or D3 F♯3 B♭3", "Pull of all strings 64.9 lb",
        "String ends loops over hitch pins in the tail", "End pin ebony", "protect your eyes",
    ):  # fmt: skip
        assert said in body


def test_the_string_card_says_which_ends_to_buy() -> None:
    assert USUAL.strings
    ends = "Buy them with ball ends: they are held at the pins of the bridge."
    tied = replace(USUAL, strings=replace(USUAL.strings, fastens=ends))
    assert f"How they fasten {ends}" in words_of(read(string_card_html(tied, SHOP)).find("body"))
    assert "How they fasten" not in words_of(read(string_card_html(USUAL, SHOP)).find("body"))


def test_a_shop_in_millimetres_reads_gauges_in_millimetres_first() -> None:
    rows = rows_of(read(string_card_html(RICH, replace(SHOP, unit="mm"))))
    assert rows[1][2] == "0.56 mm 0.022 in"


def test_octave_pairs_have_a_line_a_string_and_a_short_string_says_where_it_starts() -> None:
    rows = rows_of(read(string_card_html(FANNED, SHOP)))[1:]
    assert [row[:2] for row in rows] == [["1", "G2"], ["1", "G3"], ["2", "D3"], ["3, from fret 5", "A4"]]
    assert [row[4] for row in rows] == ["1", "1", "2", "1"]


def test_what_is_not_known_is_not_shown() -> None:
    body = words_of(read(string_card_html(NEARLY_EMPTY, BARE_SHOP)).find("body"))
    assert "Which strings it carries is not recorded." in body
    for word in ("None", "Pull", "Nut to saddle", "Tuned", "Scale length"):
        assert word not in body


def test_the_care_card_is_in_the_shop_words_without_links_and_its_title_once() -> None:
    care = "# Care of it\n\nKeep it [dry](../about.md), *not too* dry.\n\n## Air\n\n- one\n- two\n"
    tree = read(care_card_html(RICH, SHOP, care))
    body = words_of(tree.find("body"))
    assert "Keep it dry, not too dry." in body
    assert "Care of it" not in body
    assert [words_of(each) for each in tree.iter("h3")] == ["Air"]
    assert not list(tree.iter("a"))
    assert "hygrometer" not in body
    assert "Soundboard, 7.500 in wide 0.050 in wider in the damp season than in the dry one (1.26 mm)" in body
    assert "weigh" not in body


@pytest.mark.parametrize("care", ["", "  \n"])
def test_without_words_of_the_shop_a_few_of_ours_stand_there(care: str) -> None:
    tree = read(care_card_html(NEARLY_EMPTY, BARE_SHOP, care))
    body = words_of(tree.find("body"))
    for said in ("40 and 60 % relative humidity", "Protect your eyes", "maker of the strings says goes first"):
        assert said in body
    assert "through the year" not in body


def test_the_demo_shop_own_words_fit() -> None:
    care = (Path(__file__).parent.parent / "records" / "pages" / "care.md").read_text(encoding="utf-8")
    body = words_of(read(care_card_html(RICH, SHOP, care)).find("body"))
    assert words_of(read(f"<!doctype html><title>x</title><p>{care.split(chr(10))[2]}").find("body")) in body


@pytest.mark.parametrize("care", ["word " * 1200, "- w\n" * 800, "x" * (MOST_CARE_LETTERS + 1)])
def test_too_many_words_for_a_card_are_refused_with_the_limit(care: str) -> None:
    with pytest.raises(CannotBePrinted, match=r"pages/care\.md: \d+ letters are too many") as refused:
        care_card_html(RICH, SHOP, care)
    assert str(MOST_CARE_LETTERS) in refused.value.hint


def test_the_ticket_of_our_own_knows_how_it_was_when_new() -> None:
    tree = read(repair_ticket_html(RICH, SHOP))
    rows = rows_of(tree)
    assert ["Measured", "when new", "before", "after"] in rows
    assert ["String above fret 7", "0.092 in (2.34 mm)", "", ""] in rows
    assert ["Relief of the board", "0.004 in (0.1 mm)", "", ""] in rows
    body = words_of(tree.find("body"))
    assert "Heron, mountain dulcimer, number 2026-014, made by Ida Marsh, finished 30 April 2026" in body
    assert "Strings, in thousandths of an inch: D3 22, A3 12, D4 9.5 ×2." in body
    assert "Maker, label, number" not in body


@pytest.mark.parametrize("instrument", [None, NEARLY_EMPTY])
def test_the_ticket_of_any_other_is_all_blanks(instrument: Published | None) -> None:
    tree = read(repair_ticket_html(instrument, SHOP))
    rows = rows_of(tree)
    assert ["Measured", "before", "after"] in rows
    assert [row[0] for row in rows[1 : len(PARTS_TO_LOOK_AT) + 1]] == list(PARTS_TO_LOOK_AT)
    assert ("Maker, label, number" in words_of(tree.find("body"))) == (instrument is None)
    assert "None" not in words_of(tree.find("body"))


@pytest.mark.parametrize("card", CARDS)
def test_text_of_a_record_stays_text(card: str) -> None:
    instrument = replace(
        RICH, name=HOSTILE, title=HOSTILE, kind=HOSTILE, made_by=HOSTILE, hardware=((f"nut {HOSTILE}", HOSTILE),)
    )
    shop = replace(SHOP, name=HOSTILE, place=HOSTILE, email=HOSTILE, maker=HOSTILE)
    tree = read(CARDS[card](instrument, shop))
    assert not [*tree.iter("script"), *(each for each in tree.iter("b") if each.get("onclick")), *tree.iter("img")]
    assert HOSTILE in words_of(tree.find("body"))


def test_hostile_words_on_care_do_no_harm() -> None:
    care = (
        f"{HOSTILE}\n\n<img src=x onerror=alert(1)>\n\n[x](javascript:alert(1))\n\n<style>p{{display:none}}</style>\n\n"
        '<a href="x><script>alert(1)</script>">y</a>'
    )
    tree = read(care_card_html(RICH, SHOP, care))
    assert not [*tree.iter("script"), *tree.iter("img"), *tree.iter("a"), *tree.iter("iframe")]
    assert len(list(tree.iter("style"))) == 1
    assert not [each for each in tree.iter() if each.get("onerror") or each.get("onclick")]


@pytest.mark.parametrize("card", CARDS)
@pytest.mark.parametrize(
    ("instrument", "shop"), [(RICH, SHOP), (USUAL, SHOP), (FANNED, SHOP), (NEARLY_EMPTY, BARE_SHOP)]
)
def test_each_needs_nothing_but_itself_and_is_the_same_twice(
    card: str, instrument: Published, shop: PublishedShop
) -> None:
    html = CARDS[card](instrument, shop)
    assert CARDS[card](instrument, shop) == html
    tree = read(html)
    assert tree.get("lang") == "en"
    assert len(list(tree.iter("h1"))) == 1
    assert not [*tree.iter("script"), *tree.iter("link"), *tree.iter("img")]
    assert not [each for each in tree.iter() if each.get("src") or each.get("href")]
    (style,) = tree.iter("style")
    assert "@import" not in style.text
    assert style.text.count("url(") == style.text.count('url("data:font/woff2') == 5
