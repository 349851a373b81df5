"""The body as it is drawn, to scale, seen from above the soundboard with the tail end to the left."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PublishedHole:
    """A sound hole: whether it is in the soundboard, and its edge as places `(x, y)` in millimetres."""

    in_soundboard: bool
    edge: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PublishedBrace:
    """A brace: whether it is on the soundboard, and its four corners; one of unknown width has two, its ends."""

    on_soundboard: bool
    corners: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PublishedBodyDrawing:
    """Everything the drawing of a body needs. Millimetres: `x` from the tail end, `y` from the centre line, bass above.

    `outline`, `inside` and `linings` (the line the linings reach to) are closed lines, the latter two empty where they
    are not known. `centre` is from where to where the centre line goes; `saddle` and `nut` are places on it.
    """

    length_mm: float
    width_mm: float
    outline: tuple[tuple[float, float], ...]
    inside: tuple[tuple[float, float], ...]
    linings: tuple[tuple[float, float], ...]
    blocks: tuple[tuple[tuple[float, float], ...], ...]
    holes: tuple[PublishedHole, ...]
    braces: tuple[PublishedBrace, ...]
    centre: tuple[float, float]
    saddle: float | None
    nut: float | None
