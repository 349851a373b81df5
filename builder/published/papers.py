"""Everything that the papers of one instrument are printed from."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published import Published, PublishedBench, PublishedShop
from builder.published.label import PublishedLabel
from builder.published.order import PublishedOrder
from builder.published.pattern import PublishedPattern
from builder.published.reach_strip import PublishedReachStrip
from builder.published.template import PublishedTemplate


@dataclass(frozen=True, slots=True)
class PublishedPapers:
    """One instrument for paper. `template`, `pattern` and `reach` are None where frets or outline are not known.

    `care` is the shop's own page on care, as Markdown; empty where it has none. `certificate` is the file as it was
    handed over; once it is issued, `instrument` is what was issued or last amended.
    """

    instrument: Published
    bench: PublishedBench
    shop: PublishedShop
    order: PublishedOrder
    template: PublishedTemplate | None
    pattern: PublishedPattern | None
    reach: PublishedReachStrip | None
    label: PublishedLabel
    care: str
    certificate: bytes | None = None
