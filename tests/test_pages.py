"""The pages of the site, read as a browser reads them: the right numbers, nothing empty, nothing harmful."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from xml.etree.ElementTree import Element

import pytest

from builder import addresses
from builder.calculations.frets import (
    FretNumber,
    distance_from_nut_mm,
    read_fret_number,
    semitones_of,
)
from builder.calculations.pitch import frequency_hz, read_note
from builder.calculations.rules import read_beside
from builder.calculations.temperaments import equal_ratio
from builder.lengths import Length
from builder.limits import Serial
from builder.pages.home import home_page
from builder.pages.instrument import instrument_page
from builder.pages.instruments import instruments_page
from builder.prose import care_of
from builder.publish import publish, publish_shop
from builder.publish.beside import publish_beside
from builder.publish.travel import travel_of
from builder.published import Published, PublishedShop
from builder.reading.converters import read_graduation
from builder.record import Record
from builder.record.service import ServiceEntry
from builder.seam import Page
from builder.sources import SOURCES
from builder.templates import fixed
from builder.workshop import open_shop
from tests.page_reading import body, part, rows, tree, words
from tests.shops import REPOSITORY
from tests.small_shop import pages_of, publish_all


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Published], PublishedShop]:
    """Every instrument of a small shop, by serial."""
    return publish_all(tmp_path_factory.mktemp("shop"))


@pytest.fixture(scope="module")
def pages(house: tuple[dict[str, Published], PublishedShop]) -> dict[str, Page]:
    """Every page of that shop, by address."""
    return pages_of(*house)


@pytest.fixture(scope="module")
def whole_page() -> tuple[Published, Page]:
    """The instrument of the demo of which most is recorded, and its page in a shop that says all it can."""
    demo = open_shop(REPOSITORY, private_files=False)
    assert demo.shop
    instrument = next(each for each in demo.instruments if each.record.serial == "2024-003")
    published = publish(instrument, demo.shop)
    beside = publish_beside(instrument.record, travel_of(instrument, demo.shop.unit))
    return published, instrument_page(published, publish_shop(demo.shop), beside, care=addresses.CARE)


def dulcimer(pages: dict[str, Page]) -> Page:
    return pages[addresses.instrument_page("2026-014")]


def elements(pages: dict[str, Page]) -> Iterator[tuple[str, Element]]:
    for path, page in pages.items():
        for element in tree(body(page)).iter():
            yield path, element


# What a page says


def test_the_fret_chart_puts_the_working_rule_first(pages: dict[str, Page]) -> None:
    """27 in, tenth semitone, which is fret 6: 11.847 in, mark 11 27/32, 0.003 in left over (common practice)."""
    head, *lines = rows(part(dulcimer(pages), "frets"))
    assert head[:2] == ["fret", "bench rule in"]
    assert next(line for line in lines if line[0] == "6") == [
        "6", "11 27/32", "11.847", "300.91", "0.901", "+0.003", "−0.3", "true", "minor seventh",
    ]  # fmt: skip
    assert [line[0] for line in lines][:3] == ["1", "1½", "2"]


def test_the_fret_chart_says_what_its_signs_mean(pages: dict[str, Page]) -> None:
    said = words(part(dulcimer(pages), "frets"))
    assert "below zero cents the mark lies short of the place" in said
    assert "sounds flat" in said
    assert "tolerance of 3 cents" in said


def test_frets_beyond_the_tolerance_are_marked_in_words(
    house: tuple[dict[str, Published], PublishedShop], pages: dict[str, Page]
) -> None:
    by_serial, shop = house
    said = words(part(dulcimer(pages), "frets"))
    assert "Every fret lies within the shop’s tolerance of 3 cents." in said
    instrument = by_serial["2026-014"]
    assert instrument.frets
    strict = replace(instrument, frets=replace(instrument.frets, tolerance_cents=1.0))
    chart = part(instrument_page(strict, shop), "frets")
    beyond = {row[0] for row in instrument.frets.table.rows if abs(float(row[6])) > 1.0}
    marked = {words(line[0]) for line in chart.iter("tr") if line.attrib.get("class") == "bb-beyond"}
    assert marked == beyond != set()
    assert f"{len(beyond)} of {instrument.frets.count} frets" in words(chart)


def test_what_each_rule_costs_stands_beside_the_plot(pages: dict[str, Page]) -> None:
    rules = part(dulcimer(pages), "rules")
    assert rules.find(".//{http://www.w3.org/2000/svg}svg") is not None
    summary, stepped, costs = rules.iter("table")
    assert rows(stepped)[0] == ["fret", "centre line, off by"]
    assert "the coarsest that will do" in words(summary)
    assert [line[0] for line in rows(summary)[1:]] == ["tape", "bench rule the working rule", "metric rule"]
    assert rows(costs)[0] == ["fret", "tape, 1/32 in", "bench rule, 1/64 in", "metric rule, 0.5 mm"]
    assert next(line for line in rows(costs) if line[0] == "6")[2] == "−0.3"


def test_the_shops_own_unit_stands_first(pages: dict[str, Page]) -> None:
    assert "27 in (685.8 mm)" in words(part(dulcimer(pages), "specification"))


def test_strings_and_tunings(pages: dict[str, Page]) -> None:
    (courses,) = part(dulcimer(pages), "strings").iter("table")
    tunings, *note_maps = part(dulcimer(pages), "notes").iter("table")
    assert rows(courses)[1:] == [
        ["D3", "146.83", "single", "0.022", "0.56", "wound"],
        ["A3", "220.00", "single", "0.012", "0.30", "plain steel"],
        ["D4", "293.66", "2 alike", "0.010", "0.25", "plain steel"],
    ]
    assert rows(tunings)[2] == ["D3 A3 A3", "146.83 Hz the lowest", "220.00 Hz fifth", "220.00 Hz fifth"]
    assert rows(note_maps[0])[1] == ["open", "D3", "A3", "D4"]
    assert ["7", "D4", "A4", "D5"] in rows(note_maps[0])


def test_how_it_was_built_is_told_in_words(pages: dict[str, Page]) -> None:
    said = words(part(dulcimer(pages), "how-it-was-built"))
    assert "20 February 2026 Sides bent" in said
    assert "Glued up linings and sides with hide glue at 14:30; the room at 68 °F (20 °C), 44 % humidity" in said
    assert "Coat 1 of the finish, tung oil varnish" in said
    assert "not yet done" not in said.lower()


def test_what_was_done_since_stands_in_the_order_of_days_and_the_shops_own_words_below(
    house: tuple[dict[str, Published], PublishedShop],
) -> None:
    bare, shop = house[0]["2024-001"], house[1]
    entries = (
        ServiceEntry(date(2028, 2, 1), "New strings <b>and</b> a dressed fret"),
        ServiceEntry(date(2026, 7, 9), "Nut slot eased"),
    )
    beside = publish_beside(Record("1", Serial("2024-001"), "cittern", service=entries))
    told = replace(shop, warranty="As long as *I* work.", next_owner="Welcome.\n\n<script>alert(1)</script>")
    page = instrument_page(bare, told, beside)
    assert [section.id for section in page.sections] == ["", "service", "warranty", "next-owner", "contact"]
    service = words(part(page, "service"))
    assert service == "9 July 2026 Nut slot eased 1 February 2028 New strings <b>and</b> a dressed fret"
    assert words(part(page, "warranty")) == "As long as I work."
    assert words(part(page, "next-owner")) == "Welcome."
    assert "ada@example.org" in words(part(page, "contact"))


def test_the_head_says_what_it_is_and_leads_to_no_certificate_before_one_is_issued(pages: dict[str, Page]) -> None:
    lead = part(dulcimer(pages), "")
    assert "mountain dulcimer No. 2026-014 Made by Ada Ferrow at Sandpiper Workshop, Low Marsh" in words(lead)
    assert [link.attrib["href"] for link in lead.iter("a")] == []
    assert "certificate" not in [section.id for section in dulcimer(pages).sections]


def test_a_page_is_silent_about_what_is_not_there(pages: dict[str, Page]) -> None:
    assert [section.id for section in pages[addresses.instrument_page("2024-001")].sections] == ["", "contact"]
    assert "fretboard" not in {section.id for section in pages[addresses.instrument_page("2025-003")].sections}
    assert {section.id for section in dulcimer(pages).sections} == {
        "", "story", "woods", "specification", "fretboard", "notes", "strings", "hardware-and-finish",
        "how-it-was-built", "frets", "rules", "repair", "sources", "string-pull", "contact",
    }  # fmt: skip


#: The order a buyer is told of an instrument in, whatever of it there is.
ORDER = (
    "", "story", "specification", "body", "hardware-and-finish", "woods", "fretboard", "frets", "tuning", "reach",
    "notes", "strings", "string-pull", "setback", "how-it-was-built", "as-built", "rules", "seasons", "care",
    "repair", "travel", "service", "warranty", "next-owner", "contact", "sources",
)  # fmt: skip


def test_the_sections_stand_in_the_order_a_buyer_asks_for_them(
    pages: dict[str, Page], whole_page: tuple[Published, Page]
) -> None:
    whole = [section.id for section in whole_page[1].sections]
    assert set(ORDER) - set(whole) <= {"tuning"}, "one of the demo has all but a temperament of its own"
    for page in (whole_page[1], *(page for path, page in pages.items() if re.search(r"instruments/\d", path))):
        found = [section.id for section in page.sections]
        assert found == [each for each in ORDER if each in found]


def test_the_strings_to_buy_are_told_with_their_ends(
    pages: dict[str, Page], whole_page: tuple[Published, Page]
) -> None:
    said = words(part(whole_page[1], "strings"))
    assert "Buy them with loop ends: they hook on behind the bridge, which is not glued." in said
    assert "Buy them" not in words(part(dulcimer(pages), "strings"))
    titles = {section.id: section.title for section in pages[addresses.instrument_page("2025-003")].sections}
    assert titles["strings"] == "Strings", "nobody can buy strings whose gauges are not recorded"
    distances = words(part(whole_page[1], "setback"))
    assert "Nut to saddle, D3 22w28.667 in, 0.167 in longer than the scale" in distances


def test_the_shops_own_page_on_care_is_led_to_where_there_is_one(whole_page: tuple[Published, Page]) -> None:
    (link,) = part(whole_page[1], "care").iter("a")
    assert link.attrib["href"] == "../care.html"


def test_a_page_on_care_that_is_a_draft_is_none_yet(tmp_path: Path) -> None:
    care = tmp_path / "care.md"
    care.write_text("# Care\n", encoding="utf-8")
    assert care_of(tmp_path) == "# Care\n"
    care.write_text("---\ndraft: yes\n---\n# Care\n", encoding="utf-8")
    assert care_of(tmp_path) == ""


def test_description_and_search_text(pages: dict[str, Page]) -> None:
    page = dulcimer(pages)
    assert page.description == (
        "Heron (2026-014), a mountain dulcimer in red spruce and black walnut, "
        "made by Ada Ferrow at Sandpiper Workshop, 2026."
    )
    assert pages[addresses.instrument_page("2025-003")].description.startswith("No. 2025-003, an octave mandolin, ")
    asked_for = {"Heron", "2026-014", "mountain dulcimer", "black walnut", "Juglans nigra", "27 in", "D3 A3 A3"}
    assert asked_for | {"tung oil varnish"} <= set(page.search_text.split(", "))
    assert page.date == "2026-04-30"
    assert not page.listed


def test_home_and_instruments_lead_to_every_instrument(pages: dict[str, Page]) -> None:
    links = {path: [a.attrib.get("href", "") for a in tree(body(pages[path])).iter("a")] for path in pages}
    assert links[addresses.HOME][0] == "instruments/2026-014.html"
    assert "mailto:ada@example.org" in links[addresses.HOME]
    assert Counter(links[addresses.INSTRUMENTS])["2026-014.html"] == 2
    table = next(part(pages[addresses.INSTRUMENTS], "side-by-side").iter("table"))
    assert rows(table)[1] == [
        "Heron", "mountain dulcimer", "27 in (685.8 mm)", "diatonic to 17, with 1½ and 6½", "red spruce, black walnut",
        "2026",
    ]  # fmt: skip


def test_an_empty_shop_says_so_kindly(house: tuple[dict[str, Published], PublishedShop]) -> None:
    silent = replace(house[1], email=None, place=None)
    for page in (home_page([], silent), instruments_page([], silent)):
        assert "No instrument is ready to be shown yet" in words(tree(body(page)))
        assert len(page.sections) == 1


def test_home_shows_the_latest_six(house: tuple[dict[str, Published], PublishedShop]) -> None:
    instrument, shop = house[0]["2024-001"], house[1]
    many = [replace(instrument, serial=f"2024-{n:03}") for n in range(10)]
    assert body(home_page(many, shop)).count('class="bb-card"') == 6
    assert body(instruments_page(many, shop)).count('class="bb-card"') == 10


# Worked examples, done again with the functions the site uses


def example(pages: dict[str, Page], id: str) -> str:
    section = part(pages[addresses.METHODS], id)
    return words(next(each for each in section.iter("div") if each.attrib.get("class") == "bb-example"))


def test_example_of_a_fret_place(pages: dict[str, Page]) -> None:
    ratio = equal_ratio(10, 12)
    place = Length.from_mm(distance_from_nut_mm(Length.from_inches(27).mm, ratio)).inches
    said = example(pages, "where-the-frets-go")
    assert f"= {fixed(ratio, 4)}, and x" in said
    assert said.endswith(f"= {fixed(place, 3)} in.")


def test_example_of_a_diatonic_board(pages: dict[str, Page]) -> None:
    said = example(pages, "diatonic-boards")
    for name, nth in (("6", "tenth"), ("6½", "eleventh"), ("7", "octave")):
        semitones = semitones_of(read_fret_number(name), "diatonic")
        assert isinstance(semitones, int)
        assert {"tenth": 10, "eleventh": 11, "octave": 12}[nth] == semitones
        place = distance_from_nut_mm(27, equal_ratio(semitones, 12))
        assert re.search(rf"fret {name} is the {nth}[^,;]*, at {fixed(place, 3)} in", said)


def test_the_diatonic_rules_in_words_are_the_ones_used(pages: dict[str, Page]) -> None:
    said = words(part(pages[addresses.METHODS], "diatonic-boards"))
    steps = " ".join(str(semitones_of(FretNumber(2 * n), "diatonic")) for n in range(1, 8))
    assert f"frets 1 2 3 4 5 6 7 are semitones {steps}" in said
    halves = [FretNumber(n) for n in range(1, 14, 2)]
    possible = [str(each) for each in halves if isinstance(semitones_of(each, "diatonic"), int)]
    assert f"{', '.join(possible)} and their octaves" in said


def test_example_of_a_mark(pages: dict[str, Page]) -> None:
    rule = read_graduation("1/64 in", "in")
    place = distance_from_nut_mm(Length.from_inches(27).mm, equal_ratio(10, 12))
    reading = read_beside(place, Length.from_inches(27).mm - place, rule)
    said = example(pages, "the-nearest-mark")
    left_over = fixed(Length.from_mm(reading.left_over_mm).inches, 3)
    assert f"which is {reading.mark} in. Left over: {left_over} in." in said
    assert f"it is mark {Length.from_mm(reading.mark_mm).inches * 64:.0f}," in said
    assert f"= {fixed(Length.from_mm(place).inches * 64, 1)}," in said
    midway = read_beside(254.25, 700.0 - 254.25, read_graduation("0.5 mm", "in"))
    assert said.endswith(f"the mark is {midway.mark} mm.")
    costs = example(pages, "what-a-mark-costs")
    assert f"which is {left_over} in short" in costs
    assert f"= {fixed(reading.cents, 1)} cents" in costs
    rest, rest_at_mark = 27 - Length.from_mm(place).inches, 27 - Length.from_mm(reading.mark_mm).inches
    assert f"({fixed(rest, 3)} / {fixed(rest_at_mark, 3)})" in costs


def test_example_of_a_frequency(pages: dict[str, Page]) -> None:
    note = read_note("D3")
    said = example(pages, "frequencies")
    assert f"D3 lies {read_note('A4').semitone - note.semitone} semitones below A4" in said
    assert said.endswith(f"= {fixed(frequency_hz(note), 2)} Hz.")


def test_every_source_of_a_sum_is_cited(pages: dict[str, Page]) -> None:
    said = words(tree(body(pages[addresses.METHODS])))
    for key in (
        "fret-law", "equal-temperament", "diatonic-fretting", "nearest-mark", "cents", "stepping", "temperament",
        "slanted", "spacing", "reach", "fretting",
    ):  # fmt: skip
        assert SOURCES[key] in said


# How a page is made


def test_every_section_is_one_block_that_markdown_lets_through(pages: dict[str, Page]) -> None:
    for page in pages.values():
        for section in page.sections:
            assert section.html.startswith('<div class="bb-')
            assert section.html.endswith("</div>")
            assert "" not in [line.strip() for line in section.html.split("\n")]
            assert len(tree(section.html)) == 1


def test_ids_are_there_once(pages: dict[str, Page]) -> None:
    for page in pages.values():
        ids = [each.attrib["id"] for each in tree(body(page)).iter() if "id" in each.attrib]
        ids += [section.id for section in page.sections if section.id]
        assert [id for id, times in Counter(ids).items() if times > 1] == []


def test_every_label_has_its_id(pages: dict[str, Page]) -> None:
    for path, element in elements(pages):
        if label := element.attrib.get("aria-labelledby"):
            assert f'id="{label}"' in body(pages[path])


def test_tables_have_captions_and_their_heads_a_scope(pages: dict[str, Page]) -> None:
    for _, element in elements(pages):
        if element.tag == "table":
            caption = element.find("caption")
            assert caption is not None
            assert words(caption)
        if element.tag == "th":
            assert element.attrib["scope"] in ("row", "col", "colgroup")
            assert words(element)


def test_rows_are_as_long_as_their_heads(pages: dict[str, Page]) -> None:
    for _, element in elements(pages):
        if element.tag == "table":
            widths = {sum(int(cell.attrib.get("colspan", "1")) for cell in line) for line in element.iter("tr")}
            assert len(widths) == 1


def test_links_are_relative_and_lead_to_pages(pages: dict[str, Page]) -> None:
    known = {*pages, *(path.replace("instruments/", "certificates/") for path in pages)}
    known |= {path.replace("instruments/", "papers/").replace(".html", "-string-card.html") for path in pages}
    for path, element in elements(pages):
        link = element.attrib.get("href", "")
        if not link or element.tag != "a" or link.startswith(("mailto:", "https:")):
            continue
        assert words(element)
        assert (Path("/site") / path).parent.joinpath(link).resolve().relative_to("/site").as_posix() in known


def test_no_page_says_none(pages: dict[str, Page]) -> None:
    for page in pages.values():
        assert "None" not in body(page) + page.title + page.description + page.search_text


def test_nothing_in_a_record_becomes_markup(pages: dict[str, Page]) -> None:
    html = body(pages[addresses.instrument_page("2023-001")]) + body(pages[addresses.HOME])
    html += body(pages[addresses.INSTRUMENTS])
    scripts = list(tree(html).iter("script"))
    assert [(each.get("src"), each.text) for each in scripts] == [("../assets/boutbook/find.js", None)], "our own"
    tags = {each.tag for each in tree(html).iter()}
    assert tags.isdisjoint({"img", "b", "iframe", "style", "object"})
    assert not [name for each in tree(html).iter() for name in each.attrib if name.startswith("on")]
    assert "javascript:" not in html
    assert "{{ 7 * 7 }}" in html
    assert "<em>so on</em>" in html


def test_colours_are_the_style_sheets_affair(pages: dict[str, Page]) -> None:
    for page in pages.values():
        assert not re.search(r"#[0-9a-fA-F]{6}\b", body(page))


def test_same_records_same_pages(house: tuple[dict[str, Published], PublishedShop], pages: dict[str, Page]) -> None:
    by_serial, shop = house
    assert instrument_page(by_serial["2026-014"], shop) == dulcimer(pages)


# Style sheets

CSS = Path(__file__).parent.parent / "site_theme" / "css"


def test_every_variable_used_is_there() -> None:
    ours = (CSS / "boutbook.css").read_text(encoding="utf-8")
    defined = set(re.findall(r"(--bb-[\w-]+):", ours + (CSS / "fonts.css").read_text(encoding="utf-8")))
    used = set(re.findall(r"var\((--bb-[\w-]+)", ours + (CSS / "material.css").read_text(encoding="utf-8")))
    assert used <= defined
    assert "--md-" not in ours
    assert ".md-" not in ours


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.1 defines it."""
    channels = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("place", [0, 1], ids=["light", "dark"])
