"""What every string pulls and how near it is to breaking, and what they all do to the saddle and the bridge."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from builder.calculations.answers import Missing
from builder.calculations.intervals import spelled
from builder.calculations.pitch import Note
from builder.calculations.string_loads import (
    BridgeKind,
    bridge_torque_newton_metres,
    frequency_of_hz,
    saddle_force_newtons,
    semitones_up_to,
    stress_mpa,
    tension_newtons,
)
from builder.calculations.strings import SingleString, Tuning
from builder.lengths import Unit
from builder.problems import Finding, Severity
from builder.record import Spec
from builder.record.strings import LongCourse, StringBuild
from builder.results.frets import FretResults
from builder.results.pulls import Pull, pull_in_words
from builder.results.sounding import sounding_lengths_mm
from builder.results.spacing import SpacingResults
from builder.results.string_builds import BreakingLoad, KnownString, known_string
from builder.results.strings import StringResults
from builder.results.wished_strings import WishedString, wished_strings
from builder.shop import Shop
from builder.tables.string_materials import NOT_OF_METAL

#: Lowest and highest key of a keyboard that a note of the records can have a name for: C0 to B8.
LOWEST_KEY, HIGHEST_KEY = 12, 119


@dataclass(frozen=True, slots=True)
class StringLoad:
    """One string at pitch. `field` is where it stands in the record; what is not known is None.

    `share` is that of its least breaking load, 1 being the whole of it; `highest` the highest note at which it stays
    within the shop's limit, `semitones_to_spare` how far up that is (below zero: how far down).
    """

    course: int
    field: str
    string: SingleString
    sounding_mm: float | None
    frequency_hz: float
    known: KnownString | None
    pull: Pull | None
    stress_mpa: float | None
    share: float | None
    semitones_to_spare: int | None
    highest: Note | None

    @property
    def breaking(self) -> BreakingLoad | None:
        """Its breaking load, where it is known."""
        return self.known.breaking if self.known and isinstance(self.known.breaking, BreakingLoad) else None


@dataclass(frozen=True, slots=True)
class SaddleLoad:
    """All strings on the saddle: the force down, course by course and in all, and what tips the bridge over.

    `torque_newton_metres` is None where the bridge's height is not known; above zero it tips towards the nut.
    """

    front_degrees: float
    behind_degrees: float
    by_course_newtons: tuple[float, ...]
    newtons: float
    kind: BridgeKind | None
    height_mm: float | None
    torque_newton_metres: float | None


@dataclass(frozen=True, slots=True)
class TunedLoad:
    """All strings in one tuning: their pull together, and the greatest share of a least breaking load."""

    tuning: Tuning
    newtons: float
    greatest_share: float | None


@dataclass(frozen=True, slots=True)
class StringLoadResults:
    """Every string, bass first. `total` is None unless every string's pull is known; `wanting` names what is not."""

    strings: tuple[StringLoad, ...]
    limit: float
    total: Pull | None
    tunings: tuple[TunedLoad, ...]
    saddle: SaddleLoad | None
    wished: tuple[WishedString, ...]
    wanting: tuple[str, ...]


def work_out_string_loads(
    spec: Spec,
    shop: Shop,
    frets: FretResults | Missing,
    strings: StringResults | Missing,
    spacing: SpacingResults | Missing,
) -> tuple[StringLoadResults | Missing, tuple[Finding, ...]]:
    """Weigh each string, tune it, and see what it bears. A string that must break at its note is an error."""
    if isinstance(strings, Missing) or spec.scale_length is None:
        missing = ("spec.strings",) if isinstance(strings, Missing) else ()
        return Missing((*missing, *(("spec.scale_length",) if spec.scale_length is None else ()))), ()
    lengths_mm = sounding_lengths_mm(spec, strings.courses, frets, spacing)
    limit = shop.breaking_share / 100
    beside_filament = any(string.make in NOT_OF_METAL for course in strings.courses for string in course.strings)
    loads: list[StringLoad] = []
    for number, (course, frequencies) in enumerate(zip(strings.courses, strings.frequencies_hz, strict=True), 1):
        field = "spec.strings" if isinstance(spec.strings, str) else f"spec.strings[{number - 1}]"
        for string, frequency in zip(course.strings, frequencies, strict=True):
            build = _build_of(string, number, spec, shop)
            known = known_string(string.gauge, build, beside_filament) if string.gauge else None
            loads.append(_load(number, field, string, known, lengths_mm[len(loads)], frequency, limit))
    tuned, of_tunings = _tunings(strings, tuple(loads), limit)
    pulls_now = tuple(load.pull.newtons if load.pull else None for load in loads)
    wished, of_wishes = wished_strings(spec, shop, strings, lengths_mm, beside_filament, pulls_now)
    saddle, of_saddle = _saddle(spec, tuple(loads), len(strings.courses))
    findings = (*_string_findings(tuple(loads), limit, shop.unit), *of_tunings, *of_wishes, *of_saddle)
    if all(load.known is None for load in loads) and not findings:
        return Missing(("spec.strings",)), ()
    total = _sum([load.pull for load in loads])
    return StringLoadResults(tuple(loads), limit, total, tuned, saddle, wished, _wanting(tuple(loads))), findings


