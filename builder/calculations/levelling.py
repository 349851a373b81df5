"""Level frets: which one rocks, which to seat anew, and the least that must be filed so that a straight rocker sits.

Heights are measured upwards from any straight line along the board; tilting or shifting that line changes nothing
here. Places are distances from the nut in board order. Any unit of length will do, if all are in the same; names say
millimetres because the house keeps them.

A short straight edge over three frets rocks where the middle one stands above the line through the other two. It
sits everywhere exactly where the tops, joined by straight lines, bend upwards or not at all: where they are *convex*,
like a board with relief. Filing can only lower. Of all convex shapes that are nowhere above the tops there is one
that is the highest at every fret at once, the greatest convex minorant (a thread pulled tight beneath the tops), and
so it is the least filing at each fret and in all. Source: convex-minorant.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from builder.calculations.answers import Outside

#: Frets closer than this leave no room for a rocker, nor for a file between them.
LEAST_GAP_MM = 1.0
#: So many frets are needed for a middle one, and the planned fall-away may begin at the third at the earliest.
FEWEST_FRETS = 3
#: Sums of heights closer than this are the same: a millionth of a millimetre.
_SAME_MM = 1e-6
#: A run of low frets longer than this is no fret that came up badly but the shape of the board.
_LONGEST_LOW_RUN = 2


@dataclass(frozen=True, slots=True)
class FallAway:
    """From which fret (counted from 0) the board falls away, and how far below its own line the last fret lies."""

    starts_at: int
    by_mm: float


@dataclass(frozen=True, slots=True)
class Reseat:
    """A fret that sits too low and is to be seated anew; counted from 0, and how much too low it is."""

    fret: int
    low_by_mm: float


@dataclass(frozen=True, slots=True)
class LevelledSide:
    """One side of a board, levelled; each tuple has one entry a fret.

    `proud_mm` is how far each fret stands above the line through its neighbours (None for the first and last),
    `gap_mm` the feeler that goes under the rocker there, `rocks` whether it is more than the plan and the tolerance
    allow. `reseat` is in the order of the work. `file_mm` is what is left to file once those are seated, and
    `filing_without_reseating_mm` what it would be in all without seating any.
    """

    proud_mm: tuple[float | None, ...]
    gap_mm: tuple[float, ...]
    rocks: tuple[bool, ...]
    reseat: tuple[Reseat, ...]
    file_mm: tuple[float, ...]
    height_after_mm: tuple[float, ...]
    filing_without_reseating_mm: float


def proud_mm(places_mm: Sequence[float], heights_mm: Sequence[float]) -> tuple[float, ...]:
    """How far each fret but the first and last stands above the straight line through its two neighbours.

    h − (h_before · gap_after + h_after · gap_before) / (gap_before + gap_after): the gaps get smaller along the board,
    so the plain mean of the neighbours would be wrong. Below zero the fret lies low. Source: straight-line.
    """
    return tuple(heights_mm[n] - _between(places_mm, heights_mm, n - 1, n, n + 1) for n in range(1, len(places_mm) - 1))


def feeler_gap_mm(proud_by_mm: float, gap_before_mm: float, gap_after_mm: float) -> float:
    """The feeler that goes under the lifted tip of a rocker which stands on the middle fret of three.

    Pressed down on the far neighbour it opens over the near one: proud · (gap_before + gap_after) / smaller gap,
    a little more than twice what the fret is proud. Nothing where the fret is not proud. Source: straight-line.
    """
    if proud_by_mm <= 0:
        return 0.0
    return proud_by_mm * (gap_before_mm + gap_after_mm) / min(gap_before_mm, gap_after_mm)


def greatest_convex_minorant_mm(places_mm: Sequence[float], heights_mm: Sequence[float]) -> tuple[float, ...]:
    """The tight thread beneath the tops: the highest convex shape that is nowhere above them, at each fret.

    Places increase. Source: convex-minorant.
    """
    held: list[int] = []
    for n in range(len(places_mm)):
        while len(held) > 1 and heights_mm[held[-1]] >= _between(places_mm, heights_mm, held[-2], held[-1], n):
            held.pop()
        held.append(n)
    thread = list(heights_mm)
    for left, right in pairwise(held):
        for n in range(left + 1, right):
            thread[n] = _between(places_mm, heights_mm, left, n, right)
    return tuple(thread)


def allowance_mm(places_mm: Sequence[float], proud_by_mm: Sequence[float]) -> tuple[float, ...]:
    """A shape of which each fret but the first and last is proud by exactly so much; it starts with two zeros."""
    shape = [0.0] * min(len(places_mm), 2)
    for n in range(1, len(places_mm) - 1):
        before, after = places_mm[n] - places_mm[n - 1], places_mm[n + 1] - places_mm[n]
        shape.append(((shape[n] - proud_by_mm[n - 1]) * (before + after) - shape[n - 1] * after) / before)
    return tuple(shape)


def least_filed_mm(
    places_mm: Sequence[float], heights_mm: Sequence[float], proud_by_mm: Sequence[float]
) -> tuple[float, ...]:
    """The heights after the least filing that leaves no fret prouder than `proud_by_mm` (all but first and last).

    Of all shapes that are nowhere above the tops and rock no more than that, it is the highest at every fret: the
    shape that rocks just so much everywhere is taken off, the thread pulled tight, and the shape put on again. The
    first and last fret stay as they are. Source: convex-minorant.
    """
    allowed = allowance_mm(places_mm, proud_by_mm)
    thread = greatest_convex_minorant_mm(places_mm, [h - a for h, a in zip(heights_mm, allowed, strict=True)])
    return tuple(min(h, t + a) for h, t, a in zip(heights_mm, thread, allowed, strict=True))


def planned_mm(places_mm: Sequence[float], fall_away: FallAway | None) -> tuple[float, ...]:
    """The planned shape of the board along its own line: straight, then falling evenly to `by_mm` at the last fret."""
    if fall_away is None:
        return (0.0,) * len(places_mm)
    start, end = places_mm[fall_away.starts_at], places_mm[-1]
    return tuple(-fall_away.by_mm * max(0.0, place - start) / (end - start) for place in places_mm)


def relief_mm(places_mm: Sequence[float], heights_mm: Sequence[float]) -> float:
    """How far the board dips below the straight line from its first to its last fret; below zero it is humped.

    The deepest fret counts, or where none dips the highest. Source: straight-line.
    """
    last = len(places_mm) - 1
    dips = [_between(places_mm, heights_mm, 0, n, last) - heights_mm[n] for n in range(1, last)]
    deepest = max(dips, default=0.0)
    return deepest if deepest > _SAME_MM else min(dips, default=0.0)


def crown_left_mm(crown_mm: float, filed_mm: float) -> float:
    """How high a fret's crown is after filing."""
    return crown_mm - filed_mm


