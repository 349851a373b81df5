"""The air that an instrument lives in: the dry and the damp season where it goes, and the usual room of the shop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.calculations.answers import Outside
from builder.calculations.moisture import equilibrium_moisture_percent
from builder.problems import Finding
from builder.record.wood import RoomAir


@dataclass(frozen=True, slots=True)
class Seasons:
    """The driest and the dampest weeks of the year in the rooms where instruments of this shop are kept."""

    dry: RoomAir
    damp: RoomAir


def findings_of_seasons(seasons: Seasons | None) -> Iterator[Finding]:
    """Whether wood really is drier in the dry season than in the damp one. The fields are those of the shop file."""
    if seasons is None:
        return
    dry, damp = (
        equilibrium_moisture_percent(season.temperature, season.humidity) for season in (seasons.dry, seasons.damp)
    )
    if isinstance(dry, Outside) or isinstance(damp, Outside) or dry < damp:
        return
    message = f"wood would come to {dry:.1f} % moisture in the dry season and to {damp:.1f} % in the damp one"
    hint = "dry is the season of the lower humidity indoors, most often winter; change the two about"
    yield Finding("impossible", "seasons.dry", message, hint)
