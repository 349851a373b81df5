"""The sound holes where they lie on their plates, and whether they can be cut there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from builder.calculations.body_shapes import hole
from builder.calculations.curves import Spot
from builder.calculations.outline import Outline
from builder.problems import Finding
from builder.record.body import Plate, SoundHoleSpec

if TYPE_CHECKING:
    from shapely import Polygon


@dataclass(frozen=True, slots=True)
class PlacedHole:
    """A sound hole as it lies: its edge, its area, and which entry of the record it comes from."""

    plate: Plate
    spots: tuple[Spot, ...]
    area_mm2: float
    entry: int
    is_mirror_image: bool


def place_holes(
    specs: tuple[SoundHoleSpec, ...], outline: Outline, inside: Outline | None
) -> tuple[tuple[PlacedHole, ...], tuple[Finding, ...]]:
    """Every hole that lies within its plate and clear of the others, each with its mirror image if it has one."""
    from shapely import Polygon

    body, room = Polygon(outline.spots), Polygon((inside or outline).spots)
    placed: list[PlacedHole] = []
    cut: list[tuple[Plate, Polygon, int]] = []
    findings: list[Finding] = []
    for number, spec in enumerate(specs):
        field = f"spec.body.sound_holes[{number}]"
        if spec.wide is None and spec.shape != "circle":
            message = f"how wide the {spec.shape} is, is not written"
            findings.append(Finding("half-known", field, message, "add wide", "hint"))
            continue
        if spec.shape == "circle" and spec.wide is not None and spec.wide != spec.long:
            message = "a circle is as wide as it is long"
            findings.append(Finding("impossible", f"{field}.wide", message, "remove wide, or write ellipse"))
            continue
        wide = spec.wide or spec.long
        spots = hole(spec.shape, (spec.at[0].mm, spec.at[1].mm), spec.long.mm, wide.mm, spec.tilt)
        images = [spots, tuple((x, -y) for x, y in spots)] if spec.mirrored else [spots]
        polygons = [Polygon(image) for image in images]
        trouble = next(filter(None, (_where(body, room, polygon) for polygon in polygons)), "")
        for polygon in polygons:
            other = next((n for plate, one, n in cut if plate == spec.plate and one.intersects(polygon)), None)
            if other is not None:
                trouble = trouble or f"this sound hole runs into sound hole {other + 1}"
        if len(polygons) == 2 and polygons[0].intersects(polygons[1]):
            trouble = trouble or "this sound hole runs into its own mirror image"
        if trouble:
            hint = "x is from the tail end, y from the centre line"
            findings.append(Finding("impossible", f"{field}.at", trouble, hint))
            continue
        for image, polygon in zip(images, polygons, strict=True):
            cut.append((spec.plate, polygon, number))
            placed.append(PlacedHole(spec.plate, image, float(polygon.area), number, image is not spots))
    return tuple(placed), tuple(findings)


def over_blocks(holes: tuple[PlacedHole, ...], blocks: tuple[Outline, ...]) -> tuple[Finding, ...]:
    """A warning for every entry with a hole over an end block."""
    from shapely import Polygon, union_all

    glued = union_all([Polygon(block.spots) for block in blocks])
    entries = dict.fromkeys(each.entry for each in holes if glued.intersects(Polygon(each.spots)))
    message, hint = "this sound hole lies over an end block", "move it, or make the block smaller"
    return tuple(
        Finding("doubtful", f"spec.body.sound_holes[{entry}].at", message, hint, "warning") for entry in entries
    )


def _where(body: Polygon, room: Polygon, hole: Polygon) -> str:
    """What is wrong with where a hole lies, or nothing."""
    if not body.intersects(hole):
        return "this sound hole lies outside the body"
    if not body.contains(hole):
        return "this sound hole lies across the edge of the body"
    if not room.contains(hole):
        return "this sound hole lies over the sides"
    return ""
