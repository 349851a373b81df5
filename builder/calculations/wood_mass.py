"""What wood weighs: specific gravity and density at the moisture it has, and the mass of a part.

After the Wood Handbook (Forest Products Laboratory, FPL-GTR-282, chapter 4). Moisture is in per cent of the dry mass;
a basic specific gravity is the oven-dry mass over that of as much water as the green wood takes room.
"""

from __future__ import annotations

from builder.calculations.wood_movement import USUAL_START_PERCENT

WATER_KG_PER_M3 = 1000.0
#: Whole volumetric shrinkage in per cent, over basic specific gravity, where it was not measured (Eq. 4-12).
_SHRINKAGE_PER_GRAVITY = 26.5
_MM3_PER_M3 = 1e9


def shrinkage_to_percent(
    whole_percent: float, moisture_percent: float, start_percent: float = USUAL_START_PERCENT
) -> float:
    """How far wood has shrunk from green when it has this moisture, in per cent of its green size.

    Wood Handbook Eq. 4-9: S (1 − moisture / s), and nothing above s, where shrinking begins (30 % if it is unknown).
    """
    return whole_percent * max(0.0, 1 - moisture_percent / start_percent)


def usual_volumetric_shrinkage_percent(basic_gravity: float) -> float:
    """The whole shrinkage of volume to be expected of a wood by its weight alone: 26.5 · gravity (Eq. 4-12)."""
    return _SHRINKAGE_PER_GRAVITY * basic_gravity


def gravity_at(
    basic_gravity: float,
    moisture_percent: float,
    volumetric_percent: float | None = None,
    start_percent: float = USUAL_START_PERCENT,
) -> float:
    """Specific gravity of wood at its moisture: dry mass over the volume it has now.

    Wood Handbook Eq. 4-11, G / (1 − S_x / 100), with the measured shrinkage of volume; without one Eq. 4-13, which
    takes that of Eq. 4-12. For moisture from 0 % upwards; at and above s it is the basic gravity itself.
    """
    whole = usual_volumetric_shrinkage_percent(basic_gravity) if volumetric_percent is None else volumetric_percent
    return basic_gravity / (1 - shrinkage_to_percent(whole, moisture_percent, start_percent) / 100)


def basic_gravity_of(
    gravity: float,
    moisture_percent: float,
    volumetric_percent: float | None = None,
    start_percent: float = USUAL_START_PERCENT,
) -> float:
    """The basic specific gravity of a wood whose gravity is printed for a drier state, such as 12 %.

    Eq. 4-11 (or 4-13) the other way round, where the volume is that of the stated moisture.
    """
    if volumetric_percent is not None:
        return gravity * (1 - shrinkage_to_percent(volumetric_percent, moisture_percent, start_percent) / 100)
    per_gravity = shrinkage_to_percent(_SHRINKAGE_PER_GRAVITY, moisture_percent, start_percent) / 100
    return gravity / (1 + per_gravity * gravity)


def density_kg_per_m3(gravity: float, moisture_percent: float) -> float:
    """What a cubic metre of wood weighs with the water in it, in kg. Wood Handbook Eq. 4-14.

    `gravity` is that at the same moisture, from `gravity_at`.
    """
    return WATER_KG_PER_M3 * gravity * (1 + moisture_percent / 100)


def mass_kg(length_mm: float, width_mm: float, thickness_mm: float, density_kg_m3: float) -> float:
    """What a part weighs that is as long, wide and thick throughout; curves, holes and tapers are for who measures."""
    return length_mm * width_mm * thickness_mm / _MM3_PER_M3 * density_kg_m3
