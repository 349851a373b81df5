"""What a site needs besides records and results, gathered for an edition before any page is made."""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from builder import addresses
from builder.certificates.standing import Standing, look_up
from builder.kept_pictures import KeptPicture, kept_mark, kept_pictures
from builder.kept_sounds import KeptSound, kept_sounds
from builder.limits import no_entries
from builder.photos import NotShown
from builder.problems import Finding, Problem
from builder.publish.beside import RecordingToPlay, publish_beside
from builder.publish.rack import sisters_of
from builder.publish.travel import travel_of
from builder.published import PublishedMark
from builder.published.beside import PublishedBeside
from builder.reading.worded import Photo, Recording, Worded
from builder.refused import Refused
from builder.seam import Asset, Edition
from builder.workshop import Instrument, Workshop

W = TypeVar("W")
M = TypeVar("M")

#: The pictures of one photograph, from narrow to wide.
Pictures = tuple[KeptPicture, ...]
#: Is told how many photographs of how many are done.
Progress = Callable[[int, int], None]


def say_nothing(done: int, of: int) -> None:
    """How progress is told where nobody waits for it."""


@dataclass(frozen=True, slots=True)
class Prepared:
    """A shop ready for a site: what stands beside each instrument by serial, files to carry, and what was wrong.

    `issued` are the certificates by serial, as they were handed over. `mark` is the shop's own picture.
    `problems` are those of the shop and those met while preparing, in reading order.
    """

    workshop: Workshop
    beside: Mapping[str, PublishedBeside]
    assets: tuple[Asset, ...]
    problems: tuple[Problem, ...]
    issued: Mapping[str, Standing] = field(default_factory=no_entries)
    mark: PublishedMark | None = None

    @property
    def has_errors(self) -> bool:
        """Whether anything is wrong that keeps the site from being built."""
        return any(problem.severity == "error" for problem in self.problems)


def mark_of(workshop: Workshop) -> tuple[PublishedMark | None, tuple[Problem, ...]]:
    """The shop's own picture, if it has one; and what is wrong with it. Never raises for what the file contains."""
    if workshop.mark is None or workshop.file is None:
        return None, ()
    if workshop.mark.trouble:
        return None, (workshop.file.problem_at(workshop.mark.trouble),)
    mark = kept_mark(workshop.mark, workshop.folder)
    if isinstance(mark, NotShown):
        message = f"«{workshop.mark.name}» {mark.message}"
        return None, (workshop.file.problem_at(Finding(mark.code, "mark", message, mark.hint)),)
    content = mark.content if isinstance(mark.content, bytes) else mark.content.read_bytes()
    return PublishedMark(mark.width_px, mark.height_px, base64.b64encode(content).decode()), ()


def prepare(workshop: Workshop, edition: Edition, tell: Progress = say_nothing) -> Prepared:
    """Gather what an edition shows beside each instrument. Never raises for what a file contains.

    The buyer's edition has only what is for buyers, and opens no photograph or recording that is a draft. Where the
    shop itself has errors only what is wrong is gathered.
    """
    shop = workshop.shop
    if shop is None:
        return Prepared(workshop, {}, (), workshop.problems)
    shown = {each.address: each for each in workshop.instruments if edition == "shop" or each.record.is_for_buyers}
    galleries, bad_photos = _galleries(shown, edition, workshop.folder, tell)
    heard, bad_recordings = _heard(shown, edition, workshop.folder)
    mark, of_the_mark = mark_of(workshop)
    bad = (*bad_photos, *bad_recordings, *(each for each in of_the_mark if each not in workshop.problems))
    if workshop.has_errors:
        return Prepared(workshop, {}, (), _in_order(workshop.problems, bad))
    looked = {address: look_up(each, shop, workshop.folder) for address, each in shown.items()}
    standings = {address: each.standing for address, each in looked.items() if each.standing}
    beside, assets = {}, list[Asset]()
    for address, instrument in shown.items():
        issue = standings[address].issue if address in standings else None
        to_show = [(photo.words, _sizes_px(pictures)) for photo, pictures in galleries[address]]
        to_play = [_to_play(recording, sound) for recording, sound in heard[address]]
        travel = travel_of(instrument, shop.unit)
        beside[str(instrument.record.serial)] = publish_beside(instrument.record, travel, issue, to_show, to_play)
        for number, (_, pictures) in enumerate(galleries[address], 1):
            assets += [Asset(addresses.photo(address, number, each.width_px), each.content) for each in pictures]
        for number, (_, sound) in enumerate(heard[address], 1):
            assets.append(Asset(addresses.recording(address, number, sound.ending), sound.content))
    problems = _in_order(workshop.problems, bad, *(each.problems for each in looked.values()))
    issued = {str(shown[address].record.serial): standing for address, standing in standings.items()}
    titles = {serial: standing.published.title for serial, standing in issued.items()}
    for instrument in shown.values():
        serial = str(instrument.record.serial)
        beside[serial] = replace(beside[serial], sisters=sisters_of(instrument, shown.values(), titles))
    if mark:
        assets.append(Asset(addresses.MARK, base64.b64decode(mark.png)))
    return Prepared(workshop, beside, tuple(assets), problems, issued, mark)


def _galleries(
    shown: Mapping[str, Instrument], edition: Edition, shop_folder: Path, tell: Progress
) -> tuple[dict[str, list[tuple[Photo, Pictures]]], list[Problem]]:
    """The photographs of each instrument that an edition shows, with their pictures; and those that have none."""
    wanted = {
        address: [photo for photo in each.photos if edition == "shop" or not photo.words.draft]
        for address, each in shown.items()
    }
    files = [photo.file for photos in wanted.values() for photo in photos]
    return _with_what_is_made(wanted, kept_pictures(files, shop_folder, lambda done: tell(done, len(files))))


def _heard(
    shown: Mapping[str, Instrument], edition: Edition, shop_folder: Path
) -> tuple[dict[str, list[tuple[Recording, KeptSound]]], list[Problem]]:
    """The recordings of each instrument that an edition plays, with their sound; and those that have none."""
    wanted = {
        address: [recording for recording in each.recordings if edition == "shop" or not recording.words.draft]
        for address, each in shown.items()
    }
    files = [recording.file for recordings in wanted.values() for recording in recordings]
    return _with_what_is_made(wanted, kept_sounds(files, shop_folder))


def _with_what_is_made(
    wanted: Mapping[str, list[Worded[W]]], made: Mapping[str, M | Refused]
) -> tuple[dict[str, list[tuple[Worded[W], M]]], list[Problem]]:
    """Each file with what was made of it, by address; and what is said of those of which nothing could be made."""
    together: dict[str, list[tuple[Worded[W], M]]] = {address: [] for address in wanted}
    problems = []
    for address, files in wanted.items():
        for each in files:
            found = made[each.file.said]
            if isinstance(found, Refused):
                problems.append(each.problem(found.code, found.message, found.hint))
            else:
                together[address].append((each, found))
    return together, problems


def _to_play(recording: Recording, sound: KeptSound) -> RecordingToPlay:
    return RecordingToPlay(recording.words, sound.kind, sound.ending, sound.milliseconds, sound.size_bytes)


def _sizes_px(pictures: Pictures) -> tuple[tuple[int, int], ...]:
    return tuple((each.width_px, each.height_px) for each in pictures)


def _in_order(*several: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(sorted((problem for each in several for problem in each), key=lambda each: each.in_reading_order))
