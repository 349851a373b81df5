"""Every subject besides board, frets and strings, in the order of the page: for the buyer, and for the bench."""

from __future__ import annotations

from builder.publish.as_built import as_built_for_the_bench_of, as_built_of
from builder.publish.body import body_for_the_bench_of, body_of
from builder.publish.bracing import bracing_for_the_bench_of, bracing_of
from builder.publish.cutting import cutting_for_the_bench_of
from builder.publish.gluing import clamping_for_the_bench_of, gluing_for_the_bench_of
from builder.publish.hours import hours_of
from builder.publish.levelling import levelling_for_the_bench_of, levelling_of
from builder.publish.repair import repair_of
from builder.publish.setback import setback_for_the_bench_of, setback_of
from builder.publish.string_loads import string_loads_for_the_bench_of, string_loads_of
from builder.publish.wood import wood_for_the_bench_of, wood_of
from builder.published import Figures, Subject
from builder.results.hours import work_out_hours
from builder.shop import Shop
from builder.workshop import Instrument


def buyer_subjects(instrument: Instrument, shop: Shop) -> tuple[Subject, ...]:
    """What a buyer may see, each subject only if there is something to show."""
    results, unit, spec = instrument.results, shop.unit, instrument.record.spec
    of_body, of_braces = body_of(results.body, spec, unit), bracing_of(results.bracing)
    measured = as_built_of(instrument.record.as_built, results.as_built, unit)
    return tuple(
        Subject(key, title, figures)
        for key, title, figures in (
            ("seasons", "Woods through the year", wood_of(results.wood, unit)),
            ("body", "The body", _together(of_body, of_braces)),
            ("string-pull", "What the strings pull", string_loads_of(results.string_loads, unit)),
            ("setback", "Nut to saddle", setback_of(results.setback, unit)),
            ("as-built", "How it measures", _together(measured, levelling_of(results.levelling, unit))),
            ("repair", "For whoever repairs it", repair_of(instrument, shop)),
        )
        if figures is not None and not figures.is_empty
    )


def bench_subjects(instrument: Instrument, shop: Shop) -> tuple[Subject, ...]:
    """What the bench needs, each subject only if there is something to show or something wanting."""
    results, unit, spec = instrument.results, shop.unit, instrument.record.spec
    hours = work_out_hours(instrument.private.hours, instrument.record.build) if instrument.private else None
    return tuple(
        Subject(key, title, figures)
        for key, title, figures in (
            ("cutting", "Cutting list", cutting_for_the_bench_of(results.cutting, unit)),
            ("body", "Body, sides and linings", body_for_the_bench_of(results.body, spec, unit)),
            ("bracing", "End angles and braces", bracing_for_the_bench_of(results.bracing, unit)),
            ("clamps", "Clamps", clamping_for_the_bench_of(results.clamping, unit)),
            ("gluing", "Glue and finish", gluing_for_the_bench_of(results.gluing, unit)),
            ("wood", "Wood", wood_for_the_bench_of(results.wood, unit)),
            ("string-loads", "Strings", string_loads_for_the_bench_of(results.string_loads, unit)),
            (
                "setback",
                "Setback and string heights",
                setback_for_the_bench_of(results.setback, results.string_heights, unit),
            ),
            ("levelling", "Levelling the frets", levelling_for_the_bench_of(results.levelling, unit)),
            ("as-built", "Frets as measured", as_built_for_the_bench_of(results.as_built, unit)),
            ("hours", "Hours", hours_of(hours)),
        )
        if figures is not None and (not figures.is_empty or figures.wanting)
    )


def _together(one: Figures | None, other: Figures | None) -> Figures | None:
    """Two subjects under one heading."""
    if one is None or other is None:
        return one or other
    return Figures(
        one.lead or other.lead,
        one.facts + other.facts,
        one.tables + other.tables,
        one.cautions + other.cautions,
        one.notes + other.notes,
        one.wanting + other.wanting,
    )
