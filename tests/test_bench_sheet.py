"""The bench sheet: every fret once in sawing order, blanks in board order, nothing private where it is not wished."""

from __future__ import annotations

import re
import shutil
from collections import Counter
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from xml.etree.ElementTree import Element

import html5lib
import pytest

from builder.publish import publish, publish_shop
from builder.publish.batch import publish_batch
from builder.publish.bench import publish_bench
from builder.publish.order import order_of
from builder.published.bench import PublishedStep
from builder.published.order import PublishedOrder
from builder.record import Dates, PrivateFile
from builder.record.order import Buyer, Order
from builder.results.cutting import CuttingResults
from builder.sheets.batch_sheet import BatchMember, batch_sheet_html, six_up
from builder.sheets.bench_sheet import bench_sheet_html
from builder.workshop import open_shop
from tests.bench_samples import DEMO, EMPTY_BENCH, SERIALS, SIX, demo_shop, instrument_of, private_files, sample
from tests.certificate_samples import BARE_SHOP, NEARLY_EMPTY

HOSTILE = "</style><script>alert(1)</script><b onclick=x>&amp;\"'"


def parsed(html: str) -> Element:
    """The page, read by the rules of HTML; anything that breaks them is an error."""
    root: Element = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)
    return root


def text_of(element: Element) -> str:
    """All text in an element, spaces tidied."""
    return " ".join("".join(element.itertext()).split())


def body_of(root: Element) -> str:
    """What is read on the sheet."""
    body = root.find("body")
    assert body is not None
    return text_of(body)


def section(root: Element, id: str) -> str:
    """The text of one section."""
    found = root.find(f".//*[@id='{id}']")
    assert found is not None, id
    return text_of(found)


def fret_rows(root: Element) -> list[tuple[str, list[str], list[str]]]:
    """Name, marks and cells to write in of every row of the table that frets are sawn by."""
    return [
        (
            row.get("data-fret", ""),
            [text_of(cell) for cell in row.findall("td[@class='mark']")],
            [text_of(cell) for cell in row.findall("td[@class='write']")],
        )
        for row in root.iter("tr")
        if row.get("data-fret") is not None
    ]


def as_fraction(mark: str) -> Fraction:
    """`20 61/64` as a number."""
    return sum((Fraction(part) for part in mark.split()), Fraction())


@pytest.mark.parametrize("serial", SERIALS)
def test_every_fret_stands_once_in_sawing_order_with_its_mark(serial: str) -> None:
    chosen = sample(serial)
    frets = chosen.instrument.frets
    assert frets is not None
    rows = [row for row in fret_rows(parsed(chosen.html)) if row[0] != "0"]
    marks = [number for number, column in enumerate(frets.table.columns) if column.key.endswith("mark")]
    assert [(name, said) for name, said, _ in rows] == [
        (row[0], [row[number] for number in marks]) for row in frets.table.rows
    ]
    assert len({name for name, _, _ in rows}) == frets.count
    for line in range(len(marks)):
        places = [as_fraction(said[line]) for _, said, _ in rows]
        assert places == sorted(set(places)), "sawing order is from the nut, and all are measured from the nut"


def test_marks_are_those_of_the_fret_law() -> None:
    """The law of frets, twelve equal steps: L(1 − 2^(−n/12)) (any textbook of musical acoustics), to 1/64 in.

    Semitones of a diatonic board from the open string: the mixolydian scale 2 4 5 7 9 10 12, and 11 at 6½ (common
    practice).
    """
    steps = {"1": 2, "2": 4, "3": 5, "4": 7, "5": 9, "6": 10, "6½": 11, "7": 12, "13½": 23, "14": 24, "17": 29}
    rows = {name: marks[0] for name, marks, _ in fret_rows(parsed(sample("2024-003").html))}
    for name, semitones in steps.items():
        place = 28.5 * (1 - 2 ** (-semitones / 12))
        assert as_fraction(rows[name]) == Fraction(round(place * 64), 64)


