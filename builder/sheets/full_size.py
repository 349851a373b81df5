"""Full-size drawings on paper: what every one of them shares, whatever it shows.

A drawing is a list of strokes, circles and words in its own millimetres, `x` to the right and `y` upwards, with the
box that holds them; its zero is the place everything is measured from (the nut, the tail). Three ways onto paper, each
answering the bytes of a PDF:

* `strip_pdf(drawing, unit)`: one sheet as large as the drawing, for a copy shop or a roll;
* `tiled_pdf(drawing, paper, unit)`: several sheets that overlap, upright or on their side, whichever takes fewer;
* `single_sheet_pdf(drawing, paper, unit)`: one sheet, or `CannotBePrinted` where the drawing is larger than that.

Every sheet says its number, “print at actual size” and how far from zero it begins and ends; it carries a 4 in bar, an
upright 100 mm bar and a page-long bar with the correction they imply. At both ends of every joint the same cross
stands on both sheets. Places are exact: no number is rounded, but for the last bits the PDF itself leaves out
(a millionth of a point). The same drawing is the same bytes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from builder.lengths import Unit
from builder.sheets.check_bars import (
    ACTUAL_SIZE,
    BARS_HEIGHT_MM,
    MILLIMETRE_BAR_MM,
    draw_bars,
    draw_upright_bar,
)
from builder.sheets.ink import Disc, Ink, Lettering, Stroke, draw
from builder.sheets.paper import PAPER_SIZES, CannotBePrinted, Paper
from builder.sheets.pen import LONGEST_PAGE_MM, Align, Pen, Place, fitted, width_mm
from builder.templates import fixed

__all__ = [
    "MOST_SHEETS",
    "OVERLAP_MM",
    "Disc",
    "FullSizeDrawing",
    "Ink",
    "Joint",
    "Lettering",
    "Stroke",
    "Tile",
    "single_sheet_pdf",
    "strip_pdf",
    "tiled_pdf",
    "tiles_of",
]

#: How far neighbouring sheets show the same.
OVERLAP_MM = 15.0
#: So many sheets are still taped together in one go; more is a job for one long sheet.
MOST_SHEETS = 60
#: The box of a drawing keeps this far from the edge of what a sheet shows.
_AIR_MM = 2.0
_HEAD_MM, _SIDE_MM, _TEXT_MM = 16.0, 8.0, 4.0
#: Crosses stand so far from the ends of a joint; further in where four sheets meet, so that they stand clear.
_CROSS_MM, _FROM_END_MM, _FROM_CORNER_MM = 4.0, 5.0, 30.0
_HAIR_MM, _LEAD_MM, _BROKEN = 0.15, 14.0, (1.0, 1.0)
_MARGIN_MM = PAPER_SIZES["a4"].margin_mm
#: On a long strip the head and the bars need this much even if the drawing is short.
_SHORTEST_STRIP_MM = 250.0


@dataclass(frozen=True, slots=True)
class FullSizeDrawing:
    """A drawing in millimetres, and the box that holds it.

    `title` and `below_title` head every sheet, `note` is a line that is wanted on each; `maker` signs the file.
    `measured_from` and `across_from` name what `x` and `y` are counted from, as they follow the word “from”. `field`
    is the field of the record that makes it as large as it is, for whoever must be told that it does not fit.
    """

    title: str
    below_title: str
    maker: str
    ink: tuple[Ink, ...]
    left: float
    bottom: float
    right: float
    top: float
    measured_from: str = "the nut"
    across_from: str = "the centre line"
    note: str = ""
    field: str = ""

    @classmethod
    def around(cls, ink: tuple[Ink, ...], title: str, below_title: str, maker: str, **more: str) -> FullSizeDrawing:
        """A drawing with the box its ink takes; `more` are the texts that need not be there."""
        lefts, bottoms, rights, tops = zip(*(each.box for each in ink), strict=True)
        return cls(title, below_title, maker, ink, min(lefts), min(bottoms), max(rights), max(tops), **more)

    @property
    def length_mm(self) -> float:
        """How long its box is."""
        return self.right - self.left

    @property
    def height_mm(self) -> float:
        """How high its box is."""
        return self.top - self.bottom


@dataclass(frozen=True, slots=True)
class Joint:
    """Where two sheets meet: their numbers, and the line along which, from one cross to the other."""

    one: int
    other: int
    start: Place
    end: Place

    @property
    def is_upright(self) -> bool:
        """Whether the sheets stand side by side."""
        return self.start[0] == self.end[0]


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet: its number, what it shows of the drawing in the drawing's millimetres, and its joints."""

    number: int
    left: float
    bottom: float
    right: float
    top: float
    joints: tuple[Joint, ...] = ()


