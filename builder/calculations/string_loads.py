"""What a string pulls, how near it is to breaking, and what it does to saddle and bridge.

Forces in newtons, lengths in millimetres, stresses in megapascals (newtons a square millimetre), weights of string in
kilograms a metre, frequencies in hertz, angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Literal, TypeVar

from builder.calculations.answers import Outside
from builder.calculations.temperaments import SEMITONES_PER_OCTAVE

BridgeKind = Literal["glued", "pinned", "floating"]
Name = TypeVar("Name")

#: Further up or down than this no note has a name; keeps the answer finite for a string that hardly pulls.
MOST_SEMITONES_UP = 120


#: Rows of a table meet at their own diameters, whatever the last bit of an inch in millimetres says.
CLOSE_ENOUGH = 1e-9


def tension_newtons(weight_kg_per_m: float, sounding_mm: float, frequency_hz: float) -> float:
    """The pull that makes a string sound its note: T = μ(2Lf)². Source: string-law.

    Holds for a flexible string; real stiffness changes the pull by well under a thousandth on plain strings.
    """
    return weight_kg_per_m * (2 * sounding_mm / 1000 * frequency_hz) ** 2


def frequency_of_hz(weight_kg_per_m: float, sounding_mm: float, tension: float) -> float:
    """The note a string sounds under a pull in newtons: f = √(T/μ)/(2L). Source: string-law."""
    return math.sqrt(tension / weight_kg_per_m) / (2 * sounding_mm / 1000)


def weight_for_kg_per_m(tension: float, sounding_mm: float, frequency_hz: float) -> float:
    """What a metre must weigh for a wished pull in newtons: μ = T/(2Lf)². Source: string-law."""
    return tension / (2 * sounding_mm / 1000 * frequency_hz) ** 2


def stress_mpa(tension: float, area_mm2: float) -> float:
    """Pull shared out over the cross-section that carries it; on a plain string it is ρ(2Lf)², whatever its gauge."""
    return tension / area_mm2


def breaking_load_newtons(strength_mpa: float, area_mm2: float) -> float:
    """The pull at which a wire of that strength breaks, straight and unhurt; a knot or a sharp bend takes some off."""
    return strength_mpa * area_mm2


def strength_at(diameter: float, rows: Sequence[tuple[float, float]]) -> float | Outside:
    """Strength by diameter from a table's rows (diameter rising, strength), straight lines between them.

    Units are the table's own. Outside the table there is no answer. Source: music-wire.
    """
    slack = CLOSE_ENOUGH * diameter
    first, last = rows[0][0], rows[-1][0]
    if not first - slack <= diameter <= last + slack:
        side = "thinner" if diameter < first else "thicker"
        return Outside(f"this wire is {side} than the table of strengths goes")
    for (thin, at_thin), (thick, at_thick) in pairwise(rows):
        if diameter <= thick + slack:
            part = min(max((diameter - thin) / (thick - thin), 0.0), 1.0)
            return at_thin + part * (at_thick - at_thin)
    return rows[-1][1]


def semitones_up_to(from_hz: float, to_hz: float) -> int:
    """How many whole semitones lie between a note and a frequency that it must not pass; below zero: it is past it.

    Both above zero. Source: equal-temperament.
    """
    semitones = SEMITONES_PER_OCTAVE * math.log2(to_hz / from_hz)
    return math.floor(min(max(semitones, -MOST_SEMITONES_UP), MOST_SEMITONES_UP) + CLOSE_ENOUGH)


def saddle_force_newtons(tension: float, front_degrees: float, behind_degrees: float) -> float:
    """How hard a string presses its saddle down: T(sin α₁ + sin α₂), both angles against the plane of the soundboard.

    Assumes that the string slides freely over the saddle, so that it pulls alike on both sides. Below zero it lifts.
    Source: saddle-force.
    """
    return tension * (math.sin(math.radians(front_degrees)) + math.sin(math.radians(behind_degrees)))


def bridge_torque_newton_metres(
    tension: float, height_mm: float, front_degrees: float, behind_degrees: float, kind: BridgeKind
) -> float:
    """How hard a string tips its bridge over, about the line where it stands on the soundboard below the saddle.

    `height_mm` is that of the string at the saddle above the soundboard. A glued bridge holds the string's end itself,
    tied or by a pin: what tips it forward is the string in front alone, T cos α₁ · h. Over a floating bridge the string
    runs on to a tailpiece, and only the difference of both sides tips it: T (cos α₁ − cos α₂) · h; below zero it tips
    back. The downward force acts in the line of the saddle and turns nothing. Source: saddle-force.
    """
    along = math.cos(math.radians(front_degrees))
    if kind == "floating":
        along -= math.cos(math.radians(behind_degrees))
    return tension * along * height_mm / 1000


def nearest_pull(
    wished: float, weights_kg_per_m: Mapping[Name, float], sounding_mm: float, frequency_hz: float
) -> tuple[Name, float] | None:
    """Which of the strings in the drawer comes nearest to a wished pull in newtons, and what it really pulls.

    Of two that are as near the one that pulls less. None where the drawer is empty.
    """
    pulls = [(name, tension_newtons(weight, sounding_mm, frequency_hz)) for name, weight in weights_kg_per_m.items()]
    return min(pulls, key=lambda each: (abs(each[1] - wished), each[1])) if pulls else None