def test_a_zero_fret_is_levelled_but_not_sawn() -> None:
    root = parsed(sample("2025-004").html)
    assert [name for name, _, _ in fret_rows(root)][:2] == ["0", "1"]
    first = next(row for row in root.iter("tr") if row.get("data-fret") == "0")
    assert not [each for each in first.iter("span") if each.get("class") == "box"]
    assert [text_of(cell) for cell in first.findall("td[@class='write']")] == ["–", "", ""]


def test_a_partial_fret_has_a_height_only_on_the_side_it_reaches() -> None:
    written = {name: blanks for name, _, blanks in fret_rows(parsed(sample("2024-005").html))}
    assert written["1½"] == ["", "–", ""]
    assert written["2"] == ["", "", ""]


def test_a_board_of_two_scales_has_a_column_for_each_side() -> None:
    root = parsed(sample("2023-002").html)
    rows = fret_rows(root)
    assert all(len(marks) == 2 and not blanks for _, marks, blanks in rows)
    measured = [row for row in root.iter("tr") if row.get("data-measured")]
    assert [row.get("data-measured") for row in measured] == [name for name, _, _ in rows]
    assert all(len(row.findall("td")) == 4 for row in measured)


def test_what_is_done_is_ticked_and_the_rest_is_left_to_fill_in() -> None:
    root = parsed(sample("2026-004").html)
    steps = next(each for each in root.iter("section") if each.get("id") == "steps")
    ticked = [each.get("class") == "box done" for each in steps.iter("span") if "box" in (each.get("class") or "")]
    assert ticked == [True, True, False, False, False, False]
    to_fill = Counter(
        each.get("id") for each in root.iter("section") for item in each.iter("li") if item.get("class") == "to-fill"
    )
    assert to_fill == {"gluing": 4, "finishing": 3}
    assert "clamps off 2026-10-21 11:00" in section(root, "gluing")
    assert "38 % to 55 % humidity" in section(root, "gluing")


def test_a_finished_instrument_leaves_nothing_to_glue_or_to_settle() -> None:
    root = parsed(sample("2024-003").html)
    assert not [each for each in root.iter("li") if each.get("class") == "to-fill"]
    assert root.find(".//section[@id='wanting']") is None


def test_the_order_comes_from_the_private_file() -> None:
    said = section(parsed(sample("2024-003").html), "order")
    assert "Henrike Dalloway" in said
    assert "something low and soft to sing over" in said
    assert "promised 31 July 2024" in said


@pytest.mark.parametrize("serial", [serial for serial in SERIALS if private_files()[serial].buyer.name])
def test_names_are_left_out_on_wish(serial: str) -> None:
    buyer = private_files()[serial].buyer.name
    assert buyer is not None
    assert buyer in body_of(parsed(sample(serial).html))
    assert buyer not in sample(serial, names=False).html


def test_a_name_is_struck_from_the_texts_too() -> None:
    private = PrivateFile(
        "1", Buyer(name="Ada de Vere"), Order("For Ada's sister, says ADA DE VERE.", "Vere pays; adamant.")
    )
    order = order_of(private, Dates(promised=date(2026, 5, 1)), names=False)
    assert order == PublishedOrder(
        None, "For the buyer's sister, says the buyer.", "the buyer pays; adamant.", None, "2026-05-01", "inquiry"
    )
    assert order_of(private, Dates()).buyer == "Ada de Vere"
    assert order_of(None, Dates()).is_empty


def test_next_to_nothing_is_known() -> None:
    root = parsed(bench_sheet_html(NEARLY_EMPTY, EMPTY_BENCH, BARE_SHOP))
    assert fret_rows(root) == []
    headings = [text_of(each) for each in root.iter("h2")]
    assert headings == ["Glue-ups and clamps", "Levelling and set-up"]
    assert NEARLY_EMPTY.serial in body_of(root)
    assert "None" not in body_of(root)


@pytest.mark.parametrize("folder", [DEMO / "builder" / "starter", DEMO / "tests" / "records" / "good_shop"])
def test_every_record_has_its_sheet(folder: Path) -> None:
    workshop = open_shop(folder, private_files=False)
    assert workshop.shop is not None
    assert workshop.instruments
    shop = publish_shop(workshop.shop)
    for each in workshop.instruments:
        bench = publish_bench(each, workshop.shop)
        root = parsed(bench_sheet_html(publish(each, workshop.shop), bench, shop))
        assert each.record.serial in body_of(root)
        assert root.find(".//section[@id='order']") is None
        assert not re.search(r"\bNone\b|Figure\(|Measure\(", body_of(root))


