"""The tables of an export: instruments, figures and wood; with private files also orders, payments, hours, repairs.

A head names the unit in brackets, and every cell of the column is in it. Amounts of money are as exact as they are
written, without commas, their currency in a column of its own. What is not known is an empty cell.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal

from builder.calculations.answers import Missing
from builder.lengths import Length
from builder.money import Money, decimals_of
from builder.publish.measures import kept
from builder.published import Published, PublishedBench
from builder.record import MultiScale
from builder.record.order import Order
from builder.results.rack import BilletResults
from builder.results.repair import RepairResults
from builder.workshop import Instrument

Cell = str | int | float | None


@dataclass(frozen=True, slots=True)
class Exported:
    """One instrument with all that is shown of it, as it stands in its JSON file too."""

    instrument: Instrument
    published: Published
    bench: PublishedBench


@dataclass(frozen=True, slots=True)
class ExportTable:
    """A table by its name, `instruments`; its head and its rows."""

    name: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


#: The woods that tell instruments apart at a glance.
_WOODS = ("soundboard", "back", "sides", "neck", "fretboard")

#: Figures that stand in the table of instruments: its head, and the subject and key of the figure.
_FIGURES = (
    ("total pull [N]", "string-pull", "total_pull"),
    ("worst fret [cents]", "as-built", "worst_fret"),
    ("fret error rms [cents]", "as-built", "rms"),
    ("body length [mm]", "body", "length"),
    ("body width [mm]", "body", "width"),
    ("air resonance [Hz]", "body", "air"),
    ("weight [kg]", "as-built", "weight"),
)


def tables_of(
    exported: Iterable[Exported],
    rack: Iterable[BilletResults],
    repairs: Iterable[RepairResults],
    *,
    private_files: bool,
) -> tuple[ExportTable, ...]:
    """Every table, in the order it is told of."""
    listed = tuple(exported)
    tables = [_table("instruments", _INSTRUMENTS, listed), _figures(listed), _wood(rack, private_files)]
    return (
        (*tables, *(_orders(listed), _payments(listed), _hours(listed), _repairs(repairs)))
        if private_files
        else tuple(tables)
    )


def _table(
    name: str, columns: Iterable[tuple[str, Callable[[Exported], Cell]]], listed: Iterable[Exported]
) -> ExportTable:
    kept_columns = tuple(columns)
    rows = tuple(tuple(value(each) for _, value in kept_columns) for each in listed)
    return ExportTable(name, tuple(head for head, _ in kept_columns), rows)


def _scale(end: int) -> Callable[[Exported], Cell]:
    """The scale length at the bass side (0) or the treble side (1); with one scale length they are alike."""

    def value(each: Exported) -> Cell:
        scale = each.instrument.record.spec.scale_length
        return _mm((scale.bass, scale.treble)[end] if isinstance(scale, MultiScale) else scale)

    return value


def _wood_of(part: str) -> Callable[[Exported], Cell]:
    return lambda each: next((wood.species for wood in each.published.woods if wood.part == part), None)


def _figure(subject: str, key: str) -> Callable[[Exported], Cell]:
    def value(each: Exported) -> Cell:
        facts = (fact for of in each.published.subjects if of.key == subject for fact in of.figures.facts)
        return next((fact.value for fact in facts if fact.key == key), None)

    return value


def _furthest_octave(each: Exported) -> Cell:
    """The octave that came out furthest off, with its sign."""
    setup = each.instrument.record.as_built.setup
    return kept(max(setup.cents_at_octave.values(), key=abs)) if setup and setup.cents_at_octave else None


def _filed(each: Exported) -> Cell:
    """At how many places frets were to be filed by the heights in the record; bass and treble side count apart."""
    levelling = each.instrument.results.levelling
    if isinstance(levelling, Missing):
        return None
    return sum(off > 0 for side in levelling.sides for off in side.work.file_mm)


def _strings(each: Exported) -> Cell:
    """The open notes of the first string of every course, bass first."""
    courses = each.published.strings.courses if each.published.strings else ()
    return " ".join(course.strings[0].note for course in courses) or None


_INSTRUMENTS: tuple[tuple[str, Callable[[Exported], Cell]], ...] = (
    ("serial", lambda each: each.published.serial),
    ("name", lambda each: each.published.name),
    ("kind", lambda each: each.published.kind),
    ("visibility", lambda each: each.bench.visibility),
    ("stage", lambda each: each.bench.stage),
    ("made by", lambda each: each.published.made_by),
    ("batch", lambda each: each.published.batch),
    ("started from", lambda each: each.instrument.record.started_from),
    ("ordered", lambda each: each.published.ordered),
    ("promised", lambda each: each.bench.promised),
    ("finished", lambda each: each.published.finished),
    ("delivered", lambda each: each.published.delivered),
    ("year", lambda each: each.published.year),
    ("scale bass [mm]", _scale(0)),
    ("scale treble [mm]", _scale(1)),
    ("fret layout", lambda each: each.published.frets.layout if each.published.frets else None),
    ("frets", lambda each: each.published.frets.count if each.published.frets else None),
    ("last fret", lambda each: each.published.frets.last if each.published.frets else None),
    ("temperament", lambda each: each.published.frets.temperament if each.published.frets else None),
    ("strings", _strings),
    *((f"{part} wood", _wood_of(part)) for part in _WOODS),
    ("finish", lambda each: each.published.finish.schedule if each.published.finish else None),
    *((head, _figure(subject, key)) for head, subject, key in _FIGURES),
    ("octave furthest off [cents]", _furthest_octave),
    ("places to file", _filed),
    ("photographs", lambda each: len(each.instrument.photos)),
    ("services", lambda each: len(each.instrument.record.service)),
)


def _figures(listed: Iterable[Exported]) -> ExportTable:
    """Every figure of every subject on a line of its own; `for` says whether buyers may see it."""
    rows = []
    for each in listed:
        for seen_by, subjects in (("buyer", each.published.subjects), ("bench", each.bench.subjects)):
            rows += [
                (each.published.serial, seen_by, of.key, fact.key, fact.value, fact.unit, fact.said, fact.source)
                for of in subjects
                for fact in of.figures.facts
            ]
    return ExportTable(
        "figures", ("serial", "for", "subject", "figure", "value", "unit", "said", "source"), tuple(rows)
    )


def _wood(rack: Iterable[BilletResults], private_files: bool) -> ExportTable:
    """The wood rack; seller and price only where private files are wanted."""
    head = (
        "billet", "species", "botanical", "country", "origin", "cut", "length [mm]", "width [mm]", "thickness [mm]",
        "pieces", "moisture [%]", "left [board feet]", "left [share]", "cut for", "may be listed", "papers",
    )  # fmt: skip
    rows = []
    for each in rack:
        billet, size, left = each.billet, each.billet.size, each.left_board_feet
        row: tuple[Cell, ...] = (
            each.name, billet.species, billet.botanical, billet.country, billet.origin, billet.cut,
            _mm(size.length), _mm(size.width), _mm(size.thickness), billet.pieces, billet.moisture,
            None if left is None else kept(left),
            kept(max(each.balance.left_share, 0.0)) if each.balance else None,
            " ".join(dict.fromkeys(str(cut.serial) for cut in each.cut)),
            "; ".join(dict.fromkeys(listing.called for listing in each.listings)),
            billet.papers,
        )  # fmt: skip
        rows.append((*row, billet.private.seller, billet.private.price) if private_files else row)
    return ExportTable("wood", (*head, "seller", "price") if private_files else head, tuple(rows))


def _orders(listed: Iterable[Exported]) -> ExportTable:
    """Every instrument's order: who, when, and what it comes to."""
    head = (
        "serial", "title", "stage", "buyer", "inquired", "quoted", "ordered", "promised", "delivered", "currency",
        "price", "price is agreed", "deposit", "deposit due", "paid", "balance", "hours",
    )  # fmt: skip
    rows = []
    for each in listed:
        instrument, order = each.instrument, each.instrument.order
        private, dates = instrument.private, instrument.record.dates
        written, hours = private.order if private else Order(), private.hours if private else ()
        days = (written.inquired, written.quoted, dates.ordered, dates.promised, dates.delivered)
        row: tuple[Cell, ...] = (
            instrument.record.serial, instrument.record.title, order.stage, private.buyer.name if private else None,
            *(day.isoformat() if day else None for day in days),
            order.paid.currency if order.paid else None,
            _exact(order.price),
            None if order.price is None else "yes" if order.is_agreed else "no",
            *map(_exact, (order.deposit, order.deposit_due, order.paid, order.balance)),
            kept(sum(entry.hours for entry in hours)) if hours else None,
        )  # fmt: skip
        rows.append(row)
    return ExportTable("orders", head, tuple(rows))


