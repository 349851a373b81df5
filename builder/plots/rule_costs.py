"""What each rule of the shop would cost, fret by fret: how far in cents its nearest mark lies off the place."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from markupsafe import Markup

from builder.drawings.naming import id_prefix
from builder.plots.page_ink import (
    ABOVE_POINTS,
    BAND,
    LEGEND_ROW_POINTS,
    LOOKS,
    QUIET,
    RULE_COLOURS,
    draw_frets_and_cents,
    plot_svg,
    write_beside,
    write_legend,
)
from builder.published import PublishedFrets, PublishedRule
from builder.templates import fixed

if TYPE_CHECKING:
    from matplotlib.axes import Axes


#: A longer name than this, and the rules stand one below the other.
_MOST_LETTERS_BESIDE = 40
#: A rule so coarse that a fret would be off by more than this leaves the picture there.
_MOST_CENTS = 60.0


def rule_costs_svg(frets: PublishedFrets, *, name: str) -> Markup:
    """Draw what every rule costs. `name` tells its parts from those of any other drawing on the page."""
    in_order = sorted(range(len(frets.rules)), key=lambda number: not frets.rules[number].is_working_rule)
    columns = 2 if all(len(_said(rule)) <= _MOST_LETTERS_BESIDE for rule in frets.rules) else 1

    def draw(axes: Axes) -> None:
        _draw_frame(axes, frets)
        for place, number in enumerate(in_order):
            _draw_rule(axes, frets, number, place)
        write_legend(axes, columns)

    rows = math.ceil(len(in_order) / columns)
    return plot_svg(
        draw,
        prefix=f"{id_prefix(name)}-costs",
        title=_in_words(frets),
        above_points=ABOVE_POINTS + LEGEND_ROW_POINTS * rows,
    )


def _draw_frame(axes: Axes, frets: PublishedFrets) -> None:
    tolerance = frets.tolerance_cents
    worst = max(_drawable(abs(rule.worst_cents)) for rule in frets.rules)
    reach = min(max(worst, tolerance) * 1.12, _MOST_CENTS)
    names = [str(row[0]) for row in frets.rule_costs.rows]
    draw_frets_and_cents(axes, names, reach, lambda cents: fixed(cents, 0, signed=True))
    axes.axhspan(-tolerance, tolerance, facecolor=BAND, edgecolor="none", zorder=0)
    axes.set_ylabel("cents off the note", color=QUIET, labelpad=4)
    shown = fixed(tolerance, 0 if tolerance == round(tolerance) else 1)
    write_beside(
        axes,
        (
            (reach, "top", "sharp"),
            (-reach, "bottom", "flat"),
            (0.0, "center", f"the shop’s\ntolerance,\n±{shown} cents"),
        ),
    )


def _draw_rule(axes: Axes, frets: PublishedFrets, number: int, place: int) -> None:
    marker, dash = LOOKS[place % len(LOOKS)]
    cents = [_drawable(row[number + 1]) for row in frets.rule_costs.rows]
    working = place == 0
    axes.plot(
        range(len(cents)), cents, color=RULE_COLOURS[place % len(RULE_COLOURS)], linestyle=dash, marker=marker,
        linewidth=2.0 if working else 1.1, markersize=5.5 if working else 4.5, zorder=4 if working else 3,
        label=_said(frets.rules[number]), clip_on=False,
    )  # fmt: skip


def _drawable(cents: str | float) -> float:
    number = float(cents)
    return number if abs(number) <= _MOST_CENTS else math.nan


def _said(rule: PublishedRule) -> str:
    """The rule's name for the legend. A dollar sign would start a formula there."""
    words = f"{rule.name}, {rule.marks}{' (the working rule)' if rule.is_working_rule else ''}"
    return words.replace("$", r"\$").lstrip("_")


def _in_words(frets: PublishedFrets) -> str:
    worst = "; ".join(f"{rule.name} {rule.marks}: {_in_cents(rule.worst_cents)}" for rule in frets.rules)
    return f"How far off each fret would be on each rule, in cents. At worst, {worst}. The table has the same numbers."


def _in_cents(cents: float) -> str:
    return f"{fixed(abs(cents), 1)} cents" if math.isfinite(cents) else "too coarse for this board"
