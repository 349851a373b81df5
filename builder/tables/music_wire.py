"""Music wire: how strong it is at least and at most, by diameter.

Each row is the requirement of ASTM A228, as a wire merchant prints it, not as the standard's own table has it. The
merchant prints the greatest strength at 0.036 in as 255, between 358 and 352 plainly a misprint: 355 is taken.
Diameters in inches, strengths in thousands of pounds a square inch (ksi).
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.lengths import MM_PER_INCH
from builder.units import MPA_PER_KSI

SOURCE = "ASTM A228, Standard Specification for Steel Wire, Music Spring Quality: tensile requirements"
HOW_KNOWN = "read in a wire merchant's table of the standard's requirements"


@dataclass(frozen=True, slots=True)
class WireRow:
    """One diameter of the table."""

    diameter_in: float
    least_ksi: float
    most_ksi: float
    source: str = SOURCE
    how_known: str = HOW_KNOWN

    @property
    def diameter_mm(self) -> float:
        """The diameter in millimetres."""
        return self.diameter_in * float(MM_PER_INCH)

    @property
    def least_mpa(self) -> float:
        """The strength every wire of this diameter must reach, in megapascals."""
        return self.least_ksi * float(MPA_PER_KSI)

    @property
    def most_mpa(self) -> float:
        """The strength no wire of this diameter may pass, in megapascals."""
        return self.most_ksi * float(MPA_PER_KSI)


_ROWS = (
    (0.004, 439, 485), (0.005, 426, 471), (0.006, 415, 459), (0.007, 407, 449), (0.008, 399, 441),
    (0.009, 393, 434), (0.010, 387, 428), (0.011, 382, 422), (0.012, 377, 417), (0.013, 373, 412),
    (0.014, 369, 408), (0.015, 365, 404), (0.016, 362, 400), (0.018, 356, 393), (0.020, 350, 387),
    (0.022, 345, 382), (0.024, 341, 377), (0.026, 337, 373), (0.028, 333, 368), (0.030, 330, 365),
    (0.032, 327, 361), (0.034, 324, 358), (0.036, 321, 355), (0.038, 318, 352), (0.040, 315, 349),
    (0.042, 313, 346), (0.045, 309, 342), (0.048, 306, 339), (0.051, 303, 335), (0.055, 300, 331),
    (0.059, 296, 327), (0.063, 293, 324),
)  # fmt: skip

#: Thinnest wire first.
MUSIC_WIRE: tuple[WireRow, ...] = tuple(WireRow(*row) for row in _ROWS)

#: Diameter in millimetres and strength in megapascals, as `string_loads.strength_at` takes them.
LEAST_STRENGTH_MPA: tuple[tuple[float, float], ...] = tuple((row.diameter_mm, row.least_mpa) for row in MUSIC_WIRE)
MOST_STRENGTH_MPA: tuple[tuple[float, float], ...] = tuple((row.diameter_mm, row.most_mpa) for row in MUSIC_WIRE)
