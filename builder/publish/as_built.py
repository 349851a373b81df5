"""What is published of the finished instrument as it was measured: frets, action, relief, octaves, weight."""

from __future__ import annotations

from collections.abc import Iterator

from builder.calculations.answers import Missing
from builder.calculations.as_built import PlaceError
from builder.lengths import Length, Unit, trimmed
from builder.limits import Kilograms
from builder.publish.measures import in_unit, kept, measure, measure_mm
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.record.as_built import AsBuilt
from builder.results.as_built import AsBuiltResults, MeasuredColumn
from builder.units import KG_PER_OUNCE
from builder.words import counted

_NONE_TO_SHOW = 0.05


def as_built_of(as_built: AsBuilt, results: AsBuiltResults | Missing, unit: Unit) -> Figures | None:
    """How the instrument measures, for whoever plays it; None where nothing was measured."""
    facts = [
        *(() if isinstance(results, Missing) else _fret_facts(results, unit)),
        *heights_of(as_built, unit),
        *_octaves(as_built),
        *_weight(as_built, unit),
    ]
    if not facts:
        return None
    lead = "Measured on the finished instrument."
    return Figures(lead=lead, facts=tuple(facts), notes=tuple(_notes(results)))


def as_built_for_the_bench_of(results: AsBuiltResults | Missing, unit: Unit) -> Figures | None:
    """Every fret as measured, with what the rule leaves open; None where no places were measured."""
    if isinstance(results, Missing):
        return None
    return Figures(
        lead="Every fret as measured from the nut, against where it belongs.",
        facts=tuple(_bench_facts(results, unit)),
        tables=tuple(_table(results, column, unit) for column in results.columns),
        notes=tuple(_notes(results)),
        wanting=() if results.mark_distance_mm else ("the rule the frets were measured with",),
    )


def _fret_facts(results: AsBuiltResults, unit: Unit) -> Iterator[Figure]:
    worst = results.worst
    where = f"fret {worst.number}" + (f", {worst.line}" if len(results.columns) > 1 else "")
    said = f"{_off(worst.error)} at {where}"
    if results.mark_distance_mm is not None:
        if worst.error.can_be_read is False:
            said = f"no fret is off by as much as the rule can show ({where} reads {_off(worst.error)})"
        said += f"; none can be more than {_number(results.worst_at_most_cents)} cents off"
    yield Figure("worst_fret", "Fret furthest off", said, "", kept(worst.error.cents), "cents", "as-built")
    usual = f"{_number(results.rms_cents)} cents"
    if results.mark_distance_mm is not None:
        usual += f"; at most {_number(results.rms_at_most_cents)} with what the rule leaves open"
    title = "All frets together (root mean square)"
    yield Figure("rms", title, usual, "", kept(results.rms_cents), "cents", "rms")
    half = measure_mm(results.mark_distance_mm / 2 if results.mark_distance_mm else None, unit)
    if half is not None:
        said = f"{results.rule}: each place is sure to ±{half.said}"
        yield Figure("rule", "Measured with", said, f"±{half.also}", half.mm, "mm", "reading-error")


def _bench_facts(results: AsBuiltResults, unit: Unit) -> Iterator[Figure]:
    yield from _fret_facts(results, unit)
    beyond = sum(
        error.at_least_cents > results.tolerance_cents for column in results.columns for error in column.errors
    )
    within = sum(
        error.at_most_cents <= results.tolerance_cents for column in results.columns for error in column.errors
    )
    open_ = results.count - beyond - within
    said = f"{within} for certain, {beyond} certainly not"
    said += f", {open_} that this rule cannot decide" if open_ else ""
    tolerance = f"Of {counted(results.count, 'place')}, within {_number(results.tolerance_cents)} cents"
    yield Figure("within_tolerance", tolerance, said, "", float(within), "", "reading-error")


def _notes(results: AsBuiltResults | Missing) -> Iterator[str]:
    if isinstance(results, Missing):
        return
    if results.mark_distance_mm is None:
        yield "Which rule was used is not recorded, so how far these readings may themselves be off is not known."
        return
    if results.unreadable == results.count:
        yield "Every error is smaller than half the distance between two marks, so the rule cannot tell any from none."
    elif results.unreadable:
        places = f"{results.unreadable} of {counted(results.count, 'place')}"
        yield f"At {places} the error is no larger than half a mark, which the rule cannot tell from none."


