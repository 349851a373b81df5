"""Where an instrument comes from and what came from it, as the shop edition shows it."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published.issued import PublishedChange


@dataclass(frozen=True, slots=True)
class PublishedKin:
    """An instrument by number and title; a pattern by its name, with no page."""

    name: str
    title: str
    is_pattern: bool = False


@dataclass(frozen=True, slots=True)
class PublishedLineage:
    """What it was started from, and before that, the nearest first; what was started from it, the oldest first.

    `changes` are what it has otherwise than the instrument it was started from: `was` there, `now` here.
    """

    forebears: tuple[PublishedKin, ...]
    offspring: tuple[PublishedKin, ...]
    changes: tuple[PublishedChange, ...]

    @property
    def is_told(self) -> bool:
        """Whether there is anything to tell."""
        return bool(self.forebears or self.offspring)
