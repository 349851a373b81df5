"""A temperament against twelve equal semitones: how far in cents each fret lies from the nearest of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup

from builder.drawings.naming import id_prefix
from builder.plots.page_ink import ABOVE_POINTS, QUIET, RULE_COLOURS, draw_frets_and_cents, plot_svg, write_beside
from builder.published import PublishedFrets, Table
from builder.templates import fixed

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: The least that the picture reaches up and down, so that hundredths of a cent do not look like mountains.
_LEAST_CENTS = 5.0


def temperament_svg(frets: PublishedFrets, *, name: str) -> Markup:
    """Draw a temperament; for frets that have one. `name` tells its parts from those of other drawings on the page."""
    table = frets.tuning
    assert table is not None, "only a board that is not in twelve equal steps has a temperament to draw"
    return plot_svg(
        lambda axes: _draw(axes, table),
        prefix=f"{id_prefix(name)}-tuning",
        title=_in_words(table),
        above_points=ABOVE_POINTS,
    )


def _cents(table: Table) -> list[float]:
    place = next(place for place, column in enumerate(table.columns) if column.key == "cents_against_equal")
    return [float(row[place]) for row in table.rows]


def _draw(axes: Axes, table: Table) -> None:
    cents = _cents(table)
    reach = max(_LEAST_CENTS, *map(abs, cents)) * 1.12
    names = [str(row[0]) for row in table.rows]
    draw_frets_and_cents(axes, names, reach, lambda each: fixed(each, 0, signed=True))
    axes.set_ylabel("cents against equal", color=QUIET, labelpad=4)
    axes.vlines(range(len(cents)), 0, cents, color=RULE_COLOURS[0], linewidth=2.0, zorder=3)
    axes.plot(
        range(len(cents)), cents, linestyle="none", marker="o", markersize=6, color=RULE_COLOURS[0], zorder=4,
        clip_on=False,
    )  # fmt: skip
    write_beside(
        axes, ((reach, "top", "sharp"), (-reach, "bottom", "flat"), (0.0, "center", "twelve equal\nsemitones"))
    )


def _in_words(table: Table) -> str:
    cents = _cents(table)
    return (
        "How far each fret lies from the nearest of twelve equal semitones: "
        f"from {fixed(min(cents), 1, signed=True)} to {fixed(max(cents), 1, signed=True)} cents. "
        "The table has the same numbers."
    )
