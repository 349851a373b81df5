"""What the bench needs of one instrument and a buyer does not: shown in the shop edition alone."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published.body import PublishedBodyDrawing
from builder.published.figures import Subject
from builder.published.levelling import PublishedLevelling


@dataclass(frozen=True, slots=True)
class PublishedBench:
    """The bench page of one instrument. `stage` is how far it has come; `heights` are the frets to level."""

    serial: str
    title: str
    kind: str
    stage: str
    promised: str | None
    body_drawing: PublishedBodyDrawing | None
    heights: PublishedLevelling | None
    subjects: tuple[Subject, ...]
