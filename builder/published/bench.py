"""What the bench needs of one instrument and a buyer does not: shown in the shop edition alone."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published.figures import Subject


@dataclass(frozen=True, slots=True)
class PublishedBench:
    """The bench page of one instrument. `stage` is how far it has come: inquiry, ordered, finished, delivered."""

    serial: str
    title: str
    kind: str
    stage: str
    promised: str | None
    subjects: tuple[Subject, ...]