def _build_of(string: SingleString, course: int, spec: Spec, shop: Shop) -> StringBuild:
    """How a string is built: what its record says, and where it is silent what the shop's stock says of its gauge."""
    stock = shop.string_stock.get(string.gauge, StringBuild()) if string.gauge else StringBuild()
    written = None if isinstance(spec.strings, str) else spec.strings[course - 1]
    if not isinstance(written, LongCourse) or string != written.string.strings[0]:
        return stock
    said = {each.name: getattr(written, each.name) for each in fields(StringBuild)}
    return replace(stock, **{name: value for name, value in said.items() if value is not None})


def _load(
    course: int,
    field: str,
    string: SingleString,
    known: KnownString | None,
    sounding_mm: float | None,
    frequency: float,
    limit: float,
) -> StringLoad:
    nothing = StringLoad(course, field, string, sounding_mm, frequency, known, None, None, None, None, None)
    if known is None or known.weight is None or sounding_mm is None:
        return nothing
    weight = known.weight
    pull = Pull(
        tension_newtons(weight.kg_per_m, sounding_mm, frequency),
        tension_newtons(weight.least_kg_per_m, sounding_mm, frequency),
        tension_newtons(weight.most_kg_per_m, sounding_mm, frequency),
    )
    stress = stress_mpa(pull.newtons, known.core.area_mm2) if known.core else None
    if not isinstance(known.breaking, BreakingLoad):
        return StringLoad(course, field, string, sounding_mm, frequency, known, pull, stress, None, None, None)
    share = pull.newtons / known.breaking.least_newtons
    safe_hz = frequency_of_hz(weight.kg_per_m, sounding_mm, limit * known.breaking.least_newtons)
    spare = semitones_up_to(frequency, safe_hz)
    key = string.note.semitone + spare
    highest = spelled(key, string.note) if LOWEST_KEY <= key <= HIGHEST_KEY else None
    return StringLoad(course, field, string, sounding_mm, frequency, known, pull, stress, share, spare, highest)


def _sum(pulls: list[Pull | None]) -> Pull | None:
    known = [pull for pull in pulls if pull is not None]
    if not known or len(known) < len(pulls):
        return None
    return Pull(
        sum(pull.newtons for pull in known),
        sum(pull.least_newtons for pull in known),
        sum(pull.most_newtons for pull in known),
    )


def _tunings(
    strings: StringResults, loads: tuple[StringLoad, ...], limit: float
) -> tuple[tuple[TunedLoad, ...], list[Finding]]:
    """Pull grows as the square of the frequency, so each tuning follows from the strings' own notes."""
    tuned_loads, findings = [], []
    for number, tuned in enumerate(strings.tunings):
        factors = [
            (hertz / own[0]) ** 2 for hertz, own in zip(tuned.frequencies_hz, strings.frequencies_hz, strict=True)
        ]
        shares = [
            (load.share * factors[load.course - 1], load)
            for load in loads
            if load.share is not None and load.breaking is not None
        ]
        pulls = [load.pull.newtons * factors[load.course - 1] for load in loads if load.pull]
        greatest = max((share for share, _ in shares), default=None)
        if len(pulls) == len(loads):
            tuned_loads.append(TunedLoad(tuned.tuning, sum(pulls), greatest))
        seen = set()
        for share, load in shares:
            if factors[load.course - 1] <= 1 or share <= limit or load.string in seen:
                continue  # told at the string itself, or within the limit
            seen.add(load.string)
            note = tuned.tuning.notes[load.course - 1]
            findings.append(_near_breaking(f"spec.tunings[{number}]", f"{load.string} at {note}", share, load, limit))
    return tuple(tuned_loads), findings


