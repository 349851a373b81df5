"""Every paper that can be printed of one instrument: its name on the command line, and who it is for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from builder.published import PublishedShop
from builder.published.batch import PublishedBatch
from builder.published.papers import PublishedPapers
from builder.published.repair import PublishedRepair
from builder.sheets.certificate import certificate_html
from builder.sheets.paper import CannotBePrinted, Paper

Maker = Callable[[PublishedPapers, Paper], bytes]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of paper. `depends_on_paper` where A4 and Letter differ."""

    name: str
    title: str
    ending: Literal["html", "pdf", "svg", "dxf"]
    make: Maker
    depends_on_paper: bool = False


def _certificate(papers: PublishedPapers, paper: Paper) -> bytes:
    return papers.certificate or certificate_html(papers.instrument, papers.shop).encode()


def _bench_sheet(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.bench_sheet import bench_sheet_html

    return bench_sheet_html(papers.instrument, papers.bench, papers.shop, papers.order).encode()


def _fret_template(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.fret_template import fret_template_tiled

    return fret_template_tiled(papers.template, paper)


def _fret_strip(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.fret_template import fret_template_strip

    return fret_template_strip(papers.template)


def _nut_and_saddle(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.strip import nut_and_saddle_strip

    return nut_and_saddle_strip(papers.template, paper)


def _pattern(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.pattern import pattern_pdf

    return pattern_pdf(papers.pattern, papers.shop, half=False, paper=paper)


def _half_pattern(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.pattern import pattern_pdf

    return pattern_pdf(papers.pattern, papers.shop, half=True, paper=paper)


def _body_svg(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.cutting_files import cutting_svg, pattern_lines

    return cutting_svg(pattern_lines(papers.pattern), papers.instrument.title).encode()


def _body_dxf(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.cutting_files import cutting_dxf, pattern_lines

    return cutting_dxf(pattern_lines(papers.pattern))


def _slot_width_mm(papers: PublishedPapers) -> float | None:
    frets = papers.instrument.frets
    return frets.slot_width.mm if frets and frets.slot_width else None


def _board_svg(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.cutting_files import board_lines, cutting_svg

    lines = board_lines(papers.instrument.drawing, _slot_width_mm(papers))
    return cutting_svg(lines, papers.instrument.title).encode()


def _board_dxf(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.cutting_files import board_lines, cutting_dxf

    return cutting_dxf(board_lines(papers.instrument.drawing, _slot_width_mm(papers)))


def _label(papers: PublishedPapers, paper: Paper) -> bytes:
    return labels([papers], paper)


def _care_card(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.cards import care_card_html

    return care_card_html(papers.instrument, papers.shop, papers.care).encode()


def _string_card(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.string_card import string_card_html

    if papers.instrument.strings is None:
        raise CannotBePrinted("the strings of this instrument are not known", "write spec.strings")
    return string_card_html(papers.instrument, papers.shop).encode()


def _reach_strip(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.reach_strip import reach_strip_pdf

    if papers.reach is None:
        raise CannotBePrinted("there are no frets to lay a hand on", "write spec.scale_length and spec.frets")
    return reach_strip_pdf(papers.instrument, papers.reach, papers.shop, paper)


def _repair_ticket(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.repair_ticket import repair_ticket_html

    return repair_ticket_html(papers.instrument, papers.shop).encode()


def _quote(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.order_sheet import order_sheet_html

    return order_sheet_html(papers.instrument, papers.order, papers.shop, is_quote=True).encode()


def _order(papers: PublishedPapers, paper: Paper) -> bytes:
    from builder.sheets.order_sheet import order_sheet_html

    return order_sheet_html(papers.instrument, papers.order, papers.shop, is_quote=False).encode()


#: Papers that tell of buyer and order, for which the private files are read.
TELL_OF_THE_ORDER = {"bench", "quote", "order"}

CERTIFICATE, STRING_CARD = "certificate", "string-card"

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("bench", "Bench sheet", "html", _bench_sheet),
        Kind("fret-template", "Fret template, full size", "pdf", _fret_template, depends_on_paper=True),
        Kind("fret-strip", "Fret template on one long strip", "pdf", _fret_strip),
        Kind("nut-and-saddle", "Nut and saddle strip, full size", "pdf", _nut_and_saddle, depends_on_paper=True),
        Kind("pattern", "Pattern of the body, full size", "pdf", _pattern, depends_on_paper=True),
        Kind("half-pattern", "Half pattern of the body, full size", "pdf", _half_pattern, depends_on_paper=True),
        Kind("body-svg", "Body for router or laser, SVG", "svg", _body_svg),
        Kind("body-dxf", "Body for router or laser, DXF", "dxf", _body_dxf),
        Kind("board-svg", "Fret slots for router or laser, SVG", "svg", _board_svg),
        Kind("board-dxf", "Fret slots for router or laser, DXF", "dxf", _board_dxf),
        Kind(CERTIFICATE, "Certificate", "html", _certificate),
        Kind("label", "Label for the inside", "html", _label, depends_on_paper=True),
        Kind("care-card", "Care card", "html", _care_card),
        Kind(STRING_CARD, "String card", "html", _string_card),
        Kind("reach-strip", "Reach strip, full size", "pdf", _reach_strip, depends_on_paper=True),
        Kind("quote", "Quote", "html", _quote),
        Kind("order", "Order to sign", "html", _order),
        Kind("repair-ticket", "Repair ticket", "html", _repair_ticket),
    )
}


def labels(several: Sequence[PublishedPapers], paper: Paper) -> bytes:
    """The labels of several instruments, as many to a sheet as there is room for."""
    from builder.sheets.label import label_html

    return label_html([(each.instrument, each.label) for each in several], several[0].shop, paper).encode()


def batch_sheet(batch: PublishedBatch, several: Sequence[PublishedPapers]) -> bytes:
    """The papers of a batch: one list to buy and pick from, and a column an instrument."""
    from builder.sheets.batch_sheet import BatchMember, batch_sheet_html

    members = [BatchMember(each.instrument, each.bench, each.order) for each in several]
    return batch_sheet_html(batch, members, several[0].shop).encode()


def ticket_of_repair(repair: PublishedRepair | None, shop: PublishedShop) -> bytes:
    """A repair ticket for another maker's instrument: filled in as far as its repair tells, or blank."""
    from builder.sheets.repair_ticket import repair_ticket_html

    return repair_ticket_html(None, shop, repair).encode()
