"""What a site needs besides records and results, gathered for an edition before any page is made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from builder.certificates.standing import Standing, look_up
from builder.limits import no_entries
from builder.problems import Problem
from builder.publish.beside import publish_beside
from builder.publish.travel import travel_of
from builder.published.beside import PublishedBeside
from builder.seam import Asset, Edition
from builder.workshop import Workshop


@dataclass(frozen=True, slots=True)
class Prepared:
    """A shop ready for a site: what stands beside each instrument by serial, files to carry, and what was wrong.

    `issued` are the certificates by serial, as they were handed over. `problems` are those of the shop and those met
    while preparing, in reading order.
    """

    workshop: Workshop
    beside: Mapping[str, PublishedBeside]
    assets: tuple[Asset, ...]
    problems: tuple[Problem, ...]
    issued: Mapping[str, Standing] = field(default_factory=no_entries)

    @property
    def has_errors(self) -> bool:
        """Whether anything is wrong that keeps the site from being built."""
        return any(problem.severity == "error" for problem in self.problems)


def prepare(workshop: Workshop, edition: Edition) -> Prepared:
    """Gather what an edition shows beside each instrument. Never raises for what a file contains.

    The buyer's edition has only what is for buyers. Where the shop itself has errors nothing more is looked at.
    """
    if workshop.shop is None or workshop.has_errors:
        return Prepared(workshop, {}, (), workshop.problems)
    shown = [each for each in workshop.instruments if edition == "shop" or each.record.is_for_buyers]
    unit = workshop.shop.unit
    looked = {str(each.record.serial): look_up(each, workshop.shop, workshop.folder) for each in shown}
    issued = {serial: each.standing for serial, each in looked.items() if each.standing}
    beside = {
        serial: publish_beside(each.record, travel_of(each, unit), issued[serial].issue if serial in issued else None)
        for serial, each in ((str(each.record.serial), each) for each in shown)
    }
    problems = [*workshop.problems, *(problem for each in looked.values() for problem in each.problems)]
    problems.sort(key=lambda problem: problem.in_reading_order)
    return Prepared(workshop, beside, (), tuple(problems), issued)
