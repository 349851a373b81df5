"""Everything worked out for one record: the only place where records and sums meet."""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.problems import Finding
from builder.record import Record
from builder.results.fretboard import FretboardResults, work_out_fretboard
from builder.results.frets import FretResults, work_out_frets
from builder.results.strings import StringResults, work_out_strings
from builder.shop import Shop

__all__ = ["FretResults", "FretboardResults", "Results", "StringResults", "work_out"]


@dataclass(frozen=True, slots=True)
class Results:
    """What the sums say about one instrument; `Missing` where the record does not hold enough for one of them."""

    frets: FretResults | Missing
    fretboard: FretboardResults | Missing
    strings: StringResults | Missing
    findings: tuple[Finding, ...]


def work_out(record: Record, shop: Shop) -> Results:
    """Do every sum for one instrument. Findings name the field they concern; nothing raises."""
    frets, fret_findings = work_out_frets(record.spec, shop)
    fretboard, board_findings = work_out_fretboard(record.spec, frets)
    strings, string_findings = work_out_strings(record.spec, shop)
    return Results(frets, fretboard, strings, (*fret_findings, *board_findings, *string_findings))
