"""What to beware of with a finish, by the words that stand on it. The label and the safety data sheet lead."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FinishHazard:
    """Words on a tin, and what a careful shop would say about what is in it; where that is known from."""

    words: tuple[str, ...]
    caution: str
    source: str


OILY_RAGS = (
    "Rags wet with a drying oil heat up by themselves and can catch fire: dry them spread out flat, out of doors, or "
    "keep them under water in a closed metal can."
)
SOLVENTS = "Its vapour burns and harms: air the room, keep flames, heaters and sparks away, and wear gloves."
SPRAY = "Spraying asks for a booth and a respirator with the cartridges its data sheet names."
ISOCYANATES = "A two-part finish may hold isocyanates, which can start asthma: follow its data sheet to the letter."

_COMMON = "fire services' and makers' usual warning; common practice"

HAZARDS: tuple[FinishHazard, ...] = (
    FinishHazard(("oil", "varnish", "linseed", "tung", "danish"), OILY_RAGS, _COMMON),
    FinishHazard(
        ("shellac", "polish", "lacquer", "varnish", "alcohol", "spirit", "turpentine", "thinned", "solvent"),
        SOLVENTS,
        _COMMON,
    ),
    FinishHazard(("lacquer", "spray", "sprayed"), SPRAY, _COMMON),
    FinishHazard(("two-part", "catalysed", "catalyzed", "polyurethane", "2k"), ISOCYANATES, _COMMON),
)
