"""What is published of the frets: the chart for the shop's rule, what every rule costs, the tuning."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from builder.lengths import Unit
from builder.publish.measures import inches, kept, measure
from builder.published import Column, PublishedFrets, PublishedMultiScale, PublishedRule, PublishedWire, Table
from builder.record import FretSpec, MultiScale, Spec, TemperamentSpec
from builder.results import FretResults
from builder.results.frets import PlaceOnLine
from builder.shop import FretWire, Rule, Shop
from builder.tables.just_intonation import JUST_LISTS

Cell = str | float
Row = tuple[Cell, ...]


def frets_of(results: FretResults, spec: Spec, shop: Shop) -> PublishedFrets:
    """The whole fret chart of one board."""
    assert spec.frets is not None, "frets were worked out from it"
    frets, unit = spec.frets, shop.unit
    along = "" if len(results.lines) == 1 else f"the {results.lines[0].name.partition(' ')[2]}s"
    temperament, source = temperament_in_words(frets)
    return PublishedFrets(
        layout=frets.layout if isinstance(frets.layout, str) else "own list",
        temperament=temperament,
        temperament_source=source,
        last=str(results.frets[-1].number),
        added=tuple(str(fret.number) for fret in results.frets if fret.number.is_half),
        partial=tuple((str(number), under) for number, under in frets.partial.items()),
        zero_fret=frets.zero_fret,
        count=len(results.frets),
        measured_along=along or "the centre line",
        half_kerf_cents=None if results.half_kerf_cents is None else kept(results.half_kerf_cents),
        stepped=_stepped(results),
        tuning=None if results.is_twelve_equal else _tuning(results),
        wire=_wire(frets.wire, shop.fret_wires, unit),
        slot_width=measure(frets.slot_width, unit),
        tolerance_cents=results.tolerance_cents,
        rules=tuple(_rules(results)),
        table=_table(results, unit),
        rule_costs=_rule_costs(results),
    )


def multi_scale_of(spec: Spec, results: FretResults | None, unit: Unit) -> PublishedMultiScale | None:
    """The two scale lengths of a multi-scale board."""
    scale = spec.scale_length
    if not isinstance(scale, MultiScale):
        return None
    lean = results.greatest_lean_degrees if results else None
    return PublishedMultiScale(
        measure(scale.bass, unit),
        measure(scale.treble, unit),
        str(scale.square_at),
        None if lean is None else kept(lean),
    )


def temperament_in_words(frets: FretSpec) -> tuple[str, str | None]:
    """How the octave is divided, in words, and the source of a list that is named."""
    temperament = frets.temperament
    if not isinstance(temperament, TemperamentSpec):
        return {"equal": "equal", "meantone": "quarter-comma meantone", "pythagorean": "Pythagorean"}[temperament], None
    if temperament.equal:
        return f"{temperament.equal} equal steps to the octave", None
    if temperament.just is not None:
        tonic = f" with the tonic at fret {temperament.tonic_at}" if _has_tonic(temperament) else ""
        if isinstance(temperament.just, str):
            known = JUST_LISTS.get(temperament.just)
            return f"just{tonic} ({temperament.just})", known.source if known else None
        return f"just{tonic}, ratios of the maker’s own", None
    return f"{'ratios' if temperament.ratios else 'cents'} of the maker’s own", None


def _has_tonic(temperament: TemperamentSpec) -> bool:
    return temperament.tonic_at is not None and temperament.tonic_at.halves > 0


def _wire(name: str | None, wires: Mapping[str, FretWire], unit: Unit) -> PublishedWire | None:
    if name is None or name not in wires:
        return None
    wire = wires[name]
    sizes = (wire.crown_width, wire.crown_height, wire.tang, wire.barb, wire.tang_depth)
    return PublishedWire(name, wire.material, *(measure(size, unit) for size in sizes))


def _rules(results: FretResults) -> Iterator[PublishedRule]:
    for number, rule in enumerate(results.rules):
        worst = results.worst_cents(number)
        yield PublishedRule(
            rule.name,
            str(rule.marks),
            number == results.working,
            kept(worst),
            kept(results.worst_stepped_cents(number)),
            worst <= results.tolerance_cents,
            number == results.coarsest_within_tolerance,
        )


def _table(results: FretResults, unit: Unit) -> Table:
    """Mark on the working rule first, then the exact place in both units, then what is left over, for each line."""
    rule = results.rules[results.working]
    columns = [Column("fret", "fret", "", "record")]
    for line in results.lines:
        columns += _columns(f"{line.key}_" if line.key else "", rule, unit)
    named = all(fret.semitones is not None for fret in results.frets)
    columns += [Column("interval", "above open", "", "equal-temperament")] if named else []
    columns += [Column("degrees", "lean", "°", "slanted", 1, signed=True)] if results.slanted else []
    rows: list[Row] = []
    for number, fret in enumerate(results.frets):
        cells: list[Cell] = [str(fret.number)]
        for place in fret.places:
            cells += _cells(place, rule, results, unit)
        cells += [fret.interval or ""] if named else []
        cells += [kept(results.slanted[number].degrees)] if results.slanted else []
        rows.append(tuple(cells))
    return Table(tuple(columns), tuple(rows))


def _columns(key: str, rule: Rule, unit: Unit) -> list[Column]:
    order: tuple[Unit, Unit] = ("in", "mm") if unit == "in" else ("mm", "in")
    decimals = {"in": 3, "mm": 2}
    return [
        Column(f"{key}mark", rule.name, rule.marks.unit, "nearest-mark"),
        *(Column(f"{key}from_nut_{each}", "from nut", each, "fret-law", decimals[each]) for each in order),
        Column(f"{key}gap_{unit}", "gap", unit, "fret-law", decimals[unit]),
        Column(f"{key}left_over", "left over", rule.marks.unit, "nearest-mark", decimals[rule.marks.unit], signed=True),
        Column(f"{key}cents", "off by", "cents", "cents", 1, signed=True),
        Column(f"{key}heard", "to the ear", "", "cents"),
    ]


def _cells(place: PlaceOnLine, rule: Rule, results: FretResults, unit: Unit) -> list[Cell]:
    reading = place.readings[results.working]
    in_units: dict[Unit, Callable[[float], float]] = {"in": inches, "mm": float}
    order: tuple[Unit, Unit] = ("in", "mm") if unit == "in" else ("mm", "in")
    return [
        reading.mark,
        *(kept(in_units[each](place.from_nut_mm)) for each in order),
        kept(in_units[unit](place.gap_mm)),
        kept(in_units[rule.marks.unit](reading.left_over_mm)),
        kept(reading.cents),
        results.heard(reading.cents),
    ]


def _rule_costs(results: FretResults) -> Table:
    """Each rule's error, fret by fret; on a board of two scale lengths the worse of its two ends."""
    columns = (
        Column("fret", "fret", "", "record"),
        *(
            Column(f"rule_{number}", f"{rule.name}, {rule.marks}", "cents", "cents", 1, signed=True)
            for number, rule in enumerate(results.rules, 1)
        ),
    )
    rules = range(len(results.rules))
    rows: list[Row] = [(str(fret.number), *(kept(fret.worst_cents(rule)) for rule in rules)) for fret in results.frets]
    return Table(columns, tuple(rows))


