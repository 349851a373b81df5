"""What was ordered, for the workshop's own paper: from the private file, and so in no page that a buyer sees."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PublishedOrder:
    """The order as the bench sheet prints it. Days are ISO dates; `buyer` is None where names are left out."""

    buyer: str | None
    asked_for: str | None
    agreed: str | None
    ordered: str | None
    promised: str | None

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to print of it."""
        return not (self.buyer or self.asked_for or self.agreed or self.ordered or self.promised)
