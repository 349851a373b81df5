"""Names what papers for travel ask: woods with their botanical names and countries, listed ones with their weight."""

from __future__ import annotations

from collections.abc import Iterator

from builder.calculations.answers import Missing
from builder.lengths import Unit
from builder.publish.measures import kept, small_weight
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.results.travel import Listed, NamedMaterial, TravelResults, WoodForTravel, work_out_travel
from builder.tables.hardware_materials import HardwareMaterial
from builder.units import KG_PER_OUNCE
from builder.words import in_a_row
from builder.workshop import Instrument

_LEAD = (
    "What a border officer may ask of it, for the papers that you ask for. This is no permit, and no promise that none "
    "is needed."
)
_NOTHING_LISTED = " None of its woods stands in the listings known here."
_ASK = (
    "Ask your national authority before you travel, for every country on the way, and before you sell or send it. "
    "Lists change at every conference, and many countries are stricter than what they agreed on together."
)
_NO_COUNTRY = "country not recorded"


def travel_of(instrument: Instrument, unit: Unit) -> Figures | None:
    """For whoever takes it across a border; None where neither wood nor such a fitting is named."""
    spec = instrument.record.spec
    results = work_out_travel(spec, instrument.results.wood, instrument.neighbours.billets)
    if isinstance(results, Missing):
        return None
    return Figures(
        lead=_LEAD + (_NOTHING_LISTED if _none_is_listed(results) else ""),
        facts=tuple(_listed(each, unit) for each in results.listed),
        tables=(*_woods(results, unit), *_materials(results.materials)),
        cautions=(_ASK,),
        notes=(*_known_of_listings(results), *_known_of_materials(results), *_unknown(results.woods)),
    )


def _none_is_listed(results: TravelResults) -> bool:
    """Only where every wood is known, and there are any."""
    return bool(results.woods) and not results.listed and all(each.is_known for each in results.woods)


def _listed(each: Listed, unit: Unit) -> Figure:
    """`bridge and fretboard may fall under Appendix II of CITES; 245 g by reckoning`."""
    said, also = f"{in_a_row(each.parts)} may fall under Appendix {each.listing.appendix} of CITES", ""
    if each.kg is not None:
        first, also = small_weight(each.kg, unit)
        left_out = f", without {in_a_row(each.unweighed)}" if each.unweighed else ""
        said += f"; {first} by reckoning{left_out}"
    key = f"listed_{each.listing.of[0].casefold().replace(' ', '_')}"
    return Figure(key, each.listing.called, said, also, _kept(each.kg), "kg" if each.kg else "", "trade-listings")


def _kept(kg: float | None) -> float | None:
    return None if kg is None else kept(kg)


def _woods(results: TravelResults, unit: Unit) -> Iterator[FigureTable]:
    """Every wood; weights of listed wood alone, for nobody asks for the others."""
    if not results.woods:
        return
    weighed = any(each.kg is not None for each in results.woods)
    columns = [
        Column("wood", "wood", "", "record"),
        Column("botanical", "botanical name", "", "species"),
        Column("parts", "parts", "", "record"),
        Column("origin", "where it came from", "", "record"),
    ]
    if weighed:
        columns.append(Column("mass", "listed, weighs", "oz" if unit == "in" else "g", "wood-mass", 1))
    rows = tuple(
        (
            each.called,
            each.botanical or "not known",
            in_a_row(each.parts),
            f"{each.country or _NO_COUNTRY}{f': {each.origin}' if each.origin else ''}",
            *((_mass(each, unit),) if weighed else ()),
        )
        for each in results.woods
    )
    yield FigureTable("travel_woods", "Woods", "Every wood in it, as the record has it.", Table(tuple(columns), rows))


def _mass(each: WoodForTravel, unit: Unit) -> str | float:
    if each.kg is None:
        return ""
    return kept(each.kg / KG_PER_OUNCE if unit == "in" else each.kg * 1000)


def _materials(materials: tuple[NamedMaterial, ...]) -> Iterator[FigureTable]:
    if materials:
        columns = (
            Column("material", "material", "", "trade-listings"),
            Column("named", "named in", "", "record"),
            Column("says", "what is known of it", "", "trade-listings"),
        )
        named: dict[HardwareMaterial, list[str]] = {}
        for each in materials:
            named.setdefault(each.material, []).append(f"{each.part}: {each.words}")
        rows = tuple((material.called, "; ".join(those), _status(material)) for material, those in named.items())
        caption = "Fittings of shell, bone and the like, as far as the record's words name them."
        yield FigureTable("travel_materials", "Fittings", caption, Table(columns, rows))


def _status(material: HardwareMaterial) -> str:
    listed = f"May fall under Appendix {material.appendix} of CITES. " if material.appendix else ""
    return f"{listed}{material.says}"


def _known_of_listings(results: TravelResults) -> Iterator[str]:
    for each in results.listed:
        listing = each.listing
        yield (
            f"{listing.called}: {listing.covers} Since: {listing.since}. As published: {listing.published} "
            f"({listing.source}; {listing.known})."
        )


def _known_of_materials(results: TravelResults) -> Iterator[str]:
    known_by: dict[str, list[str]] = {}
    for material in dict.fromkeys(each.material for each in results.materials):
        if not material.botanical:
            how = f"as of {material.published} ({material.source}; {material.known})"
            known_by.setdefault(how, []).append(material.called)
    for how, called in known_by.items():
        yield f"{in_a_row(called)}: {how}."
    if any(each.kg is not None for each in results.woods):
        yield "Weights are reckoned from full sizes at the moisture of gluing; curves and tapers make them less."


def _unknown(woods: tuple[WoodForTravel, ...]) -> Iterator[str]:
    unknown = [f"{each.called} ({in_a_row(each.parts)})" for each in woods if not each.is_known]
    if unknown:
        yield f"Not in the table of woods here, so whether it is listed is not known: {in_a_row(unknown)}."
