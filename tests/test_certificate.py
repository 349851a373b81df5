"""What stands on a certificate, read as a browser reads it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any
from xml.etree.ElementTree import Element

import html5lib
import pytest

from builder.certificates.fingerprint import fingerprint_of, snapshot_of
from builder.drawings.rosette import rosette_in_words
from builder.published import Published, PublishedShop
from builder.sheets.certificate import certificate_html
from tests.certificate_samples import (
    BARE_SHOP,
    FANNED,
    IDEOGRAPHS,
    NEARLY_EMPTY,
    RUNNING,
    SHOP,
    USUAL,
    WIDE,
    longest,
    longest_shop,
)

EVERY_KIND = [
    pytest.param(USUAL, SHOP, id="usual"),
    pytest.param(FANNED, SHOP, id="two scale lengths"),
    pytest.param(NEARLY_EMPTY, BARE_SHOP, id="nearly empty"),
    pytest.param(longest(RUNNING), longest_shop(RUNNING), id="longest"),
    pytest.param(longest(WIDE), longest_shop(WIDE), id="longest and wide"),
    pytest.param(longest(IDEOGRAPHS), longest_shop(IDEOGRAPHS), id="longest without spaces"),
]


def read(html: str) -> Any:
    """The page as a tree; anything a browser would have to guess about is an error."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)


def words_of(element: Element) -> str:
    return " ".join("".join(element.itertext()).split())


def test_it_says_whose_instrument_it_is_and_how_it_was_built() -> None:
    body = words_of(read(certificate_html(USUAL, SHOP)).find("body"))
    for said in (
        "Tern & Alder", "Lower Fell, Cumbria", "Heron", "mountain dulcimer, number 2026-014", "Made by Ida Marsh",
        "finished 30 April 2026, handed over 9 May 2026", "28 1/2 in (723.9 mm)", "16, diatonic, with 6½, 13½",
        "western red cedar (Thuja plicata), quartersawn · Vancouver Island", "D3 0.022 in wound",
        "D4 0.0095 in plain steel (pair)", "D3 A3 D4 or D3 F♯3 B♭3", "oil varnish, rubbed, 6 coats",
        "no fret is off by as much as the rule can show", "none can be more than 4.5 cents off",
        "Strings lie 0.016 in (0.41 mm) above fret 1, 0.092 in (2.34 mm) above fret 7", "Weight 2 lb 7 oz (1.11 kg)",
        "open geared, brass", "https://example.org/instruments-of-ours/instruments/2026-014.html",
    ):  # fmt: skip
        assert said in body


def test_two_scale_lengths_octave_pairs_and_a_short_string_are_said() -> None:
    body = words_of(read(certificate_html(FANNED, SHOP)).find("body"))
    for said in (
        "bass 21 1/2 in (546.1 mm), treble 20 in (508.0 mm), square at fret 7",
        "20 and a zero fret, chromatic; quarter-comma meantone",
        "G2 0.046 in wound with G3 0.016 in plain steel; D3 0.030 in wound (pair); A4 0.009 in plain steel from fret 5",
    ):
        assert said in body
    assert "Scale length 2" not in body


def test_gauges_stand_in_the_shops_own_unit() -> None:
    body = words_of(read(certificate_html(USUAL, replace(SHOP, unit="mm"))).find("body"))
    assert "D3 0.56 mm wound" in body


def test_it_has_a_title_a_language_and_one_first_heading() -> None:
    tree = read(certificate_html(USUAL, SHOP))
    assert tree.get("lang") == "en"
    assert words_of(tree.find("head/title")) == "Certificate: Heron, mountain dulcimer 2026-014"
    assert [words_of(heading) for heading in tree.iter("h1")] == ["Heron"]


def test_with_next_to_nothing_known_it_still_names_maker_and_instrument() -> None:
    body = words_of(read(certificate_html(NEARLY_EMPTY, BARE_SHOP)).find("body"))
    for said in ("Mountain dulcimer", "number 2026-001", "Made by Ida Marsh", "Place and date"):
        assert said in body
    assert "None" not in body
    assert "finished" not in body


@pytest.mark.parametrize("shop", [SHOP, BARE_SHOP])
def test_once_issued_its_seal_is_the_rosette_of_its_fingerprint(shop: PublishedShop) -> None:
    fingerprint = fingerprint_of(snapshot_of(USUAL))
    tree = read(certificate_html(USUAL, shop, fingerprint=fingerprint))
    foot = tree.find(".//footer")
    assert rosette_in_words(fingerprint) in words_of(foot)
    assert f"Fingerprint {fingerprint}" in words_of(foot)
    assert [each.get("class") for each in foot.iter("{http://www.w3.org/2000/svg}svg")] == (
        ["bb-rosette", "code"] if shop.site_address else ["bb-rosette"]
    )
    ids = [element.get("id") for element in tree.iter() if element.get("id")]
    assert len(set(ids)) == len(ids)
    draft = certificate_html(USUAL, shop)
    assert "Fingerprint" not in draft
    assert "bb-rosette" not in draft.split("</style>")[1]


@pytest.mark.parametrize(("instrument", "shop"), EVERY_KIND)
def test_it_needs_nothing_but_itself(instrument: Published, shop: PublishedShop) -> None:
    html = certificate_html(instrument, shop)
    tree = read(html)
    assert not [*tree.iter("script"), *tree.iter("link"), *tree.iter("iframe")]
    back = f"../instruments/{instrument.serial}.html"
    assert [element.get("href") for element in tree.iter() if element.get("href")] == [back]
    pictures = [element.get("src") or "" for element in tree.iter() if element.get("src")]
    assert [each.partition(",")[0] for each in pictures] == ["data:image/png;base64"] * bool(shop.mark)
    (style,) = tree.iter("style")
    addresses = re.findall(r"url\(\s*[\"']?([^\"')]{0,20})", style.text or "")
    assert len(addresses) == 4
    assert all(address.startswith("data:font/woff2") for address in addresses)
    assert "@import" not in (style.text or "")


@pytest.mark.parametrize(("instrument", "shop"), EVERY_KIND)
def test_same_instrument_same_bytes(instrument: Published, shop: PublishedShop) -> None:
    assert certificate_html(instrument, shop) == certificate_html(instrument, shop)


def test_text_of_a_record_stays_text() -> None:
    hostile = "<script>alert(1)</script>\"'&<b onclick=x>"
    wood = replace(USUAL.woods[0], part=hostile[:40], species=hostile, botanical=hostile, origin=hostile)
    instrument = replace(
        USUAL, name=hostile, title=hostile, kind=hostile, made_by=hostile, woods=(wood,), hardware=((hostile, hostile),)
    )
    tree = read(certificate_html(instrument, replace(SHOP, name=hostile, place=hostile)))
    assert not [*tree.iter("script"), *tree.iter("b")]
    assert words_of(tree.find(".//h1")) == hostile


def test_what_does_not_fit_is_counted() -> None:
    instrument = longest(RUNNING)
    tree = read(certificate_html(instrument, longest_shop(RUNNING)))
    shown = len(list(tree.iter("dt")))
    left_out = [int(number) for number in re.findall(r"(\d+) more, on the instrument’s page", words_of(tree))]
    # Scale length, frets, width at the nut, strings, tunings; worst fret, action, weight; the woods; the finish and the
    # fittings.
    assert shown + sum(left_out) == 5 + 3 + len(instrument.woods) + 1 + len(instrument.hardware)
