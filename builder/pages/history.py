"""The shop's memory on one page: what the years come to, in plots and tables. For the shop edition alone."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from builder import addresses
from builder.pages.figures import Picture, figures_section
from builder.plots.history import amounts_svg, over_the_years_svg, years_svg
from builder.published import PublishedShop, Subject
from builder.seam import Page
from builder.templates import section

#: Keys of tables: a row a year, a row an instrument.
_BY_YEAR, _EACH = "by_year", "each"
#: Subject ─► the day and the figure that its dots are drawn from, and what stands at the axis.
_DOTS = {
    "order-to-delivery": ("delivered", "days", "days from order to delivery"),
    "worst-fret": ("finished", "figure", "cents off, worst fret"),
    "frets-to-file": ("finished", "figure", "frets to file"),
    "cents-at-the-octave": ("finished", "figure", "cents off at the octave"),
}
#: Subject ─► the figure that its bars are drawn from, and the unit behind it.
_BARS = {
    "hours-by-kind": ("hours", "h"),
    "hours-by-step": ("hours", "h"),
    "woods-used": ("instruments", ""),
}


def history_page(subjects: Sequence[Subject], shop: PublishedShop) -> Page:
    """Every subject with its plot and its tables, in the order they come in; a word where there is nothing yet."""
    link = partial(addresses.from_page, addresses.HISTORY)
    return Page(
        path=addresses.HISTORY,
        title="History",
        description=f"What the years of {shop.name} come to, for the workshop.",
        sections=(
            section("", "", "pages/bench/history.html", is_empty=not subjects, bench=link(addresses.BENCH)),
            *(figures_section(subject, _picture_of(subject)) for subject in subjects),
        ),
        search_text=", ".join(("history", *(subject.title for subject in subjects))),
        listed=False,
    )


def _picture_of(subject: Subject) -> Picture:
    tables = {each.key: each.table for each in subject.figures.tables}
    name, said = f"history-{subject.key}", f"Plot: {subject.title}"
    if subject.key in _BARS:
        svg = amounts_svg(subject.figures.tables[0].table, *_BARS[subject.key], name=name)
        return Picture(svg, said, "bb-narrow-plot")
    if subject.key in _DOTS:
        svg = over_the_years_svg(tables[_EACH], tables[_BY_YEAR], *_DOTS[subject.key], name=name)
    else:
        svg = years_svg(tables[_BY_YEAR], name=name)
    return Picture(svg, said, "bb-wide-plot")
