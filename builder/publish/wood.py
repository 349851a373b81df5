"""What is published of the woods: for a buyer how they live through the year, for the bench every figure."""

from __future__ import annotations

from collections.abc import Iterator

from builder.calculations.answers import Missing
from builder.lengths import Unit, trimmed
from builder.publish.measures import in_unit, kept, measure_mm, small_weight
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.results.wood import Moved, WoodenPart, WoodResults
from builder.tables.wood_dust import ANY_DUST
from builder.units import KG_PER_OUNCE, KG_PER_POUND, METRES_PER_INCH

#: A part narrower than this moves by less than a buyer could see.
_WIDE_MM = 60.0
#: A strain smaller than this is nothing to speak of.
_FAINT_STRAIN = 0.0005

Cell = str | float


def wood_of(results: WoodResults | Missing, unit: Unit) -> Figures | None:
    """For a buyer: what moves between the seasons, what the woods weigh, and what the braces make of it."""
    if isinstance(results, Missing):
        return None
    # What a part of the woods weighs tells a buyer nothing; the bench sees how far the reckoning has come.
    weight = () if results.not_in_mass else _weight(results, unit)
    facts = (*_between_seasons(results, unit), *_rest(results), *weight)
    notes = tuple(_strains_in_words(results))
    if not (facts or notes):
        return None
    lead = _seasons_in_words(results, unit) if any(part.dry for part in results.parts) else ""
    return Figures(lead=lead, facts=facts, notes=notes)


def dust_of(results: WoodResults | Missing, *, of_any_wood: bool = True) -> tuple[str, ...]:
    """What whoever planes, sands or repairs these woods must know of their dust; nothing where no wood is named.

    Without `of_any_wood` nothing is said where none of them is known for more than all wood does.
    """
    if isinstance(results, Missing):
        return ()
    cautions = tuple(dict.fromkeys(warning.says for part in results.parts for warning in part.dust))
    return (" ".join((ANY_DUST, *cautions)),) if cautions or of_any_wood else ()


def wood_for_the_bench_of(results: WoodResults | Missing, unit: Unit) -> Figures | None:
    """For the bench: moisture, movement and weight of every part, dust, and where the figures come from."""
    if isinstance(results, Missing):
        return None
    tables = tuple(_tables(results, unit))
    facts = tuple(_weight(results, unit))
    if not tables and not facts:
        return None
    return Figures(
        lead=_seasons_in_words(results, unit),
        facts=facts,
        tables=tables,
        cautions=dust_of(results),
        notes=(*_strains_in_words(results), *_doubts(results)),
        wanting=tuple(_wanting(results)),
    )


def _seasons_in_words(results: WoodResults, unit: Unit) -> str:
    """`Wood comes to 6.2 % moisture in the dry season (68 °F, 30 %) and …`."""
    if results.dry is None or results.damp is None:
        return ""
    said: list[str] = []
    for season in (results.dry, results.damp):
        in_f, in_c = f"{trimmed(season.temperature_c * 1.8 + 32, 0)} °F", f"{trimmed(season.temperature_c, 0)} °C"
        air = f"{in_f if unit == 'in' else in_c}, {trimmed(season.humidity_percent, 0)} % humidity"
        said.append(f"{season.moisture_percent:.1f} % moisture in the {'dry' if not said else 'damp'} season ({air})")
    return f"Wood comes to {said[0]}, and to {said[1]}."


def _between_seasons(results: WoodResults, unit: Unit) -> Iterator[Figure]:
    for part in results.parts:
        change_mm, width = part.between_seasons_mm, part.width_mm
        if change_mm is None or width is None or width < _WIDE_MM:
            continue
        measured = measure_mm(abs(change_mm), unit)
        across = measure_mm(width, unit)
        assert measured is not None, "it is a number"
        assert across is not None, "it is a number"
        yield Figure(
            f"wood_{part.part.replace(' ', '_')}",
            f"{part.part}, {across.said} wide",
            f"{measured.said} {'wider' if change_mm >= 0 else 'narrower'} in the damp season than in the dry one",
            measured.also,
            kept(change_mm),
            "mm",
            "wood-movement",
        )


def _rest(results: WoodResults) -> Iterator[Figure]:
    """The humidity to keep it in: where the soundboard neither shrinks nor swells."""
    for part in results.parts:
        rest = part.rest_humidity_percent
        if part.part == "soundboard" and rest is not None and part.width_mm is not None:
            said = f"at {trimmed(rest, 0)} % humidity in a room at 20 °C (68 °F)"
            yield Figure("rest_humidity", "the soundboard is at rest", said, "", kept(rest), "%", "moisture")


def _weight(results: WoodResults, unit: Unit) -> Iterator[Figure]:
    if results.mass_kg is None:
        return
    left_out = results.not_in_mass
    title = "the woods weigh, by reckoning" if not left_out else "the woods reckoned so far weigh"
    yield Figure("wood_mass", title, *small_weight(results.mass_kg, unit), kept(results.mass_kg), "kg", "wood-mass")
    if results.weighed_kg is not None and not left_out and results.weighed_kg >= results.mass_kg:
        rest = results.weighed_kg - results.mass_kg
        title = "all that is not wood weighs"
        yield Figure("not_wood_mass", title, *small_weight(rest, unit), kept(rest), "kg", "wood-mass")


def _strains_in_words(results: WoodResults) -> Iterator[str]:
    """What the braces make of the seasons."""
    for part in results.parts:
        if part.dry is None or part.damp is None or part.dry.strain is None or part.damp.strain is None:
            continue
        seasons = (("dry", part.dry.strain), ("damp", part.damp.strain))
        said = [_season_strain(season, part.part, moved) for season, moved in seasons]
        yield (
            f"The {part.part} is glued to braces that hardly move along their grain. {' '.join(said)} "
            "Real strains are smaller, for wood and glue give way a little."
        )


