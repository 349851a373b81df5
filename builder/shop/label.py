"""The label the shop glues into its instruments: how large it is, and what it says besides names and number."""

from __future__ import annotations

from dataclasses import dataclass

from builder.lengths import Length
from builder.record.label import LabelHeight, LabelWidth
from builder.record.words import Line

USUAL_WIDTH = Length.from_inches(3)
USUAL_HEIGHT = Length.from_inches(2)


@dataclass(frozen=True, slots=True)
class Label:
    """Width, height, and a line of the shop's own words, such as «All wood by hand»."""

    width: LabelWidth = USUAL_WIDTH
    height: LabelHeight = USUAL_HEIGHT
    words: Line | None = None
