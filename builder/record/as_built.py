"""The instrument as it came out: frets as measured, heights, set-up, weight."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from builder.calculations.frets import FretNumber
from builder.calculations.pitch import Note
from builder.calculations.rules import Graduation
from builder.lengths import Length, Position
from builder.limits import Between, Cents, Kilograms, no_entries
from builder.record.words import Line

#: From the nut to a fret, and how high a fret stands above (or, with a minus, below) what it was measured from.
PlaceFromNut = Annotated[Length, Between("1 mm", "2.5 m")]
Height = Annotated[Position, Between("-6 mm", "6 mm")]


@dataclass(frozen=True, slots=True)
class RuleUsed:
    """The rule something was measured with: one the shop file names, or the distance of its marks."""

    written: str
    marks: Graduation | None


@dataclass(frozen=True, slots=True)
class FretPositions:
    """Where the frets lie, from the nut, in board order; read to the nearest mark of `rule`.

    `values` along the centre line of a board with one scale length; `bass` and `treble` along its two sides, which a
    board with two scale lengths needs.
    """

    rule: RuleUsed | None = None
    values: tuple[PlaceFromNut, ...] = ()
    bass: tuple[PlaceFromNut, ...] = ()
    treble: tuple[PlaceFromNut, ...] = ()


@dataclass(frozen=True, slots=True)
class FretHeights:
    """How high each fret stands, in board order, near the bass and near the treble edge.

    Heights are measured upwards: a gap of 0.002 in under a straightedge is −0.002 in. `above` says from what. A board
    with a zero fret may begin with it; a partial fret stands only in the list of the side it reaches.
    """

    above: Line | None = None
    bass: tuple[Height, ...] = ()
    treble: tuple[Height, ...] = ()


@dataclass(frozen=True, slots=True)
class SetUp:
    """How it plays: string to fret at named frets, the dip of the board, how far the octave is off on each string."""

    action: Mapping[FretNumber, Annotated[Length, Between("0.1 mm", "20 mm")]] = field(default_factory=no_entries)
    relief: Annotated[Length, Between("0 mm", "5 mm")] | None = None
    cents_at_octave: Mapping[Note, Annotated[Cents, Between("-100", "100")]] = field(default_factory=no_entries)


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """What was measured on the finished instrument. Where it differs from the specification, this counts."""

    fret_positions: FretPositions | None = None
    fret_heights: FretHeights | None = None
    crown_height: Annotated[Length, Between("0.2 mm", "3 mm")] | None = None
    setup: SetUp = SetUp()
    weight: Annotated[Kilograms, Between("20 g", "50 kg")] | None = None
