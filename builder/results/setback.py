"""Where the saddle must stand for every string, what each fret is then off, and one straight saddle against steps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from builder.calculations.answers import Missing, Outside
from builder.calculations.pitch import Note
from builder.calculations.setback import (
    FrettedString,
    Setback,
    best_setback,
    fretted_cents,
    straight_saddle,
)
from builder.problems import Finding
from builder.record import Spec
from builder.results.as_built import AsBuiltResults
from builder.results.frets import FretResults
from builder.results.fretted_strings import StringModel, made_to_agree, models_of, place_of
from builder.results.string_heights import HeightResults, StringAbove
from builder.results.string_loads import StringLoadResults
from builder.words import counted

_FIELD = "spec.setup"
Decided = Literal["given", "straight", "best"]


@dataclass(frozen=True, slots=True)
class FretCents:
    """How many cents each fret of the board is off for one string, None where it does not lie under it.

    `lead` is the expected value; real ends lie between `pinned` and `clamped`, which are empty where only the expected
    value is wanted.
    """

    lead: tuple[float | None, ...]
    pinned: tuple[float | None, ...] = ()
    clamped: tuple[float | None, ...] = ()

    @property
    def worst(self) -> float:
        """The largest of the expected ones, without its sign."""
        return max((abs(each) for each in self.lead if each is not None), default=0.0)


@dataclass(frozen=True, slots=True)
class StringSetback:
    """One string. `best_mm` leaves the least cents; `pinned_mm` and `clamped_mm` are what the ends of the band ask for.

    `taken_mm` and `nut_mm` are what saddle and nut are set back. `measured_cents` is what was measured at the octave
    where the sums were made to agree with it. `as_sawn` and `as_measured` are for the frets where they really lie.
    """

    above: StringAbove
    pull_newtons: float
    best_mm: float
    pinned_mm: float
    clamped_mm: float
    straight_mm: float
    taken_mm: float
    nut_mm: float
    measured_cents: float | None
    without: FretCents
    at_best: FretCents
    at_straight: FretCents
    at_taken: FretCents
    as_sawn: FretCents | None
    as_measured: FretCents | None

    @property
    def nut_to_saddle_mm(self) -> float:
        """The open string from nut to saddle, along the board."""
        return self.above.sounding_mm + self.taken_mm - self.nut_mm

    @property
    def expected(self) -> FretCents:
        """The cents with all that is known of the frets' places."""
        return self.as_measured or self.as_sawn or self.at_taken


@dataclass(frozen=True, slots=True)
class SetbackResults:
    """Every string that could be worked out, bass first, each kind once a course; and which saddle is taken.

    `straight_bass_mm` and `straight_treble_mm` are the setbacks of one straight saddle under the outer strings.
    `left_out` says why other strings are not here.
    """

    frets: tuple[str, ...]
    strings: tuple[StringSetback, ...]
    decided: Decided
    nut_moves: bool
    slides: bool
    straight_bass_mm: float
    straight_treble_mm: float
    left_out: tuple[str, ...]


