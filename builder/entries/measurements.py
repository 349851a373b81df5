"""What was measured on the finished instrument, one value or a whole column, into `as_built` of its record."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.frets import read_fret_number
from builder.calculations.pitch import read_note
from builder.editing.layout import Plain
from builder.entries.columns import NOT_TAKEN, counted_values, values_of
from builder.entries.keeping import Asked, Edit, Entry, Refused
from builder.publish import publish
from builder.publish.bench import publish_bench
from builder.sheets.bench_sheet import Blank, blanks_of
from builder.shop import Shop
from builder.words import counted, in_a_row
from builder.workshop import Instrument

_WRITE_OVER = "to write over it, add --instead"
_PAIR = re.compile(r"\s*([^:=]+?)\s*[:=]\s*(.+?)\s*")
#: How the keys of a group are read, where they may be spelled in several ways.
_READS: Mapping[str, Callable[[str], object]] = {"action": read_fret_number, "cents_at_octave": read_note}


@dataclass(frozen=True, slots=True)
class Measured:
    """What a maker says of one measurement: the text of its values, on which side, with which rule, above what.

    `instead` says that it may take the place of one written before.
    """

    values: str
    side: str | None = None
    rule: str | None = None
    above: str | None = None
    instead: bool = False


def fret_positions(measured: Measured) -> Asked:
    """Where the frets lie, from the nut, in board order: along the centre line, or along one side."""

    def entry(instrument: Instrument, shop: Shop) -> Entry:
        column = _column(measured, instrument)
        rule = {"rule": measured.rule} if measured.rule else {}
        there = instrument.record.as_built.fret_positions
        written = {"rule": there.rule.written} if there and there.rule else {}
        edits = _group(("fret_positions",), {**rule, measured.side or "values": column}, there, written, measured)
        said = f"{counted(len(column), 'fret position')}{_on_side(measured)}"
        said += f", read on {measured.rule}" if measured.rule else "; which rule was used is not said (--rule)"
        return Entry(said, tuple(edits), if_written=_WRITE_OVER)

    return entry


def fret_heights(measured: Measured) -> Asked:
    """How high the frets stand near one edge of the board, in board order."""

    def entry(instrument: Instrument, shop: Shop) -> Entry:
        if measured.side is None:
            raise Refused("nothing says on which side of the board the heights were taken", "write bass or treble")
        column = _column(measured, instrument)
        above = {"above": measured.above} if measured.above else {}
        there = instrument.record.as_built.fret_heights
        written = {"above": there.above} if there and there.above else {}
        edits = _group(("fret_heights",), {**above, measured.side: column}, there, written, measured)
        return Entry(f"{counted(len(column), 'fret height')}{_on_side(measured)}", tuple(edits), if_written=_WRITE_OVER)

    return entry


def single(field: tuple[str, ...], named: str) -> Callable[[Measured], Asked]:
    """One value alone: the relief, the weight."""

    def of(measured: Measured) -> Asked:
        def entry(instrument: Instrument, shop: Shop) -> Entry:
            value = measured.values.strip()
            if not value:
                raise Refused(f"nothing says what the {named} is", f"write it behind: measurement {named} …")
            return Entry(f"{named} {value}", (_edit(field, value, measured),), if_written=_WRITE_OVER)

        return entry

    return of


def several(group: str, named: str) -> Callable[[Measured], Asked]:
    """One value a fret or string: with its name (`7: 0.090 in`), or in the order of the bench sheet's blanks."""

    def of(measured: Measured) -> Asked:
        def entry(instrument: Instrument, shop: Shop) -> Entry:
            blanks = [each for each in _blanks(instrument, shop) if each.field[:2] == ("setup", group)]
            if re.search("[:=]", measured.values):
                pairs = dict(_pairs(measured.values))
            else:
                values = counted_values(measured.values, len(blanks), "blank")
                pairs = {blank.field[-1]: value for blank, value in zip(blanks, values, strict=True)}
            taken = {name: value for name, value in pairs.items() if value != NOT_TAKEN}
            edits = [_edit(("setup", group, name), value, measured) for name, value in taken.items()]
            told = in_a_row(f"{name} {value}" for name, value in taken.items())
            return Entry(f"{named} {told}", tuple(edits), if_written=_WRITE_OVER)

        return entry

    return of


def bench_sheet(measured: Measured) -> Asked:
    """All blanks of the bench sheet's last list as one column, a dash where nothing was taken."""

    def entry(instrument: Instrument, shop: Shop) -> Entry:
        blanks = _blanks(instrument, shop)
        lines = [line.strip() for line in measured.values.splitlines() if line.strip()]
        if len(lines) != len(blanks):
            order = "; ".join(blank.label for blank in blanks)
            said = f"this makes {counted(len(lines), 'line')} for {counted(len(blanks), 'blank')} ({order})"
            raise Refused(said, f"write one line for each, {NOT_TAKEN} where nothing was taken")
        taken = [(blank, line) for blank, line in zip(blanks, lines, strict=True) if line not in ("-", "–", "—")]
        edits = [_edit(blank.field, line, measured) for blank, line in taken]
        told = "; ".join(f"{blank.label} {line}" for blank, line in taken)
        return Entry(told, tuple(edits), if_written=_WRITE_OVER)

    return entry


#: What can be measured, by the word for it on the command line.
MEASUREMENTS: Mapping[str, Callable[[Measured], Asked]] = {
    "fret-positions": fret_positions,
    "fret-heights": fret_heights,
    "crown-height": single(("crown_height",), "crown-height"),
    "action": several("action", "action"),
    "relief": single(("setup", "relief"), "relief"),
    "cents": several("cents_at_octave", "cents at the octave"),
    "weight": single(("weight",), "weight"),
    "bench-sheet": bench_sheet,
}


def _column(measured: Measured, instrument: Instrument) -> list[Plain]:
    """The values without those that were not taken: a fret that does not reach a side has none there."""
    frets = instrument.results.frets
    values = values_of(measured.values, None if isinstance(frets, Missing) else len(frets.frets))
    return [value for value in values if value != NOT_TAKEN]


def _group(
    field: tuple[str, ...], new: Mapping[str, Plain], there: object, written: Mapping[str, str], measured: Measured
) -> Iterator[Edit]:
    """A new group whole; in one that is there, what is new in it. What is written already in the same words stays."""
    if there is None:
        yield _edit(field, dict(new), measured)
        return
    for key, value in new.items():
        if written.get(key) != value:
            yield _edit((*field, key), value, measured)


def _edit(field: tuple[str, ...], value: Plain, measured: Measured) -> Edit:
    reads = _READS.get(field[-2]) if len(field) > 1 else None
    return Edit(("as_built", *field), value, replaces=measured.instead, reads_key=reads)


def _blanks(instrument: Instrument, shop: Shop) -> tuple[Blank, ...]:
    return blanks_of(publish(instrument, shop), publish_bench(instrument, shop))


def _pairs(text: str) -> Iterator[tuple[str, str]]:
    for piece in filter(str.strip, re.split(r"[,;\n\t]", text)):
        pair = _PAIR.fullmatch(piece)
        if pair is None:
            raise Refused(f"«{piece.strip()}» has no name and value", "write it like 7: 0.090 in")
        yield pair[1], pair[2]


def _on_side(measured: Measured) -> str:
    return f", {measured.side} side" if measured.side else ""
