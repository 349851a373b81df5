"""Where the frets go: which frets a layout has, and how far each lies from the nut.

A fret is named as the player names it. On a chromatic board that is a whole number, one per semitone. On a diatonic
board the whole numbers are the notes of a scale and the half numbers (1½, 6½) are the frets added between them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from builder.calculations.answers import Outside
from builder.calculations.temperaments import FIFTHS_PER_SHARP, SEMITONES_PER_OCTAVE, USUAL_FIFTHS
from builder.lengths import NotUnderstood, plain_fractions

DIATONIC_FRETS_PER_OCTAVE = 7

#: Semitones of open string and diatonic frets 1 to 6 above the open string: the Mixolydian scale.
MIXOLYDIAN_SEMITONES = (0, 2, 4, 5, 7, 9, 10)

#: The highest fret a board can be asked for: four octaves up, a sixteenth of the string is left.
MOST_SEMITONES = 48

Layout = Literal["chromatic", "diatonic"]
#: How a half fret is spelled: as the fret below it raised, or as the fret above it lowered.
Spelling = Literal["sharp", "flat"]

_FRET_NUMBER = re.compile(r"(\d{1,2})(?: ?(\.5|\+)| (1/2))?|(1/2|\.5)", re.ASCII)


@dataclass(frozen=True, slots=True, order=True)
class FretNumber:
    """A fret's number as the player counts it, kept in halves: `FretNumber(13)` is fret 6½."""

    halves: int

    @property
    def is_half(self) -> bool:
        """Whether it is one of the frets added between the numbered ones."""
        return self.halves % 2 == 1

    @property
    def whole(self) -> int:
        """The numbered fret at or just below it."""
        return self.halves // 2

    def __str__(self) -> str:
        if not self.is_half:
            return str(self.whole)
        return f"{self.whole}½" if self.whole else "½"


def read_fret_number(text: str) -> FretNumber:
    """Read `6`, `6½`, `6.5`, `6 1/2` or `6+`. Raises NotUnderstood with a hint for anything else."""
    found = _FRET_NUMBER.fullmatch(plain_fractions(text.strip()))
    if not found:
        raise NotUnderstood(f"«{text}» is not a fret number", "write it like 6 or 6½ (6.5 and 6+ will do)")
    whole, *halves = found.groups()
    return FretNumber(2 * int(whole or 0) + any(halves))


@dataclass(frozen=True, slots=True)
class Fret:
    """One fret of a layout: its number, its semitones above the open string, its place on the line of fifths."""

    number: FretNumber
    semitones: int
    fifths: int


def semitones_of(number: FretNumber, layout: Layout) -> int | Outside:
    """How many semitones above the open string a fret sounds.

    Answers Outside, with the reason, for a half fret where the layout has no semitone to spare: on a chromatic board
    always; on a diatonic board at 2½, 5½ and their octaves, whose neighbours are a semitone apart.
    """
    if layout == "chromatic":
        if number.is_half:
            return Outside("a chromatic board has no half frets, every semitone is there already")
        return number.whole
    octave, degree = divmod(number.whole, DIATONIC_FRETS_PER_OCTAVE)
    below = octave * SEMITONES_PER_OCTAVE + MIXOLYDIAN_SEMITONES[degree]
    if not number.is_half:
        return below
    above = semitones_of(FretNumber(number.halves + 1), layout)
    if above == below + 1:
        return Outside(
            f"there is no fret {number}: frets {number.whole} and {number.whole + 1} are a semitone apart already"
        )
    return below + 1


def fret_at(number: FretNumber, layout: Layout, spelled: Spelling | None = None) -> Fret | Outside:
    """A fret of a layout, with its place on the line of fifths.

    A half fret may be `spelled` as the fret below it raised (sharp) or the one above it lowered (flat), which is one
    note in twelve equal steps and two in most other temperaments; usually ½, 1½ and 4½ are flats, 3½ and 6½ sharps.
    """
    semitones = semitones_of(number, layout)
    if isinstance(semitones, Outside):
        return semitones
    if spelled is None or not number.is_half:
        return Fret(number, semitones, USUAL_FIFTHS[semitones % SEMITONES_PER_OCTAVE])
    neighbour = semitones - 1 if spelled == "sharp" else semitones + 1
    moved = FIFTHS_PER_SHARP if spelled == "sharp" else -FIFTHS_PER_SHARP
    return Fret(number, semitones, USUAL_FIFTHS[neighbour % SEMITONES_PER_OCTAVE] + moved)


def numbered_frets(layout: Layout, last: FretNumber) -> tuple[Fret, ...]:
    """The frets every board of this layout has, from the first to `last` (a half `last` ends at the fret below)."""
    frets = (fret_at(FretNumber(2 * whole), layout) for whole in range(1, last.whole + 1))
    return tuple(fret for fret in frets if isinstance(fret, Fret))


def listed_frets(semitones: Iterable[int]) -> tuple[Fret, ...]:
    """The frets of a list of a board's own: semitones above the open string, each fret named by them."""
    return tuple(
        Fret(FretNumber(2 * each), each, USUAL_FIFTHS[each % SEMITONES_PER_OCTAVE]) for each in sorted(set(semitones))
    )


def with_added(frets: Iterable[Fret], added: Iterable[Fret]) -> tuple[Fret, ...]:
    """Layout frets and added frets together, in board order, each once."""
    return tuple(sorted({*frets, *added}, key=lambda fret: fret.semitones))


def distance_from_nut_mm(scale_length_mm: float, frequency_ratio: float) -> float:
    """How far from the nut a fret lies that raises the open string by `frequency_ratio`.

    x = L(1 − 1/r), always measured from the nut, so that errors do not add up. Any L > 0 and r ≥ 1; the stretching
    of the string when it is pressed down is left to the setback of the saddle. Source: fret-law.
    """
    return scale_length_mm * (1.0 - 1.0 / frequency_ratio)
