"""Names what a buyer may see of a record, its results and its neighbours. What is not named here is not published.

A new field of the record stays in the workshop until somebody adds it below.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime

from builder.calculations.answers import Missing
from builder.lengths import Length, Unit, said_in, trimmed
from builder.limits import Celsius, Percent
from builder.problems import in_a_row
from builder.published import (
    FORMAT,
    Column,
    Measure,
    Published,
    PublishedBoard,
    PublishedCourse,
    PublishedDrawing,
    PublishedEvent,
    PublishedFinish,
    PublishedFretLine,
    PublishedFrets,
    PublishedRule,
    PublishedShop,
    PublishedStrings,
    PublishedTuning,
    PublishedWire,
    PublishedWood,
    Table,
)
from builder.record import Build, Record, Spec, WoodSpec
from builder.results import FretboardResults, FretResults, StringResults
from builder.shop import Billet, FretWire, Rule, Shop
from builder.sources import SOURCES
from builder.workshop import Instrument

#: Decimals kept of a number on the way out; more would show the last bits of a processor's arithmetic.
KEPT_DECIMALS = 6


def publish_shop(shop: Shop) -> PublishedShop:
    """Name what may be seen of the workshop."""
    return PublishedShop(
        name=shop.name,
        maker=shop.maker,
        place=shop.place,
        email=shop.contact.email,
        telephone=shop.contact.telephone,
        website=shop.contact.website,
        site_address=shop.site_address,
        unit=shop.unit,
        concert_pitch_hz=shop.concert_pitch,
        tolerance_cents=shop.tolerance,
        rules=tuple((rule.name, str(rule.marks)) for rule in shop.rules),
        working_rule=shop.working_rule,
    )


def publish(instrument: Instrument, shop: Shop) -> Published:
    """Name what may be seen of one instrument, finished or not; who may see it is decided elsewhere."""
    record, results, spec = instrument.record, instrument.results, instrument.record.spec
    unit = shop.unit
    frets = None if isinstance(results.frets, Missing) else _frets(results.frets, spec, shop)
    strings = None if isinstance(results.strings, Missing) else _strings(results.strings, shop)
    return Published(
        format=FORMAT,
        serial=record.serial,
        title=_title(record),
        name=record.name,
        kind=record.kind,
        made_by=record.made_by or shop.maker,
        ordered=_day(record.dates.ordered),
        finished=_day(record.dates.finished),
        delivered=_day(record.dates.delivered),
        year=record.dates.finished.year if record.dates.finished else None,
        scale_length=_measure(spec.scale_length, unit),
        frets=frets,
        fretboard=_board(spec, unit),
        drawing=None if isinstance(results.fretboard, Missing) else _drawing(results.fretboard),
        strings=strings,
        woods=tuple(_wood(part, wood, instrument.neighbours.billets, unit) for part, wood in spec.wood.items()),
        hardware=tuple(spec.hardware.items()),
        finish=_finish(spec, shop),
        build_log=_build_log(record.build, unit),
        story=record.story,
        sources=_sources_of(frets, strings),
    )


def _title(record: Record) -> str:
    return record.name or f"{record.kind[:1].upper()}{record.kind[1:]} {record.serial}"


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _measure(length: Length | None, unit: Unit) -> Measure | None:
    """A length in words: in the unit it was written in, which is how its maker thinks of it, and in the other."""
    if length is None:
        return None
    first = length.written_in or unit
    other: Unit = "mm" if first == "in" else "in"
    return Measure(said_in(length, first), _beside(length, other), _kept(length.mm))


def _beside(length: Length, unit: Unit) -> str:
    """The other unit beside the first: always decimal, for nobody converts to 64ths in the head."""
    return f"{trimmed(length.mm, 2)} mm" if unit == "mm" else f"{length.inches:.3f} in"


def _kept(number: float) -> float:
    return round(number, KEPT_DECIMALS) + 0.0


def _frets(results: FretResults, spec: Spec, shop: Shop) -> PublishedFrets:
    assert spec.frets is not None, "frets were worked out from it"
    unit = shop.unit
    rules = tuple(
        PublishedRule(rule.name, str(rule.marks), number == results.working, _kept(results.worst_cents(number)))
        for number, rule in enumerate(results.rules)
    )
    return PublishedFrets(
        layout=spec.frets.layout,
        temperament=spec.frets.temperament,
        last=str(spec.frets.last),
        added=tuple(str(fret.number) for fret in results.frets if fret.number.is_half),
        count=len(results.frets),
        wire=_wire(spec.frets.wire, shop.fret_wires, unit),
        slot_width=_measure(spec.frets.slot_width, unit),
        tolerance_cents=results.tolerance_cents,
        rules=rules,
        table=_fret_table(results, unit),
        rule_costs=_rule_costs(results),
    )


def _wire(name: str | None, wires: Mapping[str, FretWire], unit: Unit) -> PublishedWire | None:
    if name is None or name not in wires:
        return None
    wire = wires[name]
    sizes = (_measure(size, unit) for size in (wire.crown_width, wire.crown_height, wire.tang))
    return PublishedWire(name, wire.material, *sizes)


def _fret_table(results: FretResults, unit: Unit) -> Table:
    """Mark on the working rule first, then the exact place in both units, then what is left over."""
    rule = results.rules[results.working]
    places = {
        "in": Column("from_nut_in", "from nut", "in", "fret-law", 3),
        "mm": Column("from_nut_mm", "from nut", "mm", "fret-law", 2),
    }
    order: tuple[Unit, Unit] = ("in", "mm") if unit == "in" else ("mm", "in")
    left_over_decimals = 3 if rule.marks.unit == "in" else 2
    columns = (
        Column("fret", "fret", "", "record"),
        Column("mark", rule.name, rule.marks.unit, "nearest-mark"),
        *(places[each] for each in order),
        Column("left_over", "left over", rule.marks.unit, "nearest-mark", left_over_decimals, signed=True),
        Column("cents", "off by", "cents", "cents", 1, signed=True),
        Column("semitones", "semitones", "", "equal-temperament"),
    )
    rows: list[tuple[str | float, ...]] = []
    for fret in results.frets:
        reading = fret.readings[results.working]
        in_unit = {"in": _inches(fret.from_nut_mm), "mm": fret.from_nut_mm}
        left_over = reading.left_over_mm if rule.marks.unit == "mm" else _inches(reading.left_over_mm)
        rows.append(
            (str(fret.number), reading.mark, *(_kept(in_unit[each]) for each in order),
             _kept(left_over), _kept(reading.cents), fret.semitones)
        )  # fmt: skip
    return Table(columns, tuple(rows))


def _inches(mm: float) -> float:
    return Length.from_mm(mm).inches


def _rule_costs(results: FretResults) -> Table:
    columns = (
        Column("fret", "fret", "", "record"),
        *(_rule_column(number, rule) for number, rule in enumerate(results.rules)),
    )
    rows: tuple[tuple[str | float, ...], ...] = tuple(
        (str(fret.number), *(_kept(reading.cents) for reading in fret.readings)) for fret in results.frets
    )
    return Table(columns, rows)


def _rule_column(number: int, rule: Rule) -> Column:
    return Column(f"rule_{number + 1}", f"{rule.name}, {rule.marks}", "cents", "cents", 1, signed=True)


def _board(spec: Spec, unit: Unit) -> PublishedBoard | None:
    board = spec.fretboard
    if board is None:
        return None
    radius = _measure(board.radius, unit) if isinstance(board.radius, Length) else None
    return PublishedBoard(
        length=_measure(board.length, unit),
        thickness=_measure(board.thickness, unit),
        width_at_nut=_measure(board.width_at_nut, unit),
        width_at_end=_measure(board.width_at_end, unit),
        radius=f"{radius.said} ({radius.also})" if radius else (str(board.radius) if board.radius else None),
        markers=tuple(map(str, board.markers)),
    )


def _drawing(results: FretboardResults) -> PublishedDrawing:
    return PublishedDrawing(
        length_mm=_kept(results.length_mm),
        length_is_known=results.length_is_known,
        width_at_nut_mm=_kept(results.width_at_nut_mm),
        width_at_end_mm=_kept(results.width_at_end_mm),
        frets=tuple(
            PublishedFretLine(line.name, line.is_half, _kept(line.from_nut_mm), _kept(line.width_mm))
            for line in results.frets
        ),
        markers_mm=tuple(map(_kept, results.markers_mm)),
    )


def _strings(results: StringResults, shop: Shop) -> PublishedStrings:
    return PublishedStrings(
        set_name=results.set_name,
        concert_pitch_hz=shop.concert_pitch,
        courses=tuple(
            PublishedCourse(
                str(course.note), _kept(frequency), course.gauge_thousandths,
                None if course.diameter_mm is None else _kept(course.diameter_mm), course.make, course.count,
            )
            for course, frequency in zip(results.courses, results.frequencies_hz, strict=True)
        ),
        tunings=tuple(
            PublishedTuning(tuple(map(str, each.tuning.notes)), tuple(map(_kept, each.frequencies_hz)))
            for each in results.tunings
        ),
    )  # fmt: skip


def _wood(part: str, wood: WoodSpec, billets: Mapping[str, Billet], unit: Unit) -> PublishedWood:
    billet = billets.get(wood.billet) if wood.billet else None
    return PublishedWood(
        part=part,
        species=wood.species or (billet.species if billet else ""),
        botanical=billet.botanical if billet else None,
        origin=billet.origin if billet else None,
        cut=wood.cut or (billet.cut if billet else None),
        finished=_measure(wood.finished, unit),
        words=wood.words,
    )


def _finish(spec: Spec, shop: Shop) -> PublishedFinish | None:
    if spec.finish is None:
        return None
    schedule = shop.finish_schedules.get(spec.finish.schedule)
    words = " ".join(filter(None, (schedule.words if schedule else None, spec.finish.words)))
    return PublishedFinish(
        schedule=spec.finish.schedule,
        product=schedule.product if schedule else None,
        coats=schedule.coats if schedule else None,
        words=words or None,
    )


def _build_log(build: Build, unit: Unit) -> tuple[PublishedEvent, ...]:
    """Everything done, in the order of days; within a day what has a time comes after what has none."""

    def at(moment: datetime) -> tuple[str, str]:
        return moment.date().isoformat(), f"{moment:%H:%M}"

    events = [
        PublishedEvent(step.done.isoformat(), None, "step", step.step, None, None) for step in build.steps if step.done
    ]
    events += [PublishedEvent(entry.date.isoformat(), None, "note", entry.did, None, None) for entry in build.log]
    for glue_up in build.glue_ups:
        room = _room(glue_up.temperature, glue_up.humidity, unit)
        events.append(PublishedEvent(*at(glue_up.at), "glue-up", in_a_row(glue_up.parts), glue_up.glue, room))
    for number, coat in enumerate(sorted(build.coats, key=lambda coat: coat.at), 1):
        room = _room(coat.temperature, coat.humidity, unit)
        events.append(PublishedEvent(*at(coat.at), "coat", f"coat {number}", coat.product, room))
    return tuple(sorted(events, key=lambda event: (event.date, event.time or "")))


def _room(temperature: Celsius | None, humidity: Percent | None, unit: Unit) -> str | None:
    """`68 °F (20 °C), 44 % humidity`, as far as it is known."""
    said = []
    if temperature is not None:
        in_f, in_c = f"{trimmed(temperature * 9 / 5 + 32, 0)} °F", f"{trimmed(temperature, 0)} °C"
        said.append(f"{in_f} ({in_c})" if unit == "in" else f"{in_c} ({in_f})")
    if humidity is not None:
        said.append(f"{trimmed(humidity, 0)} % humidity")
    return ", ".join(said) or None


def _sources_of(frets: PublishedFrets | None, strings: PublishedStrings | None) -> dict[str, str]:
    """The bibliography of this instrument: every source its columns name, in the bibliography's own order."""
    used = {column.source for table in _tables(frets) for column in table.columns}
    if frets and frets.layout == "diatonic":
        used.add("diatonic-fretting")
    if strings:
        used.add("equal-temperament")
    return {key: citation for key, citation in SOURCES.items() if key in used}


def _tables(frets: PublishedFrets | None) -> tuple[Table, ...]:
    return (frets.table, frets.rule_costs) if frets else ()
