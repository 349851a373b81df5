"""The label for the inside of an instrument: several to a sheet of paper, with marks to cut along.

The code of the page's address stands beside the words or below them, whichever lets the words be larger. What cannot
be made large enough to be read is not printed: it is said which size would do. Of the fingerprint of a certificate a
small label bears the first half.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from builder.published import Published, PublishedShop
from builder.published.label import PublishedLabel
from builder.sheets.inlined import buyer_faces, style_sheet
from builder.sheets.lettering import height_mm
from builder.sheets.page_code import LEAST_MODULE_MM, PageCode, page_address, page_code
from builder.sheets.paper import PAPER_SIZES, CannotBePrinted, Paper
from builder.templates import day_in_words, render

Arrangement = Literal["beside", "below", "words alone"]

#: From the cut edge to the words, and to the code, whose own white margin counts besides.
_EDGE_MM, _CODE_EDGE_MM = 3.5, 2.0
#: Beside a code there must be so much room for words.
_LEAST_WORDS_MM = 22.0
#: Sizes of the type, as a part of those in the style sheet; at the last the smallest letters have 5.3 points.
_SCALES = (1.6, 1.4, 1.2, 1.0, 0.9, 0.8, 0.7)
#: Widths of a module of the code that are tried, largest first.
_MODULES_MM = (0.65, 0.55, 0.48, LEAST_MODULE_MM)
_LINE_HEIGHT = 1.2
#: Height of the shop's mark in the middle of these sizes, the white below it, and the size below which it is left out.
_SHOP_MARK_MM, _BELOW_MARK_MM, _LEAST_SCALE_OF_A_MARK = 7.0, 0.8, 0.8

#: White around the sheet that printers need, room between two labels, length of a mark and its distance.
_MARGIN_MM, _GAP_MM, _MARK_MM, _MARK_OFF_MM = 10.0, 7.0, 2.4, 0.6

#: Sizes of the lines in points, as in the style sheet.
_POINTS = {"shop": 10.5, "place": 7.6, "name": 15.0, "number": 9.0, "made": 8.2, "words": 7.6, "fingerprint": 7.6}


@dataclass(frozen=True, slots=True)
class LabelLine:
    """One line of a label and its class in the style sheet."""

    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class SetLabel:
    """A label ready to print: its lines, how large they are set, and where its code stands."""

    width_mm: float
    height_mm: float
    arrangement: Arrangement
    scale: float
    lines: tuple[LabelLine, ...]
    code: PageCode | None
    code_mm: float
    mark_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """A label and its place on the sheet, from the upper left corner of the paper."""

    x_mm: float
    y_mm: float
    label: SetLabel


def label_html(labels: Sequence[tuple[Published, PublishedLabel]], shop: PublishedShop, paper: Paper) -> str:
    """Labels of one instrument, as many as a sheet holds, or one of each of several.

    Raises CannotBePrinted where a label is too small for its words or its code, or larger than the paper.
    """
    set_labels = [set_label(instrument, label, shop) for instrument, label in labels]
    size = PAPER_SIZES[paper]
    title = f"Label of {labels[0][0].title}" if len(labels) == 1 else f"Labels of {len(labels)} instruments"
    sheets = tuple(_sheets(set_labels, labels[0][1], paper))
    return str(
        render(
            "sheets/label.html",
            title=title,
            sheets=[(placed, _marks(placed)) for placed in sheets],
            shop=shop,
            paper=size,
            faces=buyer_faces(),
            style=style_sheet("label.css"),
        )
    )


def set_label(instrument: Published, label: PublishedLabel, shop: PublishedShop) -> SetLabel:
    """One label in the largest type that fits; where that is small, the shop's mark gives way to words.

    Raises CannotBePrinted with field and least size where none does.
    """
    address = page_address(instrument.address, shop)
    code = page_code(address) if address else None
    width, height = label.width.mm, label.height.mm
    for fingerprint in _fingerprints(label):
        lines = tuple(_lines(instrument, label, shop, fingerprint))
        for scale, mark_mm in _sizes(shop):
            for arrangement, code_mm in _ways(code, width):
                if _needed_mm(lines, scale, arrangement, code_mm, width, mark_mm) <= height:
                    return SetLabel(width, height, arrangement, scale, lines, code, code_mm, mark_mm)
    raise _too_small(lines, code, label)


def _sizes(shop: PublishedShop) -> Iterator[tuple[float, float]]:
    """Sizes of the type with the height of the shop's mark, in the order they are tried; the mark gives way first."""
    if shop.mark:
        yield from ((scale, _SHOP_MARK_MM * scale) for scale in _SCALES if scale >= _LEAST_SCALE_OF_A_MARK)
    yield from ((scale, 0.0) for scale in _SCALES)


def _fingerprints(label: PublishedLabel) -> tuple[str, ...]:
    """What a label may say of the fingerprint, all of it first."""
    if not label.fingerprint:
        return ("",)
    groups = label.fingerprint.split()
    return f"Fingerprint {label.fingerprint}", f"Fingerprint begins {' '.join(groups[: len(groups) // 2])}"


