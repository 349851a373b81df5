"""The fret chart of one instrument: every fret's place, read on every rule of the shop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from builder.calculations.answers import Missing, Outside
from builder.calculations.frets import (
    MOST_SEMITONES,
    Fret,
    FretNumber,
    distance_from_nut_mm,
    fret_at,
    listed_frets,
    numbered_frets,
    with_added,
)
from builder.calculations.intervals import interval_name
from builder.calculations.rules import RuleReading, cents_if_moved, coarsest_within, read_beside, stepped_mm
from builder.calculations.slanted import Edges, Line, OuterStrings
from builder.calculations.temperaments import (
    MEANTONE_FIFTH,
    PYTHAGOREAN_FIFTH,
    RATIOS_PER_OCTAVE,
    cents_against_equal,
    cents_of,
    equal_ratio,
    just_ratio,
    ratio_of_cents,
    ratio_of_fifths,
    steps_of_fifths,
)
from builder.lengths import Length
from builder.problems import Finding, did_you_mean
from builder.record import FretSpec, MultiScale, Spec, TemperamentSpec
from builder.shop import Rule, Shop
from builder.tables.just_intonation import JUST_LISTS

TWELVE = 12


@dataclass(frozen=True, slots=True)
class PlaceOnLine:
    """A fret's place along the line a rule is held to, and what every rule reads there.

    `from_nut_mm` is how far from the nut it lies, `gap_mm` how far from the fret before, `sounding_mm` what of the
    string is left.
    """

    from_nut_mm: float
    gap_mm: float
    sounding_mm: float
    readings: tuple[RuleReading, ...]


@dataclass(frozen=True, slots=True)
class PlacedFret:
    """One fret: its number, the semitones it is named by (None in other divisions), its ratio, and its places.

    `places` has one entry a measuring line of the board, in their order.
    """

    number: FretNumber
    semitones: int | None
    ratio: float
    places: tuple[PlaceOnLine, ...]

    @property
    def interval(self) -> str | None:
        """What it sounds above the open string, by name; None where its division of the octave has no such names."""
        return None if self.semitones is None else interval_name(self.semitones)

    @property
    def cents_above_open(self) -> float:
        """The same in cents."""
        return cents_of(self.ratio)

    @property
    def cents_against_equal(self) -> float:
        """How far it lies above the nearest of twelve equal steps."""
        return cents_against_equal(self.ratio)

    def worst_cents(self, rule: int) -> float:
        """The larger of its errors on one rule, with its sign, where a board has two measuring lines."""
        return max((place.readings[rule].cents for place in self.places), key=abs)


@dataclass(frozen=True, slots=True)
class MeasuringLine:
    """A line the rule is held to: `key` is empty for the centre line of a board with one scale length."""

    key: str
    name: str
    scale_length_mm: float


@dataclass(frozen=True, slots=True)
class FretResults:
    """All frets in board order. `rules` gives the order of each place's readings; `working` is the one at the bench.

    `nut`, `slanted` (the frets) and `saddle` are lines between the outer strings of a multi-scale board whose
    spacing is known.
    """

    lines: tuple[MeasuringLine, ...]
    frets: tuple[PlacedFret, ...]
    rules: tuple[Rule, ...]
    working: int
    tolerance_cents: float
    is_twelve_equal: bool
    slot_width_mm: float | None
    nut: Line | None = None
    slanted: tuple[Line, ...] = ()
    saddle: Line | None = None

    def worst_cents(self, rule: int) -> float:
        """The largest error of any fret, without its sign, if all went to the nearest mark of one rule."""
        return max(abs(place.readings[rule].cents) for fret in self.frets for place in fret.places)

    def heard(self, cents: float) -> str:
        """What the ear makes of an error: a mark short of the place sounds flat, one past it sharp."""
        if abs(cents) <= self.tolerance_cents:
            return "true"
        return "flat" if cents < 0 else "sharp"

    @property
    def greatest_lean_degrees(self) -> float | None:
        """How far the fret that leans most leans, where frets are slanted."""
        return max((abs(line.degrees) for line in self.slanted), default=None)

    def stepped_cents(self, rule: int, line: int = 0) -> tuple[float, ...]:
        """Every fret's error if one rule were moved along from fret to fret."""
        places = [fret.places[line] for fret in self.frets]
        stepped = stepped_mm([place.from_nut_mm for place in places], self.rules[rule].marks)
        return tuple(
            cents_if_moved(place.sounding_mm, reached - place.from_nut_mm)
            for place, reached in zip(places, stepped, strict=True)
        )

    def worst_stepped_cents(self, rule: int) -> float:
        """The largest of them, on any line, without its sign."""
        return max(abs(cents) for line in range(len(self.lines)) for cents in self.stepped_cents(rule, line))

    @property
    def coarsest_within_tolerance(self) -> int | None:
        """Which rule has the widest marks and still keeps every fret within the shop's tolerance."""
        worst = [self.worst_cents(number) for number in range(len(self.rules))]
        return coarsest_within(worst, [rule.marks for rule in self.rules], self.tolerance_cents)

    @property
    def half_kerf_cents(self) -> float | None:
        """The worst error, without its sign, of sawing beside the line, so that the slot lies half its width off."""
        if self.slot_width_mm is None:
            return None
        half_mm = self.slot_width_mm / 2
        return max(abs(cents_if_moved(place.sounding_mm, half_mm)) for fret in self.frets for place in fret.places)