def _payments(listed: Iterable[Exported]) -> ExportTable:
    rows = []
    for each in listed:
        shop = each.instrument.order.paid.currency if each.instrument.order.paid else None
        for payment in each.instrument.private.order.payments if each.instrument.private else ():
            amount = payment.amount.in_shop(shop) if shop else payment.amount
            day, serial = payment.date.isoformat(), each.instrument.record.serial
            rows.append((serial, day, _exact(amount), amount.currency, payment.words))
    return ExportTable("payments", ("serial", "date", "amount", "currency", "words"), tuple(rows))


def _hours(listed: Iterable[Exported]) -> ExportTable:
    rows = tuple(
        (each.instrument.record.serial, entry.date.isoformat(), kept(entry.hours), entry.step)
        for each in listed
        for entry in (each.instrument.private.hours if each.instrument.private else ())
    )
    return ExportTable("hours", ("serial", "date", "hours [h]", "step"), rows)


def _repairs(repairs: Iterable[RepairResults]) -> ExportTable:
    """Instruments of other makers that were taken in, by their tickets."""
    head = (
        "ticket", "kind", "maker", "number", "owner", "taken in", "promised", "handed back", "hours", "parts", "price",
        "paid", "balance", "currency",
    )  # fmt: skip
    rows = []
    for each in repairs:
        repair = each.repair
        days = (repair.taken_in, repair.promised, repair.handed_back)
        row: tuple[Cell, ...] = (
            repair.ticket, repair.kind, repair.maker, repair.number, repair.owner.name,
            *(day.isoformat() if day else None for day in days),
            kept(each.hours) if each.hours else None,
            *map(_exact, (each.parts, each.price, each.paid, each.balance)),
            next((money.currency for money in (each.price, each.paid, each.parts) if money), None),
        )  # fmt: skip
        rows.append(row)
    return ExportTable("repairs", head, tuple(rows))


def _mm(length: Length | None) -> float | None:
    return kept(length.mm) if length else None


def _exact(money: Money | None) -> str | None:
    """`1150.00`: every coin, and no sign or comma that a spreadsheet would stumble over."""
    if money is None:
        return None
    decimals = decimals_of(money.currency)
    exact = money.amount.normalize()
    exponent = exact.as_tuple().exponent
    written = -exponent if isinstance(exponent, int) else 0
    return f"{exact.quantize(Decimal(1).scaleb(-max(decimals, written))):f}"