def _string_findings(loads: tuple[StringLoad, ...], limit: float, unit: Unit) -> list[Finding]:
    """Strings that break or may, and builds that do not agree; each once a course."""
    findings: dict[tuple[str, str], Finding] = {}
    for load in loads:
        for doubt in load.known.doubts if load.known else ():
            severity: Severity = "error" if load.known and load.known.weight is None else "warning"
            hint = "measure it again, or leave out what does not belong to it"
            findings[load.field, doubt] = Finding("does-not-fit", load.field, f"{load.string}: {doubt}", hint, severity)
        if load.share is not None and load.share > limit and load.pull and load.breaking:
            said, also = pull_in_words(load.pull.newtons, unit)
            what = f"{load.string} would pull {said} ({also})"
            findings[load.field, str(load.string)] = _near_breaking(load.field, what, load.share, load, limit)
    return list(findings.values())


def _near_breaking(field: str, what: str, share: float, load: StringLoad, limit: float) -> Finding:
    """An error where the string must be expected to break; a rough strength never proves that."""
    percent = f"{100 * share:.0f} % of the least that it breaks at"
    hint = (
        f"tune it to {load.highest} or lower, or make the string shorter" if load.highest else "make the string shorter"
    )
    if share > 1 and load.breaking and load.breaking.basis != "rough":
        return Finding("impossible", field, f"{what}, {percent}: it must break", hint)
    message = f"{what}, {percent}; the shop's limit is {100 * limit:.0f} %"
    return Finding("doubtful", field, message, f"{hint}; wear eye protection and come up to pitch slowly", "warning")


def _saddle(spec: Spec, loads: tuple[StringLoad, ...], courses: int) -> tuple[SaddleLoad | None, list[Finding]]:
    """Force down on the saddle, and what tips the bridge over."""
    angles = spec.setup.break_angles if spec.setup else ()
    bridge = spec.bridge
    if len(angles) != 2:
        if angles:
            message = f"there are {len(angles)} break angles" if len(angles) > 1 else "there is one break angle"
            hint = "write two: in front of the saddle, then behind it"
            return None, [Finding("does-not-fit", "spec.setup.break_angles", message, hint)]
        if bridge is not None and bridge.height is not None:
            message = "what the strings do to the bridge cannot be worked out"
            hint = "add break_angles to setup: in front of the saddle, then behind it"
            return None, [Finding("half-known", "spec.bridge", message, hint, "hint")]
        return None, []
    if any(load.pull is None for load in loads):
        return None, []
    front, behind = angles
    pulls = [0.0] * courses
    for load in loads:
        pulls[load.course - 1] += load.pull.newtons if load.pull else 0.0
    down = tuple(saddle_force_newtons(pull, front, behind) for pull in pulls)
    height_mm = bridge.height.mm if bridge and bridge.height else None
    kind = bridge.kind if bridge else None
    torque = None
    if kind is not None and height_mm is not None:
        torque = bridge_torque_newton_metres(sum(pulls), height_mm, front, behind, kind)
    return SaddleLoad(front, behind, down, sum(down), kind, height_mm, torque), []


def _wanting(loads: tuple[StringLoad, ...]) -> tuple[str, ...]:
    """What is not written and would let a sum be done, a sentence each."""
    said: dict[str, None] = {}
    for load in loads:
        if load.known is None:
            said[f"{load.string} has no gauge: write it behind the note, like {load.string.note} 12"] = None
        elif load.known.wanting:
            names = " and ".join(f"{name}:" for name in load.known.wanting)
            said[f"{load.string}: {names} of this string, in the record or in string_stock of the shop file"] = None
        if load.sounding_mm is None:
            said[f"{load.string} starts at a fret: its sounding length needs spec.frets"] = None
    return tuple(said)
