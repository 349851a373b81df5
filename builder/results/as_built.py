"""The frets as measured against where they belong, and what of the record's own set-up does not fit the board."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.calculations.answers import Missing, Outside
from builder.calculations.as_built import (
    LIKELY_SLIP_MM,
    PlaceError,
    error_of,
    first_not_increasing,
    furthest_off,
    root_mean_square,
)
from builder.lengths import Length, said_in
from builder.problems import Finding, did_you_mean, in_short
from builder.record.as_built import AsBuilt, FretPositions, RuleUsed
from builder.results.frets import FretResults, PlaceOnLine
from builder.shop import Shop
from builder.words import counted

_FIELD = "as_built.fret_positions"


@dataclass(frozen=True, slots=True)
class MeasuredColumn:
    """The frets along one line: `key` is `values`, `bass` or `treble`, as in the record; one error a fret."""

    key: str
    name: str
    measured_mm: tuple[float, ...]
    errors: tuple[PlaceError, ...]


@dataclass(frozen=True, slots=True)
class WorstFret:
    """The fret furthest off: its name, along which line, and its error."""

    number: str
    line: str
    error: PlaceError


@dataclass(frozen=True, slots=True)
class AsBuiltResults:
    """Every measured fret. `rule` is the rule in words and `mark_distance_mm` its marks, None where it is not known.

    `rms_cents` is the usual error as read; `rms_at_most_cents` and `worst_at_most_cents` what the errors can amount
    to, given what the rule leaves open; `worst_at_least_cents` is what some fret is off for certain.
    """

    numbers: tuple[str, ...]
    columns: tuple[MeasuredColumn, ...]
    rule: str | None
    mark_distance_mm: float | None
    tolerance_cents: float
    worst: WorstFret
    worst_at_least_cents: float
    worst_at_most_cents: float
    rms_cents: float
    rms_at_most_cents: float
    unreadable: int

    @property
    def count(self) -> int:
        """How many places were measured, on all lines together."""
        return sum(len(column.errors) for column in self.columns)


def work_out_as_built(
    as_built: AsBuilt, frets: FretResults | Missing, shop: Shop
) -> tuple[AsBuiltResults | Missing, tuple[Finding, ...]]:
    """Compare measured with exact places. Lists that cannot be those of this board are findings, and are left out."""
    findings = list(_setup_findings(as_built, frets))
    positions = as_built.fret_positions
    if positions is None or not (positions.values or positions.bass or positions.treble):
        return Missing((_FIELD,)), tuple(findings)
    if isinstance(frets, Missing):
        message = "the frets as measured cannot be compared: nothing says where they belong"
        hint = f"write {' and '.join(frets.fields)}"
        return frets, (*findings, Finding("missing-key", _FIELD, message, hint, "hint"))
    marks_mm, rule, of_rule = _rule(positions.rule, shop)
    findings += of_rule
    columns = []
    for key, name, values, places in _columns(positions, frets):
        if isinstance(places, Finding):
            findings.append(places)
            continue
        measured = [value.mm for value in values]
        wrong = _list_finding(key, measured, len(frets.frets))
        errors = [] if wrong else _errors(measured, places, marks_mm)
        at_saddle = next((n for n, each in enumerate(errors) if isinstance(each, Outside)), None)
        if at_saddle is not None:
            message = f"fret {frets.frets[at_saddle].number} would lie at the saddle or past it"
            wrong = Finding("does-not-fit", f"{_FIELD}.{key}[{at_saddle}]", message, "measure from the nut")
        if wrong:
            findings.append(wrong)
            continue
        kept = tuple(each for each in errors if isinstance(each, PlaceError))
        findings += _slips(key, kept, frets, shop)
        columns.append(MeasuredColumn(key, name, tuple(measured), kept))
    if not columns:
        return Missing((_FIELD,)), tuple(findings)
    return _results(tuple(columns), frets, rule, marks_mm), tuple(findings)


def _results(
    columns: tuple[MeasuredColumn, ...], frets: FretResults, rule: str | None, marks_mm: float | None
) -> AsBuiltResults:
    numbers = tuple(str(fret.number) for fret in frets.frets)
    every = [error for column in columns for error in column.errors]
    place = furthest_off(every)
    return AsBuiltResults(
        numbers=numbers,
        columns=columns,
        rule=rule,
        mark_distance_mm=marks_mm,
        tolerance_cents=frets.tolerance_cents,
        worst=WorstFret(numbers[place % len(numbers)], columns[place // len(numbers)].name, every[place]),
        worst_at_least_cents=max(error.at_least_cents for error in every),
        worst_at_most_cents=max(error.at_most_cents for error in every),
        rms_cents=root_mean_square(error.cents for error in every),
        rms_at_most_cents=root_mean_square(error.at_most_cents for error in every),
        unreadable=sum(error.can_be_read is False for error in every),
    )


def _rule(used: RuleUsed | None, shop: Shop) -> tuple[float | None, str | None, tuple[Finding, ...]]:
    """How far apart the marks were of the rule that was used, and its name; a rule nobody knows is a finding."""
    if used is None:
        message = "nothing says which rule the frets were measured with, so how far the readings may be off is unknown"
        hint = "write rule: with a rule of the shop file or its marks, like 1/64 in"
        return None, None, (Finding("missing-key", _FIELD, message, hint, "hint"),)
    for rule in shop.rules:
        if rule.name == used.written:
            return float(rule.marks.exact_mm), f"{rule.name}, {rule.marks}", ()
    if used.marks is not None:
        return float(used.marks.exact_mm), f"a rule with marks {used.marks} apart", ()
    message = f"«{in_short(used.written)}» is not among the rules in the shop file"
    hint = did_you_mean(used.written, [rule.name for rule in shop.rules]) or "write its marks, like 1/64 in"
    return None, None, (Finding("not-in-shop", f"{_FIELD}.rule", message, hint),)


def _columns(
    positions: FretPositions, frets: FretResults
) -> Iterator[tuple[str, str, tuple[Length, ...], list[PlaceOnLine] | Finding]]:
    """Each list that is there, with the places it is to be compared with."""
    lines = {line.key: number for number, line in enumerate(frets.lines)}
    one_scale = "" in lines
    if positions.values:
        if one_scale:
            yield "values", "centre line", positions.values, [fret.places[0] for fret in frets.frets]
        else:
            message = "one list cannot say where the frets of a board with two scale lengths lie"
            hint = "write bass: and treble:, each measured from the nut along its side"
            finding = Finding("does-not-fit", f"{_FIELD}.values", message, hint)
            yield "values", "", positions.values, finding
    for key, values in (("bass", positions.bass), ("treble", positions.treble)):
        if values:
            number = 0 if one_scale else lines[key]
            name = f"{key} side" if one_scale else frets.lines[number].name
            yield key, name, values, [fret.places[number] for fret in frets.frets]


def _list_finding(key: str, measured_mm: Sequence[float], count: int) -> Finding | None:
    """What makes a list impossible for this board."""
    if len(measured_mm) != count:
        message = f"there are {counted(len(measured_mm), 'place')} for {counted(count, 'fret')}"
        hint = "one for each fret in board order from the nut, added frets among them"
        return Finding("does-not-fit", f"{_FIELD}.{key}", message, hint)
    number = first_not_increasing(measured_mm)
    if number is not None:
        message = "this fret lies no further from the nut than the one before it"
        return Finding("does-not-fit", f"{_FIELD}.{key}[{number}]", message, "measure every fret from the nut")
    return None


def _errors(
    measured_mm: Sequence[float], places: Sequence[PlaceOnLine], marks_mm: float | None
) -> list[PlaceError | Outside]:
    return [
        error_of(measured, place.from_nut_mm, place.sounding_mm, marks_mm)
        for measured, place in zip(measured_mm, places, strict=True)
    ]


def _slips(key: str, errors: Sequence[PlaceError], frets: FretResults, shop: Shop) -> Iterator[Finding]:
    """A fret so far off that it was most likely misread."""
    for number, (error, fret) in enumerate(zip(errors, frets.frets, strict=True)):
        if abs(error.error_mm) > LIKELY_SLIP_MM:
            off = said_in(Length.from_mm(round(abs(error.error_mm), 2)), shop.unit)
            where = "past its place" if error.error_mm > 0 else "short of its place"
            message = f"fret {fret.number} lies {off} {where}; most likely a slip of eye or pen"
            yield Finding("does-not-fit", f"{_FIELD}.{key}[{number}]", message, "measure it again", "warning")


def _setup_findings(as_built: AsBuilt, frets: FretResults | Missing) -> Iterator[Finding]:
    """The action can be measured only at a fret that is there."""
    if isinstance(frets, Missing):
        return
    numbers = {fret.number for fret in frets.frets}
    for number in as_built.setup.action:
        if number not in numbers and number.halves:
            message = f"there is no fret {number} to measure the action at"
            yield Finding("does-not-fit", f"as_built.setup.action.{number}", message, "name a fret of this board")