def test_colours_can_be_read(place: int) -> None:
    """Text 4.5 : 1 and graphics 3 : 1, as WCAG 2.1 asks (success criteria 1.4.3 and 1.4.11, level AA)."""
    css = (CSS / "boutbook.css").read_text(encoding="utf-8")
    plain = re.findall(r"(--bb-[\w-]+): (#[0-9a-f]{6});", css)
    pairs = re.findall(r"(--bb-[\w-]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\);", css)
    colour = dict(plain) | {name: values[place] for name, *values in pairs}
    for ground in ("paper", "card", "band", "stripe"):
        for ink in ("ink", "quiet", "accent", "walnut", "brass", "rule-4", "rule-5"):
            assert contrast(colour[f"--bb-{ink}"], colour[f"--bb-{ground}"]) >= 4.5, (ink, ground)
    assert contrast(colour["--bb-on-accent"], colour["--bb-accent"]) >= 4.5
    for line in ("board-fret", "board-half", "board-marker", "board-nut", "board-string"):
        assert contrast(colour[f"--bb-{line}"], colour["--bb-board"]) >= 3, line
    assert contrast(colour["--bb-board-note"], colour["--bb-board"]) >= 4.5


def test_light_colours_are_said_the_same_for_every_browser() -> None:
    css = (CSS / "boutbook.css").read_text(encoding="utf-8")
    plain = dict(re.findall(r"(--bb-[\w-]+): (#[0-9a-f]{6});", css))
    assert all(plain[name] == light for name, light in re.findall(r"(--bb-[\w-]+): light-dark\((#[0-9a-f]{6})", css))
