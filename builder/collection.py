"""All records together: unique serials, names that must be found elsewhere, and what each must know of the others."""

from __future__ import annotations

import difflib
import itertools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from builder.limits import no_entries
from builder.problems import Finding, Problem, did_you_mean
from builder.reading.address import ADDRESS_FILE
from builder.reading.folder import FileRead, InstrumentRead, ShopRead
from builder.reading.worded import Photo, Recording, photos_of, recordings_of
from builder.record import HARDWARE_PARTS, WOODEN_PARTS, Dates, PrivateFile, Record, Spec
from builder.shop import Billet, Shop
from builder.shop.room import findings_of_seasons

#: How alike an unknown part and a known one must be for the unknown one to be a slip of the pen.
A_SLIP = 0.85


@dataclass(frozen=True, slots=True)
class Neighbours:
    """What an instrument must know of the rest of the shop: the billets its parts came from, and its sisters.

    `sisters` are the records of others that have parts of the same billet, by its number.
    """

    billets: Mapping[str, Billet] = field(default_factory=no_entries)
    sisters: Mapping[str, tuple[Record, ...]] = field(default_factory=no_entries)


@dataclass(frozen=True, slots=True)
class Member:
    """One instrument among the others: its record, the file it stands in, its neighbours, its private file if read.

    `address_ending` makes its address one that nobody can guess; None where none was drawn. `photos` are in the order
    they are shown, `recordings` in that in which they are heard.
    """

    record: Record
    file: FileRead[Record]
    neighbours: Neighbours
    private: FileRead[PrivateFile] | None
    address_ending: str | None
    photos: tuple[Photo, ...]
    recordings: tuple[Recording, ...]


def collect(read: ShopRead) -> tuple[tuple[Member, ...], tuple[Problem, ...]]:
    """Every record that can be read, with its neighbours; and everything that does not agree between the files."""
    problems: list[Problem] = []
    billets = read.wood.value.billets if read.wood and read.wood.value else {}
    known = _Known.of(read, billets)
    if read.shop.value:
        problems += map(read.shop.problem_at, _shop_findings(read.shop.value))
    if read.mark and read.mark.trouble:
        problems.append(read.shop.problem_at(read.mark.trouble))
    for pattern in read.patterns.values():
        if pattern.value:
            problems += map(pattern.problem_at, _spec_findings(pattern.value.spec, known))
    problems += _one_serial_one_folder(read.instruments)
    problems += _one_address_one_folder(read.instruments)
    members = []
    for each in read.instruments:
        record = each.record.value
        if record is not None:
            problems += map(each.record.problem_at, _record_findings(record, each.folder, known))
            used = _billets_used(record, billets)
            neighbours = Neighbours(used, _sisters(record, used, read.instruments))
            photos, of_photos = photos_of(each.record, each.photos)
            recordings, of_recordings = recordings_of(each.record, each.recordings)
            problems += (*of_photos, *of_recordings)
            members.append(
                Member(record, each.record, neighbours, each.private, each.address_ending, photos, recordings)
            )
    return tuple(members), tuple(problems)


@dataclass(frozen=True, slots=True)
class _Known:
    """Every name a record may refer to. None where its file cannot be read: then nothing is said about such names."""

    billets: frozenset[str] | None
    starts: frozenset[str]
    string_sets: frozenset[str] | None
    fret_wires: frozenset[str] | None
    finish_schedules: frozenset[str] | None

    @classmethod
    def of(cls, read: ShopRead, billets: Mapping[str, Billet]) -> _Known:
        shop = read.shop.value
        return cls(
            None if read.wood and not read.wood.value else frozenset(billets),
            frozenset({*read.folders, *read.patterns}),
            frozenset(shop.string_sets) if shop else None,
            frozenset(shop.fret_wires) if shop else None,
            frozenset(shop.finish_schedules) if shop else None,
        )


def _shop_findings(shop: Shop) -> Iterator[Finding]:
    yield from findings_of_seasons(shop.seasons)
    names = [rule.name for rule in shop.rules]
    if not names:
        yield Finding(
            "missing-key",
            "rules",
            "the shop has no rule",
            "list at least one: {name: bench rule, marks: 1/64 in}",
        )
    elif shop.working_rule not in names:
        message = f"«{shop.working_rule}» is not among the rules of the shop"
        yield Finding("not-in-shop", "working_rule", message, did_you_mean(shop.working_rule, names))
    for number, name in enumerate(names):
        if name in names[:number]:
            yield Finding("duplicate-key", f"rules[{number}].name", f"two rules are called «{name}»", "rename one")


def _record_findings(record: Record, folder: str, known: _Known) -> Iterator[Finding]:
    if record.serial != folder:
        hint = f"write serial: {folder}, or rename the folder to {record.serial}"
        yield Finding(
            "folder-serial",
            "serial",
            f"the folder is called «{folder}», the serial is «{record.serial}»",
            hint,
        )
    if record.started_from == record.serial:
        message = "an instrument cannot be started from itself"
        yield Finding("does-not-fit", "started_from", message, "name the earlier instrument or the pattern")
    elif record.started_from is not None and record.started_from not in known.starts:
        message = f"there is no instrument or pattern «{record.started_from}»"
        yield Finding("not-in-shop", "started_from", message, did_you_mean(record.started_from, sorted(known.starts)))
    yield from _date_findings(record.dates)
    yield from _spec_findings(record.spec, known)