def _season_strain(season: str, part: str, strain: float) -> str:
    size = f"{abs(strain) * 100:.2f} % of its width"
    if abs(strain) < _FAINT_STRAIN:
        return f"In the {season} season it is as good as free of strain."
    if strain < 0:
        return f"In the {season} season it is in tension by {size}: too dry a room opens cracks."
    lifts = ", which lifts the bridge and the strings" if part == "soundboard" else ""
    return f"In the {season} season it is squeezed by {size} and arches{lifts}."


def moisture_of(results: WoodResults | Missing, *, folded: bool = False) -> Iterator[FigureTable]:
    """The table of how moist each part was when it was glued; none where no part's moisture is known."""
    parts = () if isinstance(results, Missing) else results.parts
    known = [part for part in parts if part.moisture_percent is not None]
    if known:
        columns: tuple[Column, ...] = (
            Column("part", "part", "", "record"),
            Column("wood", "wood", "", "species"),
            Column("moisture", "moisture", "%", "moisture", 1),
            Column("known_by", "known by", "", "record"),
            Column("rest", "at rest in humidity of", "%", "moisture", 0),
        )
        caption = "How moist each part was when it was glued, and the humidity in which it stays as it is at 20 °C."
        table = Table(columns, tuple(map(_moisture_row, known)))
        yield FigureTable("wood_moisture", "Moisture", caption, table, folded=folded)


def _tables(results: WoodResults, unit: Unit) -> Iterator[FigureTable]:
    yield from moisture_of(results)
    moving = [part for part in results.parts if part.dry is not None and part.damp is not None]
    moving = [part for part in moving if part.width_mm is not None or part.thickness_mm is not None]
    if moving:
        decimals = 3 if unit == "in" else 2
        columns: tuple[Column, ...] = (
            Column("part", "part", "", "record"),
            *(
                Column(f"{size}_{season}", f"{size}, {season} season", unit, "wood-movement", decimals, signed=True)
                for size in ("width", "thickness")
                for season in ("dry", "damp")
            ),
            Column("equation", "by equation", "", "wood-movement"),
        )
        caption = "What each part gains or loses from the day it was glued; with a minus it becomes smaller."
        rows = tuple(_movement_row(part, unit) for part in moving)
        yield FigureTable("wood_movement", "Movement", caption, Table(columns, rows))
    weighed = [part for part in results.parts if part.density_kg_m3 is not None]
    if weighed:
        columns = (
            Column("part", "part", "", "record"),
            Column("density", "density", "lb/ft³" if unit == "in" else "kg/m³", "wood-mass", 1 if unit == "in" else 0),
            Column("mass", "weighs", "oz" if unit == "in" else "g", "wood-mass", 1),
        )
        caption = "At the moisture above; parts of full size throughout, so curves, holes and tapers weigh less."
        rows = tuple(_mass_row(part, unit) for part in weighed)
        yield FigureTable("wood_mass", "Weight", caption, Table(columns, rows))


def _moisture_row(part: WoodenPart) -> tuple[Cell, ...]:
    botanical = f" ({part.named.botanical})" if part.named.botanical else ""
    rest = part.rest_humidity_percent
    return (
        part.part,
        f"{part.named.called}{botanical}",
        "" if part.moisture_percent is None else kept(part.moisture_percent),
        part.moisture_from or "",
        kept(rest) if rest is not None else "",
    )


def _movement_row(part: WoodenPart, unit: Unit) -> tuple[Cell, ...]:
    seasons = [season for season in (part.dry, part.damp) if season is not None]
    equations = dict.fromkeys(season.equation for season in seasons if season.equation)
    return (
        part.part,
        *(_cell(season.width_mm, unit) for season in seasons),
        *(_cell(season.thickness_mm, unit) for season in seasons),
        ", ".join(equations),
    )


def _cell(mm: float | None, unit: Unit) -> Cell:
    if mm is None:
        return ""
    return in_unit(mm, unit)


def _mass_row(part: WoodenPart, unit: Unit) -> tuple[Cell, ...]:
    density, mass = part.density_kg_m3 or 0.0, part.mass_kg
    pounds_per_cubic_foot = density / KG_PER_POUND * (12 * METRES_PER_INCH) ** 3
    of_mass: Cell = "" if mass is None else kept(mass / KG_PER_OUNCE if unit == "in" else mass * 1000)
    return part.part, kept(pounds_per_cubic_foot if unit == "in" else density), of_mass


def _doubts(results: WoodResults) -> Iterator[str]:
    """Where the figures of each wood come from, how they are known, and where sources disagree; each wood once."""
    for species in dict.fromkeys(part.named.species for part in results.parts if part.named.species):
        rows = (
            (species.shrinkage, "shrinkage"),
            (species.coefficients, "coefficients"),
            (species.gravity, "weight"),
        )
        known = "; ".join(f"{what}: {row.source} ({row.known})" for row, what in rows if row is not None)
        if known:
            yield f"{species.common}, {known}. {species.doubt}".strip()


def _wanting(results: WoodResults) -> Iterator[str]:
    for part in results.parts:
        if part.named.species is None and part.named.called:
            yield f"{part.part}: {part.named.called} is not one wood of the table; movement and weight are not known"
        elif _has_no_change(part.dry) and part.width_mm is not None and results.dry is not None:
            yield f"{part.part}: its movement needs its cut, its moisture, and a wood whose figures are known"


def _has_no_change(moved: Moved | None) -> bool:
    return moved is None or moved.width_mm is None
