"""The card for whoever buys new strings: which ones, how hard they pull, and where the saddle stands."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from builder.published import Figures, Published, PublishedShop, PublishedString, Table
from builder.sheets.cards import CARD_MM, code_of, figures_of, room_mm
from builder.sheets.inlined import card_faces, style_sheet
from builder.sheets.lettering import height_mm
from builder.templates import fixed, render

#: Type sizes of the facts in points, height of a line of the table with so many lines of text in a cell.
_STEPS = (("roomy", 11.5, 12.8), ("crowded", 9.0, 7.4))
_CAUTION_MM, _TABLE_HEAD_MM = 30.0, 14.0
_FACT_MM = CARD_MM - 52.0

#: Parts that strings are fastened to or lie on, as records name them.
_FASTENING = re.compile(
    r"\b(strings?|tuners?|tuning|pegs?|nut|saddle|bridge|tailpiece|pins?|hitch|anchor)\b", re.IGNORECASE
)


#: Of so many tunings the card speaks.
_MOST_TUNINGS = 8


@dataclass(frozen=True, slots=True)
class StringToBuy:
    """A line of the string card: what to ask for in the shop, and where it goes."""

    course: str
    note: str
    gauge: str
    gauge_also: str
    make: str
    count: int
    pull: str
    pull_also: str
    nut_to_saddle: str
    nut_to_saddle_also: str


def string_card_html(instrument: Published, shop: PublishedShop) -> str:
    """Which strings to buy, how hard they pull, how far the saddle stands from the nut, and what they fasten to."""
    strings = tuple(_strings_to_buy(instrument, shop))
    facts = _facts(instrument)
    step, shown = _fitted(len(strings), facts, room_mm(instrument, shop))
    return str(
        render(
            "sheets/strings.html",
            instrument=instrument,
            shop=shop,
            strings=strings,
            shows_pull=any(each.pull for each in strings),
            shows_saddle=any(each.nut_to_saddle for each in strings),
            facts=facts[:shown],
            left_out=len(facts) - shown,
            step=step,
            **code_of(instrument, shop),
            faces=card_faces(),
            style=style_sheet("cards.css"),
        )
    )


def _facts(instrument: Published) -> list[tuple[str, str]]:
    """What else whoever changes strings needs to know, and last what they are fastened to."""
    facts = []
    strings, scale, two = instrument.strings, instrument.scale_length, instrument.multi_scale
    if strings and strings.set_name:
        facts.append(("Our name for the set", strings.set_name))
    if scale:
        facts.append(("Scale length", f"{scale.said} ({scale.also})"))
    elif two:
        said = (
            f"{which} {length.said} ({length.also})" for which, length in (("bass", two.bass), ("treble", two.treble))
        )
        facts.append(("Scale lengths", ", ".join(said)))
    if strings and strings.tunings:
        tunings = [" ".join(tuning.notes) for tuning in strings.tunings]
        more = len(tunings) - _MOST_TUNINGS
        facts.append(("Tuned", " or ".join(tunings[:_MOST_TUNINGS]) + (f" and {more} more" if more > 0 else "")))
    total = next((fact for fact in figures_of(instrument, "string-pull").facts if fact.key == "total_pull"), None)
    if total:
        facts.append((total.title, f"{total.said} ({total.also})" if total.also else total.said))
    if strings and strings.fastens:
        facts.append(("How they fasten", strings.fastens))
    fastening = [(part, words) for part, words in instrument.hardware if _FASTENING.search(part)]
    return facts + [(f"{part[:1].upper()}{part[1:]}", words) for part, words in fastening]


def _fitted(strings: int, facts: list[tuple[str, str]], room: float) -> tuple[str, int]:
    """The type in which everything fits on a page, and how many facts do in the smallest."""
    heights = [
        [
            1.2 + max(height_mm(words, points, _FACT_MM, 1.38), height_mm(title, points, 48.0, 1.38))
            for title, words in facts
        ]
        for _, points, _ in _STEPS
    ]
    for (step, _, row_mm), each in zip(_STEPS, heights, strict=True):
        left_mm = room - _CAUTION_MM - _TABLE_HEAD_MM - strings * row_mm
        if sum(each) <= left_mm:
            return step, len(facts)
    shown = len(facts)
    while shown and sum(each[:shown]) + 6.0 > left_mm:
        shown -= 1
    return step, shown


def _strings_to_buy(instrument: Published, shop: PublishedShop) -> Iterator[StringToBuy]:
    """A line for each kind of string of each course, bass first."""
    pulls = _pulls(figures_of(instrument, "string-pull"))
    distances = {fact.key: fact for fact in figures_of(instrument, "setback").facts}
    for number, course in enumerate(instrument.strings.courses if instrument.strings else (), 1):
        for string in dict.fromkeys(course.strings):
            pull = pulls.get((str(number), string.note), ("", ""))
            distance = distances.get(f"nut_to_saddle_{number}_{string.note}")
            gauge, also = _gauge(string, shop)
            starts = f", from fret {course.starts_at}" if course.starts_at else ""
            yield StringToBuy(
                f"{number}{starts}", string.note, gauge, also, string.make or "", course.strings.count(string),
                *pull, distance.said if distance else "", distance.also if distance else "",
            )  # fmt: skip


def _gauge(string: PublishedString, shop: PublishedShop) -> tuple[str, str]:
    """A gauge in the shop's unit and in the other."""
    if string.gauge_thousandths is None or string.diameter_mm is None:
        return "", ""
    inches = f"{fixed(string.gauge_thousandths / 1000, 3 if string.gauge_thousandths.is_integer() else 4)} in"
    mm = f"{fixed(string.diameter_mm, 2)} mm"
    return (inches, mm) if shop.unit == "in" else (mm, inches)


def _pulls(loads: Figures) -> dict[tuple[str, str], tuple[str, str]]:
    """What each string pulls, in both units in the order of the table, by course and note."""
    table = next((each.table for each in loads.tables if each.key == "string_loads"), Table((), ()))
    places = [place for place, column in enumerate(table.columns) if column.key.startswith("pull_")]
    pulls: dict[tuple[str, str], tuple[str, str]] = {}
    for row in table.rows:
        first, also = (
            f"{cell if isinstance(cell, str) else fixed(cell, 1)} {table.columns[place].unit}" if cell != "" else ""
            for place, cell in ((place, row[place]) for place in places)
        )
        pulls.setdefault((str(row[0]), str(row[1])), (first, also))
    return pulls
