"""What the years come to: instruments, waiting, hours, woods, and how well the frets came out, of all records together.

An instrument belongs to the year of the day in question; woods, hours of a whole instrument and accuracy to that of
the day it was finished. Those never finished are left out of these.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from statistics import fmean, median

from builder.calculations.answers import Missing
from builder.limits import no_entries
from builder.record import PrivateFile, Record
from builder.results import Results
from builder.results.hours import work_out_hours
from builder.shop import Billet


@dataclass(frozen=True, slots=True)
class Remembered:
    """What is asked of one instrument: its record, what is worked out for it, its private file, its billets."""

    record: Record
    results: Results
    private: PrivateFile | None = None
    billets: Mapping[str, Billet] = field(default_factory=no_entries)


@dataclass(frozen=True, slots=True)
class YearOfWork:
    """How many instruments were ordered, finished and delivered in a year."""

    year: int
    ordered: int
    finished: int
    delivered: int


@dataclass(frozen=True, slots=True)
class Waited:
    """From order to delivery. `late_days` is counted from the day promised, below zero where it was early."""

    serial: str
    title: str
    ordered: date
    delivered: date
    days: int
    late_days: int | None


@dataclass(frozen=True, slots=True)
class HoursOfKind:
    """Hours written down for a kind: in all, and the median of those that are finished (None where none is)."""

    kind: str
    instruments: int
    hours: float
    finished: int
    median_hours: float | None


@dataclass(frozen=True, slots=True)
class HoursAtStep:
    """Hours at one step of the work, on how many instruments; `step` is empty where none was named.

    `kind` is that of the instruments; empty where all kinds are counted together.
    """

    step: str
    kind: str
    instruments: int
    hours: float

    @property
    def hours_each(self) -> float:
        """The mean over the instruments that have any."""
        return self.hours / self.instruments


@dataclass(frozen=True, slots=True)
class WoodUsed:
    """A wood: in how many finished instruments, in how many of their parts, and in which years first and last."""

    species: str
    instruments: int
    parts: int
    first_year: int
    last_year: int


@dataclass(frozen=True, slots=True)
class Measured:
    """One figure of one finished instrument. `where` names frets or string; `of` says how many were measured."""

    serial: str
    title: str
    finished: date
    figure: float
    where: str = ""
    of: int = 0


@dataclass(frozen=True, slots=True)
class YearMedian:
    """The median of a figure over the instruments of a year."""

    year: int
    instruments: int
    median: float


@dataclass(frozen=True, slots=True)
class Accuracy:
    """A figure by which one sees whether the shop gets better, oldest instrument first, and its median year by year."""

    each: tuple[Measured, ...]
    by_year: tuple[YearMedian, ...]


@dataclass(frozen=True, slots=True)
class HistoryResults:
    """Everything together. `worst_fret` and `octaves` are in cents without their sign.

    `called_off` counts orders among `ordered` that were cancelled, `returned` those among `delivered` that came back.
    """

    recorded: int
    called_off: int
    returned: int
    years: tuple[YearOfWork, ...]
    waits: tuple[Waited, ...]
    median_days: float | None
    days_by_year: tuple[YearMedian, ...]
    hours_by_kind: tuple[HoursOfKind, ...]
    hours_by_step: tuple[HoursAtStep, ...]
    hours_by_step_and_kind: tuple[HoursAtStep, ...]
    woods: tuple[WoodUsed, ...]
    worst_fret: Accuracy
    frets_to_file: Accuracy
    octaves: Accuracy


def work_out_history(instruments: Iterable[Remembered]) -> HistoryResults:
    """Add up; nothing raises. Names of kinds, steps and woods are the same whatever the size of their letters."""
    listed = sorted(instruments, key=lambda each: (each.record.dates.finished or date.max, each.record.serial))
    orders = [each.private.order for each in listed if each.private]
    waits = tuple(_waits(listed))
    return HistoryResults(
        recorded=len(listed),
        called_off=sum(order.cancelled is not None for order in orders),
        returned=sum(order.returned is not None for order in orders),
        years=_years(listed),
        waits=waits,
        median_days=median(each.days for each in waits) if waits else None,
        days_by_year=_by_year([(each.delivered.year, each.days) for each in waits]),
        hours_by_kind=_hours_by_kind(listed),
        hours_by_step=_hours_by_step(listed, by_kind=False),
        hours_by_step_and_kind=_hours_by_step(listed, by_kind=True),
        woods=_woods(listed),
        worst_fret=_accuracy(listed, _worst_fret),
        frets_to_file=_accuracy(listed, _frets_to_file),
        octaves=_accuracy(listed, _octave),
    )


def _years(listed: Sequence[Remembered]) -> tuple[YearOfWork, ...]:
    """Every year from the first with anything in it to the last."""
    ordered, finished, delivered = (
        Counter(day.year for each in listed if (day := getattr(each.record.dates, name)))
        for name in ("ordered", "finished", "delivered")
    )
    known = {*ordered, *finished, *delivered}
    if not known:
        return ()
    return tuple(
        YearOfWork(year, ordered[year], finished[year], delivered[year]) for year in range(min(known), max(known) + 1)
    )


def _waits(listed: Sequence[Remembered]) -> list[Waited]:
    waits = []
    for record in (each.record for each in listed):
        ordered, promised, delivered = record.dates.ordered, record.dates.promised, record.dates.delivered
        if ordered and delivered and delivered >= ordered:
            late = (delivered - promised).days if promised else None
            waits.append(Waited(record.serial, record.title, ordered, delivered, (delivered - ordered).days, late))
    return sorted(waits, key=lambda each: (each.delivered, each.serial))


def _hours_by_kind(listed: Sequence[Remembered]) -> tuple[HoursOfKind, ...]:
    """The kind with the most hours first."""
    named: dict[str, str] = {}
    of: dict[str, list[tuple[float, bool]]] = {}
    for each in listed:
        hours = work_out_hours(each.private.hours if each.private else (), each.record.build)
        if hours:
            kind = each.record.kind
            named.setdefault(kind.casefold(), kind)
            of.setdefault(kind.casefold(), []).append((hours.total_hours, each.record.dates.finished is not None))
    rows = []
    for key, kind in named.items():
        whole = [hours for hours, is_finished in of[key] if is_finished]
        total = sum(hours for hours, _ in of[key])
        rows.append(HoursOfKind(kind, len(of[key]), total, len(whole), median(whole) if whole else None))
    return tuple(sorted(rows, key=lambda row: (-row.hours, row.kind)))


def _hours_by_step(listed: Sequence[Remembered], *, by_kind: bool) -> tuple[HoursAtStep, ...]:
    """The step with the most hours first, its kinds likewise; what names no step last."""
    named: dict[str, str] = {}
    of: dict[tuple[str, str], list[float]] = {}
    for each in listed:
        hours = work_out_hours(each.private.hours if each.private else (), each.record.build)
        for at in hours.by_step if hours else ():
            kind_too = each.record.kind if by_kind else ""
            step, kind = at.step.casefold(), kind_too.casefold()
            named.setdefault(step, at.step)
            named.setdefault(kind, kind_too)
            of.setdefault((step, kind), []).append(at.hours)
    of_step: dict[str, float] = {}
    for (step, _), hours_there in of.items():
        of_step[step] = of_step.get(step, 0.0) + sum(hours_there)
    rows = [HoursAtStep(named[step], named[kind], len(hours), sum(hours)) for (step, kind), hours in of.items()]
    return tuple(
        sorted(rows, key=lambda row: (not row.step, -of_step[row.step.casefold()], row.step, -row.hours, row.kind))
    )


def _woods(listed: Sequence[Remembered]) -> tuple[WoodUsed, ...]:
    """The wood in most instruments first."""
    named: dict[str, str] = {}
    used: dict[str, list[tuple[str, int]]] = {}
    for each in listed:
        finished = each.record.dates.finished
        for wood in each.record.spec.wood.values() if finished else ():
            billet = each.billets.get(wood.billet) if wood.billet else None
            species = wood.species or (billet.species if billet else None)
            if species and finished:
                named.setdefault(species.casefold(), species)
                used.setdefault(species.casefold(), []).append((each.record.serial, finished.year))
    rows = [
        WoodUsed(
            species, len({serial for serial, _ in used[key]}), len(used[key]),
            min(year for _, year in used[key]), max(year for _, year in used[key]),
        )
        for key, species in named.items()
    ]  # fmt: skip
    return tuple(sorted(rows, key=lambda row: (-row.instruments, -row.parts, row.species)))


def _accuracy(
    listed: Sequence[Remembered], figure_of: Callable[[Remembered], tuple[float, str, int] | None]
) -> Accuracy:
    each = []
    for one in listed:
        figure, finished = figure_of(one), one.record.dates.finished
        if figure is not None and finished is not None:
            each.append(Measured(one.record.serial, one.record.title, finished, *figure))
    return Accuracy(tuple(each), _by_year([(one.finished.year, one.figure) for one in each]))


def _by_year(figures: Sequence[tuple[int, float]]) -> tuple[YearMedian, ...]:
    """The median of each year that has any, from the first to the last."""
    of: dict[int, list[float]] = {}
    for year, figure in figures:
        of.setdefault(year, []).append(figure)
    return tuple(YearMedian(year, len(of[year]), median(of[year])) for year in sorted(of))


def _worst_fret(one: Remembered) -> tuple[float, str, int] | None:
    """The fret furthest off, in cents as read."""
    as_built = one.results.as_built
    if isinstance(as_built, Missing):
        return None
    return abs(as_built.worst.error.cents), as_built.worst.number, as_built.count


def _frets_to_file(one: Remembered) -> tuple[float, str, int] | None:
    """Frets that were to be filed on one side or both, of those whose heights were measured."""
    levelling = one.results.levelling
    if isinstance(levelling, Missing):
        return None
    measured = dict.fromkeys(number for side in levelling.sides for number in side.numbers)
    filed = {
        number
        for side in levelling.sides
        for number, off in zip(side.numbers, side.work.file_mm, strict=True)
        if off > 0
    }
    return len(filed), ", ".join(number for number in measured if number in filed), len(measured)


def _octave(one: Remembered) -> tuple[float, str, int] | None:
    """The mean of all strings at the octave, signs left out, and the string furthest off."""
    cents = one.record.as_built.setup.cents_at_octave
    if not cents:
        return None
    furthest = max(cents, key=lambda note: abs(cents[note]))
    return fmean(abs(each) for each in cents.values()), str(furthest), len(cents)
