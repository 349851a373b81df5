"""How the octave is divided: the frequency ratio of a note above the open string, in one temperament or another.

A note is known by its place on the line of fifths (F C G D A E B …), counted from the open string: 0 is the open
string itself, 1 the fifth above, −1 the fourth, 6 the raised fourth, −5 the lowered second. Brought back into its
octave, that place has a ratio of its own in every temperament built of one kind of fifth; twelve equal steps are the
case in which a raised note and the lowered one above it fall together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

SEMITONES_PER_FIFTH = 7
SEMITONES_PER_OCTAVE = 12
#: Raising a note by a chromatic semitone moves it so many places along the line of fifths; lowering, back.
FIFTHS_PER_SHARP = 7

#: Semitones above the open string ─► usual place on the line of fifths: ♭2 2 ♭3 3 4 ♯4 5 ♭6 6 ♭7 7.
USUAL_FIFTHS = (0, -5, 2, -3, 4, -1, 6, 1, -4, 3, -2, 5)

#: A quarter of a comma short of pure, so that four fifths make a pure third: the fifth root is of 5 (Aaron, 1523).
MEANTONE_FIFTH = 5.0**0.25
PYTHAGOREAN_FIFTH = 1.5

RATIOS_PER_OCTAVE = 12


def octaves_of(semitones: int, fifths: int) -> int:
    """How many octaves bring a place on the line of fifths to so many semitones: 7·fifths + 12·octaves = semitones."""
    return (semitones - SEMITONES_PER_FIFTH * fifths) // SEMITONES_PER_OCTAVE


def ratio_of_fifths(semitones: int, fifths: int, pure_fifth: float) -> float:
    """Ratio in a temperament whose fifths all have the ratio `pure_fifth` and whose octaves are pure.

    With MEANTONE_FIFTH this is quarter-comma meantone, with PYTHAGOREAN_FIFTH Pythagorean tuning. Any note.
    """
    return float(pure_fifth**fifths * 2.0 ** octaves_of(semitones, fifths))


def steps_of_fifths(semitones: int, fifths: int, tone: int, semitone: int) -> int:
    """Steps of an equal division whose tone and diatonic semitone are so many steps.

    An octave is five tones and two semitones, a fifth three tones and a semitone.
    """
    return fifths * (3 * tone + semitone) + octaves_of(semitones, fifths) * (5 * tone + 2 * semitone)


def equal_ratio(steps: int, divisions: int) -> float:
    """Ratio of so many steps of an octave divided into `divisions` equal ones: 2^(steps/divisions)."""
    return float(2.0 ** (steps / divisions))


def just_ratio(semitones: int, tonic_semitones: int, ratios: Sequence[Fraction]) -> Fraction:
    """Ratio above the open string of a note so many semitones above it, in just intonation on a tonic of its own.

    `ratios` are the twelve notes above the tonic, the last of them 2; `tonic_semitones` is how far the tonic lies
    above the open string. With the tonic at the nut the second note may be 9/8; with the tonic a fourth up, the same
    fret is the sixth over the fifth, (5/3)/(3/2) = 10/9.
    """
    return _above_tonic(semitones - tonic_semitones, ratios) / _above_tonic(-tonic_semitones, ratios)


def _above_tonic(semitones: int, ratios: Sequence[Fraction]) -> Fraction:
    octaves, degree = divmod(semitones, SEMITONES_PER_OCTAVE)
    return Fraction(2) ** octaves * (ratios[degree - 1] if degree else 1)


def cents_of(ratio: float) -> float:
    """A frequency ratio in cents: 1200·log2(ratio). Source: cents."""
    return 1200.0 * math.log2(ratio)


def ratio_of_cents(cents: float) -> float:
    """Cents as a frequency ratio: 2^(cents/1200). Source: cents."""
    return float(2.0 ** (cents / 1200.0))


def cents_against_equal(ratio: float) -> float:
    """How far a note lies from the nearest of twelve equal semitones: above zero sharp, below zero flat."""
    cents = cents_of(ratio)
    return cents - 100.0 * round(cents / 100.0)