def work_out_frets(spec: Spec, shop: Shop) -> tuple[FretResults | Missing, tuple[Finding, ...]]:
    """Place the frets of a specification. A fret the layout does not have is a finding, and is left out."""
    if spec.scale_length is None or spec.frets is None:
        given = {"spec.scale_length": spec.scale_length, "spec.frets": spec.frets}
        return Missing(tuple(name for name, value in given.items() if value is None)), ()
    frets, findings = frets_of(spec.frets)
    if not frets:
        return Missing(("spec.frets.last",)), findings
    ratios = _ratios_of(frets, spec.frets)
    if isinstance(ratios, Finding):
        return Missing(("spec.frets.temperament",)), (*findings, ratios)
    findings = (*findings, *_partial_findings(spec.frets, frets))
    if isinstance(spec.scale_length, MultiScale):
        results, more = _multi_scale(spec, spec.scale_length, shop, frets, ratios)
        return results, (*findings, *more)
    scale_length_mm = spec.scale_length.mm
    line = MeasuringLine("", "centre line", scale_length_mm)
    return _results(
        spec, shop, (line,), frets, ratios, [[distance_from_nut_mm(scale_length_mm, each)] for each in ratios]
    ), findings


def _results(
    spec: Spec,
    shop: Shop,
    lines: tuple[MeasuringLine, ...],
    frets: tuple[Fret, ...],
    ratios: tuple[float, ...],
    places_mm: list[list[float]],
    slanted: tuple[Line, tuple[Line, ...], Line] | None = None,
) -> FretResults:
    """Read every place on every rule; `places_mm` holds one place a line for each fret."""
    placed = []
    named = _notes_are_named(spec.frets)
    befores = [[0.0] * len(lines), *places_mm]
    for fret, ratio, places, before in zip(frets, ratios, places_mm, befores, strict=False):
        on_lines = []
        for line, place_mm, before_mm in zip(lines, places, before, strict=True):
            sounding_mm = line.scale_length_mm / ratio
            readings = tuple(read_beside(place_mm, sounding_mm, rule.marks) for rule in shop.rules)
            on_lines.append(PlaceOnLine(place_mm, place_mm - before_mm, sounding_mm, readings))
        placed.append(PlacedFret(fret.number, fret.semitones if named else None, ratio, tuple(on_lines)))
    working = next((n for n, rule in enumerate(shop.rules) if rule.name == shop.working_rule), 0)
    slot_width = spec.frets.slot_width if spec.frets else None
    return FretResults(
        lines, tuple(placed), shop.rules, working, shop.tolerance,
        spec.frets is not None and spec.frets.temperament == "equal",
        slot_width.mm if slot_width else None, *(slanted or (None, (), None)),
    )  # fmt: skip


def _multi_scale(
    spec: Spec, scale: MultiScale, shop: Shop, frets: tuple[Fret, ...], ratios: tuple[float, ...]
) -> tuple[FretResults, tuple[Finding, ...]]:
    """A board of two scale lengths: measured along its edges where they are known, else along the outer strings."""
    scales = (scale.bass.mm, scale.treble.mm)
    square = {fret.number: ratio for fret, ratio in zip(frets, ratios, strict=True)} | {FretNumber(0): 1.0}
    findings: list[Finding] = []
    if scale.square_at not in square:
        message = f"there is no fret {scale.square_at} to stand square"
        findings.append(
            Finding("does-not-fit", "spec.scale_length.square_at", message, "name a fret of this board, or 0")
        )
    along_strings = [[distance_from_nut_mm(each, ratio) for each in scales] for ratio in ratios]
    strings = tuple(MeasuringLine(key, f"{key} string", mm) for key, mm in zip(("bass", "treble"), scales, strict=True))
    if spec.spacing is None or findings:
        return _results(spec, shop, strings, frets, ratios, along_strings), tuple(findings)
    outer = OuterStrings(*scales, spec.spacing.at_nut.mm, spec.spacing.at_saddle.mm)
    slanted = outer.lines_mm(ratios, square[scale.square_at])
    board = spec.fretboard
    if board is None or board.width_at_nut is None or board.width_at_end is None or board.length is None:
        return _results(spec, shop, strings, frets, ratios, along_strings, slanted), ()
    edges = Edges(board.width_at_nut.mm, board.width_at_end.mm, board.length.mm)
    nut, fret_lines, _ = slanted
    at_edges = edges.carried_to(nut)
    ends = [edges.carried_to(line) for line in fret_lines]
    places = [[at_edges.bass.distance_mm(line.bass), at_edges.treble.distance_mm(line.treble)] for line in ends]
    lines = tuple(MeasuringLine(line.key, f"{line.key} edge", line.scale_length_mm) for line in strings)
    return _results(spec, shop, lines, frets, ratios, places, slanted), ()


