"""The ticket that goes with an instrument on the repair bench: its condition, before and after, blanks to fill in.

For one of our own it says what it was like when new; for another maker's everything is left to write.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.published import Published, PublishedShop
from builder.published.repair import PublishedRepair
from builder.sheets.inlined import card_faces, style_sheet
from builder.sheets.lettering import height_mm
from builder.templates import render

#: What is looked at, from the outside in.
PARTS_TO_LOOK_AT = (
    "Soundboard", "Back", "Sides", "Seams and joints", "Braces and linings", "Neck or peghead", "Fretboard", "Frets",
    "Nut", "Saddle and bridge", "Tuners", "Finish", "Strings", "Case",
)  # fmt: skip

#: What the style sheet gives: height of the lower of the two papers within its margins, what all but the head and the
#: lines of the measures take of it, and one such line; then the same with the lines to write on closer together.
_PAGE_MM = 255.0
_REST_MM, _LINE_MM = 184.0, 6.7
_NARROW_REST_MM, _NARROW_LINE_MM = 163.0, 5.3
#: The two lines of blanks that stand for what is not known of another maker's instrument.
_BLANK_HEAD_MM = 14.8
#: What is filled in may run over a second line where a blank has one: what is agreed.
_FILLED_MM = 7.4
#: Lines that fit under the longest head.
_LEAST_MEASURES = 4
#: What is measured where nothing is known of the instrument.
_USUAL_MEASURES = (
    "String above fret ____", "String above fret ____", "Relief of the board",
    "Octave of string ____", "Octave of string ____", "Octave of string ____",
)  # fmt: skip
_MEASURED = ("action_", "relief", "octave_")


@dataclass(frozen=True, slots=True)
class MeasureBeforeAndAfter:
    """A line to measure twice: how it was when new, as far as we wrote it down."""

    title: str
    when_new: str = ""


def repair_ticket_html(instrument: Published | None, shop: PublishedShop, repair: PublishedRepair | None = None) -> str:
    """A repair ticket of one page on either paper: for an instrument of ours, or, with None, for any other.

    What a repair tells of another maker's instrument is filled in; the rest stays blank.
    """
    strings = _strings(instrument)
    *measures, air = _measures(instrument)
    room_mm = _PAGE_MM - _head_mm(instrument, shop, strings) - (_FILLED_MM if repair else 0)
    is_narrow = len(measures) + 1 > (room_mm - _REST_MM) / _LINE_MM
    if is_narrow:
        most = max(int((room_mm - _NARROW_REST_MM) / _NARROW_LINE_MM), _LEAST_MEASURES)
        measures = measures[: most - 1]
    return str(
        render(
            "sheets/repair.html",
            instrument=instrument,
            repair=repair,
            shop=shop,
            parts=PARTS_TO_LOOK_AT,
            measures=(*measures, air),
            knows_new=any(measure.when_new for measure in measures),
            strings=strings,
            is_narrow=is_narrow,
            faces=card_faces(),
            style=style_sheet("cards.css"),
        )
    )


def _head_mm(instrument: Published | None, shop: PublishedShop, strings: str) -> float:
    """About how high the words stand that differ from ticket to ticket."""
    head_mm = height_mm(shop.name, 11, 118.0)
    if instrument is None:
        return head_mm + _BLANK_HEAD_MM
    named = f"{instrument.name or ''}, {instrument.kind}, number {instrument.serial}, made by {instrument.made_by}"
    finish = instrument.finish.product or instrument.finish.schedule if instrument.finish else ""
    known = f"Scale length. Strings, in thousandths of an inch: {strings}. Finish: {finish}."
    return head_mm + height_mm(f"{named}, finished 30 September 2026", 12, 186.0) + height_mm(known, 9.5, 186.0)


def _measures(instrument: Published | None) -> Iterator[MeasureBeforeAndAfter]:
    """First what we measured ourselves; without that, the usual lines with a blank for string and fret."""
    subjects = instrument.subjects if instrument else ()
    facts = [fact for each in subjects if each.key == "as-built" for fact in each.figures.facts]
    own = [
        MeasureBeforeAndAfter(fact.title, f"{fact.said} ({fact.also})" if fact.also else fact.said)
        for fact in facts
        if fact.key.startswith(_MEASURED)
    ]
    yield from own
    if not own:
        yield from map(MeasureBeforeAndAfter, _USUAL_MEASURES)
    yield MeasureBeforeAndAfter("Air in the shop: temperature, humidity")


def _strings(instrument: Published | None) -> str:
    """The strings it was made for, by note and gauge: `D3 22, A3 12, D4 10 ×2`, gauges in thousandths of an inch."""
    courses = instrument.strings.courses if instrument and instrument.strings else ()
    said = []
    for course in courses[:12]:
        for string in dict.fromkeys(course.strings):
            gauge = f" {string.gauge_thousandths:g}" if string.gauge_thousandths is not None else ""
            count = course.strings.count(string)
            said.append(f"{string.note}{gauge}{f' ×{count}' if count > 1 else ''}")
    return ", ".join(said)
