"""The pattern of a body: every line of it as it is cut or drawn full size, and the words that stand beside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from builder.published.columns import Measure

PatternLayer = Literal[
    "outline",
    "inside",
    "linings",
    "end blocks",
    "braces soundboard",
    "braces back",
    "sound holes",
    "sound holes back",
]
PatternPlace = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PatternLine:
    """One line: what it is, the places it goes through, and whether it runs on from the last to the first.

    Between two places it is straight; from a curve it strays by less than a hundredth of a millimetre. `name` is what
    is written beside it, `more` what else there is to say of it: an end block's angles, a brace's width and length.
    """

    layer: PatternLayer
    name: str
    more: tuple[str, ...]
    closed: bool
    places: tuple[PatternPlace, ...]


@dataclass(frozen=True, slots=True)
class PublishedPattern:
    """A body full size. Millimetres: `x` from the tail end, `y` from the centre line, the bass side above zero.

    `half` is the bass half of `lines`, cut at the centre line; it is empty where the two sides are not alike.
    `not_on_half` names what is left out of it because it is not alike on both sides. `tail` and `head` are where the
    centre line begins and ends; `saddle` and `nut` are places on it, None where not known.
    """

    serial: str
    title: str
    kind: str
    length: Measure
    width: Measure
    lines: tuple[PatternLine, ...]
    half: tuple[PatternLine, ...]
    not_on_half: tuple[str, ...]
    tail: float
    head: float
    saddle: float | None
    nut: float | None
