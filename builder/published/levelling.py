"""The heights of the frets as they are drawn: both sides of the board, as measured and once the work is done."""

from __future__ import annotations

from dataclasses import dataclass

from builder.lengths import Unit


@dataclass(frozen=True, slots=True)
class PublishedHeights:
    """One side: `key` is bass or treble. Heights are in thousandths of an inch or hundredths of a millimetre.

    `after` is the height once low frets are seated anew and the rest is filed; `reseat` names the frets to seat.
    """

    key: str
    frets: tuple[str, ...]
    places_mm: tuple[float, ...]
    heights: tuple[float, ...]
    after: tuple[float, ...]
    reseat: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PublishedLevelling:
    """What the drawing of the heights needs; `unit` is the shop's."""

    unit: Unit
    sides: tuple[PublishedHeights, ...]
