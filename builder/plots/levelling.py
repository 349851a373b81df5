"""The heights of the frets along the board, bass and treble: as measured, and the line the work brings them to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup

from builder.drawings.naming import id_prefix
from builder.plots.page_ink import (
    ABOVE_POINTS,
    INK,
    LEGEND_ROW_POINTS,
    LETTERS,
    LINE,
    MOST_NUMBERS,
    QUIET,
    RULE_COLOURS,
    plot_svg,
    write_beside,
    write_legend,
)
from builder.published.levelling import PublishedHeights, PublishedLevelling
from builder.templates import fixed
from builder.words import counted, in_a_row

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Bass and treble are told by marker and dash as well as by colour.
_LOOKS = {"bass": ("o", (0, (5, 2)), RULE_COLOURS[0]), "treble": ("s", (0, (1.5, 1.5)), RULE_COLOURS[1])}
_UNITS = {"in": "thousandths of an inch", "mm": "hundredths of a millimetre"}
#: Less than this to show, and the picture would be of the grain of the feelers.
_LEAST_REACH = 5.0
_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500)
#: Frets closer together than this part of the board have no room for both their numbers.
_LEAST_LETTER_ROOM = 0.03


def levelling_svg(heights: PublishedLevelling, *, name: str) -> Markup:
    """Draw both sides. `name` tells its parts from those of any other drawing on the page."""

    def draw(axes: Axes) -> None:
        _draw_frame(axes, heights)
        for side in heights.sides:
            _draw_side(axes, side)
        write_legend(axes, 2)

    above = ABOVE_POINTS + LEGEND_ROW_POINTS * len(heights.sides)
    return plot_svg(draw, prefix=f"{id_prefix(name)}-heights", title=_in_words(heights), above_points=above)


def _draw_frame(axes: Axes, heights: PublishedLevelling) -> None:
    every = [each for side in heights.sides for each in (*side.heights, *side.after)]
    middle = (max(every) + min(every)) / 2
    reach = max((max(every) - min(every)) / 2 * 1.12, _LEAST_REACH)
    longest = max(heights.sides, key=lambda side: len(side.places_mm))
    first, last = longest.places_mm[0], longest.places_mm[-1]
    room = (last - first) * 0.03
    axes.set_xlim(first - room, last + room)
    axes.set_ylim(middle - reach, middle + reach)
    axes.patch.set_visible(False)
    for edge in ("top", "right"):
        axes.spines[edge].set_visible(False)
    for edge in ("left", "bottom"):
        axes.spines[edge].set_color(LINE)
    axes.tick_params(colors=QUIET, labelcolor=INK, length=3, labelsize=LETTERS)
    axes.set_xticks([])
    written = first - (last - first)
    for number, (place, fret) in enumerate(zip(longest.places_mm, longest.frets, strict=True)):
        if place - written < _LEAST_LETTER_ROOM * (last - first) or (number % 2 and len(longest.frets) > MOST_NUMBERS):
            continue
        axes.text(place, -0.025, fret, transform=axes.get_xaxis_transform(), ha="center", va="top", color=INK)
        written = place
    step = next((each for each in _STEPS if reach / each < 5), _STEPS[-1])
    marks = range(-int((reach - middle) // step) * step, int(middle + reach) + 1, step)
    axes.set_yticks(marks, [fixed(mark, 0, signed=True) for mark in marks])
    axes.hlines(marks, first - room, last + room, color=LINE, linewidth=0.6, zorder=0.5)
    axes.set_xlabel("fret", color=QUIET, labelpad=20)
    axes.set_ylabel(_UNITS[heights.unit], color=QUIET, labelpad=4)
    write_beside(axes, ((middle + reach, "top", "higher"), (middle - reach, "bottom", "lower")))


def _draw_side(axes: Axes, side: PublishedHeights) -> None:
    marker, dash, colour = _LOOKS[side.key]
    axes.plot(
        side.places_mm, side.heights, color=colour, linestyle="none", marker=marker, markersize=5.5, zorder=4,
        label=f"{side.key} side, as measured", clip_on=False,
    )  # fmt: skip
    axes.plot(
        side.places_mm, side.after, color=colour, linestyle=dash, linewidth=1.3, zorder=3,
        label=f"{side.key} side, once the work is done", clip_on=False,
    )  # fmt: skip


def _in_words(heights: PublishedLevelling) -> str:
    said = []
    for side in heights.sides:
        moved = [n for n, (before, after) in enumerate(zip(side.heights, side.after, strict=True)) if after < before]
        words = f"{side.key} side: {counted(len(moved), 'fret')} to file"
        if side.reseat:
            words += f", {in_a_row(side.reseat)} to seat anew"
        said.append(words)
    return f"How high the frets stand, in {_UNITS[heights.unit]}. {'; '.join(said)}. The tables have the same numbers."