def heights_of(as_built: AsBuilt, unit: Unit) -> Iterator[Figure]:
    """How it was set up when it was handed over: how high the strings lie, and the dip of the board."""
    for number, action in as_built.setup.action.items():
        title = f"String above fret {number}" if number.halves else "String above the board at the nut"
        yield _length(f"action_{number}", title, action, unit)
    if as_built.setup.relief is not None:
        yield _length("relief", "Relief of the board", as_built.setup.relief, unit)


def _octaves(as_built: AsBuilt) -> Iterator[Figure]:
    for note, cents in as_built.setup.cents_at_octave.items():
        title = f"String {note}, stopped at the octave"
        yield Figure(f"octave_{note}", title, _cents_in_words(cents), "", kept(cents), "cents")


def _weight(as_built: AsBuilt, unit: Unit) -> Iterator[Figure]:
    if as_built.weight is not None:
        first, also = weight_in_words(as_built.weight, unit)
        yield Figure("weight", "Weight", first, also, kept(as_built.weight), "kg")


def _length(key: str, title: str, length: Length, unit: Unit) -> Figure:
    words = measure(length, unit)
    return Figure(key, title, words.said, words.also, words.mm, "mm")


def weight_in_words(weight: Kilograms, unit: Unit) -> tuple[str, str]:
    """A weight in the shop's way and in the other: pounds and ounces to half an ounce, kilograms to ten grams."""
    halves = round(weight / KG_PER_OUNCE * 2)
    pounds, rest = divmod(halves, 32)
    ounces = f"{trimmed(rest / 2, 1)} oz"
    imperial = f"{pounds} lb {ounces}" if pounds else ounces
    metric = f"{weight:.2f} kg" if weight >= 1 else f"{weight * 1000:.0f} g"
    return (imperial, metric) if unit == "in" else (metric, imperial)


def _table(results: AsBuiltResults, column: MeasuredColumn, unit: Unit) -> FigureTable:
    decimals = 3 if unit == "in" else 2
    columns = [
        Column("fret", "fret", "", "record"),
        Column("measured", "measured", unit, "record", decimals),
        Column("place", "belongs at", unit, "fret-law", decimals),
        Column("error", "off by", unit, "as-built", decimals, signed=True),
        Column("cents", "off by", "cents", "cents", 1, signed=True),
    ]
    if results.mark_distance_mm is not None:
        columns += [
            Column("least", "from", "cents", "reading-error", 1, signed=True),
            Column("most", "to", "cents", "reading-error", 1, signed=True),
        ]
    columns.append(Column("verdict", "to the ear", "", "reading-error"))
    rows = []
    for number, measured_mm, error in zip(results.numbers, column.measured_mm, column.errors, strict=True):
        row: list[str | float] = [
            number,
            in_unit(measured_mm, unit),
            in_unit(measured_mm - error.error_mm, unit),
            in_unit(error.error_mm, unit),
            kept(error.cents),
        ]
        if error.least_cents is not None and error.most_cents is not None:
            row += [kept(error.least_cents), kept(error.most_cents)]
        rows.append((*row, _verdict(error, results.tolerance_cents)))
    caption = f"Frets as measured, {column.name}" + (f", {results.rule}" if results.rule else "")
    return FigureTable(f"as_built_{column.key}", caption, caption, Table(tuple(columns), tuple(rows)))


def _verdict(error: PlaceError, tolerance_cents: float) -> str:
    """Whether the ear could tell, as far as the rule can say."""
    if error.at_most_cents <= tolerance_cents:
        return "true"
    side = "flat" if error.cents < 0 else "sharp"
    if error.at_least_cents > tolerance_cents:
        return side
    return "cannot be told"


def _off(error: PlaceError) -> str:
    return _cents_in_words(error.cents)


def _cents_in_words(cents: float) -> str:
    """`1.2 cents sharp`, `0.8 cents flat`, `true`."""
    if abs(cents) < _NONE_TO_SHOW:
        return "true"
    said = _number(abs(cents))
    return f"{said} {'cent' if said == '1' else 'cents'} {'flat' if cents < 0 else 'sharp'}"


def _number(cents: float) -> str:
    return trimmed(cents, 1)