@dataclass(frozen=True, slots=True)
class _Page:
    """A sheet of paper as it lies, and how much of a drawing it can show."""

    width_mm: float
    height_mm: float

    @property
    def shows_mm(self) -> tuple[float, float]:
        """Length and height of a drawing it can show."""
        return (
            self.width_mm - 2 * _MARGIN_MM - _SIDE_MM,
            self.height_mm - 2 * _MARGIN_MM - _HEAD_MM - _TEXT_MM - BARS_HEIGHT_MM,
        )


def strip_pdf(drawing: FullSizeDrawing, unit: Unit) -> bytes:
    """The drawing on one sheet as large as it needs. Raises CannotBePrinted where a PDF page cannot be so long."""
    longest = max(drawing.length_mm, _SHORTEST_STRIP_MM) + 2 * _AIR_MM + _SIDE_MM + 2 * _MARGIN_MM
    highest = max(drawing.height_mm, MILLIMETRE_BAR_MM + 2.0) + 2 * _AIR_MM
    highest += 2 * _MARGIN_MM + _HEAD_MM + _TEXT_MM + BARS_HEIGHT_MM
    page = _Page(longest, highest)
    if max(longest, highest) > LONGEST_PAGE_MM:
        raise CannotBePrinted(
            f"{_of(drawing)}the sheet would be {max(longest, highest):.0f} mm long, and a PDF page ends at 5080 mm",
            "take the tiled one, on A4 or Letter",
        )
    return _pdf(drawing, page, _tiles(drawing, page), unit)


def tiled_pdf(drawing: FullSizeDrawing, paper: Paper, unit: Unit) -> bytes:
    """The drawing on sheets of A4 or Letter that overlap. Raises CannotBePrinted where they would be too many."""
    page, tiles = _fewest(drawing, paper)
    if len(tiles) > MOST_SHEETS:
        raise CannotBePrinted(
            f"{_of(drawing)}it would take {len(tiles)} sheets of {PAPER_SIZES[paper].name}, more than {MOST_SHEETS}",
            "take the one long sheet to a copy shop",
        )
    return _pdf(drawing, page, tiles, unit)


def single_sheet_pdf(drawing: FullSizeDrawing, paper: Paper, unit: Unit) -> bytes:
    """The drawing on one sheet of A4 or Letter. Raises CannotBePrinted, with the room there is, where it is larger."""
    page, tiles = _fewest(drawing, paper)
    if len(tiles) > 1:
        size = PAPER_SIZES[paper]
        lying, upright = (
            " × ".join(f"{shows - 2 * _AIR_MM:.1f}" for shows in _Page(width, height).shows_mm)
            for width, height in ((size.height_mm, size.width_mm), (size.width_mm, size.height_mm))
        )
        raise CannotBePrinted(
            f"{_of(drawing)}{drawing.length_mm:.1f} × {drawing.height_mm:.1f} mm do not fit a sheet of {size.name},"
            f" which shows {lying} mm lying or {upright} mm upright at full size",
            "it has to be in one piece; draw it by hand from the figures, or have it printed on larger paper",
        )
    return _pdf(drawing, page, tiles, unit)


def tiles_of(drawing: FullSizeDrawing, paper: Paper) -> tuple[Tile, ...]:
    """The sheets a drawing takes on a paper, row by row from the top, each from left to right."""
    return _fewest(drawing, paper)[1]


def _of(drawing: FullSizeDrawing) -> str:
    return f"{drawing.field}: " if drawing.field else ""


def _fewest(drawing: FullSizeDrawing, paper: Paper) -> tuple[_Page, tuple[Tile, ...]]:
    """The paper on its side, or upright if that takes fewer sheets."""
    size = PAPER_SIZES[paper]
    pages = (_Page(size.height_mm, size.width_mm), _Page(size.width_mm, size.height_mm))
    return min(((page, _tiles(drawing, page)) for page in pages), key=lambda each: len(each[1]))