def _date_findings(dates: Dates) -> Iterator[Finding]:
    if dates.delivered and not dates.finished:
        message = "the instrument is delivered, but not finished"
        yield Finding("date-order", "dates.delivered", message, "write the day it was finished too")
    given = [(name, getattr(dates, name)) for name in ("ordered", "finished", "delivered") if getattr(dates, name)]
    for (before, first), (after, second) in itertools.pairwise(given):
        if second < first:
            message = f"{after} on {second}, before it was {before} on {first}"
            yield Finding("date-order", f"dates.{after}", message, "one of the two days is wrong")
    if dates.promised and dates.ordered and dates.promised < dates.ordered:
        message = f"promised for {dates.promised}, before it was ordered on {dates.ordered}"
        yield Finding("date-order", "dates.promised", message, "one of the two days is wrong")


def _spec_findings(spec: Spec, known: _Known) -> Iterator[Finding]:
    def not_listed(
        name: str | None, field: str, what: str, names: frozenset[str] | None, where: str
    ) -> Iterator[Finding]:
        if name is not None and names is not None and name not in names:
            hint = did_you_mean(name, sorted(names)) or f"add it to {where}"
            yield Finding("not-in-shop", field, f"«{name}» is not among the {what} in {where}", hint)

    if isinstance(spec.strings, str):
        yield from not_listed(spec.strings, "spec.strings", "string sets", known.string_sets, "shop.yaml")
    wire = spec.frets.wire if spec.frets else None
    yield from not_listed(wire, "spec.frets.wire", "fret wires", known.fret_wires, "shop.yaml")
    schedule = spec.finish.schedule if spec.finish else None
    schedules = known.finish_schedules
    yield from not_listed(schedule, "spec.finish.schedule", "finish schedules", schedules, "shop.yaml")
    for part, wood in spec.wood.items():
        yield from not_listed(wood.billet, f"spec.wood.{part}.billet", "billets", known.billets, "wood.yaml")
        if wood.billet is None and wood.species is None:
            hint = "write billet: with its number in the rack, or species: with the name of the wood"
            yield Finding("missing-key", f"spec.wood.{part}", f"the wood of the {part} is not named", hint)
    yield from _slips(spec.wood, "spec.wood", WOODEN_PARTS)
    yield from _slips(spec.hardware, "spec.hardware", HARDWARE_PARTS)


def _slips(parts: Iterable[str], field: str, known: Iterable[str]) -> Iterator[Finding]:
    """Parts are named freely, but one that is a letter away from a known part is a slip."""
    known = set(known)
    for part in parts:
        near = difflib.get_close_matches(part, known - {part}, n=1, cutoff=A_SLIP) if part not in known else []
        if near:
            yield Finding(
                "unknown-word",
                f"{field}.{part}",
                f"«{part}» is not a part known here",
                f"did you mean «{near[0]}»?",
            )


def _one_serial_one_folder(instruments: Iterable[InstrumentRead]) -> Iterator[Problem]:
    """Two folders may not claim one serial, not even with letters of another size: some disks hold them for one."""
    first_of: dict[str, FileRead[Record]] = {}
    for each in instruments:
        if each.record.value is None:
            continue
        serial = each.record.value.serial.casefold()
        if serial in first_of:
            message = f"the serial «{each.record.value.serial}» belongs to {first_of[serial].file} already"
            yield each.record.problem_at(Finding("duplicate-serial", "serial", message, "give each its own"))
        first_of.setdefault(serial, each.record)


def _one_address_one_folder(instruments: Iterable[InstrumentRead]) -> Iterator[Problem]:
    """Whoever was given the address of one instrument must not be able to guess that of another."""
    first_of: dict[str, str] = {}
    for each in instruments:
        if each.address_ending is None:
            continue
        file = f"records/instruments/{each.folder}/{ADDRESS_FILE}"
        if each.address_ending in first_of:
            message = f"the same letters stand in {first_of[each.address_ending]}"
            hint = "remove this file if it was copied along; a new address is drawn with the next build"
            yield Problem("bad-address", file, 1, 1, message, hint)
        first_of.setdefault(each.address_ending, file)


def _sisters(record: Record, used: Iterable[str], others: Iterable[InstrumentRead]) -> dict[str, tuple[Record, ...]]:
    """Other instruments with parts of the same billets, in the order of their folders."""
    records = [each.record.value for each in others if each.record.value and each.record.value.serial != record.serial]
    of = {name: tuple(each for each in records if name in _billet_names(each)) for name in used}
    return {name: sisters for name, sisters in of.items() if sisters}


def _billet_names(record: Record) -> set[str | None]:
    return {wood.billet for wood in record.spec.wood.values()}


def _billets_used(record: Record, billets: Mapping[str, Billet]) -> dict[str, Billet]:
    used = _billet_names(record)
    return {name: billet for name, billet in billets.items() if name in used}
