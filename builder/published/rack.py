"""The wood rack, as the shop edition shows it: every billet, what was cut from it, what is left, its papers."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published.columns import Measure


@dataclass(frozen=True, slots=True)
class PublishedCut:
    """Parts of one instrument that came from a billet, in words."""

    serial: str
    title: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PublishedBillet:
    """One billet. `left` says what is left of it, `unsized` which parts could not be reckoned in.

    `listings` name what it may be listed under; `papers` are those on file, None where there are none.
    """

    name: str
    species: str
    botanical: str | None
    origin: str
    cut: str | None
    size: tuple[Measure, ...]
    pieces: int
    moisture_percent: float | None
    left: str | None
    left_share: float | None
    cuts: tuple[PublishedCut, ...]
    unsized: tuple[str, ...]
    listings: tuple[str, ...]
    papers: str | None
    seller: str | None
    price: str | None
    words: str | None
