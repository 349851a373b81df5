"""Everything worked out for one record: the only place where records and sums meet."""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.problems import Finding
from builder.record import Spec
from builder.results.fretboard import FretboardResults, work_out_fretboard
from builder.results.frets import FretResults, work_out_frets
from builder.results.fretting import FrettingResults, work_out_fretting
from builder.results.reach import ReachResults, work_out_reach
from builder.results.spacing import SpacingResults, work_out_spacing
from builder.results.strings import StringResults, courses_of, work_out_strings
from builder.shop import Shop

__all__ = [
    "FretResults",
    "FretboardResults",
    "FrettingResults",
    "ReachResults",
    "Results",
    "SpacingResults",
    "StringResults",
    "work_out",
]


@dataclass(frozen=True, slots=True)
class Results:
    """What the sums say about one specification; `Missing` where it does not hold enough for one of them."""

    frets: FretResults | Missing
    strings: StringResults | Missing
    spacing: SpacingResults | Missing
    fretboard: FretboardResults | Missing
    reach: ReachResults | Missing
    fretting: FrettingResults | Missing
    findings: tuple[Finding, ...]


def work_out(spec: Spec, shop: Shop) -> Results:
    """Do every sum for one specification. Findings name the field they concern; nothing raises."""
    frets, of_frets = work_out_frets(spec, shop)
    strings, of_strings = work_out_strings(spec, shop, frets)
    spacing, of_spacing = work_out_spacing(spec, courses_of(spec, shop.string_sets))
    fretboard, of_board = work_out_fretboard(spec, frets, strings, spacing)
    reach, of_reach = work_out_reach(spec, frets)
    fretting, of_fretting = work_out_fretting(spec, shop, frets, fretboard)
    findings = (*of_frets, *of_strings, *of_spacing, *of_board, *of_reach, *of_fretting)
    return Results(frets, strings, spacing, fretboard, reach, fretting, findings)
