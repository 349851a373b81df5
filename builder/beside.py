"""What a site needs besides records and results, gathered for an edition before any page is made."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from builder import addresses
from builder.certificates.standing import Standing, look_up
from builder.kept_pictures import KeptPicture, kept_pictures
from builder.limits import no_entries
from builder.photos import NotShown
from builder.problems import Problem
from builder.publish.beside import PhotoToShow, publish_beside
from builder.publish.rack import sisters_of
from builder.publish.travel import travel_of
from builder.published.beside import PublishedBeside
from builder.reading.photos import Photo
from builder.seam import Asset, Edition
from builder.workshop import Instrument, Workshop

#: Is told how many photographs of how many are done.
Progress = Callable[[int, int], None]


def say_nothing(done: int, of: int) -> None:
    """How progress is told where nobody waits for it."""


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


def prepare(workshop: Workshop, edition: Edition, tell: Progress = say_nothing) -> Prepared:
    """Gather what an edition shows beside each instrument. Never raises for what a file contains.

    The buyer's edition has only what is for buyers, and opens no photograph that is a draft. Where the shop itself has
    errors nothing more is looked at.
    """
    if workshop.shop is None or workshop.has_errors:
        return Prepared(workshop, {}, (), workshop.problems)
    unit = workshop.shop.unit
    shown = {each.address: each for each in workshop.instruments if edition == "shop" or each.record.is_for_buyers}
    photos = {address: _photos_for(edition, each) for address, each in shown.items()}
    wanted = [photo.file for each in photos.values() for photo in each]
    kept = kept_pictures(wanted, workshop.folder, lambda done: tell(done, len(wanted)))
    problems, assets = [*workshop.problems], list[Asset]()
    beside: dict[str, PublishedBeside] = {}
    issued: dict[str, Standing] = {}
    for address, instrument in shown.items():
        serial = str(instrument.record.serial)
        looked = look_up(instrument, workshop.shop, workshop.folder)
        problems += looked.problems
        if looked.standing:
            issued[serial] = looked.standing
        to_show: list[PhotoToShow] = []
        for photo in photos[address]:
            pictures = kept[photo.file.said]
            if isinstance(pictures, NotShown):
                problems.append(photo.problem(pictures.code, pictures.message, pictures.hint))
            else:
                to_show.append((photo.words, tuple((each.width_px, each.height_px) for each in pictures)))
                assets += _assets(address, len(to_show), pictures)
        issue = looked.standing.issue if looked.standing else None
        beside[serial] = publish_beside(instrument.record, travel_of(instrument, unit), issue, to_show)
    titles = {serial: standing.published.title for serial, standing in issued.items()}
    for instrument in shown.values():
        serial = str(instrument.record.serial)
        sisters = sisters_of(instrument, shown.values(), titles)
        beside[serial] = replace(beside[serial], sisters=sisters)
    problems.sort(key=lambda problem: problem.in_reading_order)
    return Prepared(workshop, beside, tuple(assets), tuple(problems), issued)


def _photos_for(edition: Edition, instrument: Instrument) -> list[Photo]:
    return [photo for photo in instrument.photos if edition == "shop" or not photo.words.draft]


def _assets(address: str, number: int, pictures: Iterable[KeptPicture]) -> Iterator[Asset]:
    for each in pictures:
        yield Asset(addresses.photo(address, number, each.width_px), each.content)
