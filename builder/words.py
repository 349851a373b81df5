"""Small turns of phrase that the whole house uses."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def in_a_row(words: Iterable[str], joint: str = "and") -> str:
    """`a, b and c`."""
    parts = list(words)
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {joint} {parts[-1]}"


def counted(number: int, word: str) -> str:
    """`1 fret`, `3 frets`."""
    return f"{number} {word}{'' if number == 1 else 's'}"


def weekday_in_words(day: date) -> str:
    """`Friday 27 November`."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