def level_side(
    places_mm: Sequence[float], heights_mm: Sequence[float], tolerance_mm: float, fall_away: FallAway | None = None
) -> LevelledSide | Outside:
    """Level one side of a board: what rocks, what to seat anew and in which order, and what is then left to file.

    Low frets come first: filing its two neighbours down to a low fret would take metal off half the board. A low
    fret shows as proud, low, proud along the board; it is to be seated anew where that leaves less to file than
    leaving it (counted to a line without any play). Two proud frets with a level one between them are filed.
    Answers Outside with fewer than three frets, frets less than 1 mm apart, or a fall-away that does not begin
    between the third and the last but one.
    """
    outside = _outside(places_mm, fall_away)
    if outside:
        return outside
    planned = planned_mm(places_mm, fall_away)
    allowed = [each + tolerance_mm for each in proud_mm(places_mm, planned)]
    proud = proud_mm(places_mm, heights_mm)
    gaps = [after - before for before, after in pairwise(places_mm)]
    seated, reseat = list(heights_mm), list[Reseat]()
    while (
        found := _next_to_reseat(places_mm, seated, tolerance_mm, fall_away, {each.fret for each in reseat})
    ) is not None:
        for each in found:
            seated[each.fret] += each.low_by_mm
        reseat += found
    after = _filed(places_mm, seated, tolerance_mm, fall_away)
    return LevelledSide(
        proud_mm=(None, *proud, None),
        gap_mm=(0.0, *(feeler_gap_mm(each, *gaps[n : n + 2]) for n, each in enumerate(proud)), 0.0),
        rocks=(False, *(each > most + _SAME_MM for each, most in zip(proud, allowed, strict=True)), False),
        reseat=tuple(reseat),
        file_mm=_differences(seated, after),
        height_after_mm=after,
        filing_without_reseating_mm=sum(
            _differences(heights_mm, _filed(places_mm, heights_mm, tolerance_mm, fall_away))
        ),
    )


def _outside(places_mm: Sequence[float], fall_away: FallAway | None) -> Outside | None:
    if len(places_mm) < FEWEST_FRETS:
        return Outside("a rocker needs three frets to stand on")
    if min(after - before for before, after in pairwise(places_mm)) < LEAST_GAP_MM:
        return Outside("two frets lie less than 1 mm apart, which leaves no room for a rocker")
    if fall_away is not None and not FEWEST_FRETS - 1 <= fall_away.starts_at <= len(places_mm) - 2:
        return Outside("a board can fall away from its third fret on at the earliest, and before its last")
    return None


