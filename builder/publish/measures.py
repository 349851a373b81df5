"""Numbers on their way out: lengths in words, and no more decimals than a workshop can use."""

from __future__ import annotations

from typing import overload

from builder.lengths import Length, Unit, said_in, trimmed
from builder.published import Column, Measure
from builder.units import KG_PER_OUNCE

#: Decimals kept of a number on the way out; more would show the last bits of a processor's arithmetic.
KEPT_DECIMALS = 6


@overload
def measure(length: Length, unit: Unit) -> Measure: ...
@overload
def measure(length: None, unit: Unit) -> None: ...
@overload
def measure(length: Length | None, unit: Unit) -> Measure | None: ...
def measure(length: Length | None, unit: Unit) -> Measure | None:
    """A length in words: in the unit it was written in, which is how its maker thinks of it, and in the other."""
    if length is None:
        return None
    first = length.written_in or unit
    other: Unit = "mm" if first == "in" else "in"
    return Measure(said_in(length, first), _beside(length, other), kept(length.mm))


@overload
def measure_mm(mm: float, unit: Unit) -> Measure: ...
@overload
def measure_mm(mm: None, unit: Unit) -> None: ...
@overload
def measure_mm(mm: float | None, unit: Unit) -> Measure | None: ...
def measure_mm(mm: float | None, unit: Unit) -> Measure | None:
    """The same for a length that was worked out: in the shop's unit to what a rule can show, then in the other."""
    if mm is None:
        return None
    length = Length.from_mm(mm)
    other: Unit = "mm" if unit == "in" else "in"
    return Measure(_beside(length, unit), _beside(length, other), kept(mm))


def kept(number: float) -> float:
    """A number without the last bits of a processor's arithmetic."""
    return round(number, KEPT_DECIMALS) + 0.0


def small_weight(kg: float, unit: Unit) -> tuple[str, str]:
    """The weight of a part: in the shop's way, ounces or grams, and in the other."""
    ounces, grams = f"{kg / KG_PER_OUNCE:.1f} oz", f"{kg * 1000:.0f} g"
    return (ounces, grams) if unit == "in" else (grams, ounces)


def in_unit(mm: float, unit: Unit) -> float:
    """A length as a cell of a table: in the unit of its column."""
    return kept(inches(mm) if unit == "in" else mm)


def length_column(key: str, title: str, unit: Unit, source: str, *, signed: bool = False) -> Column:
    """The head of a column of lengths: inches to 0.001, millimetres to 0.01."""
    return Column(key, title, unit, source, 3 if unit == "in" else 2, signed)


def inches(mm: float) -> float:
    """Millimetres in inches."""
    return Length.from_mm(mm).inches


def _beside(length: Length, unit: Unit) -> str:
    """Always decimal: nobody converts to 64ths in the head."""
    return f"{trimmed(length.mm, 2)} mm" if unit == "mm" else f"{length.inches:.3f} in"
