"""The size of the label inside an instrument, where it differs from the shop's usual one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from builder.lengths import Length
from builder.limits import Between

LabelWidth = Annotated[Length, Between("20 mm", "180 mm")]
LabelHeight = Annotated[Length, Between("15 mm", "240 mm")]


@dataclass(frozen=True, slots=True)
class LabelSize:
    """How large a label this instrument takes: what its sound hole lets one see."""

    width: LabelWidth | None = None
    height: LabelHeight | None = None