def test_hostile_text_is_only_text() -> None:
    chosen = sample("2024-003")
    instrument = replace(
        chosen.instrument,
        name=HOSTILE,
        kind=HOSTILE,
        made_by=HOSTILE,
        hardware=((HOSTILE, HOSTILE),),
        woods=tuple(replace(wood, part=HOSTILE, species=HOSTILE, words=HOSTILE) for wood in chosen.instrument.woods),
    )
    bench = replace(
        chosen.bench,
        title=HOSTILE,
        kind=HOSTILE,
        stage="ordered",
        steps=(PublishedStep(HOSTILE, None),),
        glues=tuple(replace(glue, name=HOSTILE, caution=HOSTILE) for glue in chosen.bench.glues),
    )
    shop = replace(chosen.shop, name=HOSTILE)
    order = PublishedOrder(HOSTILE, HOSTILE, HOSTILE, None, None)
    batch = publish_batch([instrument_of("2024-003")], demo_shop())
    pages = (
        bench_sheet_html(instrument, bench, shop, order),
        batch_sheet_html(batch, [BatchMember(instrument, bench, order)], shop),
    )
    for page in pages:
        root = parsed(page)
        assert not list(root.iter("script"))
        assert not [each for each in root.iter() if "onclick" in each.attrib]
        assert len(list(root.iter("style"))) == 1
        assert HOSTILE in body_of(root)


def test_cautions_stand_where_they_apply_and_once() -> None:
    root = parsed(sample("2024-003").html)
    cautions = [text_of(each) for each in root.iter("p") if each.get("class") == "caution"]
    assert len(cautions) == len(set(cautions))
    assert "can catch fire" in section(root, "finishing")
    assert "can catch fire" not in section(root, "gluing")
    assert "hot enough to scald" in section(root, "gluing")
    assert "metal dust" not in section(root, "levelling"), "nothing is to be filed"


def test_clamps_say_what_they_give_and_what_is_wanted() -> None:
    chosen = sample("2024-003")
    assert "soundboard on sides and linings: 27 clamps give 73 psi, too little; 37 for 100 to 150 psi (typical)" in (
        section(parsed(chosen.html), "gluing")
    )
    clamps = next(each for each in chosen.bench.subjects if each.key == "clamps")
    table = clamps.figures.tables[0]
    keys = [column.key for column in table.table.columns]
    contact: dict[str, str | float] = {"seam": "heel", "needed": 2, "wanted": "contact only"}
    only = replace(table.table, rows=(tuple(contact.get(key, "") for key in keys),))
    figures = replace(clamps.figures, tables=(replace(table, table=only),))
    bench = replace(chosen.bench, subjects=(replace(clamps, figures=figures),))
    said = section(parsed(bench_sheet_html(chosen.instrument, bench, chosen.shop)), "gluing")
    assert "heel: 2 clamps; wanted contact only" in said
    assert "contact only psi" not in said


def test_labels_are_said_in_words_and_what_is_typical_says_so() -> None:
    glues = {glue.name: glue for glue in sample("2026-004").bench.glues}
    assert glues["yellow glue"].is_used
    assert not glues["hot hide glue"].is_used
    assert (glues["hot hide glue"].open_time, glues["hot hide glue"].cured) == ("1 min", "2 days")
    assert glues["hot hide glue"].limits == "at least 64 °F (17.8 °C), at most 60 % humidity"
    assert glues["yellow glue"].limits == "wood at 6 to 10 % moisture"
    assert (glues["fish glue"].clamps_off, glues["fish glue"].caution) == ("", "")
    only_used = sample("2024-003").bench.glues
    assert [glue.name for glue in only_used] == ["hot hide glue"]


