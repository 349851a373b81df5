"""What is published of the frets' heights: one line for a buyer, and the whole work for the bench."""

from __future__ import annotations

from collections.abc import Iterator

from builder.calculations.answers import Missing
from builder.lengths import Unit
from builder.publish.measures import in_unit, kept, measure_mm
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.published.levelling import PublishedHeights, PublishedLevelling
from builder.results.levelling import HeightsOfSide, LevellingResults
from builder.words import counted

_ORDER = (
    "Seat the low frets anew first, in the order of the table, and measure again: what is to be filed is reckoned for "
    "when they have come up to the line.",
    "Press home or glue down what has lifted before anything is filed; a fret that is not seated comes up again.",
    "Then file, the most first; last the fall-away, then round the crowns.",
)
_LEAST = (
    "What is to be filed is the least that lets a straight rocker sit within the tolerance on any three neighbouring "
    "frets. A hump spread over many frets does not rock: see the relief."
)
_DUST = "Fret filings are metal dust: mask the board and the sound hole, wear eye protection, and do not breathe it."


def levelling_of(results: LevellingResults | Missing, unit: Unit) -> Figures | None:
    """For a buyer: that the frets are level, and how closely; None while they are not, or nothing was measured."""
    if isinstance(results, Missing) or not results.is_level:
        return None
    tolerance = _said(results.tolerance_mm, unit)
    sides = "on both sides of the board" if len(results.sides) > 1 else f"on the {results.sides[0].key} side"
    said = f"no fret stands more than {tolerance[0]} above its neighbours, {sides}"
    return Figures(
        facts=(Figure("level", "Frets level", said, tolerance[1], kept(results.tolerance_mm), "mm", "rocker"),)
    )


def levelling_for_the_bench_of(results: LevellingResults | Missing, unit: Unit) -> Figures | None:
    """What rocks, what to seat anew and in which order, what to file, what crown is left; None without heights."""
    if isinstance(results, Missing):
        return None
    above = f" Heights are above {results.above}." if results.above else ""
    lead = "Nothing is to be done: every rocker sits." if results.is_level else _work_in_words(results)
    return Figures(
        lead=f"{lead}{above}",
        facts=tuple(_facts(results, unit)),
        tables=(*_reseat_table(results, unit), *(_table(side, results, unit) for side in results.sides)),
        cautions=(_DUST,) if any(any(side.work.file_mm) for side in results.sides) else (),
        notes=tuple(_notes(results)),
        wanting=() if results.crown_mm else ("the height of the crowns, for what is left of them",),
    )


def heights_of(results: LevellingResults | Missing, unit: Unit) -> PublishedLevelling | None:
    """The heights as they are drawn, in thousandths of an inch or hundredths of a millimetre."""
    if isinstance(results, Missing):
        return None
    scale = 1000 / 25.4 if unit == "in" else 100.0
    return PublishedLevelling(
        unit,
        tuple(
            PublishedHeights(
                side.key,
                side.numbers,
                tuple(map(kept, side.places_mm)),
                tuple(kept(height * scale) for height in side.heights_mm),
                tuple(kept(height * scale) for height in side.work.height_after_mm),
                tuple(side.numbers[each.fret] for each in side.work.reseat),
            )
            for side in results.sides
        ),
    )


def _work_in_words(results: LevellingResults) -> str:
    reseat = sum(len(side.work.reseat) for side in results.sides)
    filed = sum(sum(off > 0 for off in side.work.file_mm) for side in results.sides)
    parts = []
    if reseat:
        parts.append(f"seat {counted(reseat, 'fret end')} anew")
    if filed:
        parts.append(f"file {counted(filed, 'fret end')}")
    words = ", then ".join(parts)
    return f"{words[:1].upper()}{words[1:]}."


