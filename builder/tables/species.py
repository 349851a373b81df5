"""The table of woods, and how to find one in it by any name a maker may write.

Names are compared without regard to case, hyphens, the order of the words and an ending of several (`walnut, black`,
`Black Walnuts`), and words that say how a board looks or where it lay (`curly`, `reclaimed`) are passed over.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from builder.tables.species_hardwoods import HARDWOODS
from builder.tables.species_softwoods import SOFTWOODS
from builder.tables.species_tropical import TROPICAL_WOODS
from builder.tables.wood_properties import Species

SPECIES: tuple[Species, ...] = (*HARDWOODS, *SOFTWOODS, *TROPICAL_WOODS)

#: Words that describe a board and name no wood.
_LOOKS = frozenset((
    "curly", "figured", "flamed", "quilted", "spalted", "highly", "torrefied", "roasted", "reclaimed", "salvaged",
    "recycled", "old", "air", "dried", "kiln", "quartersawn", "flatsawn", "rift", "sawn", "quarter", "flat",
    "tiger", "fiddleback", "ribbon", "ribboned", "straight", "grained", "burl", "crotch", "selected", "fine",
    "local", "our", "own", "tree", "wood",
))  # fmt: skip


@dataclass(frozen=True, slots=True)
class SeveralWoods:
    """A name that several woods go by; `common` lists what they are called."""

    common: tuple[str, ...]


def _words(name: str) -> tuple[str, ...]:
    """The words of a name in an order of their own, each as if there were one of it."""
    return tuple(sorted(_single(word) for word in re.findall(r"[\w']+", name.casefold().replace("×", " x "))))


def _single(word: str) -> str:
    word = word.removesuffix("'s")
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and word.endswith(("ches", "shes", "xes")):
        return word[:-2]
    return word[:-1] if len(word) > 3 and word.endswith("s") else word


def _index() -> dict[tuple[str, ...], tuple[Species, ...]]:
    """Words of every name ─► the woods that go by it. A botanical name is that of the first wood that has it."""
    index: dict[tuple[str, ...], tuple[Species, ...]] = {}
    for species in SPECIES:
        for name in species.botanical:
            index.setdefault(_words(name), (species,))
    for species in SPECIES:
        for name in species.names:
            known = index.get(_words(name), ())
            index[_words(name)] = known if species in known else (*known, species)
    index |= {_words(species.common): (species,) for species in SPECIES}
    return index


_BY_NAME = _index()


def wood_named(name: str) -> Species | SeveralWoods | None:
    """The wood that goes by this name: common, of the trade, an old one, or botanical.

    `SeveralWoods` where the name leaves it open (`maple`, `rosewood`), None where the table has nothing like it.
    """
    plain = re.sub(r"\(.*?\)", " ", name)
    for words in dict.fromkeys((_words(name), _words(plain), tuple(w for w in _words(plain) if w not in _LOOKS))):
        found = _BY_NAME.get(words)
        if found:
            return found[0] if len(found) == 1 else SeveralWoods(tuple(sorted(each.common for each in found)))
    asked = {word for word in _words(plain) if word not in _LOOKS and word != "spp"}
    if not asked:
        return None
    likely = {species.common for names, woods in _BY_NAME.items() if asked <= set(names) for species in woods}
    return SeveralWoods(tuple(sorted(likely))) if likely else None


def names_of_woods() -> tuple[str, ...]:
    """Every name in the table, for suggestions."""
    return tuple(dict.fromkeys(name for each in SPECIES for name in (each.common, *each.names, *each.botanical)))
