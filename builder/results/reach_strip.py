"""The places of the frets for a hand to try, on this board and on the same board at other scale lengths."""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.frets import FretNumber, distance_from_nut_mm
from builder.calculations.reach import Shape
from builder.lengths import Length
from builder.problems import Finding
from builder.record import Spec
from builder.results.frets import FretResults, scale_length_of


@dataclass(frozen=True, slots=True)
class ReachStripResults:
    """A strip per scale length, the instrument's own first, with every fret's distance from the nut.

    `shapes` are those wished for whose frets are all on the board; `hand_span` is the hand's, where it is known.
    """

    scales: tuple[Length, ...]
    frets: tuple[FretNumber, ...]
    places_mm: tuple[tuple[float, ...], ...]
    shapes: tuple[Shape, ...]
    hand_span: Length | None


def work_out_reach_strip(
    spec: Spec, frets: FretResults | Missing
) -> tuple[ReachStripResults | Missing, tuple[Finding, ...]]:
    """Every fret at every scale length. On a multi-scale board the own strip is the bass string's.

    Shapes with a fret that is not there have been found wanting with the reach, and are left out here.
    """
    own = scale_length_of(spec)
    if isinstance(frets, Missing) or own is None:
        return Missing(("spec.scale_length", "spec.frets")), ()
    reach = spec.reach
    scales = (own, *(scale for scale in dict.fromkeys(reach.scales if reach else ()) if scale != own))
    numbers = tuple(fret.number for fret in frets.frets)
    on_board = {FretNumber(0), *numbers}
    return ReachStripResults(
        scales=scales,
        frets=numbers,
        places_mm=tuple(tuple(distance_from_nut_mm(scale.mm, fret.ratio) for fret in frets.frets) for scale in scales),
        shapes=tuple(shape for shape in (reach.shapes if reach else ()) if on_board.issuperset(shape.frets)),
        hand_span=reach.hand_span if reach else None,
    ), ()
