"""The outline a record describes, in whichever of the four ways it does."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import pairwise

from builder.calculations.answers import Missing, Outside
from builder.calculations.body_shapes import hourglass, round_body, square_body, tapered_body, teardrop
from builder.calculations.curves import Spot
from builder.calculations.outline import Outline, outline_of, through_half_widths, through_points
from builder.calculations.svg_path import read_tracing
from builder.lengths import Length
from builder.problems import Finding
from builder.record.body import OutlineSpec, ShapeName
from builder.words import in_a_row

_FIELD = "spec.body.outline"

#: Which sizes a named shape needs, and which it may have besides.
_SIZES: dict[ShapeName, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "circle": (("width",), ()),
    "ellipse": (("length", "width"), ()),
    "rectangle": (("length", "width"), ("corners",)),
    "trapezoid": (("length", "tail_width", "head_width"), ()),
    "teardrop": (("length", "width", "widest_at"), ("tail_width", "head_width")),
    "hourglass": (
        ("length", "width", "widest_at", "waist", "waist_at", "upper_bout", "upper_bout_at"),
        ("tail_width", "head_width"),
    ),
}
_ALL_SIZES = tuple(dict.fromkeys(size for needed, besides in _SIZES.values() for size in (*needed, *besides)))


def outline_in(spec: OutlineSpec, tracings: Mapping[str, str]) -> tuple[Outline | Missing, tuple[Finding, ...]]:
    """The outline, or the fields it lacks. `tracings` are the texts of the shop's traced pictures by file name."""
    ways = [name for name in ("half_widths", "points", "shape", "traced") if getattr(spec, name)]
    if len(ways) != 1:
        missing = Missing((f"{_FIELD}.half_widths",))
        if not ways:
            message, hint = "the outline says nothing of its form", "add half_widths, points, shape or traced"
            return missing, (Finding("half-known", _FIELD, message, hint, "hint"),)
        message = f"the outline is given in {len(ways)} ways: {in_a_row(ways)}"
        return missing, (Finding("does-not-fit", f"{_FIELD}.{ways[1]}", message, "keep one of them"),)
    way = ways[0]
    stray = tuple(_stray_sizes(spec, way))
    if way == "shape":
        outline, field = _named(spec)
        if isinstance(outline, Missing):
            message = f"a {spec.shape} needs {in_a_row(field.split())} besides"
            hint = f"add {in_a_row(field.split())}"
            return outline, (*stray, Finding("half-known", f"{_FIELD}.shape", message, hint, "hint"))
    elif way == "half_widths":
        field, outline = _FIELD + ".half_widths", _stations(spec)
        for number, ((before, _), (after, _)) in enumerate(pairwise(spec.half_widths), 1):
            if after <= before:
                field = f"{_FIELD}.half_widths[{number}]"
                break
    elif way == "points":
        field = f"{_FIELD}.points"
        spots = [(x.mm, y.mm) for x, y in spec.points]
        outline = through_points(spots, spec.joined, mirrored=spec.mirrored)
    else:
        field, outline = f"{_FIELD}.traced", _traced(spec, tracings)
    if isinstance(outline, Outside):
        return Missing((field,)), (*stray, Finding("impossible", field, outline.reason, _hint(way)))
    return outline, stray


def _hint(way: str) -> str:
    return {
        "half_widths": "write them from the tail end, like [[0 in, 2 in], [6 in, 3 in]]",
        "points": "write them in order, once round the body",
        "shape": "see its sizes",
        "traced": "trace the outline as one closed path",
    }[way]


def _stations(spec: OutlineSpec) -> Outline | Outside:
    stations = [(x.mm, half.mm) for x, half in spec.half_widths]
    if stations[0][0] != 0:
        return Outside("the first half width does not stand at the tail end, which is at 0")
    return through_half_widths(stations, spec.ends)


def _stray_sizes(spec: OutlineSpec, way: str) -> Iterator[Finding]:
    """Sizes that the way chosen has no use for: most often another shape was meant."""
    if way == "shape" and spec.shape:
        needed, besides = _SIZES[spec.shape]
        used, what = {*needed, *besides}, f"a {spec.shape}"
    else:
        used, what = ({"length"} if way == "traced" else set()), f"an outline by {way}"
    for size in _ALL_SIZES:
        if getattr(spec, size) is not None and size not in used:
            yield Finding("does-not-fit", f"{_FIELD}.{size}", f"{what} has no «{size}»", "remove it")


def _named(spec: OutlineSpec) -> tuple[Outline | Missing | Outside, str]:
    """The outline of a named shape and its field; or what it lacks, and the names of that in a row."""
    assert spec.shape is not None
    needed, _ = _SIZES[spec.shape]
    lacking = [size for size in needed if getattr(spec, size) is None]
    if lacking:
        return Missing(tuple(f"{_FIELD}.{size}" for size in lacking)), " ".join(lacking)

    def mm(size: str) -> float:
        length: Length | None = getattr(spec, size)
        return length.mm if length else 0.0

    def made() -> Outline | Outside:
        if spec.shape == "circle":
            return round_body(mm("width"), mm("width"))
        if spec.shape == "ellipse":
            return round_body(mm("length"), mm("width"))
        if spec.shape == "rectangle":
            return square_body(mm("length"), mm("width"), mm("corners"))
        if spec.shape == "trapezoid":
            return tapered_body(mm("length"), mm("tail_width"), mm("head_width"))
        ends = mm("tail_width"), mm("head_width")
        if spec.shape == "teardrop":
            return teardrop(mm("length"), mm("width"), mm("widest_at"), *ends)
        bouts = (mm("widest_at"), mm("width")), (mm("waist_at"), mm("waist")), (mm("upper_bout_at"), mm("upper_bout"))
        return hourglass(mm("length"), *bouts, *ends)

    return made(), f"{_FIELD}.shape"


def _traced(spec: OutlineSpec, tracings: Mapping[str, str]) -> Outline | Outside:
    """The traced line with its tail end at 0 and its middle on the centre line, as long as it should be."""
    if spec.traced is None or spec.traced not in tracings:
        return Outside(f"there is no picture «{spec.traced}» in the folder outlines")
    tracing = read_tracing(tracings[spec.traced])
    if isinstance(tracing, Outside):
        return tracing
    turned = [_turned(spot, spec.tail_at) for spot in tracing.spots]
    left, right = min(x for x, _ in turned), max(x for x, _ in turned)
    low, high = min(y for _, y in turned), max(y for _, y in turned)
    if right - left <= 0 or high - low <= 0:
        return Outside("the traced path holds no area")
    scale = spec.length.mm / (right - left) if spec.length else tracing.mm_per_unit
    if not math.isfinite(scale) or max(right - left, high - low) * scale > 10_000:
        return Outside("the traced outline comes out longer than 10 m; say its length")
    middle = (low + high) / 2
    return outline_of([((x - left) * scale, (y - middle) * scale) for x, y in turned])


def _turned(spot: Spot, tail_at: str) -> Spot:
    """A place of the picture, where y grows downwards, as one of the body with its tail to the left."""
    x, y = spot[0], -spot[1]
    return {"left": (x, y), "right": (-x, -y), "bottom": (y, -x), "top": (-y, x)}[tail_at]
