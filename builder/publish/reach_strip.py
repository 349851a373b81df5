"""Names the reach strip: fret places at full size for several scale lengths."""

from __future__ import annotations

from builder.calculations.answers import Missing
from builder.lengths import Unit
from builder.publish.measures import kept, measure
from builder.published.reach_strip import PublishedHandShape, PublishedReachStrip, PublishedStrip
from builder.record import MultiScale, Spec
from builder.results.reach_strip import ReachStripResults


def reach_strip_of(results: ReachStripResults | Missing, spec: Spec, unit: Unit) -> PublishedReachStrip | None:
    """The strips to print; None where no frets can be placed."""
    if isinstance(results, Missing):
        return None
    shapes = []
    for shape in results.shapes:
        pressed = [results.frets.index(fret) for fret in shape.frets if fret.halves]
        if pressed:
            shapes.append(PublishedHandShape(str(shape), min(pressed), max(pressed)))
    return PublishedReachStrip(
        frets=tuple(map(str, results.frets)),
        strips=tuple(
            PublishedStrip(measure(scale, unit), place == 0, tuple(map(kept, places)))
            for place, (scale, places) in enumerate(zip(results.scales, results.places_mm, strict=True))
        ),
        shapes=tuple(shapes),
        hand_span=measure(results.hand_span, unit),
        is_bass_string=isinstance(spec.scale_length, MultiScale),
    )