def frets_of(spec: FretSpec) -> tuple[tuple[Fret, ...], tuple[Finding, ...]]:
    """The frets of a layout with those added to it, in board order."""
    if isinstance(spec.layout, tuple):
        return _frets_of_list(spec)
    if spec.last is None:
        hint = "write the number of the highest fret, like last: 17"
        return (), (Finding("missing-key", "spec.frets.last", "«last» is missing from «frets»", hint),)
    frets = numbered_frets(spec.layout, spec.last)
    if not frets or frets[-1].semitones > MOST_SEMITONES:
        message = f"no board has its last fret at {spec.last}"
        return (), (Finding("out-of-range", "spec.frets.last", message, "write the number of the highest fret"),)
    findings, added = [], []
    last_if_half = [("spec.frets.last", spec.last)] if spec.last.is_half else []
    for field, number in [*((f"spec.frets.add[{n}]", each) for n, each in enumerate(spec.add)), *last_if_half]:
        fret = fret_at(number, spec.layout, spec.half_frets.get(number))
        if isinstance(fret, Outside):
            hint = "write the number of the highest fret" if field == "spec.frets.last" else "leave it out"
            findings.append(Finding("impossible-fret", field, fret.reason, hint))
        elif not number.is_half:
            hint = "frets with whole numbers are there already; add only halves, like 6½"
            findings.append(Finding("impossible-fret", field, f"fret {number} is no added fret", hint))
        elif number > spec.last:
            hint = f"set last to {number}, or leave it out"
            findings.append(Finding("does-not-fit", field, f"fret {number} lies past the last fret, {spec.last}", hint))
        else:
            added.append(fret)
    there = {fret.number for fret in added}
    for number in spec.half_frets:
        if number not in there:
            message = f"there is no half fret {number} to spell"
            findings.append(Finding("does-not-fit", f"spec.frets.half_frets.{number}", message, "name a fret from add"))
    return with_added(frets, added), tuple(findings)


def _frets_of_list(spec: FretSpec) -> tuple[tuple[Fret, ...], tuple[Finding, ...]]:
    semitones = spec.layout
    assert isinstance(semitones, tuple), "only a list of the board's own comes here"
    findings = [
        Finding(
            "does-not-fit",
            f"spec.frets.layout[{number}]",
            f"fret {after} comes after {before}",
            "list the frets from the nut, each once",
        )
        for number, (before, after) in enumerate(pairwise(semitones), 1)
        if after <= before
    ]
    if spec.add:
        findings.append(
            Finding(
                "does-not-fit",
                "spec.frets.add",
                "a list of frets has nothing to be added to",
                "put the fret into the list",
            )
        )
    return listed_frets(semitones), tuple(findings)


def _partial_findings(spec: FretSpec, frets: tuple[Fret, ...]) -> Iterator[Finding]:
    numbers = {fret.number for fret in frets}
    for number in spec.partial:
        if number not in numbers:
            message = f"there is no fret {number} to be partial"
            yield Finding("does-not-fit", f"spec.frets.partial.{number}", message, "name a fret of this board")


def _notes_are_named(spec: FretSpec | None) -> bool:
    """Whether each fret is one of twelve notes: not where a chromatic board has steps of another size."""
    if spec is None or not isinstance(spec.temperament, TemperamentSpec):
        return True
    return spec.temperament.equal in (None, TWELVE) or spec.layout == "diatonic"


