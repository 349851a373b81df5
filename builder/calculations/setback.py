"""Where the saddle must stand so that fretted notes agree with the open string: the setback.

Pressing a string down to a fret stretches it, and a shorter string is held stiffer by its ends: both sharpen. A saddle
that stands further away than the scale length flattens the fretted notes more than the open string, which is tuned
again, and so makes up for it on the average of all frets. Forces in newtons, lengths in millimetres, places measured
from where the nut stands for the scale length. A setback above zero makes the string longer; a nut setback above zero
moves the nut towards the saddle.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from builder.calculations.answers import Outside
from builder.calculations.stiffness import MOST_INHARMONICITY, inharmonicity, raised_by, tension_in_tune

CENTS_PER_OCTAVE = 1200
#: How the ends of a real string are taken to be held, where nothing was measured: half-way from pinned to clamped.
USUAL_CLAMPED = 0.5
#: A setback longer than this part of the scale length means that something else is wrong.
MOST_SETBACK = 0.05
#: How far stretching may be scaled to agree with what was measured.
MOST_STRETCH = 20.0
#: Step for slopes: far below what a saddle can be set to, far above what is lost in the last decimals.
_STEP_MM = 0.01


@dataclass(frozen=True, slots=True)
class FrettedString:
    """One string as it lies over the frets.

    `tension_newtons` is the pull T = μ(2Lf)² at the scale length. Heights are those of the string over the plane of
    the crowns, at nut and saddle; at the nut it may be below zero. `tails_mm` are the lengths beyond nut and saddle
    together that stretch along; zero where the string does not slide. `stretch` scales the stretching and `clamped`
    says how the ends are held (0 pinned, 1 clamped): both are for agreeing with a measurement.
    """

    scale_length_mm: float
    tension_newtons: float
    stretching_newtons: float
    bending_newton_mm2: float
    height_at_nut_mm: float = 0.0
    height_at_saddle_mm: float = 0.0
    tails_mm: float = 0.0
    stretch: float = 1.0
    clamped: float = USUAL_CLAMPED


@dataclass(frozen=True, slots=True)
class FretPlace:
    """A fret under a string: how far from the nut, and how many times the open string's frequency it should sound."""

    place_mm: float
    ratio: float


@dataclass(frozen=True, slots=True)
class Setback:
    """The best place of the saddle, and of the nut where that may move, too.

    `weight` is the sum over the frets of (cents a millimetre of setback)²: how much the string minds another place.
    """

    saddle_mm: float
    nut_mm: float
    weight: float


def pressed_longer_mm(
    string: FrettedString, place_mm: float, first_mm: float, setback_mm: float = 0.0, nut_setback_mm: float = 0.0
) -> float:
    """How much longer a string's path becomes when it is pressed down until it touches a fret's crown.

    Two straight lines, nut to crown and crown to saddle, less the one from nut to saddle. Where the nut lies lower than
    the crowns the string first rests on the crown of the first fret, `first_mm` from the nut. That the finger presses
    on, behind the fret, is left out. Source: pressed-string.
    """
    nut_mm, saddle_mm = nut_setback_mm, string.scale_length_mm + setback_mm
    at_nut, at_saddle = string.height_at_nut_mm, string.height_at_saddle_mm
    over_mm = min(first_mm, place_mm) if at_nut < 0 else place_mm
    path = math.hypot(over_mm - nut_mm, at_nut) + (place_mm - over_mm) + math.hypot(saddle_mm - place_mm, at_saddle)
    return max(path - math.hypot(saddle_mm - nut_mm, at_saddle - at_nut), 0.0)