def work_out_setback(
    spec: Spec,
    frets: FretResults | Missing,
    heights: HeightResults | Missing,
    loads: StringLoadResults | Missing,
    as_built: AsBuiltResults | Missing,
    cents_at_octave: Mapping[Note, float],
) -> tuple[SetbackResults | Missing, tuple[Finding, ...]]:
    """Find the best setback of each string. What was measured at the octave leads where it is known."""
    setup = spec.setup
    if setup is None:
        return Missing((_FIELD,)), ()
    findings = _list_findings(spec)
    if isinstance(frets, Missing) or isinstance(heights, Missing) or isinstance(loads, Missing):
        missing = tuple(
            dict.fromkeys(f for each in (frets, heights, loads) if isinstance(each, Missing) for f in each.fields)
        )
        if not (setup.clearance or setup.clearance_treble) and (
            setup.string_tails or setup.setbacks or setup.straight_saddle or setup.nut_setback
        ):
            message = "the setback of the saddle cannot be worked out"
            hint = "write clearance: at two frets, like {1: 0.012 in, 7: 0.095 in}"
            findings.append(Finding("half-known", _FIELD, message, hint, "hint"))
        return Missing(missing), tuple(findings)
    if any(finding.severity == "error" for finding in findings):
        return Missing((_FIELD,)), tuple(findings)
    tails_mm = sum(each.mm for each in setup.string_tails) if setup.slides else 0.0
    models, left_out = models_of(frets, heights, loads, tails_mm)
    bests: list[Setback] = []
    good: list[StringModel] = []
    for model in models:
        best = best_setback(model.lead, model.frets, nut_too=setup.nut_setback)
        if isinstance(best, Outside):
            left_out.append(f"{model.above.string}: {best.reason}")
            findings.append(_doubtful(model, best))
        else:
            good.append(model)
            bests.append(best)
    if not good:
        return Missing(("spec.strings",)), tuple(findings)
    decided: Decided = "given" if setup.setbacks else "straight" if setup.straight_saddle else "best"
    in_place = _taken(spec, decided, good, bests)
    agreeing, more = made_to_agree(good, bests, in_place, cents_at_octave)
    findings += more
    if any(model.measured_cents is not None for model in agreeing):
        found = [best_setback(model.lead, model.frets, nut_too=setup.nut_setback) for model in agreeing]
        pairs = [(m, b) for m, b in zip(agreeing, found, strict=True) if isinstance(b, Setback)]
        if len(pairs) == len(good):
            bests = [best for _, best in pairs]
        else:
            agreeing = good
    taken = _taken(spec, decided, agreeing, bests)
    straight = _straight(agreeing, bests)
    strings = tuple(
        _string(model, best, line_mm, taken_mm, frets, as_built, nut_too=setup.nut_setback)
        for model, best, line_mm, taken_mm in zip(agreeing, bests, straight, taken, strict=True)
    )
    at_bass, slant = _saddle_line(agreeing, bests)
    return SetbackResults(
        tuple(str(fret.number) for fret in frets.frets), strings, decided, setup.nut_setback, setup.slides,
        at_bass, at_bass + slant, tuple(left_out),
    ), tuple(findings)  # fmt: skip


def _list_findings(spec: Spec) -> list[Finding]:
    """Lists of the wrong length."""
    setup, findings = spec.setup, []
    if setup and setup.string_tails and len(setup.string_tails) != 2:
        message = (
            f"there {'is' if len(setup.string_tails) == 1 else 'are'} {counted(len(setup.string_tails), 'string tail')}"
        )
        hint = "write two: beyond the nut, then beyond the saddle"
        findings.append(Finding("does-not-fit", f"{_FIELD}.string_tails", message, hint))
    courses = len(spec.strings) if isinstance(spec.strings, tuple) else 0
    if setup and len(setup.setbacks) > 1 and courses and len(setup.setbacks) != courses:
        message = f"there are {counted(len(setup.setbacks), 'setback')} for {counted(courses, 'course')}"
        hint = "write one for all courses, or one a course, bass first"
        findings.append(Finding("does-not-fit", f"{_FIELD}.setbacks", message, hint))
    return findings


def _doubtful(model: StringModel, outside: Outside) -> Finding:
    message = f"no setback can be worked out for {model.above.string}: {outside.reason}"
    return Finding("doubtful", f"{_FIELD}.clearance", message, "look at clearances, gauge and note", "warning")


def _saddle_line(models: list[StringModel], bests: list[Setback]) -> tuple[float, float]:
    """Setback under the bass string and how much more it is under the treble string, of one straight saddle."""
    return straight_saddle(
        [model.above.across for model in models], [best.saddle_mm for best in bests], [best.weight for best in bests]
    )


def _straight(models: list[StringModel], bests: list[Setback]) -> list[float]:
    at_bass, slant = _saddle_line(models, bests)
    return [at_bass + slant * model.above.across for model in models]


def _taken(spec: Spec, decided: Decided, models: list[StringModel], bests: list[Setback]) -> list[float]:
    """The setback each string gets: as given, on one straight saddle, or its own best."""
    given = spec.setup.setbacks if spec.setup else ()
    if decided == "given":
        return [given[min(model.above.course, len(given)) - 1].mm for model in models]
    return _straight(models, bests) if decided == "straight" else [best.saddle_mm for best in bests]