def _ratios_of(frets: tuple[Fret, ...], spec: FretSpec) -> tuple[float, ...] | Finding:
    """The frequency ratio of each fret, in the specification's temperament."""
    temperament = spec.temperament
    if not isinstance(temperament, TemperamentSpec):
        fifths = {"equal": None, "meantone": MEANTONE_FIFTH, "pythagorean": PYTHAGOREAN_FIFTH}[temperament]
        if fifths is None:
            return tuple(equal_ratio(fret.semitones, TWELVE) for fret in frets)
        return tuple(ratio_of_fifths(fret.semitones, fret.fifths, fifths) for fret in frets)
    kinds = [name for name in ("equal", "just", "ratios", "cents") if getattr(temperament, name)]
    if len(kinds) != 1:
        hint = "write exactly one of equal, just, ratios and cents"
        said = "nothing says how the octave is divided" if not kinds else f"{' and '.join(kinds)} do not go together"
        return Finding("does-not-fit", "spec.frets.temperament", said, hint)
    return {"equal": _divided, "just": _just, "ratios": _own, "cents": _own}[kinds[0]](frets, spec, temperament)


def _divided(frets: tuple[Fret, ...], spec: FretSpec, temperament: TemperamentSpec) -> tuple[float, ...] | Finding:
    """An octave of any number of equal steps; a chromatic board or a list has a fret per step named."""
    divisions = temperament.equal or TWELVE
    if spec.layout != "diatonic":
        return tuple(equal_ratio(fret.semitones, divisions) for fret in frets)
    tone, semitone = temperament.tone, temperament.semitone
    if tone is None or semitone is None:
        if divisions != TWELVE:
            message = "a diatonic board needs to know how many steps a tone and a semitone are"
            return Finding(
                "missing-key", "spec.frets.temperament.equal", message, "write tone: and semitone: beside equal:"
            )
        tone, semitone = 2, 1
    if 5 * tone + 2 * semitone != divisions:
        message = (
            f"five tones of {tone} and two semitones of {semitone} are {5 * tone + 2 * semitone} steps, not {divisions}"
        )
        return Finding(
            "does-not-fit", "spec.frets.temperament.tone", message, "an octave is five tones and two semitones"
        )
    return tuple(equal_ratio(steps_of_fifths(fret.semitones, fret.fifths, tone, semitone), divisions) for fret in frets)


def _just(frets: tuple[Fret, ...], spec: FretSpec, temperament: TemperamentSpec) -> tuple[float, ...] | Finding:
    field = "spec.frets.temperament.just"
    ratios: tuple[Fraction, ...]
    if isinstance(temperament.just, str):
        if temperament.just not in JUST_LISTS:
            message = f"there is no list of just ratios called «{temperament.just}»"
            return Finding("unknown-word", field, message, did_you_mean(temperament.just, JUST_LISTS))
        ratios = JUST_LISTS[temperament.just].ratios
    else:
        ratios = tuple(temperament.just or ())
        if len(ratios) != RATIOS_PER_OCTAVE or ratios[-1] != 2 or list(ratios) != sorted(set(ratios)):
            message = f"a just octave has twelve rising ratios, the last 2/1; these are {len(ratios)}"
            return Finding("does-not-fit", field, message, f"write all twelve, or name a list: {', '.join(JUST_LISTS)}")
    tonic = 0
    if temperament.tonic_at is not None and temperament.tonic_at.halves:
        found = next((fret.semitones for fret in frets if fret.number == temperament.tonic_at), None)
        if found is None:
            message = f"there is no fret {temperament.tonic_at} for the tonic"
            return Finding(
                "does-not-fit", "spec.frets.temperament.tonic_at", message, "name a fret of this board, or 0"
            )
        tonic = found
    return tuple(float(just_ratio(fret.semitones, tonic, ratios)) for fret in frets)


def _own(frets: tuple[Fret, ...], spec: FretSpec, temperament: TemperamentSpec) -> tuple[float, ...] | Finding:
    """Ratios or cents of the maker's own, one a fret."""
    name = "ratios" if temperament.ratios else "cents"
    own = tuple(map(float, temperament.ratios)) or tuple(ratio_of_cents(each) for each in temperament.cents)
    field = f"spec.frets.temperament.{name}"
    if len(own) != len(frets):
        message = f"there are {len(own)} {name} for {len(frets)} frets"
        return Finding("does-not-fit", field, message, "write one for each fret, from the nut")
    for number, (before, after) in enumerate(pairwise(own), 1):
        if after <= before:
            message = "this fret sounds no higher than the one before"
            return Finding("does-not-fit", f"{field}[{number}]", message, "list them rising, from the nut")
    return own


def scale_length_of(spec: Spec) -> Length | None:
    """The scale length of a board that has one; the bass string's of a board with two."""
    return spec.scale_length.bass if isinstance(spec.scale_length, MultiScale) else spec.scale_length