def fretted_cents(
    string: FrettedString, frets: Sequence[FretPlace], setback_mm: float = 0.0, nut_setback_mm: float = 0.0
) -> tuple[float, ...] | Outside:
    """How many cents each fretted note is off, against the open string tuned again; above zero it is sharp.

    The note at a fret is the open one times (L₀/Lₙ)·√(Tₙ/T₀)·Sₙ/S₀: lengths as the string lies, the pull
    Tₙ = T₀ + E·A·ΔL/(L₀ + tails), and S what stiffness raises each by. Frets in board order, each above the nut and
    before the saddle. Answers Outside where a string is so stiff or short that this no longer holds.
    Source: setback.
    """
    nut_mm, saddle_mm = nut_setback_mm, string.scale_length_mm + setback_mm
    open_mm = math.hypot(saddle_mm - nut_mm, string.height_at_saddle_mm - string.height_at_nut_mm)
    flexible = string.tension_newtons * (open_mm / string.scale_length_mm) ** 2
    tension = tension_in_tune(flexible, string.bending_newton_mm2, open_mm, string.clamped)
    if tension is None:
        return Outside("this string is too stiff for its pull to be worked out as a string")
    open_raised = raised_by(inharmonicity(string.bending_newton_mm2, tension, open_mm), string.clamped)
    first_mm = frets[0].place_mm if frets else 0.0
    cents = []
    for fret in frets:
        if not nut_mm < fret.place_mm < saddle_mm:
            return Outside("a fret lies beyond the nut or the saddle")
        longer_mm = pressed_longer_mm(string, fret.place_mm, first_mm, setback_mm, nut_setback_mm)
        pull = tension + string.stretch * string.stretching_newtons * longer_mm / (open_mm + string.tails_mm)
        sounding_mm = math.hypot(saddle_mm - fret.place_mm, string.height_at_saddle_mm)
        bar = inharmonicity(string.bending_newton_mm2, pull, sounding_mm)
        if bar > MOST_INHARMONICITY:
            return Outside("at its highest frets this string is too stiff to be worked out as a string")
        raised = raised_by(bar, string.clamped) / open_raised
        sounds = open_mm / sounding_mm * math.sqrt(pull / tension) * raised
        cents.append(CENTS_PER_OCTAVE * math.log2(sounds / fret.ratio))
    return tuple(cents)


def best_setback(string: FrettedString, frets: Sequence[FretPlace], *, nut_too: bool = False) -> Setback | Outside:
    """The setback whose cents, squared and added over all frets, are the least; with `nut_too` the nut's as well.

    Squares are added, rather than the worst fret taken, so that no single fret rules. Moving the nut needs three frets
    or more, else it stays. Newton's way from one straight line to the next. Answers Outside where there are no frets,
    or where more than a twentieth of the scale length would be needed. Source: least-squares.
    """
    if not frets:
        return Outside("there is no fret to be in tune")
    nut_too = nut_too and len(frets) > 2
    most_mm = MOST_SETBACK * string.scale_length_mm
    least_mm = -min(most_mm, (string.scale_length_mm - max(fret.place_mm for fret in frets)) / 2)
    most_nut_mm = min(most_mm, min(fret.place_mm for fret in frets) / 2)
    saddle_mm, nut_mm, weight = 0.0, 0.0, 0.0
    for _ in range(40):
        cents = fretted_cents(string, frets, saddle_mm, nut_mm)
        further = fretted_cents(string, frets, saddle_mm + _STEP_MM, nut_mm)
        if isinstance(cents, Outside):
            return cents
        if isinstance(further, Outside):
            return further
        by_saddle = [(after - before) / _STEP_MM for before, after in zip(cents, further, strict=True)]
        by_nut: list[float] = []
        if nut_too:
            nearer = fretted_cents(string, frets, saddle_mm, nut_mm + _STEP_MM)
            if isinstance(nearer, Outside):
                return nearer
            by_nut = [(after - before) / _STEP_MM for before, after in zip(cents, nearer, strict=True)]
        weight = sum(slope**2 for slope in by_saddle)
        step_mm, nut_step_mm = _towards_least_squares(cents, by_saddle, by_nut)
        before_mm = (saddle_mm, nut_mm)
        saddle_mm = min(max(saddle_mm + step_mm, least_mm), most_mm)
        nut_mm = min(max(nut_mm + nut_step_mm, -most_nut_mm), most_nut_mm)
        if abs(saddle_mm - before_mm[0]) + abs(nut_mm - before_mm[1]) < 1e-7:
            break
    if saddle_mm in (least_mm, most_mm):
        return Outside("no setback within a twentieth of the scale length would bring it into tune")
    return Setback(saddle_mm, nut_mm, weight)


