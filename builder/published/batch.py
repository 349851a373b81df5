"""What several instruments that are built together need as one: bought, and picked from the rack."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published.figures import Figures


@dataclass(frozen=True, slots=True)
class PublishedPick:
    """One part to take from the rack for one instrument; `size` is that of its blank, in words."""

    serial: str
    part: str
    billet: str
    species: str
    count: int
    size: str


@dataclass(frozen=True, slots=True)
class PublishedBatch:
    """A batch: its serials in order, the shopping list of all together, and what comes from which billet."""

    serials: tuple[str, ...]
    shopping: Figures
    picks: tuple[PublishedPick, ...]
