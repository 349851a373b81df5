"""How high every string lies at nut and saddle, from the clearances wanted at two frets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.calculations.answers import Missing, Outside
from builder.calculations.frets import FretNumber
from builder.calculations.string_heights import HeightLine, height_line, line_between
from builder.calculations.strings import SingleString
from builder.lengths import Length
from builder.problems import Finding
from builder.record import Spec
from builder.record.as_built import AsBuilt
from builder.results.frets import FretResults, PlacedFret
from builder.results.sounding import sounding_lengths_mm
from builder.results.spacing import SpacingResults
from builder.results.strings import StringResults
from builder.shop import Shop

_FIELD = "spec.setup.clearance"
#: Less than this is the last bit of a processor's arithmetic.
_NOTHING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class StringAbove:
    """One string over the board: how far across it lies (0 bass, 1 treble), where it starts, how long it sounds.

    `line` is measured from where the string itself starts. `frets` are the board's frets that lie under it, by their
    place in board order.
    """

    course: int
    string: SingleString
    across: float
    starts_mm: float
    sounding_mm: float
    start_ratio: float
    line: HeightLine
    frets: tuple[int, ...]

    @property
    def saddle_mm(self) -> float:
        """Its height over the plane of the crowns, at the saddle without setback."""
        return self.line.above_crowns_mm(self.sounding_mm)


@dataclass(frozen=True, slots=True)
class HeightResults:
    """Every string, bass first. `crown_mm` is the height of the frets' crowns over the board, None if not known."""

    strings: tuple[StringAbove, ...]
    crown_mm: float | None


def work_out_string_heights(
    spec: Spec,
    shop: Shop,
    as_built: AsBuilt,
    frets: FretResults | Missing,
    strings: StringResults | Missing,
    spacing: SpacingResults | Missing,
) -> tuple[HeightResults | Missing, tuple[Finding, ...]]:
    """Carry each string over the two frets that say how high it lies. A string that lies on a fret is an error."""
    setup = spec.setup
    if setup is None or not (setup.clearance or setup.clearance_treble):
        return Missing((_FIELD,)), ()
    if isinstance(frets, Missing) or isinstance(strings, Missing):
        missing = frets.fields if isinstance(frets, Missing) else ("spec.strings",)
        message = "the clearances are there, but the heights of nut and saddle cannot be worked out"
        return Missing(missing), (Finding("half-known", _FIELD, message, f"write {' and '.join(missing)}", "hint"),)
    zero_fret = spec.frets is not None and spec.frets.zero_fret
    ratios = {fret.number: fret.ratio for fret in frets.frets} | {FretNumber(0): 1.0}
    findings = _clearance_findings("clearance", setup.clearance, ratios, zero_fret=zero_fret)
    if setup.clearance_treble:
        findings += _clearance_findings("clearance_treble", setup.clearance_treble, ratios, zero_fret=zero_fret)
    if findings:
        return Missing((_FIELD,)), tuple(findings)
    treble = setup.clearance_treble or setup.clearance
    above = []
    lengths_mm = sounding_lengths_mm(spec, strings.courses, frets, spacing)
    at = -1
    for number, course in enumerate(strings.courses, 1):
        for string in course.strings:
            at += 1
            sounding_mm, start = lengths_mm[at], ratios.get(course.starts_at) if course.starts_at else 1.0
            if sounding_mm is None or start is None:
                continue
            across = _across(at, number, len(strings.courses), spacing)
            scale_mm = sounding_mm * start
            lines = [_line(each, ratios, scale_mm) for each in (setup.clearance, treble)]
            if any(isinstance(line, Outside) for line in lines):
                continue
            bass_line, treble_line = (line for line in lines if isinstance(line, HeightLine))
            line = line_between(bass_line, treble_line, across)
            starts_mm = scale_mm - sounding_mm
            from_start = HeightLine(line.above_crowns_mm(starts_mm), line.rise)
            under = tuple(place for place, fret in enumerate(frets.frets) if _lies_under(fret, number, start, spec))
            above.append(StringAbove(number, string, across, starts_mm, sounding_mm, start, from_start, under))
    crown = as_built.crown_height or _crown(spec, shop)
    crown_mm = crown.mm if crown else None
    lying = _lying_findings(above, frets, crown_mm)
    if lying or not above:
        return Missing((_FIELD,)), tuple(lying)
    return HeightResults(tuple(above), crown_mm), ()