def test_the_sheet_is_the_same_every_time_and_asks_nobody() -> None:
    chosen = sample("2025-002")
    assert chosen.html == chosen.html
    assert not re.search(r"\s(?:src|href|srcset)\s*=", chosen.html)
    addresses = re.findall(r"url\(\W*(\w+):", chosen.html)
    assert set(addresses) == {"data"}
    assert len(addresses) == chosen.html.count("url(")


def test_a_batch_is_bought_and_picked_as_one() -> None:
    six = [instrument_of(serial) for serial in SIX]
    batch = publish_batch(six, demo_shop())
    lists = [each.results.cutting for each in six]
    pieces = Counter(
        {
            each.record.serial: sum(cut.piece.count for cut in each.results.cutting.pieces)
            for each in six
            if isinstance(each.results.cutting, CuttingResults)
        }
    )
    picked: Counter[str] = Counter()
    for pick in batch.picks:
        picked[pick.serial] += pick.count
    assert picked == pieces
    strings = next(each for each in batch.shopping.tables if each.key == "strings")
    assert sum(int(row[1]) for row in strings.table.rows) == sum(
        count for each in lists if isinstance(each, CuttingResults) for _, count in each.strings
    )
    assert [pick.billet for pick in batch.picks if pick.billet] == sorted(
        pick.billet for pick in batch.picks if pick.billet
    )


def test_six_columns_hold_what_differs_and_every_step() -> None:
    table = six_up([sample(serial).member for serial in SIX])
    assert table.serials == SIX
    assert all(len(cells) == 6 and len(set(cells)) > 1 for _, cells in table.differing)
    assert "Kind" in dict(table.differing)
    steps = dict(table.steps)
    assert {name for name, _ in table.steps} == {
        step.step for serial in SIX for step in instrument_of(serial).record.build.steps
    }
    assert steps["Rosette inlaid"][2].is_asked
    assert not steps["Rosette inlaid"][0].is_asked


def test_instruments_that_are_alike_say_so_once() -> None:
    one = sample("2024-003").member
    other = BatchMember(one.instrument, replace(one.bench, serial="2024-099"), one.order)
    table = six_up([one, other])
    assert table.differing == ()
    assert {said.label: said.text for said in table.alike}["Kind"] == "mountain dulcimer"


def test_the_batch_sheet_has_tables_of_six_and_leaves_names_out_on_wish() -> None:
    instruments = [instrument_of(serial) for serial in SERIALS]
    batch = publish_batch(instruments, demo_shop())
    for names in (True, False):
        html = batch_sheet_html(
            batch, [sample(serial, names=names).member for serial in SERIALS], publish_shop(demo_shop())
        )
        heads = [[text_of(cell) for cell in row.iter("th")][1:] for head in parsed(html).iter("thead") for row in head]
        assert heads == [list(SERIALS[at : at + 6]) for at in range(0, len(SERIALS), 6)]
        buyers = [each.buyer.name for each in private_files().values() if each.buyer.name]
        assert len(buyers) == len(SERIALS) - 1, "one is for stock"
        assert all((buyer in html) == names for buyer in buyers)


def test_an_empty_batch_and_one_without_any_list_still_print() -> None:
    batch = publish_batch([], demo_shop())
    assert batch.picks == ()
    root = parsed(batch_sheet_html(batch, [], publish_shop(demo_shop())))
    assert "0 instruments" in body_of(root)


def test_an_angle_that_no_block_comes_near_leaves_no_gap_to_tell(tmp_path: Path) -> None:
    shutil.copytree(DEMO / "records", tmp_path / "records")
    shop_file = tmp_path / "records" / "shop.yaml"
    shop_file.write_text(re.sub(r"(?m)^angle_blocks: .*$", "angle_blocks: [15]", shop_file.read_text("utf-8")), "utf-8")
    workshop = open_shop(tmp_path, private_files=False)
    assert workshop.shop is not None
    instrument = next(each for each in workshop.instruments if each.record.serial == "2025-006")
    html = bench_sheet_html(
        publish(instrument, workshop.shop), publish_bench(instrument, workshop.shop), publish_shop(workshop.shop)
    )
    said = section(parsed(html), "body")
    assert "to the centre line, angle block none near" in said
    assert said.count("leaves") == 1
    assert "–" not in said
