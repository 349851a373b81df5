"""What a site needs besides records and results, gathered for an edition before any page is made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.problems import Problem
from builder.publish.beside import publish_beside
from builder.publish.travel import travel_of
from builder.published.beside import PublishedBeside
from builder.seam import Asset, Edition
from builder.workshop import Workshop


@dataclass(frozen=True, slots=True)
class Prepared:
    """A shop ready for a site: what stands beside each instrument by serial, files to carry, and what was wrong.

    `problems` are those of the shop and those met while preparing, in reading order.
    """

    workshop: Workshop
    beside: Mapping[str, PublishedBeside]
    assets: tuple[Asset, ...]
    problems: tuple[Problem, ...]

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
    beside = {str(each.record.serial): publish_beside(each.record, travel_of(each, unit)) for each in shown}
    problems: list[Problem] = [*workshop.problems]
    return Prepared(workshop, beside, (), tuple(sorted(problems, key=lambda problem: problem.in_reading_order)))
