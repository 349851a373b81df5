"""Lists of just ratios that a record may name: twelve notes above the tonic, each list with its source."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class JustList:
    """Twelve ratios above the tonic, the last of them the octave, and who wrote them down."""

    ratios: tuple[Fraction, ...]
    source: str


def _ratios(text: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(ratio) for ratio in text.split())


#: Name in a record ─► list.
JUST_LISTS: dict[str, JustList] = {
    "duodene": JustList(
        _ratios("16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 9/5 15/8 2"),
        "A. J. Ellis's duodene: three rows of four fifths, a pure third apart (1874).",
    ),
    "malcolm": JustList(
        _ratios("16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 16/9 15/8 2"),
        "A. Malcolm's monochord, A Treatise of Musick (Edinburgh, 1721).",
    ),
    "ramos": JustList(
        _ratios("135/128 10/9 32/27 5/4 4/3 45/32 3/2 128/81 5/3 16/9 15/8 2"),
        "B. Ramos de Pareja's monochord, Musica practica (Bologna, 1482).",
    ),
}
