"""Which string of the drawer gives the pull that was wished for."""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.string_loads import nearest_pull, weight_for_kg_per_m
from builder.calculations.string_weights import diameter_for_weight_mm
from builder.calculations.strings import MM_PER_THOUSANDTH, Gauge, SingleString
from builder.problems import Finding
from builder.record import Spec
from builder.record.strings import StringBuild
from builder.results.string_builds import BreakingLoad, known_string, plain_density
from builder.results.strings import StringResults
from builder.shop import Shop


@dataclass(frozen=True, slots=True)
class WishedString:
    """One course, its first string: what it should pull, what it pulls now, and the nearest in the drawer.

    `exact_thousandths` is the plain gauge that would pull just so, whether sold or not; None for a wound string.
    `nearest` is None where the drawer holds no string of that make whose weight is known.
    """

    course: int
    string: SingleString
    wished_newtons: float
    now_newtons: float | None
    exact_thousandths: float | None
    nearest: Gauge | None
    nearest_newtons: float | None
    nearest_share: float | None


def wished_strings(
    spec: Spec,
    shop: Shop,
    strings: StringResults,
    lengths_mm: tuple[float | None, ...],
    beside_filament: bool,
    pulls_newtons: tuple[float | None, ...],
) -> tuple[tuple[WishedString, ...], list[Finding]]:
    """Nearest strings of the shop's stock and string sets, of the make that is on the instrument (any, if unsaid)."""
    wishes = spec.wished_tension
    if wishes is None:
        return (), []
    courses = strings.courses
    if isinstance(wishes, tuple) and len(wishes) != len(courses):
        message = f"{len(wishes)} pulls are wished for, and there are {len(courses)} courses"
        return (), [Finding("does-not-fit", "spec.wished_tension", message, "write one a course, or one for all")]
    found, place = [], 0
    for number, (course, frequencies) in enumerate(zip(courses, strings.frequencies_hz, strict=True)):
        wished = wishes[number] if isinstance(wishes, tuple) else wishes
        length_mm, now = lengths_mm[place], pulls_newtons[place]
        place += len(course.strings)
        if length_mm is not None:
            string = course.strings[0]
            found.append(_wished(number + 1, string, wished, now, length_mm, frequencies[0], shop, beside_filament))
    return tuple(found), []


def _wished(
    course: int,
    string: SingleString,
    wished: float,
    now: float | None,
    length_mm: float,
    frequency_hz: float,
    shop: Shop,
    beside_filament: bool,
) -> WishedString:
    in_drawer = {
        gauge: known_string(gauge, build, beside_filament)
        for gauge, build in _stock(shop).items()
        if string.make in (None, gauge.make)
    }
    weights = {gauge: known.weight.kg_per_m for gauge, known in in_drawer.items() if known.weight}
    density = plain_density(string.make) if string.make else None
    exact = None
    if density is not None:
        weight = weight_for_kg_per_m(wished, length_mm, frequency_hz)
        exact = diameter_for_weight_mm(weight, density) / MM_PER_THOUSANDTH
    best = nearest_pull(wished, weights, length_mm, frequency_hz)
    if best is None:
        return WishedString(course, string, wished, now, exact, None, None, None)
    nearest, pull = best
    breaking = in_drawer[nearest].breaking
    share = pull / breaking.least_newtons if isinstance(breaking, BreakingLoad) else None
    return WishedString(course, string, wished, now, exact, nearest, pull, share)


def _stock(shop: Shop) -> dict[Gauge, StringBuild]:
    """Every string the shop has: those of its stock, and those of its sets; by thickness."""
    of_sets = {
        string.gauge: StringBuild()
        for courses in shop.string_sets.values()
        for course in courses
        for string in course.strings
        if string.gauge
    }
    every = {**of_sets, **shop.string_stock}
    return {gauge: every[gauge] for gauge in sorted(every, key=lambda gauge: (gauge.thousandths, gauge.make))}
