"""Files for a router or a laser: the pattern of a body and the fret slots of a board, as SVG and as DXF.

One unit of either file is one millimetre. Every line lies on a layer with a plain name; what encloses something is one
closed path, curves being chains of straight pieces that stray from them by less than a hundredth of a millimetre. The
lines are those of the finished edge: the width of the cutter or beam is not taken off.

DXF is of release AC1024 with its unit set to millimetres, written by ezdxf; SVG is SVG 1.1 of the W3C. Same lines, same
bytes.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import escape

from builder.published import PublishedDrawing, PublishedFretLine
from builder.published.pattern import PublishedPattern
from builder.sheets.paper import CannotBePrinted

Place = tuple[float, float]

#: Left free around the lines of an SVG, so that none is cut by the edge of the page.
_MARGIN_MM = 5.0
#: How far the marks of saddle and nut reach to both sides of the centre line.
_MARK_MM = 25.0
#: Thickness of a line in an SVG: seen on a screen, and taken by a laser for a line to follow.
_LINE_MM = 0.1

#: The layers in their order, each with a colour of its own: in an SVG, and by its number in a DXF.
_COLOURS = {
    "outline": ("#000000", 7),
    "inside": ("#0000ff", 5),
    "linings": ("#008080", 134),
    "end blocks": ("#800080", 214),
    "braces soundboard": ("#b05000", 32),
    "braces back": ("#808000", 54),
    "sound holes": ("#ff0000", 1),
    "sound holes back": ("#ff00ff", 6),
    "fret slots": ("#ff0000", 1),
    "frets": ("#ff0000", 1),
    "markers": ("#008080", 134),
    "centre line": ("#808080", 8),
    "saddle": ("#00a000", 3),
    "nut": ("#00a000", 3),
}

NO_OUTLINE = "the outline of the body is not known, so there is no pattern to print or to cut"
NO_OUTLINE_HINT = "add outline to body in the record"
_NO_BOARD = "where the fret slots lie on the board is not known, so there are none to cut"
_NO_BOARD_HINT = "add frets, scale_length, and width_at_nut and width_at_end of the fretboard to the record"


@dataclass(frozen=True, slots=True)
class CutLine:
    """A line to cut or to mark: its layer, the name of what it is, its places in millimetres, `y` upwards."""

    layer: str
    name: str
    closed: bool
    places: tuple[Place, ...]


def pattern_lines(pattern: PublishedPattern | None) -> tuple[CutLine, ...]:
    """Every line of a pattern, with the centre line and the places of saddle and nut on it."""
    if pattern is None:
        raise CannotBePrinted(NO_OUTLINE, NO_OUTLINE_HINT)
    lines = [CutLine(line.layer, line.name, line.closed, line.places) for line in pattern.lines]
    lines.append(CutLine("centre line", "centre line", False, ((pattern.tail, 0.0), (pattern.head, 0.0))))
    for layer, x in (("saddle", pattern.saddle), ("nut", pattern.nut)):
        if x is not None and pattern.tail <= x <= pattern.head:
            lines.append(CutLine(layer, f"place of the {layer}", False, ((x, -_MARK_MM), (x, _MARK_MM))))
    return tuple(lines)


def board_lines(board: PublishedDrawing | None, slot_width_mm: float | None) -> tuple[CutLine, ...]:
    """The fret slots of a board as closed rectangles of the slot's width; without a width, their middle lines.

    The nut's front edge is at `x = 0`. The face of the board is seen with the nut to the right and the bass side above,
    as the body is seen in its pattern: the frets run into negative `x`.
    """
    if board is None or not board.frets:
        raise CannotBePrinted(_NO_BOARD, _NO_BOARD_HINT)
    corners = tuple((-point.x + 0.0, point.y) for point in board.outline)
    lines = [CutLine("outline", "edge of the board", True, corners)] if board.length_is_known else []
    lines += [_slot(fret, slot_width_mm) for fret in board.frets]
    lines.append(CutLine("nut", "front edge of the nut", False, corners[:2]))
    lines.append(CutLine("centre line", "centre line", False, ((0.0, 0.0), (-board.length_mm, 0.0))))
    return tuple(lines)


def _slot(fret: PublishedFretLine, width_mm: float | None) -> CutLine:
    bass, treble = (-fret.bass.x + 0.0, fret.bass.y), (-fret.treble.x + 0.0, fret.treble.y)
    if width_mm is None:
        return CutLine("frets", f"fret {fret.name}", False, (bass, treble))
    length = math.dist(bass, treble)
    off_x, off_y = (
        (treble[1] - bass[1]) / length * width_mm / 2,
        -(treble[0] - bass[0]) / length * width_mm / 2,
    )
    corners = (
        (bass[0] + off_x, bass[1] + off_y), (treble[0] + off_x, treble[1] + off_y),
        (treble[0] - off_x, treble[1] - off_y), (bass[0] - off_x, bass[1] - off_y),
    )  # fmt: skip
    return CutLine("fret slots", f"fret {fret.name}", True, corners)


def cutting_svg(lines: Sequence[CutLine], title: str) -> str:
    """The lines as an SVG whose size is said in millimetres, a unit of the drawing being one of them.

    The lines lie right of and below the corner of the page; how far, a description in the file says.
    """
    left, right = (choose(x for line in lines for x, _ in line.places) for choose in (min, max))
    low, high = (choose(y for line in lines for _, y in line.places) for choose in (min, max))
    across, down = _MARGIN_MM - left, _MARGIN_MM + high
    width, height = right - left + 2 * _MARGIN_MM, high - low + 2 * _MARGIN_MM
    text = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{_mm(width)}mm" height="{_mm(height)}mm" '
        f'viewBox="0 0 {_mm(width)} {_mm(height)}">',
        f"<title>{escape(title)}</title>",
        f"<desc>Full size: one unit is one millimetre. The origin of the drawing, on the centre line, lies "
        f"{_mm(across)} mm from the left and {_mm(down)} mm from the top. Seen from above, the bass side is up.</desc>",
    ]
    for layer, of_layer in _by_layer(lines):
        text.append(
            f'<g id="{layer.replace(" ", "-")}" fill="none" stroke="{_COLOURS[layer][0]}" stroke-width="{_LINE_MM}">'
        )
        text.append(f"<title>{layer}</title>")
        text += [
            f'<path d="{_path(line, across, down)}"><title>{escape(line.name)}</title></path>' for line in of_layer
        ]
        text.append("</g>")
    return "\n".join([*text, "</svg>", ""])


def _path(line: CutLine, across: float, down: float) -> str:
    places = " ".join(f"{_mm(x + across)},{_mm(down - y)}" for x, y in line.places)
    return f"M{places}{'Z' if line.closed else ''}"


def _mm(number: float) -> str:
    """A tenth of a thousandth of a millimetre is kept, and no sign of what rounds to nothing."""
    return f"{round(number, 4) + 0.0:.4f}"


def cutting_dxf(lines: Sequence[CutLine]) -> bytes:
    """The lines as a DXF in millimetres, `y` upwards: closed polylines, open ones, and straight lines."""
    from ezdxf import options, units  # type: ignore[attr-defined]
    from ezdxf.filemanagement import new

    # A DXF carries the time it was made and numbers drawn by lot; this setting of the library writes fixed ones.
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        document = new("R2010", units=units.MM)
        document.header["$MEASUREMENT"] = 1
        document.header["$TDCREATE"] = document.header["$TDUPDATE"] = _NO_TIME
        space = document.modelspace()
        for layer, of_layer in _by_layer(lines):
            document.layers.add(layer, color=_COLOURS[layer][1])
            for line in of_layer:
                places = [(round(x, 6), round(y, 6)) for x, y in line.places]
                if len(places) == 2:
                    space.add_line(places[0], places[1], dxfattribs={"layer": layer})
                else:
                    space.add_lwpolyline(places, close=line.closed, dxfattribs={"layer": layer})
        # What kinds of thing a DXF declares at its head comes from a set, in an order that changes from run to run.
        document.classes.add_required_classes(document.dxfversion)
        document.classes.classes = dict(sorted(document.classes.classes.items()))
        text = io.StringIO(newline="\n")
        document.write(text)
    finally:
        options.write_fixed_meta_data_for_testing = before
    return text.getvalue().encode(document.output_encoding, errors="dxfreplace")


#: The first instant of the year 2000 as DXF counts days, to stand where a file says when it was made.
_NO_TIME = 2451544.5


def _by_layer(lines: Sequence[CutLine]) -> Iterator[tuple[str, list[CutLine]]]:
    """The layers that hold something, in their order."""
    for layer in _COLOURS:
        of_layer = [line for line in lines if line.layer == layer]
        if of_layer:
            yield layer, of_layer
