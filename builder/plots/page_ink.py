"""How every plot gets onto a page: drawn in colours that stand for our own and nothing else.

In the finished text each of them becomes a CSS variable, so one drawing serves light and dark. Matplotlib is imported
late: it takes a third of a second, and not every command draws.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from io import StringIO
from typing import TYPE_CHECKING, Any

from markupsafe import Markup, escape

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Colour to draw with ─► what it becomes.
INK, QUIET, LINE, BAND = "#010101", "#010102", "#010103", "#010104"
RULE_COLOURS = ("#010105", "#010106", "#010107", "#010108", "#010109")
_BECOMES = {
    INK: "--bb-ink", QUIET: "--bb-quiet", LINE: "--bb-line", BAND: "--bb-band",
    **{colour: f"--bb-rule-{number}" for number, colour in enumerate(RULE_COLOURS, 1)},
}  # fmt: skip

POINTS_WIDE, PLOT_POINTS_HIGH, BELOW_POINTS = 560.0, 250.0, 46.0
LEFT, RIGHT = 0.085, 0.855
LETTERS = 10.5
#: More frets than this, and every other one has its number left out.
MOST_NUMBERS = 30

#: A line is told by marker and dash as well as by colour.
LOOKS = (("o", "-"), ("s", (0, (5, 2))), ("^", (0, (1.5, 1.5))), ("D", (0, (6, 2, 1.5, 2))), ("v", (0, (3, 3))))
#: Room above a plot, and for each row of its legend.
ABOVE_POINTS, LEGEND_ROW_POINTS = 8.0, 17.0


def plot_svg(
    draw: Callable[[Axes], None],
    *,
    prefix: str,
    title: str,
    above_points: float,
    high_points: float = PLOT_POINTS_HIGH,
    below_points: float = BELOW_POINTS,
    across: tuple[float, float] = (LEFT, RIGHT),
    wide_points: float = POINTS_WIDE,
) -> Markup:
    """Let `draw` fill one axes, and give it as part of a page. `prefix` tells its ids from those of other drawings.

    `across` is from where to where the axes reach, as parts of the width.
    """
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    height = below_points + high_points + above_points
    with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": prefix, "font.size": LETTERS}):
        figure = Figure(figsize=(wide_points / 72, height / 72))
        figure.patch.set_visible(False)
        left, right = across
        axes = figure.add_axes((left, below_points / height, right - left, high_points / height))
        draw(axes)
        text = StringIO()
        canvas: Any = FigureCanvasSVG(figure)  # matplotlib says no types here
        canvas.print_svg(text, metadata={"Date": None})
    return _for_the_page(text.getvalue(), prefix, title)


def draw_frets_and_cents(axes: Axes, names: list[str], reach: float, said: Callable[[float], str]) -> None:
    """The frame of a plot of cents, fret by fret: names of the frets below, cents at the side, quiet lines."""
    count = len(names)
    axes.set_xlim(-0.6, count - 0.4)
    axes.set_ylim(-reach, reach)
    axes.patch.set_visible(False)
    axes.axhline(0, color=QUIET, linewidth=0.9, zorder=1)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(LINE)
    axes.tick_params(colors=QUIET, labelcolor=INK, length=3, labelsize=LETTERS)
    axes.set_xticks([])  # the frets' names are set as plain words: a tick of its own for each takes five times as long
    for place, name in enumerate(names):
        if place % (2 if count > MOST_NUMBERS else 1) == 0:
            axes.text(place, -0.025, name, transform=axes.get_xaxis_transform(), ha="center", va="top", color=INK)
    step = next((step for step in (1, 2, 5, 10, 20) if reach / step < 5), 50)
    marks = range(-int(reach // step) * step, int(reach) + 1, step)
    axes.set_yticks(marks, [said(cents) for cents in marks])
    axes.hlines(marks, -0.6, count - 0.4, color=LINE, linewidth=0.6, zorder=0.5)
    axes.set_xlabel("fret", color=QUIET, labelpad=20)


def write_beside(axes: Axes, notes: tuple[tuple[float, str, str], ...]) -> None:
    """Words at the right of a plot: at which cents, on which side of them, what."""
    for cents, side, words in notes:
        axes.text(
            1.012, cents, words, transform=axes.get_yaxis_transform(), va=side, color=QUIET, fontsize=LETTERS,
            linespacing=1.15,
        )  # fmt: skip


def _for_the_page(svg: str, prefix: str, title: str) -> Markup:
    """Matplotlib's file as part of a page: no prolog, no metadata, our colours, our letters, ids of its own."""
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"<metadata>.*?</metadata>\s*", "", svg, flags=re.DOTALL)
    svg = re.sub(r"<!--.*?-->\s*", "", svg, flags=re.DOTALL)
    for colour, variable in _BECOMES.items():
        svg = svg.replace(colour, f"var({variable})")
    svg = re.sub(r"font-family: [^;\"]*;? ?", "", svg)  # the page's own letters
    svg = re.sub(r"<defs>\s*<style.*?</defs>\s*", "", svg, count=1, flags=re.DOTALL)  # would reach the whole page
    svg = re.sub(r' transform="rotate\(-0 [^"]*"', "", svg)
    svg = svg.replace("xlink:href", "href")
    used = set(re.findall(r'(?:href="|url\()#([\w.-]+)', svg))
    svg = re.sub(r' id="([\w.-]+)"', lambda found: f' id="{prefix}-{found[1]}"' if found[1] in used else "", svg)
    svg = re.sub(r'(href="|url\()#([\w.-]+)', rf"\1#{prefix}-\2", svg)
    view_box = re.search(r'viewBox="[^"]*"', svg)
    assert view_box, "matplotlib gives every drawing one"
    opening = (
        f'<svg class="bb-plot" {view_box[0]} role="img" aria-labelledby="{prefix}-title">\n'
        f'<title id="{prefix}-title">{escape(title)}</title>'
    )
    return Markup(re.sub(r"<svg.*?>", lambda _: opening, svg, count=1, flags=re.DOTALL).strip())


def write_legend(axes: Axes, columns: int) -> None:
    """What each line is, above the plot."""
    axes.legend(
        loc="lower left", bbox_to_anchor=(0, 1.005), ncols=columns, frameon=False, borderaxespad=0, labelcolor=INK,
        handlelength=2.8, columnspacing=1.6, fontsize=LETTERS,
    )  # fmt: skip
