"""A shop folder opened: read, put together, worked out. The door for pages, commands and everything that follows."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path

from builder.collection import Neighbours, collect
from builder.limits import no_entries
from builder.problems import Problem
from builder.reading.beside import FileBeside
from builder.reading.folder import FileRead, ShopRead, read_shop_folder
from builder.reading.worded import Photo, Recording
from builder.record import Pattern, PrivateFile, Record, Spec
from builder.results import Beside, Results, work_out
from builder.results.clamping import clamp_findings
from builder.results.order import OrderResults, shop_price_findings, work_out_order
from builder.results.rack import BilletResults, work_out_rack
from builder.results.repair import RepairResults, work_out_repair
from builder.shop import Shop
from builder.shop.private import ShopPrivate
from builder.shop.room_log import RoomLog

#: Stands in the address of an unlisted instrument that has none yet, so that it is never taken for a plain one.
NOT_DRAWN = "not-drawn-yet"


@dataclass(frozen=True, slots=True)
class Instrument:
    """One instrument with everything worked out for it; `private` is None where private files were not asked for.

    `address_ending` makes its address one that nobody can guess; None where none was drawn. Once drawn it holds,
    whoever may find the instrument later: codes with this address are printed. `file` is its record as written, for
    whoever must name the place of a field in it. `photos` and `recordings` are in the order they are shown, drafts
    among them; none of them has been opened.
    """

    record: Record
    results: Results
    neighbours: Neighbours
    private: PrivateFile | None = None
    address_ending: str | None = None
    order: OrderResults = field(default_factory=lambda: OrderResults("planned"))
    file: FileRead[Record] | None = None
    photos: tuple[Photo, ...] = ()
    recordings: tuple[Recording, ...] = ()

    @property
    def address(self) -> str:
        """What the addresses of its pages and papers are made of: its serial, and the ending if there is one."""
        ending = NOT_DRAWN if self.lacks_address else self.address_ending
        return f"{self.record.serial}-{ending}" if ending else str(self.record.serial)

    @property
    def lacks_address(self) -> bool:
        """Whether an address must be drawn for it before any page or code is made."""
        return self.record.is_unlisted and self.address_ending is None


@dataclass(frozen=True, slots=True)
class Workshop:
    """A whole shop, read and worked out, and its folder. `shop` is None only where the shop file cannot be read.

    `private` is the shop's own private file; None where private files were not asked for, and where there is none.
    `rack` is every billet with what was cut from it; `patterns` are those that can be read, by their files' names.
    `mark` is the shop's own picture, not opened yet, and `file` the shop file as written. `repairs` are read with
    the private files alone.
    """

    shop: Shop | None
    instruments: tuple[Instrument, ...]
    problems: tuple[Problem, ...]
    private: ShopPrivate | None = None
    folder: Path = Path()
    rack: tuple[BilletResults, ...] = ()
    mark: FileBeside | None = None
    file: FileRead[Shop] | None = None
    patterns: Mapping[str, Pattern] = field(default_factory=no_entries)
    room_log: RoomLog | None = None
    repairs: tuple[RepairResults, ...] = ()

    @property
    def has_errors(self) -> bool:
        """Whether anything is wrong that keeps the site from being built (a warning does not)."""
        return any(problem.severity == "error" for problem in self.problems)


@dataclass(frozen=True, slots=True)
class _Question:
    """What is to be worked out. Two questions are alike where the same lines were written in all files they rest on."""

    written: Hashable
    spec: Spec = field(compare=False)
    shop: Shop = field(compare=False)
    beside: Beside = field(compare=False)


#: While a site is served, a record that did not change is not worked out again.
MOST_KEPT = 2_000


@lru_cache(MOST_KEPT)
def _answer(question: _Question) -> Results:
    return work_out(question.spec, question.shop, question.beside)


def _rests_on(read: ShopRead) -> Hashable:
    """Everything in the shop besides its own record that the results of an instrument may rest on."""
    wood = read.wood.lines if read.wood else ()
    return read.shop.lines, wood, read.room_log, tuple(sorted(read.outlines.items()))


def open_shop(folder: Path, *, private_files: bool) -> Workshop:
    """Read a shop folder and work everything out. Every problem of every file is in the answer; nothing raises.

    `private_files` says whether private files are read and checked too; a buyer's site is built with False.
    """
    return replace(put_together(read_shop_folder(folder, private_files=private_files)), folder=folder)


def put_together(read: ShopRead) -> Workshop:
    """A shop folder as read, put together and worked out."""
    members, disagreements = collect(read)
    problems = [*read.problems, *disagreements]
    instruments = []
    shop, around = read.shop.value, _rests_on(read)
    shop_private = read.private.value if read.private else None
    for member in members:
        if shop is None:
            break
        record = member.record
        beside = Beside(record.build, record.as_built, member.neighbours.billets, read.room_log, read.outlines)
        results = _answer(_Question((member.file.lines, around), record.spec, shop, beside))
        # Where the wood rack cannot be read, what a part lacks may well stand there.
        rack_is_read = read.wood is None or read.wood.value is not None
        findings = (each for each in results.findings if rack_is_read or each.severity != "hint")
        problems += map(member.file.problem_at, findings)
        private = member.private.value if member.private else None
        order = work_out_order(record, private, shop_private)
        if member.private:
            problems += map(member.private.problem_at, order.findings)
        ending = member.address_ending
        instruments.append(
            Instrument(
                record,
                results,
                member.neighbours,
                private,
                ending,
                order,
                member.file,
                member.photos,
                member.recordings,
            )
        )
    if shop is not None:
        problems += map(read.shop.problem_at, clamp_findings(shop))
    rack: tuple[BilletResults, ...] = ()
    if shop is not None and read.wood and read.wood.value:
        worked_out = [(each.record, each.results) for each in instruments]
        rack, of_rack = work_out_rack(read.wood.value.billets, worked_out, shop)
        problems += map(read.wood.problem_at, of_rack)
    if read.private and shop_private:
        problems += map(read.private.problem_at, shop_price_findings(shop_private))
    repairs = []
    currency = shop_private.currency if shop_private else None
    for stem, file in read.repairs.items():
        if file.value is not None:
            repair, amiss = work_out_repair(file.value, stem, read.folders, currency)
            repairs.append(repair)
            problems += map(file.problem_at, amiss)
    beside_pattern = Beside(outlines=read.outlines)
    for pattern in read.patterns.values():
        if shop is not None and pattern.value is not None:
            results = _answer(_Question((pattern.lines, around), pattern.value.spec, shop, beside_pattern))
            problems += map(pattern.problem_at, results.findings)
    in_order = sorted(problems, key=lambda problem: problem.in_reading_order)
    patterns = {name: pattern.value for name, pattern in read.patterns.items() if pattern.value}
    return Workshop(
        shop,
        tuple(instruments),
        tuple(in_order),
        shop_private,
        rack=rack,
        mark=read.mark,
        file=read.shop,
        patterns=patterns,
        room_log=read.room_log,
        repairs=tuple(repairs),
    )
