"""What is published of setback and set-up: nut to saddle for the buyer; heights, cents and saddles for the bench."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from builder.calculations.answers import Missing
from builder.lengths import Length, Unit, trimmed
from builder.publish.measures import in_unit, inches, kept, length_column, measure_mm
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.results.setback import FretCents, SetbackResults, StringSetback
from builder.results.string_heights import HeightResults, StringAbove
from builder.words import in_a_row

#: Key of the table that the plot draws: per string a column each for expected, pinned and clamped.
CENTS_TABLE = "cents_by_fret"

_DECIDED = {
    "given": "as the record gives it",
    "straight": "one straight saddle for all strings",
    "best": "the best for each string",
}


def setback_of(results: SetbackResults | Missing, unit: Unit) -> Figures | None:
    """How far the saddle stands from the nut, string by string, and how well the frets agree; None without sums."""
    if isinstance(results, Missing):
        return None
    measured = [each for each in results.strings if each.measured_cents is not None]
    lead = (
        "Pressing a string down stretches it a little, so the saddle stands further from the nut than the scale "
        f"length. So set, fretted notes are expected within {_cents(_worst(results))} of the open strings."
    )
    if len(measured) < len(results.strings):
        lead += (
            " That is worked out, not measured: how firmly nut, frets and saddle hold the strings can make "
            f"{_cents(_furthest(results))} of it at the worst fret."
        )
    if measured:
        lead += f" This agrees with what was measured at the octave of {in_a_row(_names(measured))}."
    return Figures(lead=lead, facts=tuple(_distance(each, unit) for each in results.strings))


def setback_for_the_bench_of(
    results: SetbackResults | Missing, heights: HeightResults | Missing, unit: Unit
) -> Figures | None:
    """Heights of nut and saddle, setback of every string, one straight saddle against steps, cents of every fret."""
    tables: list[FigureTable] = []
    facts: list[Figure] = []
    wanting: list[str] = []
    if isinstance(heights, Missing) and isinstance(results, Missing):
        return None
    if not isinstance(heights, Missing):
        tables.append(_heights(heights, unit))
        if heights.crown_mm is None:
            wanting.append("crown_height: of the fret wire, in the shop file, for heights over the board itself")
    if isinstance(results, Missing):
        wanting.append(f"for the setback: {in_a_row(results.fields)}")
        return Figures(lead=_LEAD, tables=tuple(tables), notes=_HEIGHT_NOTES, wanting=tuple(wanting))
    facts += _saddle_facts(results, unit)
    tables += [_setbacks(results, unit), _by_fret(results), *_moved(results)]
    return Figures(
        lead=_LEAD, facts=tuple(facts), tables=tuple(tables), notes=(*_HEIGHT_NOTES, *_notes(results)),
        wanting=(*wanting, *results.left_out),
    )  # fmt: skip


_LEAD = "Where the strings lie, and how far the saddle stands back so that fretted notes agree with open ones."
_HEIGHT_NOTES = (
    "Heights are those of the string’s underside. The crowns are taken to lie in one plane, without relief or "
    "fall-away; over the board means over the plane of its face, carried on to the saddle.",
)


def _notes(results: SetbackResults) -> Iterator[str]:
    yield (
        "The band runs from ends that turn freely (pinned) to ends held in line (clamped); real ends lie between, and "
        "the expected value half-way. A wound string counts by its core alone. Left out: the finger pressing on "
        "behind the fret, and the stretch while a string is being plucked hard."
    )
    if not results.slides:
        yield "The strings are taken to be held at nut and saddle, so only their sounding length stretches."
    if any(each.measured_cents is not None for each in results.strings):
        yield (
            "Where the octave was measured, the stretching is scaled until it agrees (and, where that is not enough, "
            "the ends turn more freely). This takes the measured string to be new and fretted lightly, with its "
            "saddle set back as given here, and as far as worked out before measuring where nothing is given."
        )


def _names(strings: Iterable[StringSetback]) -> list[str]:
    return list(dict.fromkeys(str(each.above.string.note) for each in strings))


def _worst(results: SetbackResults) -> float:
    return max(each.expected.worst for each in results.strings)


def _furthest(results: SetbackResults) -> float:
    """The worst fret at either end of the band."""
    ends = (end for each in results.strings for end in (each.at_taken.pinned, each.at_taken.clamped))
    return max((abs(cents) for end in ends for cents in end if cents is not None), default=0.0)


def _cents(cents: float) -> str:
    return f"{cents:.1f} cents"


def _distance(each: StringSetback, unit: Unit) -> Figure:
    said = measure_mm(each.nut_to_saddle_mm, unit)
    longer = measure_mm(abs(each.nut_to_saddle_mm - each.above.sounding_mm), unit)
    assert said is not None, "a length is there"
    assert longer is not None, "a length is there"
    way = "longer" if each.nut_to_saddle_mm >= each.above.sounding_mm else "shorter"
    name = str(each.above.string)
    return Figure(
        f"nut_to_saddle_{each.above.course}_{each.above.string.note}", f"Nut to saddle, {name}",
        f"{said.said}, {longer.said} {way} than the scale", f"{said.also}, {longer.also} {way}", said.mm, "mm",
        "setback",
    )  # fmt: skip


def _saddle_facts(results: SetbackResults, unit: Unit) -> Iterator[Figure]:
    yield Figure("saddle_decided", "Saddle taken", _DECIDED[results.decided], source="setback")
    best = max(each.at_best.worst for each in results.strings)
    straight = max(each.at_straight.worst for each in results.strings)
    for key, title, mm in (
        ("straight_bass", "One straight saddle, setback under the bass string", results.straight_bass_mm),
        ("straight_treble", "The same under the treble string", results.straight_treble_mm),
    ):
        said, sign = measure_mm(abs(mm), unit), "−" if mm < 0 else ""
        assert said is not None, "a length is there"
        yield Figure(key, title, f"{sign}{said.said}", f"{sign}{said.also}", kept(mm), "mm", "least-squares")
    yield Figure(
        "straight_against_steps", "Worst fret, straight saddle against one step a string",
        f"{_cents(straight)} against {_cents(best)}", "", kept(straight), "cents", "least-squares",
    )  # fmt: skip


def _heights(heights: HeightResults, unit: Unit) -> FigureTable:
    crown_mm = heights.crown_mm
    columns = [Column("string", "string", "", "record")]
    columns += [length_column(key, title, unit, "string-heights") for key, title in _HEIGHT_COLUMNS]
    if crown_mm is not None:
        columns += [length_column(key, title, unit, "string-heights") for key, title in _BOARD_COLUMNS]
    rows: list[tuple[str | float, ...]] = []
    for each in _each_kind(heights.strings):
        nut_mm, saddle_mm = each.line.at_nut_mm, each.saddle_mm
        over = [] if crown_mm is None else [nut_mm + crown_mm, saddle_mm + crown_mm]
        rows.append((str(each.string), *(in_unit(mm, unit) for mm in (nut_mm, saddle_mm, *over))))
    caption = "From the clearances wanted at two frets"
    if crown_mm is not None:
        caption += f", with crowns {_said(crown_mm, unit)} high"
    return FigureTable("heights", "Heights of nut and saddle", caption, Table(tuple(columns), tuple(rows)))


_HEIGHT_COLUMNS = (("nut_over_crowns", "nut over crowns"), ("saddle_over_crowns", "saddle over crowns"))
_BOARD_COLUMNS = (("nut_over_board", "nut over board"), ("saddle_over_board", "saddle over board"))


def _each_kind(strings: Iterable[StringAbove]) -> list[StringAbove]:
    return list({(each.course, each.string): each for each in reversed(list(strings))}.values())[::-1]


def _said(mm: float, unit: Unit) -> str:
    return f"{inches(mm):.3f} in" if unit == "in" else f"{trimmed(Length.from_mm(mm).mm, 2)} mm"


def _setbacks(results: SetbackResults, unit: Unit) -> FigureTable:
    lengths = [
        ("taken", "taken"), ("best", "best"), ("pinned", "if pinned"), ("clamped", "if clamped"),
        ("straight", "straight saddle"),
    ]  # fmt: skip
    if results.nut_moves:
        lengths.append(("nut", "nut nearer by"))
    cents = [("without_cents", "without setback"), ("best_cents", "at best"), ("straight_cents", "straight"),
             ("taken_cents", "as taken")]  # fmt: skip
    columns = (
        Column("string", "string", "", "record"),
        *(length_column(key, title, unit, "setback") for key, title in lengths),
        *(Column(key, f"worst fret {title}", "cents", "setback", 1) for key, title in cents),
    )
    rows: tuple[tuple[str | float, ...], ...] = tuple(
        (
            str(each.above.string),
            *(
                in_unit(mm, unit)
                for mm in (
                    each.taken_mm, each.best_mm, each.pinned_mm, each.clamped_mm, each.straight_mm,
                    *((each.nut_mm,) if results.nut_moves else ()),
                )
            ),
            *(kept(at.worst) for at in (each.without, each.at_best, each.at_straight, each.at_taken)),
        )
        for each in results.strings
    )  # fmt: skip
    caption = "How far the saddle stands further from the nut than the scale length, and the worst fret it leaves"
    return FigureTable("setbacks", "Setback of each string", caption, Table(columns, rows))


def _by_fret(results: SetbackResults) -> FigureTable:
    columns = [Column("fret", "fret", "", "record")]
    triples: list[tuple[float | None, ...]] = []
    for each in results.strings:
        name, key = str(each.above.string), f"{each.above.course}_{each.above.string.note}"
        for kind, title, cents in (
            ("expected", name, each.at_taken.lead),
            ("pinned", f"{name}, pinned", each.at_taken.pinned),
            ("clamped", f"{name}, clamped", each.at_taken.clamped),
        ):
            columns.append(Column(f"{key}_{kind}", title, "cents", "setback", 1, signed=True))
            triples.append(cents)
    caption = "Above zero a fretted note is sharp of the open string. Frets exactly in their places"
    return FigureTable(
        CENTS_TABLE, "Cents of every fret", caption, Table(tuple(columns), _rows(results.frets, triples)), folded=True
    )


def _moved(results: SetbackResults) -> Iterator[FigureTable]:
    """The same with the frets where they really lie."""
    for key, title, caption, at in (
        ("as_sawn", "Cents with frets sawn at the marks", "At the working rule’s nearest marks, as expected",
         [each.as_sawn for each in results.strings]),
        ("as_measured", "Cents with frets as measured", "At the places measured on the board, as expected",
         [each.as_measured for each in results.strings]),
    ):  # fmt: skip
        there = [(each, cents) for each, cents in zip(results.strings, at, strict=True) if cents is not None]
        if there:
            columns = (
                Column("fret", "fret", "", "record"),
                *(
                    Column(
                        f"{each.above.course}_{each.above.string.note}",
                        str(each.above.string),
                        "cents",
                        "setback",
                        1,
                        signed=True,
                    )
                    for each, _ in there
                ),
            )
            yield FigureTable(key, title, caption, Table(columns, _rows(results.frets, _leads(there))), folded=True)


def _leads(there: list[tuple[StringSetback, FretCents]]) -> list[tuple[float | None, ...]]:
    return [cents.lead for _, cents in there]


def _rows(frets: tuple[str, ...], columns: list[tuple[float | None, ...]]) -> tuple[tuple[str | float, ...], ...]:
    return tuple(
        (fret, *("" if column[place] is None else kept(column[place] or 0.0) for column in columns))
        for place, fret in enumerate(frets)
    )