def _string(
    model: StringModel, best: Setback, straight_mm: float, taken_mm: float, frets: FretResults,
    as_built: AsBuiltResults | Missing, *, nut_too: bool,
) -> StringSetback:  # fmt: skip
    ends = [best_setback(each, model.frets, nut_too=nut_too) for each in (model.pinned, model.clamped)]
    pinned_mm, clamped_mm = (each.saddle_mm if isinstance(each, Setback) else best.saddle_mm for each in ends)
    nut_mm = best.nut_mm
    sawn, measured = _moved_by_sawing(frets, model.above), _moved_as_measured(frets, as_built, model.above)

    def cents(
        saddle_mm: float, nut_mm: float, moved: tuple[float, ...] | None = None, *, band: bool = False
    ) -> FretCents | None:
        models = (model.lead, model.pinned, model.clamped) if band else (model.lead,)
        columns = [_cents(each, model.above, frets, saddle_mm, nut_mm, moved) for each in models]
        kept = [column for column in columns if column is not None]
        return FretCents(*kept) if len(kept) == len(columns) else None

    nothing = FretCents(*((None,) * len(frets.frets),) * 3)
    return StringSetback(
        above=model.above, pull_newtons=model.lead.tension_newtons, best_mm=best.saddle_mm, pinned_mm=pinned_mm,
        clamped_mm=clamped_mm, straight_mm=straight_mm, taken_mm=taken_mm, nut_mm=nut_mm,
        measured_cents=model.measured_cents,
        without=cents(0.0, 0.0) or nothing,
        at_best=cents(best.saddle_mm, nut_mm) or nothing,
        at_straight=cents(straight_mm, nut_mm) or nothing,
        at_taken=cents(taken_mm, nut_mm, band=True) or nothing,
        as_sawn=cents(taken_mm, nut_mm, sawn) if sawn else None,
        as_measured=cents(taken_mm, nut_mm, measured) if measured else None,
    )  # fmt: skip


def _cents(
    string: FrettedString, above: StringAbove, frets: FretResults, saddle_mm: float, nut_mm: float,
    moved: tuple[float, ...] | None,
) -> tuple[float | None, ...] | None:  # fmt: skip
    """Cents at every fret of the board, with the frets moved by so much; None where a fret could not lie there."""
    places = tuple(place_of(above, frets.frets[each].ratio, moved[each] if moved else 0.0) for each in above.frets)
    found = fretted_cents(string, places, saddle_mm, nut_mm)
    if isinstance(found, Outside):
        return None
    by_fret = dict(zip(above.frets, found, strict=True))
    return tuple(by_fret.get(each) for each in range(len(frets.frets)))


def _moved_by_sawing(frets: FretResults, above: StringAbove) -> tuple[float, ...] | None:
    """How far each fret lies from its place if it was sawn at the working rule's nearest mark; None without a rule."""
    if not frets.rules:
        return None
    return tuple(
        _between([place.readings[frets.working].mark_mm - place.from_nut_mm for place in fret.places], above.across)
        for fret in frets.frets
    )


def _moved_as_measured(
    frets: FretResults, as_built: AsBuiltResults | Missing, above: StringAbove
) -> tuple[float, ...] | None:
    """How far each fret lies from its place as measured; None where nothing was."""
    if isinstance(as_built, Missing):
        return None
    keys = [column.key for column in as_built.columns]
    if keys not in (["values"], ["bass", "treble"]):
        return None
    return tuple(
        _between(
            [
                column.measured_mm[number] - fret.places[min(line, len(fret.places) - 1)].from_nut_mm
                for line, column in enumerate(as_built.columns)
            ],
            above.across,
        )
        for number, fret in enumerate(frets.frets)
    )


def _between(moved_mm: list[float], across: float) -> float:
    """What holds along one line for the whole board, or along two for a string between them."""
    return moved_mm[0] + across * (moved_mm[-1] - moved_mm[0])
