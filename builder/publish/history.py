"""Names what the page of the shop's history shows. Hours and called-off orders are private: the shop edition alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.lengths import trimmed
from builder.publish.measures import kept
from builder.published import Column, Figure, Figures, FigureTable, Subject, Table
from builder.results.history import Accuracy, HistoryResults, HoursAtStep, Remembered, YearMedian, work_out_history
from builder.words import counted
from builder.workshop import Workshop

_OF_EACH = (
    Column("serial", "No.", "", "record"),
    Column("title", "instrument", "", "record"),
)
_NO_STEP = "no step named"
_FINISHED = Column("finished", "finished", "", "record")


def publish_history(workshop: Workshop) -> tuple[Subject, ...]:
    """Every subject there is anything to tell of, in the order of the page."""
    results = work_out_history(
        Remembered(each.record, each.results, each.private, each.neighbours.billets) for each in workshop.instruments
    )
    return tuple(_subjects(results))


def _subjects(results: HistoryResults) -> Iterator[Subject]:
    if results.years:
        yield Subject("instruments-a-year", "Instruments a year", _years(results))
    if results.waits:
        yield Subject("order-to-delivery", "From order to delivery", _waits(results))
    if results.hours_by_kind:
        yield Subject("hours-by-kind", "Hours by kind", _hours_by_kind(results))
        yield Subject("hours-by-step", "Hours by step", _hours_by_step(results))
    if results.woods:
        yield Subject("woods-used", "Woods used", _woods(results))
    if results.worst_fret.each:
        lead = "The fret furthest from its place on each instrument, as it was read off the rule, without its sign."
        figures = _accuracy(results.worst_fret, lead, "cents", "off by", "at fret", "places", 1)
        yield Subject("worst-fret", "The worst fret", figures)
    if results.frets_to_file.each:
        lead = "Frets that the first heights written down ask to be filed, on one side of the board or both."
        figures = _accuracy(results.frets_to_file, lead, "", "to file", "which", "frets", 0)
        yield Subject("frets-to-file", "Frets to file", figures)
    if results.octaves.each:
        lead = "How far the octave is off, the mean over all strings of an instrument, without signs."
        figures = _accuracy(results.octaves, lead, "cents", "mean", "furthest off", "strings", 1)
        yield Subject("cents-at-the-octave", "Cents at the octave", figures)


def _years(results: HistoryResults) -> Figures:
    ordered, finished, delivered = (
        sum(getattr(each, name) for each in results.years) for name in ("ordered", "finished", "delivered")
    )
    columns = (
        Column("year", "year", "", "record"),
        Column("ordered", "ordered", "", "record"),
        Column("finished", "finished", "", "record"),
        Column("delivered", "delivered", "", "record"),
    )
    rows = tuple((str(each.year), each.ordered, each.finished, each.delivered) for each in results.years)
    notes = []
    if results.called_off:
        notes.append(f"Among those ordered, {_were(results.called_off)} called off.")
    if results.returned:
        notes.append(f"Among those delivered, {_were(results.returned)} given back later.")
    return Figures(
        facts=(
            Figure("recorded", "On record", counted(results.recorded, "instrument"), value=results.recorded),
            Figure("ordered", "Ordered", str(ordered), value=ordered),
            Figure("finished", "Finished", str(finished), value=finished),
            Figure("delivered", "Delivered", str(delivered), value=delivered),
        ),
        tables=(FigureTable("by_year", "", "Instruments by the year of each day", Table(columns, rows)),),
        notes=tuple(notes),
    )


def _were(number: int) -> str:
    return f"{number} {'was' if number == 1 else 'were'}"


def _waits(results: HistoryResults) -> Figures:
    assert results.median_days is not None, "there are waits"
    promised = [each.late_days for each in results.waits if each.late_days is not None]
    facts = [
        Figure(
            "median", "Half of them took at most", _days(results.median_days), value=results.median_days, unit="days"
        )
    ]
    if promised:
        in_time = sum(late <= 0 for late in promised)
        said = f"{in_time} of {len(promised)}"
        facts.append(Figure("in_time", "Delivered by the day promised", said, value=in_time))
    columns = (
        *_OF_EACH,
        Column("ordered", "ordered", "", "record"),
        Column("delivered", "delivered", "", "record"),
        Column("days", "wait", "days", "record"),
        Column("late_days", "past the promise", "days", "record", signed=True),
    )
    rows = tuple(
        (
            each.serial, each.title, each.ordered.isoformat(), each.delivered.isoformat(), each.days,
            "" if each.late_days is None else each.late_days,
        )
        for each in results.waits
    )  # fmt: skip
    return Figures(
        lead="Every instrument that was ordered and has been delivered.",
        facts=tuple(facts),
        tables=(
            _by_year(results.days_by_year, "days", 1, "Median by the year of delivery"),
            FigureTable("each", "", "Each; days before the promise have a minus", Table(columns, rows)),
        ),
    )


def _days(days: float) -> str:
    return f"{trimmed(days, 1)} days"


def _hours_by_kind(results: HistoryResults) -> Figures:
    total = sum(each.hours for each in results.hours_by_kind)
    instruments = sum(each.instruments for each in results.hours_by_kind)
    columns = (
        Column("kind", "kind", "", "record"),
        Column("instruments", "instruments", "", "record"),
        Column("hours", "in all", "h", "record", 2),
        Column("finished", "of them finished", "", "record"),
        Column("median_hours", "median of these", "h", "record", 2),
    )
    rows = tuple(
        (
            each.kind, each.instruments, kept(each.hours), each.finished,
            "" if each.median_hours is None else kept(each.median_hours),
        )
        for each in results.hours_by_kind
    )  # fmt: skip
    said = f"{trimmed(total, 2)} h on {counted(instruments, 'instrument')}"
    return Figures(
        facts=(Figure("hours", "Written down", said, value=kept(total), unit="h"),),
        tables=(FigureTable("hours_by_kind", "", "Hours by kind", Table(columns, rows)),),
        notes=("Only instruments that hours were written down for; one on the bench has more to come.",),
    )


def _hours_by_step(results: HistoryResults) -> Figures:
    step, kind = Column("step", "step", "", "record"), Column("kind", "kind", "", "record")
    columns = (
        Column("instruments", "instruments", "", "record"),
        Column("hours", "in all", "h", "record", 2),
        Column("hours_each", "on each", "h", "record", 2),
    )

    def said(each: HoursAtStep) -> tuple[str | float, ...]:
        return each.instruments, kept(each.hours), kept(each.hours_each)

    together = tuple((each.step or _NO_STEP, *said(each)) for each in results.hours_by_step)
    by_kind = tuple((each.step or _NO_STEP, each.kind, *said(each)) for each in results.hours_by_step_and_kind)
    return Figures(
        tables=(
            FigureTable("hours_by_step", "", "Hours by step, all kinds", Table((step, *columns), together)),
            FigureTable("hours_by_step_and_kind", "", "By step and kind", Table((step, kind, *columns), by_kind)),
        )
    )


def _woods(results: HistoryResults) -> Figures:
    columns = (
        Column("wood", "wood", "", "record"),
        Column("instruments", "instruments", "", "record"),
        Column("parts", "parts", "", "record"),
        Column("first_year", "first in", "", "record"),
        Column("last_year", "last in", "", "record"),
    )
    rows = tuple(
        (each.species, each.instruments, each.parts, str(each.first_year), str(each.last_year))
        for each in results.woods
    )
    return Figures(
        lead="Of finished instruments, by the year they were finished.",
        tables=(FigureTable("woods_used", "", "Woods by the number of instruments", Table(columns, rows)),),
    )


def _accuracy(
    accuracy: Accuracy, lead: str, unit: str, title: str, where: str, counted_as: str, decimals: int
) -> Figures:
    each = (
        *_OF_EACH,
        _FINISHED,
        Column("figure", title, unit, "record", decimals),
        Column("where", where, "", "record"),
        Column("measured", f"{counted_as} measured", "", "record"),
    )
    ones = tuple(
        (one.serial, one.title, one.finished.isoformat(), kept(one.figure), one.where, one.of) for one in accuracy.each
    )
    return Figures(
        lead=lead,
        tables=(
            _by_year(accuracy.by_year, unit, max(decimals, 1), "Median by the year they were finished"),
            FigureTable("each", "", "Each instrument", Table(each, ones)),
        ),
    )


def _by_year(years: Sequence[YearMedian], unit: str, decimals: int, caption: str) -> FigureTable:
    columns = (
        Column("year", "year", "", "record"),
        Column("instruments", "instruments", "", "record"),
        Column("median", "median", unit, "record", decimals),
    )
    rows = tuple((str(each.year), each.instruments, kept(each.median)) for each in years)
    return FigureTable("by_year", "", caption, Table(columns, rows))
