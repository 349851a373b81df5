"""Which wood a part is made of: by the botanical name of its billet, or by what it is called; and how it moves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.calculations.wood_mass import basic_gravity_of
from builder.calculations.wood_movement import Movement, coefficient_of
from builder.problems import Finding, did_you_mean, in_short
from builder.record import WoodSpec
from builder.shop import Billet
from builder.tables.species import SeveralWoods, names_of_woods, wood_named
from builder.tables.wood_properties import Species
from builder.words import in_a_row

#: How far a printed coefficient may lie from the one that follows from the shrinkage and still be the same figure.
_SAME_FIGURE = 0.02
#: A name that leaves more woods open than this is not answered with all of them.
_MOST_NAMED = 6


@dataclass(frozen=True, slots=True)
class WoodNamed:
    """What a part's wood is called, its botanical name as far as it is known, and its row in the table of woods."""

    called: str
    botanical: str | None
    species: Species | None


def name_of_wood(wood: WoodSpec, billet: Billet | None) -> WoodNamed:
    """The wood of a part. What the part itself says comes first, then the billet's botanical name, then its name."""
    called = wood.species or (billet.species if billet else "")
    names = (wood.species,) if wood.species else ((billet.botanical, billet.species) if billet else ())
    found = (wood_named(name) for name in names if name)
    species = next((each for each in found if isinstance(each, Species)), None)
    written = billet.botanical if billet and not wood.species else None
    return WoodNamed(called, written or (species.botanical[0] if species else None), species)


def findings_of_names(part: str, wood: WoodSpec, billet: Billet | None) -> Iterator[Finding]:
    """A wood that is not in the table is allowed, and then some things are not worked out; say which."""
    named = name_of_wood(wood, billet)
    field = f"spec.wood.{part}.{'species' if wood.species else 'billet'}"
    if named.called and named.species is None:
        open_still = wood_named(named.called)
        if isinstance(open_still, SeveralWoods):
            few = len(open_still.common) <= _MOST_NAMED
            message = f"«{in_short(named.called)}» may be one of several woods"
            hint = f"write {in_a_row(open_still.common, 'or')}" if few else "write which, or its botanical name"
        else:
            message = f"«{in_short(named.called)}» is not in the table of woods"
            hint = did_you_mean(named.called, names_of_woods()) or "its botanical name may be known"
        lost = "its movement, weight and trade listing are not worked out"
        yield Finding("half-known", field, f"{message}: {lost}", hint, "hint")
    if billet is None:
        return
    by_name, by_botanical = wood_named(billet.species), wood_named(billet.botanical or "")
    if isinstance(by_name, Species) and isinstance(by_botanical, Species) and by_name != by_botanical:
        message = f"billet {wood.billet} is called {billet.species}, but {billet.botanical} is {by_botanical.common}"
        yield Finding("doubtful", field, message, "see which of the two names is right", "warning")
    if wood.species and named.species is not None:
        of_billet = name_of_wood(WoodSpec(), billet).species
        if of_billet is not None and of_billet != named.species:
            message = f"the {part} is called {wood.species}, and its billet {wood.billet} {billet.species}"
            yield Finding("doubtful", field, message, "name another billet, or leave the species to it", "warning")


def flat_and_quarter(species: Species) -> tuple[Movement, Movement]:
    """How a wood moves along its growth rings (flatsawn) and across them (quartersawn), from what is printed of it.

    A printed coefficient that does not agree with the shrinkage is left aside: the shrinkage holds at all moistures.
    """
    shrinkage, printed = species.shrinkage, species.coefficients
    start = shrinkage.starts_at_percent if shrinkage else 30.0

    def movement(percent: float | None, coefficient: float | None) -> Movement:
        if percent is not None and coefficient is not None:
            reckoned = coefficient_of(percent, start)
            coefficient = coefficient if abs(coefficient - reckoned) <= _SAME_FIGURE * reckoned else None
        return Movement(coefficient, percent, start)

    return (
        movement(shrinkage.tangential_percent if shrinkage else None, printed.tangential if printed else None),
        movement(shrinkage.radial_percent if shrinkage else None, printed.radial if printed else None),
    )


def basic_gravity(species: Species) -> float | None:
    """Basic specific gravity of a wood, reckoned back to green volume where it is printed for a drier state."""
    gravity, shrinkage = species.gravity, species.shrinkage
    if gravity is None:
        return None
    if gravity.at_percent is None:
        return gravity.middle
    start = shrinkage.starts_at_percent if shrinkage else 30.0
    volumetric = shrinkage.volumetric_percent if shrinkage else None
    return basic_gravity_of(gravity.middle, gravity.at_percent, volumetric, start)
