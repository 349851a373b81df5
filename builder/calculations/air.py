"""The air in the body: how fast sound travels in it, and the note on which it swings in and out of the sound holes.

A rough figure. The law is that of a bottle with rigid walls (H. von Helmholtz, 1860); the plates of an instrument give
way, and its air sounds lower, often by a tenth or more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from builder.calculations.answers import Outside

#: Sound in dry air at 0 °C, in metres a second, and that temperature above absolute zero.
SPEED_AT_FREEZING, FREEZING_K = 331.3, 273.15
#: A hole with a broad rim moves air beyond both its faces, as if its neck were longer by this many radii: twice
#: 8/(3π) (Lord Rayleigh, The Theory of Sound, 1896, § 307 and appendix A).
END_CORRECTION = 16 / (3 * math.pi)


@dataclass(frozen=True, slots=True)
class Opening:
    """A hole as the air sees it: its area, and the thickness of the plate it goes through."""

    area_mm2: float
    thickness_mm: float


def speed_of_sound(celsius: float) -> float:
    """How fast sound travels in dry air, in metres a second: 331.3 · √(T / 273.15 K). For −50 to 60 °C."""
    return SPEED_AT_FREEZING * math.sqrt((celsius + FREEZING_K) / FREEZING_K)


def conductance_mm(opening: Opening) -> float:
    """How easily air moves through a hole: S / (t + 1.70 r), in millimetres, r being the radius of a circle as large.

    A long narrow hole lets air move a little more easily than this says: its rim is longer.
    """
    radius = math.sqrt(opening.area_mm2 / math.pi)
    return opening.area_mm2 / (opening.thickness_mm + END_CORRECTION * radius)


def air_resonance_hz(volume_mm3: float, openings: Sequence[Opening], celsius: float = 20.0) -> float | Outside:
    """The note of the air, in hertz: c / 2π · √(sum of the holes' conductances / volume). Rough.

    The conductances of several holes are added, which holds for holes that lie far apart against their size; their
    areas are not. Outside where there is no hole or no volume. Holds where the body is small against the wave of the
    note, and for rigid walls.
    """
    if not openings:
        return Outside("without a sound hole the air has no note of its own")
    if volume_mm3 <= 0:
        return Outside("no air is left in the body")
    eased_m = sum(map(conductance_mm, openings)) / 1000
    return speed_of_sound(celsius) / (2 * math.pi) * math.sqrt(eased_m / (volume_mm3 / 1e9))
