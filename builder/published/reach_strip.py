"""The places of the frets at several scale lengths, for a hand to try on paper."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published.columns import Measure


@dataclass(frozen=True, slots=True)
class PublishedStrip:
    """One scale length, and how far each fret is from the nut, in millimetres."""

    scale: Measure
    is_own: bool
    places_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PublishedHandShape:
    """Frets pressed together, by name, and the first and last of them as places in the list of frets."""

    name: str
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class PublishedReachStrip:
    """Strips to print at full size: names of the frets in board order, a strip per scale length, the shapes to try."""

    frets: tuple[str, ...]
    strips: tuple[PublishedStrip, ...]
    shapes: tuple[PublishedHandShape, ...]
    hand_span: Measure | None
    is_bass_string: bool