def _crown(spec: Spec, shop: Shop) -> Length | None:
    wire = shop.fret_wires.get(spec.frets.wire) if spec.frets and spec.frets.wire else None
    return wire.crown_height if wire else None


def _across(at: int, course: int, courses: int, spacing: SpacingResults | Missing) -> float:
    """How far across a string lies at the saddle; evenly where the spacing is not known."""
    if isinstance(spacing, Missing):
        return (course - 1) / max(courses - 1, 1)
    return min(max(spacing.strings[at].at_saddle_mm / spacing.spread_at_saddle_mm, 0.0), 1.0)


def _lies_under(fret: PlacedFret, course: int, start_ratio: float, spec: Spec) -> bool:
    """Whether a course can be pressed down to a fret."""
    under = spec.frets.partial.get(fret.number) if spec.frets else None
    return fret.ratio > start_ratio * (1 + 1e-9) and (under is None or course in under)


def _line(
    clearances: Mapping[FretNumber, Length], ratios: Mapping[FretNumber, float], scale_mm: float
) -> HeightLine | Outside:
    """The line over two frets, or over a zero fret and one."""
    named = {number: length.mm for number, length in clearances.items()}
    if len(named) == 1:
        named = {FretNumber(0): 0.0, **named}
    (one, at_one), (other, at_other) = named.items()
    places = (scale_mm * (1 - 1 / ratios[one]), scale_mm * (1 - 1 / ratios[other]))
    return height_line(places, (at_one, at_other))


def _clearance_findings(
    name: str, clearances: Mapping[FretNumber, Length], ratios: Mapping[FretNumber, float], *, zero_fret: bool
) -> list[Finding]:
    """What keeps clearances from saying where a string lies."""
    field = f"spec.setup.{name}"
    findings = []
    for number in clearances:
        if number not in ratios:
            message = f"there is no fret {number} to measure a clearance at"
            findings.append(Finding("does-not-fit", f"{field}.{number}", message, "name two frets of this board"))
    enough = len(clearances) == 2 or (zero_fret and len(clearances) == 1 and FretNumber(0) not in clearances)
    if not findings and not enough:
        said = {0: "no clearance is", 1: "only one fret is"}.get(len(clearances), f"{len(clearances)} clearances are")
        message = f"{said} named; a straight string needs two frets that differ"
        hint = "write two, like {1: 0.012 in, 7: 0.095 in}"
        findings.append(Finding("does-not-fit", field, message, hint))
    return findings


def _lying_findings(above: list[StringAbove], frets: FretResults, crown_mm: float | None) -> list[Finding]:
    """Strings that would lie on a fret, meet the plane of the crowns before the saddle, or dip into the board."""
    hint = "give more clearance there"
    for each in above:
        for place in each.frets:
            fret = frets.frets[place]
            at_mm = each.sounding_mm * (1 - each.start_ratio / fret.ratio)
            if each.line.above_crowns_mm(at_mm) < -_NOTHING_MM:
                message = f"with these clearances the open {each.string.note} would lie on fret {fret.number}"
                return [Finding("impossible", _FIELD, message, hint)]
        if each.saddle_mm < -_NOTHING_MM:
            message = (
                f"with these clearances the open {each.string.note} would come down to the frets before the saddle"
            )
            return [Finding("impossible", _FIELD, message, hint)]
        if crown_mm is not None and each.start_ratio == 1 and each.line.at_nut_mm + crown_mm <= 0:
            message = f"with these clearances the open {each.string.note} would lie below the board at the nut"
            hint = "give less clearance at the higher fret, or more at the lower one"
            return [Finding("impossible", _FIELD, message, hint)]
    return []
