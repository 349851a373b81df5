"""How many cents each fret is off, string by string: the expected line, and the band between pinned and clamped."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from markupsafe import Markup

from builder.drawings.naming import id_prefix
from builder.plots.page_ink import (
    ABOVE_POINTS,
    LEGEND_ROW_POINTS,
    LOOKS,
    QUIET,
    RULE_COLOURS,
    draw_frets_and_cents,
    plot_svg,
    write_beside,
    write_legend,
)
from builder.published import FigureTable
from builder.templates import fixed

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: The least that the picture reaches up and down, and the most: beyond it a line leaves the picture.
_LEAST_CENTS, _MOST_CENTS = 5.0, 60.0
_IN_A_ROW = 4


def setback_svg(cents: FigureTable, *, name: str) -> Markup:
    """Draw the table of cents by fret. `name` tells its parts from those of any other drawing on the page."""
    strings = _strings(cents)
    rows = math.ceil(len(strings) / _IN_A_ROW)
    return plot_svg(
        lambda axes: _draw(axes, cents, strings),
        prefix=f"{id_prefix(name)}-setback",
        title=_in_words(strings),
        above_points=ABOVE_POINTS + LEGEND_ROW_POINTS * rows,
    )


_Lines = tuple[list[float], list[float], list[float]]


def _strings(cents: FigureTable) -> list[tuple[str, _Lines]]:
    """Each string's name with its expected, pinned and clamped cents."""
    columns, rows = cents.table.columns, cents.table.rows
    found = []
    for at in range(1, len(columns), 3):
        lines = tuple([_number(row[at + kind]) for row in rows] for kind in range(3))
        found.append((columns[at].title, (lines[0], lines[1], lines[2])))
    return found


def _number(cell: str | float) -> float:
    return math.nan if isinstance(cell, str) else float(cell)


def _draw(axes: Axes, cents: FigureTable, strings: list[tuple[str, _Lines]]) -> None:
    every = [abs(each) for _, lines in strings for line in lines for each in line if not math.isnan(each)]
    reach = min(max(_LEAST_CENTS, *every) * 1.08, _MOST_CENTS) if every else _LEAST_CENTS
    names = [str(row[0]) for row in cents.table.rows]
    draw_frets_and_cents(axes, names, reach, lambda each: fixed(each, 0, signed=True))
    axes.set_ylabel("cents against the open string", color=QUIET, labelpad=4)
    for number, (name, (expected, pinned, clamped)) in enumerate(strings):
        colour, (marker, dash) = RULE_COLOURS[number % len(RULE_COLOURS)], LOOKS[number % len(LOOKS)]
        low, high = ([max(min(each, reach), -reach) for each in line] for line in (pinned, clamped))
        axes.fill_between(range(len(names)), low, high, facecolor=colour, alpha=0.14, edgecolor="none", zorder=2)
        shown = [each if abs(each) <= reach else math.nan for each in expected]
        axes.plot(
            range(len(names)), shown, color=colour, linestyle=dash, marker=marker, linewidth=1.6, markersize=4.5,
            zorder=4, label=name.replace("$", r"\$").lstrip("_"), clip_on=False,
        )  # fmt: skip
    write_legend(axes, _IN_A_ROW)
    write_beside(
        axes, ((reach, "top", "sharp"), (-reach, "bottom", "flat"), (0.0, "center", "bands: from\npinned to\nclamped"))
    )


def _in_words(strings: list[tuple[str, _Lines]]) -> str:
    """What the picture shows, for whoever does not see it."""
    worst = "; ".join(
        f"{name}: {fixed(max((abs(each) for each in lines[0] if not math.isnan(each)), default=0.0), 1)} cents"
        for name, lines in strings
    )
    return (
        "How many cents each fret is expected to be off the open string, with a band for how the ends are held. "
        f"At worst, {worst}. The table has the same numbers."
    )