def _towards_least_squares(
    cents: Sequence[float], by_saddle: Sequence[float], by_nut: Sequence[float]
) -> tuple[float, float]:
    """One step of Gauss and Newton: the least squares of cents + slope·step."""

    def dot(one: Sequence[float], other: Sequence[float]) -> float:
        return sum(a * b for a, b in zip(one, other, strict=True))

    saddle, wanted = dot(by_saddle, by_saddle), -dot(by_saddle, cents)
    if not by_nut:
        return (wanted / saddle if saddle else 0.0), 0.0
    nut, both, nut_wanted = dot(by_nut, by_nut), dot(by_saddle, by_nut), -dot(by_nut, cents)
    determinant = saddle * nut - both**2
    if determinant <= 1e-9 * saddle * nut:
        return (wanted / saddle if saddle else 0.0), 0.0
    return (wanted * nut - nut_wanted * both) / determinant, (nut_wanted * saddle - wanted * both) / determinant


def straight_saddle(
    across_mm: Sequence[float], setbacks_mm: Sequence[float], weights: Sequence[float]
) -> tuple[float, float]:
    """The one straight saddle that serves all strings best: its setback at place 0 across, and its slant.

    Near its best place a string's squared cents grow as weight · (distance from it)², so the line is that of least
    squares with those weights. Strings that all lie at one place across give a saddle without slant. At least one
    string. Source: least-squares.
    """
    total = sum(weights)
    if total <= 0:
        return sum(setbacks_mm) / len(setbacks_mm), 0.0
    centre = sum(w * x for w, x in zip(weights, across_mm, strict=True)) / total
    mean = sum(w * s for w, s in zip(weights, setbacks_mm, strict=True)) / total
    spread = sum(w * (x - centre) ** 2 for w, x in zip(weights, across_mm, strict=True))
    if spread <= 1e-12 * total:
        return mean, 0.0
    slant = sum(w * (x - centre) * s for w, x, s in zip(weights, across_mm, setbacks_mm, strict=True)) / spread
    return mean - slant * centre, slant


def agreeing_with(
    string: FrettedString, first: FretPlace, octave: FretPlace, measured_cents: float, setback_mm: float,
    nut_setback_mm: float = 0.0,
) -> FrettedString | Outside:  # fmt: skip
    """The string with its stretching scaled so that the octave fret is off by what was measured there.

    The measurement belongs to the saddle standing `setback_mm` back. It is laid to the stretching, which the finger and
    friction at nut and saddle change most, and only where even no stretching were too sharp to ends that turn more
    freely. `first` is the board's first fret. Answers Outside where neither explains it. Source: setback.
    """

    def off(tried: FrettedString) -> float | Outside:
        cents = fretted_cents(tried, (first, octave), setback_mm, nut_setback_mm)
        return cents if isinstance(cents, Outside) else cents[1] - measured_cents

    def between(low: FrettedString, high: FrettedString) -> FrettedString | Outside:
        """Halve the way from one that is too flat to one that is too sharp."""
        for _ in range(60):
            middle = replace(low, stretch=(low.stretch + high.stretch) / 2, clamped=(low.clamped + high.clamped) / 2)
            at_middle = off(middle)
            if isinstance(at_middle, Outside):
                return at_middle
            low, high = (low, middle) if at_middle > 0 else (middle, high)
        return low

    unstretched, freely = replace(string, stretch=0.0), replace(string, stretch=0.0, clamped=0.0)
    most = replace(string, stretch=MOST_STRETCH)
    at_none, at_freely, at_most = off(unstretched), off(freely), off(most)
    if isinstance(at_none, Outside):
        return at_none
    if isinstance(at_freely, Outside):
        return at_freely
    if isinstance(at_most, Outside):
        return at_most
    if at_none <= 0 <= at_most:
        return between(unstretched, most)
    if at_freely <= 0 <= at_none:
        return between(freely, unstretched)
    way = "flatter" if at_freely > 0 else "sharper"
    return Outside(f"the octave was measured {way} than this string could sound with the saddle there")