def _facts(results: LevellingResults, unit: Unit) -> Iterator[Figure]:
    said, also = _said(results.tolerance_mm, unit)
    yield Figure("tolerance", "May stand above its neighbours", said, also, kept(results.tolerance_mm), "mm", "shop")
    for side in results.sides:
        said, also = _said(abs(side.relief_mm), unit)
        flat = said.startswith(("0 ", "0.000 "))
        word = "" if flat else " deep" if side.relief_mm > 0 else " humped, which no relief is"
        title = f"Relief, {side.key} side" if results.is_level else f"Relief once the work is done, {side.key} side"
        words = "none" if flat else f"{said}{word}"
        yield Figure(f"relief_{side.key}", title, words, "" if flat else also, kept(side.relief_mm), "mm", "rocker")
    if results.fall_away_from:
        said, also = _said(results.fall_away_mm, unit)
        said = f"from fret {results.fall_away_from}, {said} at the last fret"
        yield Figure("fall_away", "Planned fall-away", said, also, kept(results.fall_away_mm), "mm", "shop")
    if results.crown_mm is not None:
        said, also = _said(results.crown_mm, unit)
        said += "" if results.crown_is_measured else " when new"
        source = "record" if results.crown_is_measured else "shop"
        yield Figure("crown", "Height of the crowns", said, also, kept(results.crown_mm), "mm", source)
    left = [each for side in results.sides for each in side.crown_left_mm or ()]
    if left:
        said, also = _said(min(left), unit)
        if results.least_crown_mm is not None:
            enough = min(left) >= results.least_crown_mm
            least = _said(results.least_crown_mm, unit)[0]
            said += f", {'no less than' if enough else 'less than'} the shop’s {least}"
        yield Figure("crown_left", "Least crown left after filing", said, also, kept(min(left)), "mm", "rocker")


def _reseat_table(results: LevellingResults, unit: Unit) -> Iterator[FigureTable]:
    rows: list[tuple[str | float, ...]] = []
    for side in results.sides:
        rows += [
            (f"{place}", side.key, side.numbers[each.fret], in_unit(each.low_by_mm, unit))
            for place, each in enumerate(side.work.reseat, 1)
        ]
    if rows:
        columns = (
            Column("order", "order", "", "rocker"),
            Column("side", "side", "", "record"),
            Column("fret", "fret", "", "record"),
            Column("low_by", "too low by", unit, "rocker", _decimals(unit)),
        )
        title = "To seat anew"
        yield FigureTable("reseat", title, title, Table(columns, tuple(rows)))


def _table(side: HeightsOfSide, results: LevellingResults, unit: Unit) -> FigureTable:
    decimals = _decimals(unit)
    columns = [
        Column("fret", "fret", "", "record"),
        Column("height", "height", unit, "record", decimals, signed=True),
        Column("proud", "proud", unit, "rocker", decimals, signed=True),
        Column("gap", "feeler", unit, "rocker", decimals),
        Column("work", "what to do", "", "rocker"),
        Column("file", "file off", unit, "convex-minorant", decimals),
    ]
    columns += [Column("crown", "crown left", unit, "rocker", decimals)] if side.crown_left_mm is not None else []
    seated = {each.fret for each in side.work.reseat}
    rows = []
    for number, name in enumerate(side.numbers):
        proud, filed = side.work.proud_mm[number], side.work.file_mm[number]
        row: list[str | float] = [
            name,
            in_unit(side.heights_mm[number], unit),
            "" if proud is None else in_unit(proud, unit),
            in_unit(side.work.gap_mm[number], unit) if side.work.gap_mm[number] else "",
            _work(number in seated, filed > 0, rocks=side.work.rocks[number]),
            in_unit(filed, unit) if filed else "",
        ]
        if side.crown_left_mm is not None:
            row.append(in_unit(side.crown_left_mm[number], unit))
        rows.append(tuple(row))
    title = f"Heights on the {side.key} side"
    return FigureTable(f"heights_{side.key}", title, title, Table(tuple(columns), tuple(rows)))


def _work(is_low: bool, is_filed: bool, *, rocks: bool) -> str:
    if is_low:
        return "seat anew, then file" if is_filed else "seat anew"
    if is_filed:
        return "file"
    return "leave: its neighbour is low" if rocks else ""


def _notes(results: LevellingResults) -> Iterator[str]:
    if not results.is_level:
        yield from _ORDER if any(side.work.reseat for side in results.sides) else _ORDER[1:]
    spared = sum(side.work.filing_without_reseating_mm - sum(side.work.file_mm) for side in results.sides)
    if spared > results.tolerance_mm:
        yield "Filing the neighbours of the low frets instead would take more metal off the board than it needs."
    yield _LEAST
    if results.fall_away_left_out:
        yield f"The planned fall-away is not reckoned with: {results.fall_away_left_out}."


def _said(mm: float, unit: Unit) -> tuple[str, str]:
    """A length in the shop's unit, and in the other."""
    words = measure_mm(mm, unit)
    assert words is not None, "a length was given"
    return words.said, words.also


def _decimals(unit: Unit) -> int:
    return 4 if unit == "in" else 2