def _tiles(drawing: FullSizeDrawing, page: _Page) -> tuple[Tile, ...]:
    length, height = page.shows_mm
    lefts = _shared(drawing.left - _AIR_MM, drawing.right + _AIR_MM, length)
    bottoms = _shared(drawing.bottom - _AIR_MM, drawing.top + _AIR_MM, height)
    columns = len(lefts)
    tiles = [
        Tile(row * columns + column + 1, left, bottom, left + length, bottom + height)
        for row, bottom in enumerate(reversed(bottoms))
        for column, left in enumerate(lefts)
    ]
    from_end = _FROM_CORNER_MM if columns > 1 and len(bottoms) > 1 else _FROM_END_MM
    joints = [
        *(_upright(one, other, from_end) for one, other in pairwise(tiles) if one.number % columns),
        *(_level(one, other, from_end) for one, other in zip(tiles, tiles[columns:], strict=False)),
    ]
    return tuple(
        replace(tile, joints=tuple(joint for joint in joints if tile.number in (joint.one, joint.other)))
        for tile in tiles
    )


def _shared(start: float, end: float, shows: float) -> list[float]:
    """Where the sheets that a length takes begin: a lone one in the middle, several one after another."""
    count = max(1, math.ceil((end - start - OVERLAP_MM) / (shows - OVERLAP_MM) - 1e-9))
    if count == 1:
        return [(start + end - shows) / 2]
    return [start + number * (shows - OVERLAP_MM) for number in range(count)]


def _upright(one: Tile, other: Tile, from_end: float) -> Joint:
    x = (other.left + one.right) / 2
    return Joint(one.number, other.number, (x, one.bottom + from_end), (x, one.top - from_end))


def _level(one: Tile, other: Tile, from_end: float) -> Joint:
    y = (one.bottom + other.top) / 2
    return Joint(one.number, other.number, (one.left + from_end, y), (one.right - from_end, y))


def _pdf(drawing: FullSizeDrawing, page: _Page, tiles: tuple[Tile, ...], unit: Unit) -> bytes:
    pen = Pen(drawing.title, drawing.maker)
    for tile in tiles:
        pen.start_page(page.width_mm, page.height_mm)
        _frame(pen, drawing, page, tile, len(tiles), unit)
        _window(pen, drawing, page, tile, unit)
        pen.end_page()
    return pen.finish()


def _frame(pen: Pen, drawing: FullSizeDrawing, page: _Page, tile: Tile, count: int, unit: Unit) -> None:
    """What stands around the drawing: head, bars, and what to do."""
    left, right, top = _MARGIN_MM, page.width_mm - _MARGIN_MM, page.height_mm - _MARGIN_MM
    number = f"sheet {tile.number} of {count}"
    number_mm = width_mm(number, 11, "bold")
    pen.words(number, right, top - 4.0, 11, face="bold", align="right")
    title, points = fitted(drawing.title, 13, right - left - number_mm - 6, "title", least=9)
    pen.words(title, left, top - 4.0, points, face="title")
    start, end = max(tile.left, drawing.left), min(tile.right, drawing.right)
    if all(joint.is_upright for joint in tile.joints):
        shows = f"shows {exactly_in_both(start, unit)} to {exactly_in_both(end, unit)} from {drawing.measured_from}"
    else:
        low, high = max(tile.bottom, drawing.bottom), min(tile.top, drawing.top)
        shows = (
            f"shows {exactly(start, unit)} to {exactly(end, unit)} from {drawing.measured_from},"
            f" {exactly(low, unit)} to {exactly(high, unit)} from {drawing.across_from}"
        )
    shows_mm = width_mm(shows, 8.5)
    pen.words(shows, right, top - 9.0, 8.5, align="right")
    below, points = fitted(drawing.below_title, 8.5, right - left - shows_mm - 6)
    pen.words(below, left, top - 9.0, points)
    note, points = fitted(drawing.note, 8.5, right - left)
    pen.words(note, left, top - 13.2, points)
    tape = " Lay each cross on its twin on the next sheet, and tape." if count > 1 else ""
    said, points = fitted(f"{ACTUAL_SIZE} Lay a rule on the bars first.{tape}", 8.5, right - left)
    pen.words(said, left, _MARGIN_MM + BARS_HEIGHT_MM, points, face="bold")
    draw_bars(pen, left, _MARGIN_MM, right, unit)
    shown_from = _MARGIN_MM + BARS_HEIGHT_MM + _TEXT_MM
    room = page.shows_mm[1]
    draw_upright_bar(pen, left, shown_from + (room - MILLIMETRE_BAR_MM) / 2)


