"""How stiff a string is: what it resists being stretched and being bent with, and how much that sharpens it.

Only the core counts, for it carries the pull; the wrap of a wound string adds weight and hardly any stiffness.
Forces in newtons, lengths in millimetres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.calculations.string_weights import CoreShape, core_area_mm2

#: Pascals in a newton a square millimetre.
PASCALS_PER_NEWTON_A_SQUARE_MM = 1e6
#: Above this inharmonicity the series for clamped ends is more than 1.5 cents off: the string is nearly a bar.
MOST_INHARMONICITY = 0.02
#: Fletcher's clamped ends: 1 + (2/π)·√B + (4/π²)·B.
_FIRST, _SECOND = 2 / math.pi, 4 / math.pi**2


@dataclass(frozen=True, slots=True)
class Stiffness:
    """What a core resists with: E·A in newtons, and E·I in newtons times square millimetres."""

    stretching_newtons: float
    bending_newton_mm2: float


def core_second_moment_mm4(diameter_mm: float, shape: CoreShape = "round") -> float:
    """Second moment of a core's cross-section: π·d⁴/64 round, (5√3/144)·d⁴ six-sided, with d across its flats.

    A regular six-sided core is as stiff bent one way as another. Source: second-moments.
    """
    return (math.pi / 64 if shape == "round" else 5 * math.sqrt(3) / 144) * diameter_mm**4


def stiffness_of(youngs_modulus_pascals: float, diameter_mm: float, shape: CoreShape = "round") -> Stiffness:
    """What a solid core of one material resists with; all arguments above zero.

    A core of many fine threads, as in wound nylon, bends far more easily than this says.
    """
    modulus = youngs_modulus_pascals / PASCALS_PER_NEWTON_A_SQUARE_MM
    return Stiffness(
        modulus * core_area_mm2(diameter_mm, shape),
        modulus * core_second_moment_mm4(diameter_mm, shape),
    )


def inharmonicity(bending_newton_mm2: float, tension_newtons: float, length_mm: float) -> float:
    """How much of a bar there is in a string: B = π²·E·I / (T·L²), which for a round core is π³·E·d⁴ / (64·T·L²).

    A plain number: 0.0001 is a slack guitar string. Any tension and length above zero. Source: stiff-string.
    """
    return math.pi**2 * bending_newton_mm2 / (tension_newtons * length_mm**2)


def raised_by(inharmonicity: float, clamped: float = 0.0, mode: int = 1) -> float:
    """How far stiffness raises a partial of a string: the factor on its frequency without stiffness.

    `clamped` says how the ends are held: 0 free to turn (pinned), √(1 + B·n²); 1 held in line (clamped), which
    multiplies that by 1 + (2/π)·√B + (4/π²)·B; between them, as a real nut, fret and saddle are, part of the way.
    Pinned it is exact; clamped within 0.25 cents for B up to 0.005, within 1.5 cents up to 0.02. Source: stiff-string.
    """
    pinned = math.sqrt(1.0 + inharmonicity * mode**2)
    return float(pinned * (1.0 + _FIRST * math.sqrt(inharmonicity) + _SECOND * inharmonicity) ** clamped)


def tension_in_tune(
    flexible_newtons: float, bending_newton_mm2: float, length_mm: float, clamped: float = 0.0
) -> float | None:
    """The pull at which a stiff string sounds its note, where one without stiffness would need `flexible_newtons`.

    T·(what stiffness raises it by)² = the pull without stiffness: solved by trying again until it stands still.
    None where the string is so stiff that B passes 0.02. Source: stiff-string.
    """
    tension = flexible_newtons
    for _ in range(60):
        bar = inharmonicity(bending_newton_mm2, tension, length_mm)
        if bar > MOST_INHARMONICITY:
            return None
        before, tension = tension, flexible_newtons / raised_by(bar, clamped) ** 2
        if abs(tension - before) <= 1e-13 * tension:
            break
    return tension
