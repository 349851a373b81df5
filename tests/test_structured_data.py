"""What an instrument says to programs: in schema.org's words, nothing unknown, any text as it was written."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import html5lib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder import addresses
from builder.pages.head import for_programs
from builder.pages.structured_data import structured_data
from builder.published import Figure, Figures, Published, PublishedShop, Subject
from builder.published.beside import PublishedPhoto
from builder.seam import Page
from tests.certificate_samples import (
    BARE_SHOP,
    FANNED,
    NEARLY_EMPTY,
    RUNNING,
    SHOP,
    SHOP_WITH_TALL_MARK,
    USUAL,
    longest,
)
from tests.conftest import published_values

#: What may stand inside an object of a type, as schema.org's release 15.0 lists it.
TERMS = {row["type"]: set(row["properties"].split()) for row in published_values("schema-org-terms.csv")}
BODY = Figures(
    facts=(
        Figure("length", "Length of the body", "28 1/2 in", "723.9 mm", 723.9, "mm"),
        Figure("width", "Greatest width", "7 in", "177.8 mm", 177.8, "mm"),
    )
)
AS_BUILT = Figures(facts=(Figure("weight", "Weight", "2 lb 7 oz", "1.11 kg", 1.11, "kg"),))
WHOLE = replace(USUAL, subjects=(Subject("body", "Body", BODY), Subject("as-built", "How it measures", AS_BUILT)))
WHOLE_SHOP = replace(
    SHOP_WITH_TALL_MARK, email="makers@example.org", telephone="555-0142", website="https://example.org/"
)


def head_of(instrument: Published, shop: PublishedShop) -> Any:
    """What the page of an instrument says of itself, as a browser reads it in the head of a page without a mistake."""
    path = addresses.instrument_page(instrument.address)
    description = f"A {instrument.kind}."
    data = structured_data(instrument, shop, description)
    page = Page(path, instrument.title, description, (), "", False, structured_data=data)
    html = f"<!doctype html><html><head><title>x</title>{for_programs(page, shop)}</head><body></body></html>"
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)


def read_back(instrument: Published, shop: PublishedShop) -> Any:
    """The data as a program finds it in a page."""
    (script,) = head_of(instrument, shop).iter("script")
    assert script.get("type") == "application/ld+json"
    return json.loads(script.text)


def objects_in(data: Any) -> Iterator[dict[str, Any]]:
    if isinstance(data, dict):
        yield data
    for each in data.values() if isinstance(data, dict) else data if isinstance(data, list) else ():
        yield from objects_in(each)


def test_it_tells_what_stands_on_the_page() -> None:
    data = read_back(WHOLE, WHOLE_SHOP)
    address = "https://example.org/instruments-of-ours/instruments/2026-014.html"
    assert data["@context"] == "https://schema.org"
    assert data["@type"] == "IndividualProduct"
    assert (data["@id"], data["url"]) == (address, address)
    assert (data["name"], data["serialNumber"], data["category"]) == ("Heron", "2026-014", "mountain dulcimer")
    assert data["productionDate"] == "2026-04-30"
    assert data["material"][:2] == ["western red cedar", "black walnut"]
    assert data["brand"] == {"@type": "Brand", "name": "Tern & Alder"}
    assert data["manufacturer"]["telephone"] == "555-0142"
    assert data["manufacturer"]["logo"] == "https://example.org/instruments-of-ours/assets/mark.png"
    assert data["weight"] == {"@type": "QuantitativeValue", "value": 1.11, "unitCode": "KGM", "unitText": "kg"}
    assert data["width"]["value"] == 177.8
    told = {each["name"]: each for each in data["additionalProperty"]}
    assert told["Scale length"]["value"] == 723.9
    assert (told["Scale length"]["unitCode"], told["Scale length"]["description"]) == ("MMT", "28 1/2 in")
    assert told["Wood of the soundboard"]["value"] == "western red cedar (Thuja plicata)"
    assert told["Made by"]["value"] == "Ida Marsh"


def test_its_pictures_are_its_photographs_at_their_largest() -> None:
    photos = (PublishedPhoto(1, ((480, 320), (960, 640)), None, "a"), PublishedPhoto(2, ((400, 300),), None, "b"))
    at = "https://example.org/instruments-of-ours"
    images = json.loads(structured_data(WHOLE, SHOP, "A", photos))["image"]
    assert images == [f"{at}/photos/2026-014-1-960.jpg", f"{at}/photos/2026-014-2-400.jpg"]
    assert json.loads(structured_data(WHOLE, SHOP, "A"))["image"] == [f"{at}/link-pictures/2026-014.png"]
    assert "image" not in json.loads(structured_data(WHOLE, BARE_SHOP, "A", photos))


@pytest.mark.parametrize("instrument", [WHOLE, FANNED, NEARLY_EMPTY, longest(RUNNING)])
@pytest.mark.parametrize("shop", [WHOLE_SHOP, BARE_SHOP])
def test_every_word_is_one_of_schema_org(instrument: Published, shop: PublishedShop) -> None:
    found = list(objects_in(read_back(instrument, shop)))
    assert found
    for each in found:
        assert {name for name in each if not name.startswith("@")} <= TERMS[each["@type"]]
        assert None not in each.values()
        assert [] not in each.values()


def test_what_is_not_known_is_not_told() -> None:
    assert read_back(NEARLY_EMPTY, BARE_SHOP) == {
        "@context": "https://schema.org",
        "@type": "IndividualProduct",
        "name": "Mountain dulcimer 2026-001",
        "description": "A mountain dulcimer.",
        "serialNumber": "2026-001",
        "category": "mountain dulcimer",
        "brand": {"@type": "Brand", "name": "Tern & Alder"},
        "manufacturer": {"@type": "Organization", "name": "Tern & Alder"},
        "additionalProperty": [{"@type": "PropertyValue", "name": "Made by", "value": "Ida Marsh"}],
    }


HOSTILE = (
    "</script><script>alert(1)</script>", "<!-- <script>", "-->", "]]>", "\u2028\u2029", "\x00\x01\x7f\x9f",
    "&lt;&#60;", "\ud800", "\ufdd0\uffff", "\u202edlrow", "{{ 7 * 7 }}", "\\u003c", '"\\', "]]></script",
)  # fmt: skip


@given(st.text(min_size=1) | st.sampled_from(HOSTILE))
def test_any_text_comes_out_as_it_went_in(text: str) -> None:
    hostile = replace(WHOLE.woods[0], part=text, species=text, botanical=text)
    instrument = replace(WHOLE, woods=(hostile,), made_by=text, kind=text, title=text)
    data = structured_data(instrument, replace(SHOP, name=text), text)
    assert re.fullmatch(r"[\n -~]*", data)
    assert not re.search("[<>&]", data)
    page = f"<!doctype html><title>x</title><script type='application/ld+json'>{data}</script><p id=after>y"
    tree = html5lib.HTMLParser(namespaceHTMLElements=False).parse(page)
    (script,) = tree.iter("script")
    read = json.loads(script.text)
    assert read["name"] == read["category"] == read["description"] == read["brand"]["name"] == text
    assert read["material"] == [text]
    told = {each["name"]: each["value"] for each in read["additionalProperty"]}
    assert told["Made by"] == text
    assert told[f"Wood of the {text}"] == f"{text} ({text})"
    assert tree.find(".//p").get("id") == "after"


def test_a_link_shows_title_and_description_escaped() -> None:
    instrument = replace(WHOLE, title='"><script>alert(1)</script>', kind="<b>&amp;")
    head = head_of(instrument, SHOP)
    told = {each.get("property"): each.get("content") for each in head.iter("meta")}
    assert told["og:title"] == instrument.title
    assert "<b>&amp;" in told["og:description"]
    assert told["og:site_name"] == "Tern & Alder"
    assert told["og:url"].endswith("/instruments/2026-014.html")
    assert "og:url" not in {each.get("property") for each in head_of(instrument, BARE_SHOP).iter("meta")}