def _window(pen: Pen, drawing: FullSizeDrawing, page: _Page, tile: Tile, unit: Unit) -> None:
    """What the sheet shows of the drawing, each place moved to the paper by two sums and no rounding."""
    length, height = page.shows_mm
    x, y = _MARGIN_MM + _SIDE_MM, _MARGIN_MM + BARS_HEIGHT_MM + _TEXT_MM
    by = (x - tile.left, y - tile.bottom)
    pen.keep_within(x, y, x + length, y + height)
    for each in drawing.ink:
        if _is_shown(each, tile):
            draw(pen, each, *by)
    for joint in tile.joints:
        for each in _joint_ink(joint, tile.number, drawing, unit):
            draw(pen, each, *by)
    pen.release()


def _is_shown(ink: Ink, tile: Tile) -> bool:
    left, bottom, right, top = ink.box
    if right < tile.left or left > tile.right or top < tile.bottom or bottom > tile.top:
        return False
    if not isinstance(ink, Lettering):
        return True
    fits_along = (tile.left <= left and right <= tile.right) or right - left > OVERLAP_MM
    return fits_along and ((tile.bottom <= bottom and top <= tile.top) or top - bottom > OVERLAP_MM)


def _joint_ink(joint: Joint, number: int, drawing: FullSizeDrawing, unit: Unit) -> Iterator[Ink]:
    """A cross at both ends, a broken line from each towards the other, and which sheets meet where.

    The words stand on each sheet's own side of the joint; the line ends before it could run through the drawing.
    """
    (x, y), (to_x, to_y) = joint.start, joint.end
    along, across = (0.0, _LEAD_MM) if joint.is_upright else (_LEAD_MM, 0.0)
    yield Stroke((joint.start, (x + along, y + across)), _HAIR_MM, dash=_BROKEN, grey=0.4)
    yield Stroke((joint.end, (to_x - along, to_y - across)), _HAIR_MM, dash=_BROKEN, grey=0.4)
    said = f"sheets {joint.one} and {joint.other}"
    is_first = number == joint.one
    for x, y in (joint.start, joint.end):
        yield Stroke(((x - _CROSS_MM, y), (x + _CROSS_MM, y)), _HAIR_MM)
        yield Stroke(((x, y - _CROSS_MM), (x, y + _CROSS_MM)), _HAIR_MM)
        yield Disc(x, y, _CROSS_MM / 2, _HAIR_MM)
        if joint.is_upright:
            place = f"{exactly_in_both(x, unit)} from {drawing.measured_from}"
            align: Align = "right" if is_first else "left"
            beside, above = x + (-1 if is_first else 1) * (_CROSS_MM + 0.8), y
        else:
            place = f"{exactly_in_both(y, unit)} from {drawing.across_from}"
            align = "left" if x == joint.start[0] else "right"
            beside, above = x + (1 if align == "left" else -1) * (_CROSS_MM + 0.8), y + (4.0 if is_first else -3.8)
        yield Lettering(said, beside, above + 0.6, 7.0, align=align)
        yield Lettering(place, beside, above - 2.4, 7.0, align=align)


def exactly(mm: float, unit: Unit) -> str:
    """A length as full-size sheets print it: inches to 0.001, millimetres to 0.01."""
    return f"{fixed(mm / 25.4, 3)} in" if unit == "in" else f"{fixed(mm, 2)} mm"


def exactly_in_both(mm: float, unit: Unit) -> str:
    """The same in the shop's unit, and in the other in brackets."""
    return f"{exactly(mm, unit)} ({exactly(mm, 'mm' if unit == 'in' else 'in')})"
