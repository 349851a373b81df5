"""The lines of a full-size pattern: all of them, and the bass half of them where both sides of the body are alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from builder.calculations.answers import Missing
from builder.calculations.curves import Spot
from builder.results.body import BodyResults

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

#: Lines that stray no further than this from the mirror image of each other are alike on both sides.
ALIKE_MM = 0.01
#: What is left of a line at the centre line is no line where it is shorter.
_NO_LINE_MM = 1e-6

Part = Literal["outline", "inside", "linings", "block", "hole", "brace"]


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A line of the pattern. `entry` counts holes and braces as the record lists them, and blocks as they are known."""

    part: Part
    entry: int
    spots: tuple[Spot, ...]
    closed: bool


@dataclass(frozen=True, slots=True)
class PatternResults:
    """Every line, and the bass half of them: what is not alike on both sides is `left_out` of that.

    `half` is empty where the outline itself is not alike on both sides.
    """

    lines: tuple[DrawnLine, ...]
    half: tuple[DrawnLine, ...]
    left_out: tuple[DrawnLine, ...]


def work_out_pattern(body: BodyResults | Missing) -> PatternResults | Missing:
    """The lines of a body as they are known, through every place that the sums know of them."""
    if isinstance(body, Missing):
        return body
    lines = tuple(_lines_of(body))
    images = [_image(line) for line in lines]
    alike = [_has_image(image, line, lines) for image, line in zip(images, lines, strict=True)]
    if not alike[0]:
        return PatternResults(lines, (), lines)
    half = tuple(piece for line, both in zip(lines, alike, strict=True) if both for piece in _bass_half(line))
    return PatternResults(lines, half, tuple(line for line, both in zip(lines, alike, strict=True) if not both))


def _lines_of(body: BodyResults) -> Iterator[DrawnLine]:
    yield DrawnLine("outline", 0, body.outline.spots, closed=True)
    if body.inside:
        yield DrawnLine("inside", 0, body.inside.spots, closed=True)
    if body.linings and body.linings.edge:
        yield DrawnLine("linings", 0, body.linings.edge, closed=True)
    for number, block in enumerate(body.blocks):
        yield DrawnLine("block", number, block.spots, closed=True)
    for number, hole in enumerate(body.holes):
        yield DrawnLine("hole", number, hole.spots, closed=True)
    for number, brace in enumerate(body.braces):
        spots = tuple(dict.fromkeys(brace.corners))
        if len(spots) > 1:  # a brace from a place to the same place has been found fault with, and is no line
            yield DrawnLine("brace", number, spots, closed=len(spots) > 2)


def _image(line: DrawnLine) -> DrawnLine:
    """The mirror image of a line on the other side of the centre line."""
    return replace(line, spots=tuple((x, -y) for x, y in line.spots))


def _has_image(image: DrawnLine, line: DrawnLine, lines: Sequence[DrawnLine]) -> bool:
    """Whether the mirror image of a line is that line itself, or another of the same part."""
    reach = _reach(image)
    wanted = _geometry(image)
    return any(
        all(abs(one - other) <= ALIKE_MM for one, other in zip(reach, _reach(each), strict=True))
        and wanted.hausdorff_distance(_geometry(each)) <= ALIKE_MM
        for each in lines
        if each.part == line.part and each.closed == line.closed
    )


def _reach(line: DrawnLine) -> tuple[float, float, float, float]:
    xs, ys = zip(*line.spots, strict=True)
    return min(xs), max(xs), min(ys), max(ys)


def _geometry(line: DrawnLine) -> BaseGeometry:
    from shapely import LineString

    return LineString([*line.spots, line.spots[0]] if line.closed else line.spots)


def _bass_half(line: DrawnLine) -> Iterator[DrawnLine]:
    """What of a line lies on the bass side: the whole of it, or the pieces that end on the centre line."""
    from shapely import box, get_coordinates, line_merge

    if min(y for _, y in line.spots) >= 0:
        yield line
        return
    left, right, _, high = _reach(line)
    if high <= 0:
        return
    kept = _geometry(line).intersection(box(left - 1, 0.0, right + 1, high + 1))
    merged = line_merge(kept) if kept.geom_type == "MultiLineString" else kept
    for piece in getattr(merged, "geoms", (merged,)):
        if piece.geom_type == "LineString" and piece.length > _NO_LINE_MM:
            spots = tuple((x, y + 0.0) for x, y in get_coordinates(piece).tolist())
            yield replace(line, spots=spots, closed=False)
