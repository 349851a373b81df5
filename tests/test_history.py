"""The shop's history: every figure of its page counted anew from the files of the demo, by other ways."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path
from statistics import mean, median
from typing import Any

import numpy as np
import pytest
import yaml

from builder import addresses
from builder.pages.bench import bench_index_page
from builder.pages.history import history_page
from builder.plots.history import amounts_svg, over_the_years_svg, years_svg
from builder.publish import publish_shop
from builder.publish.batch import publish_batch
from builder.publish.history import publish_history
from builder.published import Column, Subject, Table
from builder.results.frets import FretResults
from builder.seam import Page
from builder.workshop import Workshop, open_shop
from tests.page_reading import body, part, rows, tree, words
from tests.shops import REPOSITORY

#: Semitones of the frets 1 to 7 of a diatonic board; half frets lie a semitone above the fret before them.
DIATONIC = (2, 4, 5, 7, 9, 10, 12)


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(REPOSITORY, private_files=True)


@pytest.fixture(scope="module")
def page(demo: Workshop) -> Page:
    assert demo.shop is not None
    return history_page(publish_history(demo), publish_shop(demo.shop))


@pytest.fixture(scope="module")
def files() -> dict[str, tuple[dict[str, Any], dict[str, Any]]]:
    """Record and private file of every instrument of the demo, as written, by serial."""

    def written(file: Path) -> dict[str, Any]:
        found: dict[str, Any] = yaml.safe_load(file.read_text("utf-8"))
        return found

    folders = sorted((REPOSITORY / "records" / "instruments").iterdir())
    return {each.name: (written(each / "record.yaml"), written(each / "private.yaml")) for each in folders}


Files = dict[str, tuple[dict[str, Any], dict[str, Any]]]


def tables(page: Page, id: str) -> list[list[list[str]]]:
    """The tables of a section, without their heads."""
    return [rows(table)[1:] for table in part(page, id).iter("table")]


def dates_of(record: dict[str, Any]) -> dict[str, date]:
    found: dict[str, date] = record.get("dates", {})
    return found


def title_of(record: dict[str, Any]) -> str:
    return record.get("name") or f"{record['kind'].capitalize()} {record['serial']}"


def test_instruments_a_year(page: Page, files: Files) -> None:
    names = ("ordered", "finished", "delivered")
    counts = {
        name: Counter(dates_of(record)[name].year for record, _ in files.values() if name in dates_of(record))
        for name in names
    }
    years = range(min(counts["ordered"]), max(max(each) for each in counts.values()) + 1)
    (table,) = tables(page, "instruments-a-year")
    assert table == [[str(year), *(str(counts[name][year]) for name in names)] for year in years]
    said = words(part(page, "instruments-a-year"))
    assert f"On record{len(files)} instruments" in said
    assert "1 was called off" in said
    assert [serial for serial, (_, private) in files.items() if "cancelled" in private.get("order", {})] == ["2026-003"]
    assert "1 was given back later" in said


def test_order_to_delivery(page: Page, files: Files) -> None:
    expected = []
    for serial, (record, _) in files.items():
        days = dates_of(record)
        if "delivered" in days and "ordered" in days:
            late = (days["delivered"] - days["promised"]).days if "promised" in days else None
            expected.append((days["delivered"], serial, (days["delivered"] - days["ordered"]).days, late))
    by_year, each = tables(page, "order-to-delivery")
    assert [[row[0], row[4], row[5]] for row in each] == [
        [serial, str(wait), "" if late is None else f"{late:+d}".replace("-", "−")]
        for _, serial, wait, late in sorted(expected)
    ]
    of_year = defaultdict(list)
    for delivered, _, wait, _ in expected:
        of_year[delivered.year].append(wait)
    assert by_year == [[str(year), str(len(waits)), f"{median(waits):.1f}"] for year, waits in sorted(of_year.items())]
    said = words(part(page, "order-to-delivery"))
    assert f"Half of them took at most{median(wait for *_, wait, _ in expected)} days" in said
    promised = [late for *_, late in expected if late is not None]
    assert f"by the day promised{sum(late <= 0 for late in promised)} of {len(promised)}" in said


def in_hours(written: object) -> Fraction:
    """`3 1/2`, `45 min`, `4 h` or a number."""
    number, _, unit = str(written).partition(" ")
    if unit == "min":
        return Fraction(number) / 60
    return Fraction(number) + (Fraction(unit) if "/" in unit else 0)


def test_hours_by_kind_and_by_step(page: Page, files: Files) -> None:
    of_kind: dict[str, dict[str, Fraction]] = defaultdict(dict)
    of_step: dict[str, dict[str, Fraction]] = defaultdict(lambda: defaultdict(Fraction))
    for serial, (record, private) in files.items():
        entries = private.get("hours", [])
        if entries:
            of_kind[record["kind"]][serial] = sum((in_hours(each["hours"]) for each in entries), Fraction())
        for each in entries:
            of_step[each.get("step", "no step named")][serial] += in_hours(each["hours"])
    (by_kind,) = tables(page, "hours-by-kind")
    assert len(by_kind) == len(of_kind) > 3
    for kind, instruments, hours, finished, of_finished in by_kind:
        whole = [float(each) for serial, each in of_kind[kind].items() if "finished" in dates_of(files[serial][0])]
        assert (int(instruments), float(hours)) == (len(of_kind[kind]), float(sum(of_kind[kind].values())))
        assert int(finished) == len(whole)
        assert (float(of_finished) if whole else of_finished) == (median(whole) if whole else "")
    by_step, by_both = tables(page, "hours-by-step")
    assert {row[0] for row in by_step} == set(of_step)
    for step, instruments, hours, on_each in by_step:
        there = of_step[step]
        assert (int(instruments), float(hours)) == (len(there), float(sum(there.values())))
        assert float(on_each) == pytest.approx(float(sum(there.values()) / len(there)), abs=0.0051)
    for step, kind, instruments, hours, _ in by_both:
        there = {serial: each for serial, each in of_step[step].items() if files[serial][0]["kind"] == kind}
        assert (int(instruments), float(hours)) == (len(there), float(sum(there.values())))
    assert sum(float(row[3]) for row in by_both) == sum(float(row[2]) for row in by_kind)


def test_woods_of_finished_instruments(page: Page, files: Files) -> None:
    rack = yaml.safe_load((REPOSITORY / "records" / "wood.yaml").read_text("utf-8"))["billets"]
    used: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for serial, (record, _) in files.items():
        for wood in record["spec"].get("wood", {}).values() if "finished" in dates_of(record) else ():
            species = wood.get("species") or rack[wood["billet"]]["species"]
            used[species].append((serial, dates_of(record)["finished"].year))
    (table,) = tables(page, "woods-used")
    assert {row[0]: row[1:] for row in table} == {
        species: [
            str(len({serial for serial, _ in each})), str(len(each)), str(min(each, key=lambda one: one[1])[1]),
            str(max(each, key=lambda one: one[1])[1]),
        ]
        for species, each in used.items()
    }  # fmt: skip
    counts = [int(row[1]) for row in table]
    assert counts == sorted(counts, reverse=True)


def in_mm(written: object) -> float:
    """`3 7/64` in inches, `36.5 mm`."""
    text = str(written)
    if text.endswith("mm"):
        return float(text.removesuffix("mm"))
    return float(sum(Fraction(part) for part in text.removesuffix("in").split())) * 25.4


def semitones(record: dict[str, Any]) -> list[int]:
    """Every fret of a board of one scale length in twelve equal steps, from its record as written."""
    frets = record["spec"]["frets"]
    if frets["layout"] == "chromatic":
        return list(range(1, int(frets["last"]) + 1))
    whole = [12 * ((n - 1) // 7) + DIATONIC[(n - 1) % 7] for n in range(1, int(frets["last"]) + 1)]
    halves = [whole[int(str(name).removesuffix("½")) - 1] + 1 for name in frets.get("add", [])]
    return sorted((*whole, *halves))


def worst_cents(measured_mm: list[float], places_mm: list[float], sounding_mm: list[float]) -> float:
    """The fret law: what sounds at a fret is the string from it to the saddle."""
    off = [
        1200 * math.log2(sounding / (sounding - (measured - place)))
        for measured, place, sounding in zip(measured_mm, places_mm, sounding_mm, strict=True)
    ]
    return max(map(abs, off))


def slanted_places_mm(demo: Workshop, serial: str, side: int) -> tuple[list[float], list[float]]:
    """Places and sounding lengths along a side of a board with two scale lengths; `test_slanted` is about these."""
    frets = next(each for each in demo.instruments if each.record.serial == serial).results.frets
    assert isinstance(frets, FretResults)
    along = [fret.places[side] for fret in frets.frets]
    return [each.from_nut_mm for each in along], [each.sounding_mm for each in along]


def test_the_worst_fret_by_the_fret_law(page: Page, files: Files, demo: Workshop) -> None:
    expected = {}
    for serial, (record, _) in files.items():
        positions = record.get("as_built", {}).get("fret_positions")
        if positions is None:
            continue
        if "values" in positions:
            scale_mm = in_mm(record["spec"]["scale_length"])
            sounding = [scale_mm * 2 ** (-step / 12) for step in semitones(record)]
            lines = [([in_mm(each) for each in positions["values"]], [scale_mm - each for each in sounding], sounding)]
        else:
            lines = [
                ([in_mm(each) for each in positions[name]], *slanted_places_mm(demo, serial, side))
                for side, name in enumerate(("bass", "treble"))
            ]
        expected[serial] = max(worst_cents(*line) for line in lines)
    by_year, each = tables(page, "worst-fret")
    assert len(expected) >= 4
    assert {row[0]: float(row[3]) for row in each} == pytest.approx(expected, abs=0.051)
    see_that_medians_are_of(by_year, expected, files)


def see_that_medians_are_of(
    by_year: list[list[str]], figures: dict[str, float], files: Files, within: float = 0.051
) -> None:
    of_year = defaultdict(list)
    for serial, figure in figures.items():
        of_year[dates_of(files[serial][0])["finished"].year].append(figure)
    assert [row[:2] for row in by_year] == [[str(year), str(len(of_year[year]))] for year in sorted(of_year)]
    assert [float(row[2]) for row in by_year] == pytest.approx(
        [median(of_year[year]) for year in sorted(of_year)], abs=within
    )


def filed_down(places: list[float], tops: list[float], allowed: list[float]) -> list[float]:
    """Every fret that stands too proud of its neighbours taken down just so far, over and over, until none does."""
    heights = list(tops)
    for _ in range(5_000):
        before = list(heights)
        for n in range(1, len(heights) - 1):
            chord = np.interp(places[n], [places[n - 1], places[n + 1]], [heights[n - 1], heights[n + 1]])
            heights[n] = min(heights[n], float(chord) + allowed[n])
        if max(abs(one - other) for one, other in zip(before, heights, strict=True)) < 1e-9:
            return heights
    raise AssertionError("this never comes to rest")


def test_frets_to_file_with_a_patient_file(page: Page, files: Files) -> None:
    """With tolerance and fall-away as the shop file has them; no fret of the demo is low enough to be seated anew."""
    plan = yaml.safe_load((REPOSITORY / "records" / "shop.yaml").read_text("utf-8"))["levelling"]
    tolerance, falls_by = in_mm(plan["tolerance"]), in_mm(plan["fall_away"]["by"])
    octave_and_more = 12 * (plan["fall_away"]["starts_at"] // 7) + DIATONIC[plan["fall_away"]["starts_at"] % 7 - 1]
    expected = {}
    for serial, (record, _) in files.items():
        heights = record.get("as_built", {}).get("fret_heights")
        if heights is None:
            continue
        steps = semitones(record)
        places = [in_mm(record["spec"]["scale_length"]) * (1 - 2 ** (-step / 12)) for step in steps]
        turn = steps.index(octave_and_more)
        falls = [falls_by * max(0.0, (each - places[turn]) / (places[-1] - places[turn])) for each in places]
        filed: set[int] = set()
        for side in ("bass", "treble"):
            tops = [float(each) * 25.4 for each in heights[side]]
            level = filed_down(places[: turn + 1], tops[: turn + 1], [tolerance] * (turn + 1))
            line = np.polyfit([places[0], places[turn]], [level[0], level[turn]], 1)
            plan_mm = [float(np.polyval(line, place)) - fall for place, fall in zip(places, falls, strict=True)]
            ceiling = [
                wanted if n > turn and top > wanted + tolerance + 1e-6 else top
                for n, (top, wanted) in enumerate(zip(tops, plan_mm, strict=True))
            ]
            bends = [
                float(np.interp(places[n], places[n - 1 : n + 2 : 2], falls[n - 1 : n + 2 : 2])) - falls[n]
                for n in range(1, len(places) - 1)
            ]
            done = filed_down(places, ceiling, [0.0, *(tolerance + bend for bend in bends), 0.0])
            filed |= {n for n, (top, left) in enumerate(zip(tops, done, strict=True)) if top - left > 1e-5}
        expected[serial] = float(len(filed))
    by_year, each = tables(page, "frets-to-file")
    assert {row[0]: float(row[3]) for row in each} == expected
    assert {0.0, 1.0} < set(expected.values())
    see_that_medians_are_of(by_year, expected, files)


def test_cents_at_the_octave(page: Page, files: Files) -> None:
    written = {
        serial: record.get("as_built", {}).get("setup", {}).get("cents_at_octave")
        for serial, (record, _) in files.items()
    }
    expected = {serial: mean(abs(float(each)) for each in cents.values()) for serial, cents in written.items() if cents}
    by_year, each = tables(page, "cents-at-the-octave")
    assert {row[0]: float(row[3]) for row in each} == pytest.approx(expected, abs=0.051)
    assert {row[0]: int(row[5]) for row in each} == {serial: len(written[serial] or ()) for serial in expected}
    see_that_medians_are_of(by_year, expected, files)


def test_every_subject_has_a_plot_told_in_words_and_a_table(page: Page) -> None:
    subjects = [each for each in page.sections if each.title]
    assert len(subjects) == 8
    for each in subjects:
        (plot,) = [svg for svg in tree(each.html).iter() if svg.tag.endswith("svg")]
        assert words(plot[0]).endswith("The table has the same numbers.")
        assert "<table" in each.html
    ids = [each.get("id") for each in tree(body(page)).iter() if each.get("id")]
    assert len(ids) == len(set(ids))


def test_the_bench_leads_to_the_history_and_an_empty_shop_says_so(demo: Workshop) -> None:
    assert demo.shop is not None
    shop = publish_shop(demo.shop)
    links = tree(body(bench_index_page((), publish_batch((), demo.shop), shop))).iter("a")
    assert "history.html" in {each.get("href") for each in links}
    empty = history_page((), shop)
    assert empty.path == addresses.HISTORY
    assert "There is nothing to tell yet" in words(tree(body(empty)))


# The plots


def texts(svg: str) -> Iterator[str]:
    return (each.text or "" for each in tree(svg).iter() if each.tag.endswith("text"))


def table_of(*titles: str, cells: tuple[tuple[str | float, ...], ...]) -> Table:
    return Table(tuple(Column(each, each, "", "record") for each in titles), cells)


def test_plots_are_the_same_every_time_in_the_colours_of_the_page() -> None:
    years = table_of("year", "ordered", "finished", "delivered", cells=(("2024", 3, 2, 1), ("2025", 0, 1, 2)))
    each = table_of("finished", "figure", cells=(("2024-07-01", 2.0), ("2026-01-01", 0.5)))
    medians = table_of("year", "instruments", "median", cells=(("2024", 1, 2.0), ("2026", 1, 0.5)))
    amounts = table_of("step", "hours", cells=(("Box $closed", 12.25), ("<b>", 4.0)))

    def draw() -> list[str]:
        return [
            years_svg(years, name="a"),
            over_the_years_svg(each, medians, "finished", "figure", "cents", name="a"),
            amounts_svg(amounts, "hours", "h", name="a"),
        ]

    assert draw() == draw()
    for svg in draw():
        assert "#0101" not in svg
        assert "var(--bb-" in svg
    assert {"2024", "2025", "ordered", "finished", "delivered"} <= set(texts(years_svg(years, name="a")))
    dots = set(texts(over_the_years_svg(each, medians, "finished", "figure", "cents", name="a")))
    assert {"2024", "2025", "2026", "an instrument", "median of the year"} <= dots
    assert {"Box $closed, 12.25 h", "<b>, 4 h"} <= set(texts(amounts_svg(amounts, "hours", "h", name="a")))


def test_nothing_private_is_asked_of_a_shop_read_without_private_files() -> None:
    subjects: tuple[Subject, ...] = publish_history(open_shop(REPOSITORY, private_files=False))
    assert "hours-by-kind" not in {each.key for each in subjects}
    assert {"instruments-a-year", "woods-used"} <= {each.key for each in subjects}
