"""What a hand must span on this board, and on the same board at other scale lengths."""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Missing, Outside
from builder.calculations.frets import FretNumber, distance_from_nut_mm
from builder.calculations.reach import Shape, span_mm
from builder.lengths import Length
from builder.problems import Finding
from builder.record import Spec
from builder.results.frets import FretResults, scale_length_of


@dataclass(frozen=True, slots=True)
class ReachResults:
    """A row per shape, a span per scale length; the instrument's own comes first."""

    scales: tuple[Length, ...]
    spans_mm: tuple[tuple[Shape, tuple[float, ...]], ...]
    hand_span: Length | None

    @property
    def beyond_by_scale(self) -> tuple[tuple[Shape, ...], ...]:
        """For each scale length, the shapes that ask more than the hand spans; none where the hand is not known."""
        hand = self.hand_span
        return tuple(
            tuple(shape for shape, spans in self.spans_mm if hand is not None and spans[number] > hand.mm)
            for number in range(len(self.scales))
        )


def work_out_reach(spec: Spec, frets: FretResults | Missing) -> tuple[ReachResults | Missing, tuple[Finding, ...]]:
    """Work out every span. On a multi-scale board the bass string is the one that asks most of the hand."""
    own = scale_length_of(spec)
    if spec.reach is None or isinstance(frets, Missing) or own is None:
        return Missing(("spec.reach",)), ()
    scales = (own, *(scale for scale in spec.reach.scales if scale != own))
    rows, findings = [], []
    for number, shape in enumerate(spec.reach.shapes):
        spans = [span_mm(shape, _places_mm(scale, frets)) for scale in scales]
        known = tuple(span for span in spans if not isinstance(span, Outside))
        absent = next((span for span in spans if isinstance(span, Outside)), None)
        if absent is not None:
            hint = "name frets of this board; 0 is an open string"
            findings.append(Finding("does-not-fit", f"spec.reach.shapes[{number}]", absent.reason, hint))
        else:
            rows.append((shape, known))
    return ReachResults(scales, tuple(rows), spec.reach.hand_span), tuple(findings)


def _places_mm(scale: Length, frets: FretResults) -> dict[FretNumber, float]:
    return {fret.number: distance_from_nut_mm(scale.mm, fret.ratio) for fret in frets.frets}
