"""Canaries and the places they stand in: who may come upon which of them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from tests.privacy.decisions import ONLY_LEADING_ON
from tests.privacy.searching import CANARY
from tests.privacy.trees import Leaf

NOBODY, EVERYBODY = "", "everybody"


@dataclass(frozen=True)
class Place:
    """Where a canary stands: the file, where in it, and who may read it there: nobody, or everybody, or whoever has
    the address of an unlisted instrument (then its ending).

    `names` are the canaries it hangs on: a billet's origin is read only where the billet is named. `leaf` is the
    field; a name that `leads_on` is not read itself.
    """

    file: str
    path: str
    reader: str = NOBODY
    names: tuple[str, ...] = ()
    leaf: Leaf | None = None

    @property
    def leads_on(self) -> bool:
        return self.leaf is not None and self.leaf.owner_and_field in ONLY_LEADING_ON

    def __str__(self) -> str:
        return f"{self.file}: {self.path}"


@dataclass
class Planted:
    """Every canary with the places it stands in."""

    shop: Path
    places: dict[str, list[Place]] = field(default_factory=dict)
    #: Serial of each unlisted instrument, with the ending of its address.
    unlisted: dict[str, str] = field(default_factory=dict)
    _letters: Iterator[tuple[str, ...]] = field(default_factory=lambda: itertools.product("abcdefghijklm", repeat=4))

    def canary(self, file: str, path: str) -> str:
        """A new one, which nobody may read unless it is noted otherwise."""
        canary = self.new()
        self.note(canary, Place(file, path))
        return canary

    def new(self) -> str:
        """A new one that stands nowhere yet."""
        return CANARY + "".join(next(self._letters))

    def note(self, canary: str, place: Place) -> None:
        self.places.setdefault(canary, []).append(place)

    def read_by(self, reader: str) -> set[str]:
        """Canaries that a reader may come upon: everybody, or whoever has the address with this ending."""
        found: set[str] = set()
        while found != (found := {each for each in self.places if any(self._are_open(each, reader, found))}):
            pass
        return {each for each in found if any(not place.leads_on for place in self._are_open(each, reader, found))}

    def _are_open(self, canary: str, reader: str, found: set[str]) -> Iterator[Place]:
        """The places of a canary that a reader may get to, who came upon those in `found` already."""
        for place in self.places[canary]:
            if place.reader in {EVERYBODY, reader} - {NOBODY} and found.issuperset(place.names):
                yield place

    def told(self, canary: str) -> str:
        """Where a canary stands, for a message."""
        return f"{canary} ({'; '.join(map(str, self.places.get(canary, ['it was cut or stands nowhere'])))})"
