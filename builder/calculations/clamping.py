"""Clamps along a glued seam: how many, and how hard they press.

A seam is a run of so many millimetres, glued over a width. Where the run closes on itself, as around a rim, each clamp
has a neighbour on both sides; an open run has a clamp at either end, and so one more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

#: A share of a clamp that is the last bits of a processor's arithmetic, not wood.
_A_TRIFLE = 1e-9

Squeeze = Literal["too little", "enough", "more than it wants"]


@dataclass(frozen=True, slots=True)
class GlueRun:
    """A seam to be clamped: what it joins, how long it is, how wide the glue is, whether it closes on itself.

    `parts` are the names of the parts it joins, as in a record.
    """

    name: str
    length_mm: float
    glue_width_mm: float
    closed: bool
    parts: tuple[str, ...] = ()


def clamps_needed(run_mm: float, spacing_mm: float, *, closed: bool) -> int:
    """How many clamps set no further apart than `spacing_mm` hold a run: ⌈P/s⌉, and one more if it is open.

    For lengths above zero. Common practice (clamp-count): the last gap of an open run ends at a clamp too.
    """
    gaps = max(1, math.ceil(run_mm / spacing_mm * (1 - _A_TRIFLE)))
    return gaps if closed else gaps + 1


def pressure_pa(force_newtons: float, count: int, run_mm: float, glue_width_mm: float) -> float:
    """Mean pressure in pascals of `count` clamps on a seam: force · count / (run · width of the glue).

    For lengths above zero. It is the mean: under each jaw there is more, midway between two jaws less, the thinner the
    wood or the caul between clamp and glue the more so. Source: clamp-pressure.
    """
    return force_newtons * count / (run_mm * glue_width_mm) * 1e6


def clamps_for_pressure(wanted_pa: float, force_newtons: float, run_mm: float, glue_width_mm: float) -> int:
    """The fewest clamps that give a mean pressure: ⌈p · run · width / force⌉. For a force above zero."""
    needed_newtons = wanted_pa * run_mm * glue_width_mm / 1e6
    return max(1, math.ceil(needed_newtons / force_newtons * (1 - _A_TRIFLE)))


def squeeze_of(pressure: float, least_pa: float, most_pa: float) -> Squeeze:
    """A pressure against what glue and wood want, both ends included."""
    if pressure < least_pa * (1 - _A_TRIFLE):
        return "too little"
    return "enough" if pressure <= most_pa * (1 + _A_TRIFLE) else "more than it wants"
