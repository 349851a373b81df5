"""The fretboard as it is laid out full size: frets, nut, saddle, strings and pins, with what a rule reads at each."""

from __future__ import annotations

from dataclasses import dataclass

from builder.lengths import Unit
from builder.published import PublishedPoint


@dataclass(frozen=True, slots=True)
class PublishedReading:
    """How far a fret lies from the nut along a line the rule is held to, and the nearest mark of the working rule.

    `mark` is empty where the shop has no rule.
    """

    place_mm: float
    mark: str


@dataclass(frozen=True, slots=True)
class PublishedTemplateFret:
    """One fret from its bass end to its treble end, with a reading a measuring line."""

    name: str
    is_half: bool
    is_partial: bool
    bass: PublishedPoint
    treble: PublishedPoint
    readings: tuple[PublishedReading, ...]


@dataclass(frozen=True, slots=True)
class PublishedTemplateString:
    """One string: where it starts, its saddle place without and with setback, its pin, and what to measure.

    `setback_mm` is None where it could not be worked out; `saddle` is then as without. `nut_set_back_mm` is what its
    start was moved towards the saddle. `along_nut_mm` is the place of its slot from the bass edge of the nut, None
    where that is not known; `along_saddle_mm` its place on the saddle from the first string.
    """

    name: str
    is_short: bool
    diameter_mm: float | None
    start: PublishedPoint
    bare_saddle: PublishedPoint
    saddle: PublishedPoint
    pin: PublishedPoint | None
    setback_mm: float | None
    nut_set_back_mm: float
    nut_to_saddle_mm: float
    along_nut_mm: float | None
    along_saddle_mm: float


@dataclass(frozen=True, slots=True)
class PublishedTemplate:
    """Everything on the template, in millimetres from the nut: `x` along the centre line, `y` across, bass above zero.

    `outline` is the board's four corners (nut bass, nut treble, end treble, end bass), None where its widths are not
    known; `length_is_known` is False where it is only drawn a little past its last fret. `measured_along` names the
    lines the rule is held to, one or two. `rule` is the working rule with its marks, None in a shop without one.
    `saddle_is_straight` says that one straight saddle carries all strings; the saddle line without setback is
    `bare_saddle_bass` to `bare_saddle_treble`.
    """

    serial: str
    title: str
    kind: str
    maker: str
    shop: str
    unit: Unit
    outline: tuple[PublishedPoint, ...] | None
    length_mm: float
    length_is_known: bool
    zero_fret: bool
    nut_bass: PublishedPoint
    nut_treble: PublishedPoint
    bare_saddle_bass: PublishedPoint
    bare_saddle_treble: PublishedPoint
    saddle_is_straight: bool
    measured_along: tuple[str, ...]
    rule: str | None
    frets: tuple[PublishedTemplateFret, ...]
    markers: tuple[PublishedPoint, ...]
    strings: tuple[PublishedTemplateString, ...]
