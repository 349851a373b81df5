"""What a length of string weighs: plain wire and filament, and wire wound over a round or a six-sided core.

Lengths in millimetres, densities in kilograms a cubic metre, weights of string in kilograms a metre. Diameters and
densities are above zero; nothing else limits these sums. Plain geometry: a string is taken as bare metal or filament
at its stated diameter, untwisted and unstretched.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

CoreShape = Literal["round", "hex"]
CORE_SHAPES: tuple[CoreShape, ...] = ("round", "hex")

#: Cubic millimetres to a metre of string, in cubic metres: 1 mm² is 1e-6 m².
M2_PER_MM2 = 1e-6

#: Area of a hexagon of width 1 across its flats, and its perimeter.
HEXAGON_AREA = math.sqrt(3) / 2
HEXAGON_PERIMETER = 2 * math.sqrt(3)

#: How much of a wound string's thickness its core may be, among strings that are sold: common practice.
THINNEST_CORE, THICKEST_CORE = 0.35, 0.70


@dataclass(frozen=True, slots=True)
class StringWeight:
    """What a metre of string weighs, the best figure and the band it lies in; without a band all three are alike."""

    kg_per_m: float
    least_kg_per_m: float
    most_kg_per_m: float

    @classmethod
    def exactly(cls, kg_per_m: float) -> StringWeight:
        """A weight without a band."""
        return cls(kg_per_m, kg_per_m, kg_per_m)

    @property
    def is_a_band(self) -> bool:
        """Whether only a range is known."""
        return self.least_kg_per_m < self.most_kg_per_m


def core_area_mm2(across_mm: float, shape: CoreShape) -> float:
    """The cross-section that carries the pull: π d²/4 of a round wire, 0.8660 d² of a hexagon `d` across its flats.

    A regular hexagon is six equilateral triangles of height d/2 and side d/√3: 6 · (d/√3)(d/2)/2 = (√3/2) d².
    """
    return (HEXAGON_AREA if shape == "hex" else math.pi / 4) * across_mm**2


def core_perimeter_mm(across_mm: float, shape: CoreShape) -> float:
    """The way round the core: π d, or six sides of d/√3."""
    return (HEXAGON_PERIMETER if shape == "hex" else math.pi) * across_mm


def plain_weight_kg_per_m(diameter_mm: float, density_kg_per_m3: float) -> float:
    """A plain round string: density times π d²/4. Source: string-weight."""
    return density_kg_per_m3 * core_area_mm2(diameter_mm, "round") * M2_PER_MM2


def wrap_per_length(core_mm: float, wrap_mm: float, shape: CoreShape = "round") -> float:
    """How much longer the wrap wire is than the string it is wound on, turns touching.

    The middle of the wrap runs w/2 outside the core, so one turn goes round a closed line whose length is the core's
    own perimeter and the arcs at its corners, together a full circle of radius w/2: P + πw (J. Steiner, 1840; for a
    round core π(d + w)). Meanwhile it moves on by its own thickness w. Unrolled, that is the long side of a right
    triangle: √((P + πw)² + w²) for every w of string. Source: string-weight.
    """
    round_once_mm = core_perimeter_mm(core_mm, shape) + math.pi * wrap_mm
    return math.hypot(round_once_mm, wrap_mm) / wrap_mm


def wound_weight_kg_per_m(
    core_mm: float,
    wrap_mm: float,
    core_density_kg_per_m3: float,
    wrap_density_kg_per_m3: float,
    shape: CoreShape = "round",
) -> float:
    """One layer of round wire, turns touching, over a core: the core's weight and that of the helix.

    Left out: a wrap ground flat or drawn thin as it is laid on, silk between core and wrap, a second layer, plating.
    Source: string-weight.
    """
    core = core_density_kg_per_m3 * core_area_mm2(core_mm, shape)
    wrap = wrap_density_kg_per_m3 * core_area_mm2(wrap_mm, "round") * wrap_per_length(core_mm, wrap_mm, shape)
    return (core + wrap) * M2_PER_MM2


def likely_wound_weight(
    diameter_mm: float, core_density_kg_per_m3: float, lightest_wrap_kg_per_m3: float, heaviest_wrap_kg_per_m3: float
) -> StringWeight:
    """The band in which the weight of a round-wound string must lie whose construction nobody knows.

    Thin core and thick wrap weigh nearly what thick core and thin wrap do, for the wrap's round wires leave air between
    them; so a band holds for every string whose core, round or six-sided, is 0.35 to 0.70 of its thickness (common
    practice), with the lightest to the heaviest wrap. An estimate: it says nothing of the core's strength. Not for
    cores of filament.
    """
    weights = [
        wound_weight_kg_per_m(part * diameter_mm, (1 - part) / 2 * diameter_mm, core_density_kg_per_m3, wrap, shape)
        for part in (THINNEST_CORE, THICKEST_CORE)
        for wrap in (lightest_wrap_kg_per_m3, heaviest_wrap_kg_per_m3)
        for shape in CORE_SHAPES
    ]
    least, most = min(weights), max(weights)
    return StringWeight((least + most) / 2, least, most)


def wrap_of_gauge_mm(gauge_mm: float, core_mm: float) -> float:
    """The wrap that makes up a gauge over a known core: a wound string is as thick as its core and two wraps.

    Zero or less where the core leaves no room. The same with core and wrap exchanged is `core_of_gauge_mm`.
    """
    return (gauge_mm - core_mm) / 2


def core_of_gauge_mm(gauge_mm: float, wrap_mm: float) -> float:
    """The core that makes up a gauge under a known wrap. Zero or less where the wrap leaves no room."""
    return gauge_mm - 2 * wrap_mm


def diameter_for_weight_mm(kg_per_m: float, density_kg_per_m3: float) -> float:
    """How thick a plain string of a given weight is: the other way round of `plain_weight_kg_per_m`."""
    return math.sqrt(4 * kg_per_m / (math.pi * density_kg_per_m3 * M2_PER_MM2))