def _lines(instrument: Published, label: PublishedLabel, shop: PublishedShop, fingerprint: str) -> Iterator[LabelLine]:
    kind = f"{instrument.kind[:1].upper()}{instrument.kind[1:]}"
    yield LabelLine("shop", shop.name)
    if shop.place:
        yield LabelLine("place", shop.place)
    yield LabelLine("name", instrument.name or kind)
    yield LabelLine(
        "number", f"{kind}, number {instrument.serial}" if instrument.name else f"Number {instrument.serial}"
    )
    made = f"Made by {instrument.made_by}"
    finished = instrument.finished or instrument.delivered
    yield LabelLine("made", f"{made}, {day_in_words(finished)}" if finished else made)
    if label.words:
        yield LabelLine("words", label.words)
    if fingerprint:
        yield LabelLine("fingerprint", fingerprint)


def _ways(code: PageCode | None, width: float) -> Iterator[tuple[Arrangement, float]]:
    """Where the code may stand on a label so wide, and how large it may be."""
    if code is None:
        yield "words alone", 0.0
        return
    for module in _MODULES_MM:
        code_mm = code.modules * module
        if width - _EDGE_MM - _CODE_EDGE_MM - code_mm >= _LEAST_WORDS_MM:
            yield "beside", code_mm
        if width - 2 * _CODE_EDGE_MM >= code_mm:
            yield "below", code_mm


def _needed_mm(
    lines: tuple[LabelLine, ...],
    scale: float,
    arrangement: Arrangement,
    code_mm: float,
    width: float,
    mark_mm: float = 0.0,
) -> float:
    """How high a label so wide must be."""
    beside = arrangement == "beside"
    words_mm = width - _EDGE_MM - (_CODE_EDGE_MM + code_mm if beside else _EDGE_MM)
    if words_mm <= 0:
        return math.inf
    text_mm = sum(height_mm(line.text, _POINTS[line.kind] * scale, words_mm, _LINE_HEIGHT) for line in lines)
    text_mm += 0.6 * len(lines) * scale + 2 * _EDGE_MM
    text_mm += mark_mm + _BELOW_MARK_MM if mark_mm else 0.0
    if beside:
        return max(text_mm, code_mm + 2 * _CODE_EDGE_MM)
    return text_mm + code_mm - (_EDGE_MM - _CODE_EDGE_MM if code_mm else 0.0)


def _too_small(lines: tuple[LabelLine, ...], code: PageCode | None, label: PublishedLabel) -> CannotBePrinted:
    """What is too small, and what would do."""
    width = label.width.mm
    ways = list(_ways(code, width))
    if not ways:
        assert code is not None, "words alone always have a way"
        least = _said(code.least_mm + 2 * _CODE_EDGE_MM)
        return CannotBePrinted(
            f"{label.width_field}: {label.width.said} is too narrow for the code of the page's address to be read",
            f"make it at least {least}, or the site address shorter",
        )
    least = _said(min(_needed_mm(lines, _SCALES[-1], arrangement, code_mm, width) for arrangement, code_mm in ways))
    what = "for its words and the code of the page's address" if code else "for its words"
    return CannotBePrinted(
        f"{label.height_field}: {label.height.said} is too low {what} to be read on a label {label.width.said} wide",
        f"make it at least {least}, or the label wider, or its words fewer",
    )


def _said(mm: float) -> str:
    """A least size, rounded up in both units."""
    return f"{math.ceil(mm)} mm ({math.ceil(mm / 25.4 * 100) / 100:.2f} in)"


def _sheets(labels: list[SetLabel], size: PublishedLabel, paper: Paper) -> Iterator[tuple[PlacedLabel, ...]]:
    """Where each label lies; one label alone is repeated until the sheet is full."""
    paper_width, paper_height = PAPER_SIZES[paper].width_mm, PAPER_SIZES[paper].height_mm
    width, height = max(each.width_mm for each in labels), max(each.height_mm for each in labels)
    across = int((paper_width - 2 * _MARGIN_MM + _GAP_MM) // (width + _GAP_MM))
    down = int((paper_height - 2 * _MARGIN_MM + _GAP_MM) // (height + _GAP_MM))
    if not across or not down:
        field, most = (size.height_field, paper_height) if across else (size.width_field, paper_width)
        raise CannotBePrinted(
            f"{field}: the label is larger than the paper",
            f"make it at most {math.floor(most - 2 * _MARGIN_MM)} mm",
        )
    left = (paper_width - across * width - (across - 1) * _GAP_MM) / 2
    top = (paper_height - down * height - (down - 1) * _GAP_MM) / 2
    places = [
        (left + column * (width + _GAP_MM), top + row * (height + _GAP_MM))
        for row in range(down)
        for column in range(across)
    ]
    filled = labels * len(places) if len(labels) == 1 else labels
    for first in range(0, len(filled), len(places)):
        on_sheet = filled[first : first + len(places)]
        yield tuple(PlacedLabel(x, y, label) for (x, y), label in zip(places, on_sheet, strict=False))


def _marks(placed: tuple[PlacedLabel, ...]) -> str:
    """Two short lines outside each corner of every label, as one path in millimetres."""
    strokes = []
    for each in placed:
        for x, outwards in ((each.x_mm, -1), (each.x_mm + each.label.width_mm, 1)):
            for y, downwards in ((each.y_mm, -1), (each.y_mm + each.label.height_mm, 1)):
                strokes.append(f"M{x + outwards * _MARK_OFF_MM:.3f} {y:.3f}h{outwards * _MARK_MM:.3f}")
                strokes.append(f"M{x:.3f} {y + downwards * _MARK_OFF_MM:.3f}v{downwards * _MARK_MM:.3f}")
    return "".join(strokes)
