"""The heights of the frets on both sides of the board: what rocks, what to seat anew, what to file, what is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.calculations.answers import Missing, Outside
from builder.calculations.frets import FretNumber
from builder.calculations.levelling import FallAway, LevelledSide, crown_left_mm, level_side, relief_mm
from builder.lengths import Length, said_in
from builder.problems import Finding
from builder.record import Spec
from builder.record.as_built import AsBuilt
from builder.results.frets import FretResults
from builder.results.strings import courses_of
from builder.shop import Shop
from builder.shop.levelling import FallAway as PlannedFallAway
from builder.words import counted

_FIELD = "as_built.fret_heights"
_NUT = FretNumber(0)

#: A fret standing a millimetre out of the line of its neighbours was misread: that is a whole crown.
LIKELY_SLIP_MM = 1.0


@dataclass(frozen=True, slots=True)
class HeightsOfSide:
    """One side of the board: `key` is bass or treble; names, places and heights of its frets, and what to do there.

    `relief_mm` is how far the board will dip below the line from its first to its last fret once the work is done
    (below zero: humped), counted to where a planned fall-away begins. `crown_left_mm` is None where the crown is not
    known.
    """

    key: str
    numbers: tuple[str, ...]
    places_mm: tuple[float, ...]
    heights_mm: tuple[float, ...]
    work: LevelledSide
    relief_mm: float
    crown_left_mm: tuple[float, ...] | None


@dataclass(frozen=True, slots=True)
class LevellingResults:
    """Both sides, bass first, or the one that was measured. `fall_away_from` names the fret where it begins.

    `fall_away_left_out` says why a planned fall-away is not reckoned with; empty where it is, or where none is.
    """

    sides: tuple[HeightsOfSide, ...]
    above: str | None
    tolerance_mm: float
    fall_away_from: str | None
    fall_away_mm: float
    fall_away_left_out: str
    crown_mm: float | None
    crown_is_measured: bool
    least_crown_mm: float | None

    @property
    def is_level(self) -> bool:
        """Whether nothing is to be done on either side."""
        return all(not side.work.reseat and not any(side.work.file_mm) for side in self.sides)


def work_out_levelling(
    as_built: AsBuilt, spec: Spec, frets: FretResults | Missing, shop: Shop
) -> tuple[LevellingResults | Missing, tuple[Finding, ...]]:
    """Level both sides by the shop's tolerance and planned fall-away; a list that cannot be this board's is not."""
    heights = as_built.fret_heights
    if heights is None or not (heights.bass or heights.treble):
        return Missing((_FIELD,)), ()
    if isinstance(frets, Missing):
        message = "the heights of the frets tell nothing yet: nothing says where the frets lie"
        hint = f"write {' and '.join(frets.fields)}"
        return frets, (Finding("missing-key", _FIELD, message, hint, "hint"),)
    plan = shop.levelling
    crown, crown_is_measured = as_built.crown_height, as_built.crown_height is not None
    wire = spec.frets.wire if spec.frets else None
    if crown is None and wire is not None and wire in shop.fret_wires:
        crown = shop.fret_wires[wire].crown_height
    sides: list[HeightsOfSide] = []
    findings: list[Finding] = []
    begins, left_out = _fall_away_begins(plan.fall_away, frets)
    for number, (key, values) in enumerate((("bass", heights.bass), ("treble", heights.treble))):
        if not values:
            continue
        placed = _frets_of_side(number, len(values), spec, frets, shop)
        if isinstance(placed, Finding):
            findings.append(placed)
            continue
        tops = [value.mm for value in values]
        side = _side(key, placed, tops, shop, begins, crown)
        if isinstance(side, Outside):
            findings.append(Finding("does-not-fit", f"{_FIELD}.{key}", f"this cannot be levelled: {side.reason}"))
            continue
        sides.append(side)
        findings += _slips(side)
        findings += _crown_findings(side, plan.least_crown, shop)
    if not sides:
        return Missing((_FIELD,)), tuple(findings)
    if crown is None and plan.least_crown is not None:
        message = "how much of the crowns is left after filing is unknown: nothing says how high they are"
        hint = "write as_built.crown_height, or crown_height of the wire in the shop file"
        findings.append(Finding("missing-key", _FIELD, message, hint, "hint"))
    results = LevellingResults(
        sides=tuple(sides),
        above=heights.above,
        tolerance_mm=plan.tolerance.mm,
        fall_away_from=str(begins) if begins else None,
        fall_away_mm=plan.fall_away.by.mm if begins and plan.fall_away else 0.0,
        fall_away_left_out=left_out,
        crown_mm=crown.mm if crown else None,
        crown_is_measured=crown_is_measured,
        least_crown_mm=plan.least_crown.mm if plan.least_crown else None,
    )
    return results, tuple(findings)


def _frets_of_side(
    number: int, count: int, spec: Spec, frets: FretResults, shop: Shop
) -> list[tuple[FretNumber, float]] | Finding:
    """Name and place of each fret that has a height on one side (0: bass, 1: treble); a wrong count is a finding."""
    key = ("bass", "treble")[number]
    line = min(number, len(frets.lines) - 1)
    courses = len(courses_of(spec, shop.string_sets))
    outer = 1 if number == 0 else courses
    partial = spec.frets.partial if spec.frets and courses else {}
    there = [
        (fret.number, fret.places[line].from_nut_mm)
        for fret in frets.frets
        if fret.number not in partial or outer in partial[fret.number]
    ]
    zero_fret = bool(spec.frets and spec.frets.zero_fret)
    if zero_fret and count == len(there) + 1:
        return [(_NUT, 0.0), *there]
    if count == len(there):
        return there
    wanted = counted(len(there), "fret") + (" (or one more, with the zero fret first)" if zero_fret else "")
    message = f"there are {counted(count, 'height')} on the {key} side for {wanted}"
    hint = "one for each fret in board order, added frets among them"
    if len(there) < len(frets.frets):
        hint += f", without partial frets that do not reach the {key} side"
    return Finding("does-not-fit", f"{_FIELD}.{key}", message, hint)


def _fall_away_begins(planned: PlannedFallAway | None, frets: FretResults) -> tuple[FretNumber | None, str]:
    """The fret where the planned fall-away begins on this board, or why it cannot be reckoned with."""
    if planned is None or planned.by.mm == 0:
        return None, ""
    numbers = [fret.number for fret in frets.frets]
    if planned.starts_at not in numbers[:-1]:
        return None, f"the board has no frets past fret {planned.starts_at}, where the shop lets it fall away"
    if numbers.index(planned.starts_at) < 2:
        return None, f"too few frets lie before fret {planned.starts_at} to say where the board’s own line is"
    return planned.starts_at, ""


def _side(
    key: str,
    placed: Sequence[tuple[FretNumber, float]],
    tops_mm: Sequence[float],
    shop: Shop,
    begins: FretNumber | None,
    crown: Length | None,
) -> HeightsOfSide | Outside:
    numbers = [number for number, _ in placed]
    places = [place for _, place in placed]
    fall_away = None
    if shop.levelling.fall_away is not None and begins is not None:
        first = next((n for n, number in enumerate(numbers) if number >= begins), len(numbers))
        if 2 <= first <= len(numbers) - 2:
            fall_away = FallAway(first, shop.levelling.fall_away.by.mm)
    work = level_side(places, tops_mm, shop.levelling.tolerance.mm, fall_away)
    if isinstance(work, Outside):
        return work
    until = fall_away.starts_at + 1 if fall_away else len(places)
    left = None if crown is None else tuple(crown_left_mm(crown.mm, filed) for filed in work.file_mm)
    return HeightsOfSide(
        key,
        tuple(str(number) for number in numbers),
        tuple(places),
        tuple(tops_mm),
        work,
        relief_mm(places[:until], work.height_after_mm[:until]),
        left,
    )


def _slips(side: HeightsOfSide) -> Iterator[Finding]:
    for number, proud in enumerate(side.work.proud_mm):
        if proud is not None and abs(proud) > LIKELY_SLIP_MM:
            what = "above" if proud > 0 else "below"
            message = f"fret {side.numbers[number]} stands more than 1 mm {what} the line of its neighbours"
            hint = "measure it again; most likely a slip of eye or pen"
            yield Finding("does-not-fit", f"{_FIELD}.{side.key}[{number}]", message, hint, "warning")


def _crown_findings(side: HeightsOfSide, least: Length | None, shop: Shop) -> Iterator[Finding]:
    """Filing that would leave less crown than the shop wants, or none at all."""
    for number, left in enumerate(side.crown_left_mm or ()):
        filed = side.work.file_mm[number]
        if not filed or left >= (least.mm if least else 0.0):
            continue
        room = "no crown" if left <= 0 else f"a crown of {said_in(Length.from_mm(round(left, 2)), shop.unit)}"
        message = f"filing fret {side.numbers[number]} level would leave {room}"
        hint = "seat it anew or take higher wire" if least is None or left <= 0 else "look whether it is seated"
        yield Finding("does-not-fit", f"{_FIELD}.{side.key}[{number}]", message, hint, "warning")
