"""How much room a text takes, from its letters: enough to choose a type size by, without a typesetter."""

from __future__ import annotations

import math
import unicodedata

MM_PER_POINT = 25.4 / 72
LINE_HEIGHT = 1.3


def height_mm(text: str, points: float, width_mm: float, line_height: float = LINE_HEIGHT) -> float:
    """About how high a text stands in a column, rather too high than too low.

    `points` is the type size, `line_height` a line's height as a multiple of it. Before a long word the rest of a
    line stays empty.
    """
    if not text:
        return 0.0
    em_mm = points * MM_PER_POINT
    length_mm = sum(map(letter_em, text)) * em_mm * 1.02
    long_words = sum(sum(map(letter_em, word)) * em_mm > width_mm / 2 for word in text.split()[1:])
    return (math.ceil(length_mm / width_mm) + long_words) * em_mm * line_height


def letter_em(letter: str) -> float:
    """About how wide a letter is, as a part of the type size."""
    if letter in "MWm@%—½¼¾…" or unicodedata.east_asian_width(letter) in "WF":
        return 1.0
    if letter == "w" or letter.isupper() or ord(letter) > 0x17F:
        return 0.72
    return 0.455
