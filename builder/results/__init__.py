"""Everything worked out for one record: the only place where records and sums meet."""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.problems import Finding
from builder.record import Spec
from builder.results.fretboard import FretboardResults, work_out_fretboard
from builder.results.frets import FretResults, work_out_frets
from builder.results.strings import StringResults, work_out_strings
from builder.shop import Shop

__all__ = ["FretResults", "FretboardResults", "Results", "StringResults", "work_out"]


@dataclass(frozen=True, slots=True)
class Results:
    """What the sums say about one specification; `Missing` where it does not hold enough for one of them."""

    frets: FretResults | Missing
    fretboard: FretboardResults | Missing
    strings: StringResults | Missing
    findings: tuple[Finding, ...]


def work_out(spec: Spec, shop: Shop) -> Results:
    """Do every sum for one specification. Findings name the field they concern; nothing raises."""
    frets, fret_findings = work_out_frets(spec, shop)
    fretboard, board_findings = work_out_fretboard(spec, frets)
    strings, string_findings = work_out_strings(spec, shop)
    return Results(frets, fretboard, strings, (*fret_findings, *board_findings, *string_findings))
