"""Plots of the shop's history: instruments a year, figures of instruments over the years, and amounts side by side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from markupsafe import Markup

from builder.lengths import trimmed
from builder.plots.page_ink import (
    ABOVE_POINTS,
    INK,
    LEFT,
    LEGEND_ROW_POINTS,
    LETTERS,
    LINE,
    MOST_NUMBERS,
    QUIET,
    RULE_COLOURS,
    plot_svg,
    write_legend,
)
from builder.published import Table
from builder.templates import fixed
from builder.words import counted

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: The three bars of a year are told by their filling as well as by colour, empty, full, hatched: face, edge, hatching.
_FILLINGS = (
    ("none", RULE_COLOURS[1], ""),
    (RULE_COLOURS[0], RULE_COLOURS[0], ""),
    ("none", RULE_COLOURS[2], "////"),
)
_BAR = 0.26
#: More amounts than this are left to the table.
MOST_BARS = 14
_BAR_POINTS = 33.0
#: As narrow as a telephone, for bars that are not seen whole cannot be compared.
_BARS_WIDE = 340.0
#: Below stand years, and no name of an axis; beside it stands nothing.
_BELOW_POINTS, _ACROSS = 24.0, (LEFT, 0.985)
_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)


def years_svg(years: Table, *, name: str) -> Markup:
    """Draw a table of years: its first column the year, one bar for each of the others. `name` begins every id."""
    titles = [column.title for column in years.columns[1:]]
    counts = [[float(value) for value in row[1:]] for row in years.rows]

    def draw(axes: Axes) -> None:
        most = max(max(each) for each in counts)
        _frame(axes, (-0.6, len(counts) - 0.4), most * 1.06)
        for number, title in enumerate(titles):
            places = [place + (number - 1) * _BAR for place in range(len(counts))]
            face, edge, hatching = _FILLINGS[number % len(_FILLINGS)]
            axes.bar(
                places, [each[number] for each in counts], _BAR * 0.86, label=title, linewidth=1.1, facecolor=face,
                edgecolor=edge, hatch=hatching,
            )  # fmt: skip
        _name_years(axes, [(place, str(row[0])) for place, row in enumerate(years.rows)])
        write_legend(axes, len(titles))

    together = ", ".join(f"{fixed(sum(each[n] for each in counts), 0)} {title}" for n, title in enumerate(titles))
    words = f"From {years.rows[0][0]} to {years.rows[-1][0]}: {together}. The table has the same numbers."
    return plot_svg(
        draw, prefix=f"{name}-years", title=f"Instruments a year. {words}",
        above_points=ABOVE_POINTS + LEGEND_ROW_POINTS, below_points=_BELOW_POINTS, across=_ACROSS,
    )  # fmt: skip


def over_the_years_svg(each: Table, medians: Table, day: str, figure: str, said: str, *, name: str) -> Markup:
    """Draw a dot for each row of a table on its `day`, as high as its `figure` (keys of columns); `said` is the axis.

    A line across a year is its median, of the table whose rows are year, instruments, median. `name` begins every id.
    """
    keys = [column.key for column in each.columns]
    points = [(date.fromisoformat(str(row[keys.index(day)])), float(row[keys.index(figure)])) for row in each.rows]
    years = range(min(when.year for when, _ in points), max(when.year for when, _ in points) + 1)

    def draw(axes: Axes) -> None:
        _frame(axes, (years[0] - 0.05, years[-1] + 1.05), max(max(value for _, value in points), 1.0) * 1.1)
        for year in years[1:]:
            axes.axvline(year, color=LINE, linewidth=0.6, zorder=0.5)
        known = [(int(row[0]), float(row[2])) for row in medians.rows]
        axes.hlines(
            [value for _, value in known], [year + 0.06 for year, _ in known], [year + 0.94 for year, _ in known],
            color=RULE_COLOURS[2], linewidth=2.0, zorder=3, label="median of the year",
        )  # fmt: skip
        axes.plot(
            [_as_years(when) for when, _ in points], [value for _, value in points], color=RULE_COLOURS[0],
            linestyle="none", marker="o", markersize=6, zorder=4, label="an instrument", clip_on=False,
        )  # fmt: skip
        _name_years(axes, [(year + 0.5, str(year)) for year in years])
        axes.set_ylabel(said, color=QUIET, labelpad=4)
        write_legend(axes, 2)

    low, high = min(value for _, value in points), max(value for _, value in points)
    words = f"{counted(len(points), 'instrument')}, from {_short(low)} to {_short(high)}"
    return plot_svg(
        draw, prefix=f"{name}-dots", title=f"{said[:1].upper()}{said[1:]}: {words}. The table has the same numbers.",
        above_points=ABOVE_POINTS + LEGEND_ROW_POINTS, below_points=_BELOW_POINTS, across=_ACROSS,
    )  # fmt: skip


def amounts_svg(amounts: Table, key: str, unit: str, *, name: str) -> Markup:
    """Draw the first rows of a table, a bar each below what stands first in it, as long as the figure under `key`.

    `unit` follows each figure; all of them are above zero. `name` begins every id.
    """
    at = [column.key for column in amounts.columns].index(key)
    shown = [(str(row[0]), float(row[at])) for row in amounts.rows[:MOST_BARS]]

    def draw(axes: Axes) -> None:
        axes.set_xlim(0, max(amount for _, amount in shown) * 1.01)
        axes.set_ylim(len(shown) - 0.25, -0.6)
        axes.axis("off")
        places = range(len(shown))
        axes.barh([place + 0.2 for place in places], [amount for _, amount in shown], 0.3, color=RULE_COLOURS[0])
        for place, (words, amount) in enumerate(shown):
            text = f"{words}, {_short(amount)}{f' {unit}' if unit else ''}".replace("$", r"\$")
            axes.text(0, place - 0.05, text, ha="left", va="bottom", color=INK, fontsize=LETTERS)

    said = "; ".join(f"{words}: {_short(amount)} {unit}".rstrip() for words, amount in shown)
    return plot_svg(
        draw, prefix=f"{name}-amounts", title=f"{said}. The table has the same numbers.",
        above_points=0, high_points=_BAR_POINTS * len(shown), below_points=0, across=(0.0, 1.0), wide_points=_BARS_WIDE,
    )  # fmt: skip


def _frame(axes: Axes, across: tuple[float, float], highest: float) -> None:
    axes.set_xlim(*across)
    axes.set_ylim(0, highest)
    axes.patch.set_visible(False)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(LINE)
    axes.tick_params(colors=QUIET, labelcolor=INK, length=3, labelsize=LETTERS)
    axes.set_xticks([])
    step = next((step for step in _STEPS if highest / step < 6), _STEPS[-1])
    marks = range(0, math.floor(highest) + 1, step)
    axes.set_yticks(marks, [fixed(mark, 0) for mark in marks])
    axes.hlines(marks, *across, color=LINE, linewidth=0.6, zorder=0.5)


def _name_years(axes: Axes, years: Sequence[tuple[float, str]]) -> None:
    """The years below, as plain words; of many only some, evenly."""
    every = math.ceil(len(years) / (MOST_NUMBERS / 2))
    for place, year in years[::every]:
        axes.text(place, -0.025, year, transform=axes.get_xaxis_transform(), ha="center", va="top", color=INK)


def _as_years(day: date) -> float:
    """A day as a place along the years."""
    first = date(day.year, 1, 1)
    return day.year + (day - first).days / (date(day.year, 12, 31) - first).days


def _short(amount: float) -> str:
    """No more decimals than say something, at most two."""
    return trimmed(amount, 2)