def _filed(
    places_mm: Sequence[float], heights_mm: Sequence[float], tolerance_mm: float, fall_away: FallAway | None
) -> tuple[float, ...]:
    """Heights after the least filing, with the fall-away filed in.

    The part before the fall-away is levelled by itself; the line from its first to its last fret, carried on, is the
    board's own line. Beyond, a fret that stands more than the tolerance above the plan goes down to the plan.
    """
    planned = planned_mm(places_mm, fall_away)
    ceiling = list(heights_mm)
    if fall_away is not None:
        turn = fall_away.starts_at
        level = least_filed_mm(places_mm[: turn + 1], heights_mm[: turn + 1], [tolerance_mm] * (turn - 1))
        slope = (level[turn] - level[0]) / (places_mm[turn] - places_mm[0])
        for n in range(turn + 1, len(places_mm)):
            plan = level[turn] + slope * (places_mm[n] - places_mm[turn]) + planned[n]
            if heights_mm[n] > plan + tolerance_mm + _SAME_MM:
                ceiling[n] = plan
    allowed = [each + tolerance_mm for each in proud_mm(places_mm, planned)]
    return least_filed_mm(places_mm, ceiling, allowed)


def _next_to_reseat(
    places_mm: Sequence[float],
    heights_mm: Sequence[float],
    tolerance_mm: float,
    fall_away: FallAway | None,
    seated_already: set[int],
) -> list[Reseat] | None:
    """The low fret (or two side by side) whose seating anew saves the most filing; None where none saves any."""
    total_mm = _all_filing_mm(places_mm, heights_mm, fall_away)
    best: list[Reseat] | None = None
    most_saved_mm = tolerance_mm + _SAME_MM
    for run in _low_runs(places_mm, heights_mm, tolerance_mm, fall_away):
        if not seated_already.isdisjoint(each.fret for each in run):
            continue
        lifted = list(heights_mm)
        for each in run:
            lifted[each.fret] += each.low_by_mm
        saved_mm = total_mm - _all_filing_mm(places_mm, lifted, fall_away)
        if run[0].fret in (0, len(places_mm) - 1):
            saved_mm -= run[0].low_by_mm  # nothing holds the line down beyond an end fret, so the lift counts too
        if saved_mm > most_saved_mm:
            best, most_saved_mm = run, saved_mm
    return best


def _low_runs(
    places_mm: Sequence[float], heights_mm: Sequence[float], tolerance_mm: float, fall_away: FallAway | None
) -> list[list[Reseat]]:
    """Every fret, or two side by side, that lies low between proud ones, one of which rocks; and each low end fret."""
    planned = planned_mm(places_mm, fall_away)
    above = [height - plan for height, plan in zip(heights_mm, planned, strict=True)]
    proud = (None, *proud_mm(places_mm, above), None)
    last = len(above) - 1
    runs = []
    for length in range(1, _LONGEST_LOW_RUN + 1):
        for first in range(1, last - length + 1):
            left, right = first - 1, first + length
            inside = [proud[n] for n in range(first, right)]
            is_low = all(each is not None and each < -tolerance_mm for each in inside)
            beside = [each for each in (proud[left], proud[right]) if each is not None]
            if is_low and beside and min(beside) > 0 and max(beside) > tolerance_mm:
                lifts = [(n, _between(places_mm, above, left, n, right) - above[n]) for n in range(first, right)]
                runs.append([Reseat(n, lift) for n, lift in lifts if lift > _SAME_MM])
    for end, one, other in ((0, 1, 2), (last, last - 1, last - 2)):
        lift = _between(places_mm, above, one, end, other) - above[end]
        next_to_it = proud[one]
        if lift > _SAME_MM and next_to_it is not None and next_to_it > tolerance_mm:
            runs.append([Reseat(end, lift)])
    return [run for run in runs if run]


def _all_filing_mm(places_mm: Sequence[float], heights_mm: Sequence[float], fall_away: FallAway | None) -> float:
    """All that would be filed off to make every rocker sit without any play, frets added up."""
    return sum(_differences(heights_mm, _filed(places_mm, heights_mm, 0.0, fall_away)))


def _between(places_mm: Sequence[float], heights_mm: Sequence[float], left: int, at: int, right: int) -> float:
    """The height at one fret of the straight line through the tops of two others (carried on, if it lies outside)."""
    part = (places_mm[at] - places_mm[left]) / (places_mm[right] - places_mm[left])
    return heights_mm[left] + (heights_mm[right] - heights_mm[left]) * part


def _differences(before_mm: Sequence[float], after_mm: Sequence[float]) -> tuple[float, ...]:
    """What was taken off at each fret; the last bits of a processor's arithmetic are nothing."""
    taken = (before - after for before, after in zip(before_mm, after_mm, strict=True))
    return tuple(each if each > _SAME_MM else 0.0 for each in taken)
