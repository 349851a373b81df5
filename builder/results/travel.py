"""What a border officer may ask of an instrument: which of its woods are listed and what they weigh, and fittings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.limits import no_entries
from builder.record import Spec, WoodSpec
from builder.results.wood import WoodResults
from builder.results.woods_named import WoodNamed, name_of_wood
from builder.shop import Billet
from builder.tables.hardware_materials import HardwareMaterial, materials_in
from builder.tables.trade_listings import TradeListing, listings_of

#: Where braces are listed by the body alone, with a species of their own.
_BRACES = "braces"


@dataclass(frozen=True, slots=True)
class WoodForTravel:
    """One wood of one origin, and the parts made of it. `kg` is what they weigh by reckoning, if it may be listed.

    `is_known` says whether the table of woods knows it; of one that it does not know, no listing is known either.
    """

    called: str
    botanical: str | None
    origin: str | None
    country: str | None
    is_known: bool
    parts: tuple[str, ...]
    kg: float | None


@dataclass(frozen=True, slots=True)
class Listed:
    """One listing, and the parts that may fall under it. `kg` is what those weigh that could be reckoned.

    `unweighed` are those that could not.
    """

    listing: TradeListing
    parts: tuple[str, ...]
    kg: float | None
    unweighed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NamedMaterial:
    """A material that the record names for a fitting, with the record's own words."""

    part: str
    words: str
    material: HardwareMaterial


@dataclass(frozen=True, slots=True)
class TravelResults:
    """Woods and listings as they come in the record, materials in the order of its hardware."""

    woods: tuple[WoodForTravel, ...]
    listed: tuple[Listed, ...]
    materials: tuple[NamedMaterial, ...]


def work_out_travel(
    spec: Spec, wood: WoodResults | Missing, billets: Mapping[str, Billet] = no_entries()
) -> TravelResults | Missing:
    """Gather what may be asked at a border; `Missing` where the record names neither wood nor such a fitting."""
    pieces = tuple(_pieces(spec, wood, billets))
    under: dict[TradeListing, list[tuple[str, float | None]]] = {}
    for piece in pieces:
        for listing in piece.listings:
            under.setdefault(listing, []).append((piece.part, piece.kg))
    materials = tuple(
        NamedMaterial(part, words, material)
        for part, words in spec.hardware.items()
        for material in materials_in(words)
    )
    for each in materials:
        for listing in listings_of(each.material.botanical):
            under.setdefault(listing, []).append((each.part, None))
    if not pieces and not materials:
        return Missing(("spec.wood", "spec.hardware"))
    listed = tuple(_listed(listing, those) for listing, those in under.items())
    return TravelResults(tuple(_woods(pieces)), listed, materials)


@dataclass(frozen=True, slots=True)
class _Piece:
    """One wooden part with its wood."""

    part: str
    named: WoodNamed
    billet: Billet | None
    listings: tuple[TradeListing, ...]
    kg: float | None


def _pieces(spec: Spec, wood: WoodResults | Missing, billets: Mapping[str, Billet]) -> Iterator[_Piece]:
    for part in () if isinstance(wood, Missing) else wood.parts:
        number = spec.wood[part.part].billet
        yield _Piece(part.part, part.named, billets.get(number) if number else None, part.listings, part.mass_kg)
    for called in _braces_of_their_own(spec):
        named = name_of_wood(WoodSpec(species=called), None)
        yield _Piece(_BRACES, named, None, listings_of(named.species.botanical if named.species else ()), None)


def _woods(pieces: tuple[_Piece, ...]) -> Iterator[WoodForTravel]:
    """One entry for all parts of one wood from one place."""
    alike: dict[tuple[str | None, ...], list[_Piece]] = {}
    for piece in pieces:
        origin, country = (piece.billet.origin, piece.billet.country) if piece.billet else (None, None)
        alike.setdefault((piece.named.called, piece.named.botanical, origin, country), []).append(piece)
    for (called, botanical, origin, country), those in alike.items():
        weights = [piece.kg for piece in those if piece.kg is not None and piece.listings]
        yield WoodForTravel(
            called or "", botanical, origin, country, those[0].named.species is not None,
            tuple(piece.part for piece in those), sum(weights) if weights else None,
        )  # fmt: skip


def _braces_of_their_own(spec: Spec) -> tuple[str, ...]:
    """Species that the body names for its braces, each once, where the woods have no braces."""
    braces = spec.body.braces if spec.body and _BRACES not in spec.wood else ()
    return tuple(dict.fromkeys(brace.species for brace in braces if brace.species))


def _listed(listing: TradeListing, those: list[tuple[str, float | None]]) -> Listed:
    weights = [kg for _, kg in those if kg is not None]
    return Listed(
        listing,
        tuple(dict.fromkeys(part for part, _ in those)),
        sum(weights) if weights else None,
        tuple(dict.fromkeys(part for part, kg in those if kg is None)),
    )
