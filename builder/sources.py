"""The bibliography: where every sum and every number comes from. A column names its source by key."""

from __future__ import annotations

#: key ─► citation, down to table or equation.
SOURCES: dict[str, str] = {
    "record": "The maker's own record of this instrument.",
    "shop": "The shop file: the rules, units and tolerances of the workshop.",
    "fret-law": (
        "The law of the stretched string: frequency is as one over length (Mersenne, Harmonie universelle, 1636), "
        "so a fret for the frequency ratio r lies L(1 − 1/r) from the nut."
    ),
    "equal-temperament": (
        "Twelve equal semitones to the octave, each of the ratio 2^(1/12); frequencies from "
        "A4 = 440 Hz: ISO 16:1975, Acoustics – Standard tuning frequency."
    ),
    "diatonic-fretting": (
        "The diatonic fretboard leaves out frets of the chromatic one so that the open string starts a Mixolydian "
        "scale (tone, tone, semitone, tone, tone, semitone, tone): common practice of the trade."
    ),
    "nearest-mark": (
        "The mark of the rule nearest to the exact place; midway between two marks, the one nearer the nut. "
        "The international inch is 25.4 mm exactly (1959)."
    ),
    "temperament": (
        "Temperaments as places on the line of fifths: Pythagorean (fifths of 3/2), quarter-comma meantone (four "
        "fifths make a pure third; P. Aaron, Toscanello in musica, 1523), equal divisions, and just ratios above a "
        "tonic (J. M. Barbour, Tuning and Temperament, 1951)."
    ),
    "stepping": (
        "Moving the rule along from fret to fret rounds every gap by itself, and the errors add up: common practice is "
        "to measure every fret from the nut."
    ),
    "slanted": (
        "Plane geometry: each fret is the straight line through its places on the two outer strings, carried to the "
        "edges of the board."
    ),
    "spacing": "What the strings' thicknesses leave of the spread, shared out evenly: common practice.",
    "reach": "The way along the neck between the frets pressed: common practice.",
    "fretting": "A slot between the thickness of the tang and that over its barbs: common practice.",
    "cents": "A cent is the 1200th part of an octave: 1200·log2 of the frequency ratio (A. J. Ellis, 1885).",
}
