"""Exact units besides those of length: a pound, its weight, and pressures that follow from them.

A pound is 0.45359237 kg (International Yard and Pound agreement, 1959); one standard gravity is 9.80665 m/s² (3rd
General Conference on Weights and Measures, 1901). NIST SP 811, appendix B, has all of them.
"""

from __future__ import annotations

from fractions import Fraction

from builder.lengths import MM_PER_INCH

KG_PER_POUND = Fraction(45359237, 100_000_000)
KG_PER_OUNCE = KG_PER_POUND / 16
STANDARD_GRAVITY = Fraction(980665, 100_000)
NEWTONS_PER_POUND = KG_PER_POUND * STANDARD_GRAVITY
METRES_PER_INCH = MM_PER_INCH / 1000
PASCALS_PER_PSI = NEWTONS_PER_POUND / METRES_PER_INCH**2
#: A thousand pounds on a square inch, as the strength of wire is stated.
MPA_PER_KSI = PASCALS_PER_PSI / 1000


def in_fahrenheit(celsius: float) -> float:
    """A temperature in degrees Fahrenheit: 9/5 of it, and 32."""
    return celsius * 9 / 5 + 32