def _stepped(results: FretResults) -> Table:
    """The working rule moved along from fret to fret: how far off each fret comes out."""
    columns = (
        Column("fret", "fret", "", "record"),
        *(
            Column(
                f"{line.key}_cents" if line.key else "cents",
                f"{line.name}, off by",
                "cents",
                "stepping",
                1,
                signed=True,
            )
            for line in results.lines
        ),
    )
    by_line = [results.stepped_cents(results.working, line) for line in range(len(results.lines))]
    rows: list[Row] = [
        (str(fret.number), *(kept(cents) for cents in of_fret))
        for fret, of_fret in zip(results.frets, zip(*by_line, strict=True), strict=True)
    ]
    return Table(columns, tuple(rows))


def _tuning(results: FretResults) -> Table:
    """Where a fret is not one of twelve equal steps: its ratio, its cents above the open string, and against equal."""
    columns = (
        Column("fret", "fret", "", "record"),
        Column("interval", "above open", "", "temperament"),
        Column("ratio", "ratio", "", "temperament", 4),
        Column("cents_above_open", "above open", "cents", "cents", 1),
        Column("cents_against_equal", "against equal", "cents", "cents", 1, signed=True),
    )
    rows: list[Row] = [
        (
            str(fret.number),
            fret.interval or "",
            kept(fret.ratio),
            kept(fret.cents_above_open),
            kept(fret.cents_against_equal),
        )
        for fret in results.frets
    ]
    return Table(columns, tuple(rows))
