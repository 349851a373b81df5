"""What each rule of the shop would cost, fret by fret: how far in cents its nearest mark lies off the place.

Matplotlib draws in colours that stand for our own and nothing else; in the finished text each becomes a CSS variable.
So one drawing serves light and dark.
"""

from __future__ import annotations

import math
import re
from io import StringIO
from typing import TYPE_CHECKING, Any

from markupsafe import Markup, escape

from builder.drawings.naming import id_prefix
from builder.published import PublishedFrets, PublishedRule
from builder.templates import fixed

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Colour to draw with ─► what it becomes.
_INK, _QUIET, _LINE, _BAND = "#010101", "#010102", "#010103", "#010104"
_RULE_COLOURS = ("#010105", "#010106", "#010107", "#010108", "#010109")
_BECOMES = {
    _INK: "--bb-ink", _QUIET: "--bb-quiet", _LINE: "--bb-line", _BAND: "--bb-band",
    **{colour: f"--bb-rule-{number}" for number, colour in enumerate(_RULE_COLOURS, 1)},
}  # fmt: skip
#: A rule is told by marker and dash as well as by colour; the working rule is the first.
_LOOKS = (("o", "-"), ("s", (0, (5, 2))), ("^", (0, (1.5, 1.5))), ("D", (0, (6, 2, 1.5, 2))), ("v", (0, (3, 3))))

_POINTS_WIDE, _PLOT_POINTS_HIGH, _LEGEND_ROW_POINTS = 560.0, 250.0, 17.0
_BELOW_POINTS, _ABOVE_POINTS, _LEFT, _RIGHT = 46.0, 8.0, 0.085, 0.855
_LETTERS = 10.5
#: A longer name than this, and the rules stand one below the other.
_MOST_LETTERS_BESIDE = 40
#: More frets than this, and every other one has its number left out.
_MOST_NUMBERS = 30
#: A rule so coarse that a fret would be off by more than this leaves the picture there.
_MOST_CENTS = 60.0


def rule_costs_svg(frets: PublishedFrets, *, name: str) -> Markup:
    """Draw what every rule costs. `name` tells its parts from those of any other drawing on the page."""
    import matplotlib  # late: it takes a third of a second, and not every command draws
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    prefix = f"{id_prefix(name)}-costs"
    in_order = sorted(range(len(frets.rules)), key=lambda number: not frets.rules[number].is_working_rule)
    columns = 2 if all(len(_said(rule)) <= _MOST_LETTERS_BESIDE for rule in frets.rules) else 1
    rows = math.ceil(len(in_order) / columns)
    above = _ABOVE_POINTS + _LEGEND_ROW_POINTS * rows
    height = _BELOW_POINTS + _PLOT_POINTS_HIGH + above
    with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": prefix, "font.size": _LETTERS}):
        figure = Figure(figsize=(_POINTS_WIDE / 72, height / 72))
        figure.patch.set_visible(False)
        bottom, tall = _BELOW_POINTS / height, _PLOT_POINTS_HIGH / height
        axes = figure.add_axes((_LEFT, bottom, _RIGHT - _LEFT, tall))
        _draw_frame(axes, frets)
        for place, number in enumerate(in_order):
            _draw_rule(axes, frets, number, place)
        axes.legend(
            loc="lower left", bbox_to_anchor=(0, 1.005), ncols=columns, frameon=False, borderaxespad=0, labelcolor=_INK,
            handlelength=2.8, columnspacing=1.6, fontsize=_LETTERS,
        )  # fmt: skip
        text = StringIO()
        canvas: Any = FigureCanvasSVG(figure)  # matplotlib says no types here
        canvas.print_svg(text, metadata={"Date": None})
    return _for_the_page(text.getvalue(), prefix, _in_words(frets))


def _draw_frame(axes: Axes, frets: PublishedFrets) -> None:
    count, tolerance = len(frets.rule_costs.rows), frets.tolerance_cents
    worst = max(_drawable(abs(rule.worst_cents)) for rule in frets.rules)
    reach = min(max(worst, tolerance) * 1.12, _MOST_CENTS)
    axes.set_xlim(-0.6, count - 0.4)
    axes.set_ylim(-reach, reach)
    axes.patch.set_visible(False)
    axes.axhspan(-tolerance, tolerance, facecolor=_BAND, edgecolor="none", zorder=0)
    below, beside = axes.get_xaxis_transform(), axes.get_yaxis_transform()
    axes.axhline(0, color=_QUIET, linewidth=0.9, zorder=1)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(_LINE)
    axes.tick_params(colors=_QUIET, labelcolor=_INK, length=3, labelsize=_LETTERS)
    axes.set_xticks([])  # the frets' names are set as plain words: a tick of its own for each takes five times as long
    for place, row in enumerate(frets.rule_costs.rows):
        if place % (2 if count > _MOST_NUMBERS else 1) == 0:
            axes.text(place, -0.025, str(row[0]), transform=below, ha="center", va="top", color=_INK)
    step = next(step for step in (1, 2, 5, 10, 20) if reach / step < 5)
    marks = range(-int(reach // step) * step, int(reach) + 1, step)
    axes.set_yticks(marks, [fixed(cents, 0, signed=True) for cents in marks])
    axes.hlines(marks, -0.6, count - 0.4, color=_LINE, linewidth=0.6, zorder=0.5)
    axes.set_xlabel("fret", color=_QUIET, labelpad=20)
    axes.set_ylabel("cents off the note", color=_QUIET, labelpad=4)
    shown = fixed(tolerance, 0 if tolerance == round(tolerance) else 1)
    notes = (
        (reach, "top", "sharp"),
        (-reach, "bottom", "flat"),
        (0.0, "center", f"the shop’s\ntolerance,\n±{shown} cents"),
    )
    for cents, side, words in notes:
        axes.text(1.012, cents, words, transform=beside, va=side, color=_QUIET, fontsize=_LETTERS, linespacing=1.15)


def _draw_rule(axes: Axes, frets: PublishedFrets, number: int, place: int) -> None:
    marker, dash = _LOOKS[place % len(_LOOKS)]
    cents = [_drawable(row[number + 1]) for row in frets.rule_costs.rows]
    working = place == 0
    axes.plot(
        range(len(cents)), cents, color=_RULE_COLOURS[place % len(_RULE_COLOURS)], linestyle=dash, marker=marker,
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
