"""A pull as the results carry it, and as messages and pages say it."""

from __future__ import annotations

from dataclasses import dataclass

from builder.lengths import Unit
from builder.units import NEWTONS_PER_POUND


@dataclass(frozen=True, slots=True)
class Pull:
    """A pull in newtons: the best figure, and the band where the weight of the string is known only so far."""

    newtons: float
    least_newtons: float
    most_newtons: float

    @property
    def is_a_band(self) -> bool:
        """Whether only a range is known."""
        return self.least_newtons < self.most_newtons


def pull_in_words(newtons: float, unit: Unit) -> tuple[str, str]:
    """A force to a tenth, as the shop says it and in the other unit: `16.3 lb` and `72.6 N`, or the other way round."""
    pounds, in_newtons = f"{newtons / NEWTONS_PER_POUND:.1f} lb", f"{newtons:.1f} N"
    return (pounds, in_newtons) if unit == "in" else (in_newtons, pounds)
