"""Figures that cards show, as they would be published of the instruments that certificates are tried with."""

from __future__ import annotations

from dataclasses import replace

from builder.published import Column, Figure, Figures, FigureTable, Published, Subject, Table
from tests.certificate_samples import USUAL

SEASONS = Subject(
    "seasons", "Woods through the year",
    Figures(facts=(
        Figure("wood_soundboard", "soundboard, 7.500 in wide",
               "0.050 in wider in the damp season than in the dry one", "1.26 mm"),
        Figure("rest_humidity", "the soundboard is at rest", "at 35 % humidity in a room at 20 °C (68 °F)"),
        Figure("wood_mass", "the woods reckoned so far weigh", "26.2 oz", "742 g"),
    )),
)  # fmt: skip
PULL = Subject(
    "string-pull", "What the strings pull",
    Figures(
        facts=(Figure("total_pull", "Pull of all strings", "64.9 lb", "288.8 N"),),
        tables=(FigureTable(
            "string_loads", "Pull of the strings", "",
            Table(
                (
                    Column("course", "course", "", ""), Column("note", "note", "", ""),
                    Column("string", "string", "", ""),
                    Column("pull_pounds", "pull", "lb", "", 1), Column("pull_newtons", "pull", "N", "", 1),
                ),
                (
                    ("1", "D3", "0.022 in wound", "18.9 to 20.1", "84.1 to 89.4"),
                    ("2", "A3", "0.012 in plain steel", 13.06, 58.1),
                    ("3", "D4", "0.0095 in plain steel", "", ""),
                ),
            ),
        ),),
    ),
)  # fmt: skip
SETBACK = Subject(
    "setback", "Nut to saddle",
    Figures(facts=(
        Figure("nut_to_saddle_1_D3", "Nut to saddle, D3 22w", "28.667 in, 0.167 in longer than the scale",
               "728.14 mm, 4.24 mm longer"),
        Figure("nut_to_saddle_3_D4", "Nut to saddle, D4 10", "28.592 in, 0.092 in longer than the scale",
               "726.25 mm, 2.35 mm longer"),
    )),
)  # fmt: skip

#: The usual instrument with all that cards can say of it.
RICH = replace(
    USUAL,
    subjects=(*USUAL.subjects, SEASONS, PULL, SETBACK),
    hardware=(*USUAL.hardware, ("string ends", "loops over hitch pins in the tail")),
)


def with_every_figure(instrument: Published) -> Published:
    """An instrument with the figures of the rich one."""
    return replace(instrument, subjects=RICH.subjects)


def with_many_measures(instrument: Published) -> Published:
    """An instrument of which more was measured than a ticket has lines for."""
    facts = tuple(Figure(f"action_{n}", f"String above fret {n}", "0.016 in", "0.41 mm") for n in range(1, 31))
    return replace(instrument, subjects=(Subject("as-built", "How it measures", Figures(facts=facts)),))
