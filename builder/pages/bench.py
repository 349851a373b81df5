"""Pages of the shop edition: what is on the bench, and the working figures of each instrument."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from builder import addresses
from builder.pages.bench_board import bench_board_sections
from builder.pages.figures import Picture, body_picture, figures_section
from builder.plots.levelling import levelling_svg
from builder.plots.setback import setback_svg
from builder.published import PublishedBench, PublishedShop, Subject
from builder.published.batch import PublishedBatch
from builder.published.bench import TO_BUILD
from builder.published.bench_board import PublishedBenchBoard
from builder.published.lineage import PublishedKin, PublishedLineage
from builder.published.order import PublishedOrder
from builder.seam import Page, Section
from builder.templates import section
from builder.words import in_a_row

#: Instruments that are still worked on stand before those that have left.
_STAGES = (*TO_BUILD, "finished", "for sale", "delivered", "returned", "cancelled")

#: The table that the plot of the setback is drawn from.
_CENTS_BY_FRET = "cents_by_fret"


@dataclass(frozen=True, slots=True)
class PaperLink:
    """A paper of an instrument: its address in the site, or None where it is made on demand, and the command."""

    title: str
    address: str | None
    command: str


def bench_page(
    bench: PublishedBench,
    papers: tuple[PaperLink, ...],
    order: PublishedOrder | None = None,
    lineage: PublishedLineage | None = None,
) -> Page:
    """The working figures of one instrument, its papers, its order, and where it comes from."""
    link = partial(addresses.from_page, addresses.bench_page(bench.serial))
    return Page(
        path=addresses.bench_page(bench.serial),
        title=f"{bench.title}, for the bench",
        description=f"Working figures of No. {bench.serial}.",
        sections=(
            section(
                "", "", "pages/bench/lead.html",
                bench=bench, instrument=link(addresses.instrument_page(bench.address)), methods=link(addresses.METHODS),
            ),
            *([section("order", "Order", "pages/bench/order.html", order=order)] if order and order.is_told else []),
            section("papers", "Papers", "pages/bench/papers.html", papers=papers, link=link),
            *_lineage(lineage, link),
            *(figures_section(subject, _picture_of(bench, subject), show_wanting=True) for subject in bench.subjects),
        ),
        search_text=f"{bench.title}, {bench.serial}, bench",
        listed=False,
    )  # fmt: skip


def _lineage(lineage: PublishedLineage | None, link: Callable[[str], str]) -> Iterator[Section]:
    """Forebears and offspring, each with the address of its bench page, if it has one."""
    if lineage is None or not lineage.is_told:
        return

    def placed(kin: Sequence[PublishedKin]) -> tuple[tuple[PublishedKin, str | None], ...]:
        return tuple((each, None if each.is_pattern else link(addresses.bench_page(each.name))) for each in kin)

    yield section(
        "lineage", "Where it comes from", "pages/bench/lineage.html",
        lineage=lineage, forebears=placed(lineage.forebears), offspring=placed(lineage.offspring),
    )  # fmt: skip


def bench_index_page(
    benches: Sequence[PublishedBench],
    together: PublishedBatch,
    shop: PublishedShop,
    notes: str = "",
    board: PublishedBenchBoard | None = None,
) -> Page:
    """The bench board, then every instrument of the shop, those still worked on first, what these want together, and
    the shop's notes.

    `notes` are Markdown from the shop's private file.
    """
    in_order = sorted(benches, key=lambda bench: (_STAGES.index(bench.stage), bench.promised or "9999", bench.serial))
    title = f"To buy and to saw for {in_a_row(together.serials)}"
    shopping = Subject("together", title, together.shopping)
    lines = tuple((bench, addresses.bench_page(bench.serial)) for bench in in_order)
    link = partial(addresses.from_page, addresses.BENCH)
    return Page(
        path=addresses.BENCH,
        title="On the bench",
        description=f"Every instrument of {shop.name}, for the workshop.",
        sections=(
            *(bench_board_sections(board, link) if board else ()),
            section(
                "all", "All instruments", "pages/bench/index.html",
                lines=lines, link=link, reference=addresses.REFERENCE,
                orders=addresses.ORDERS, rack=addresses.RACK, history=addresses.HISTORY,
                repairs=addresses.REPAIRS,
            ),
            *([figures_section(shopping)] if together.serials and not together.shopping.is_empty else []),
            *([section("notes", "Notes of the shop", "pages/prose.html", words=notes)] if notes else []),
        ),
        search_text="bench",
        listed=False,
    )  # fmt: skip


def _picture_of(bench: PublishedBench, subject: Subject) -> Picture | None:
    """The drawing or plot that belongs to a subject, if it has one."""
    if subject.key == "body":
        return body_picture(bench.body_drawing, f"{bench.serial}-body")
    if subject.key == "levelling" and bench.heights:
        svg = levelling_svg(bench.heights, name=f"{bench.serial}-heights")
        return Picture(svg, "Plot of the heights of the frets", "bb-wide-plot")
    by_fret = next((each for each in subject.figures.tables if each.key == _CENTS_BY_FRET), None)
    if by_fret is not None:
        svg = setback_svg(by_fret, name=f"{bench.serial}-cents")
        return Picture(svg, "Plot of the cents of every fret", "bb-wide-plot")
    return None
