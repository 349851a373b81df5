"""End angles with their angle blocks, braces against outline and sound holes, and the wood around sound holes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builder.calculations.answers import Missing, Outside
from builder.calculations.bracing import (
    TOUCH_MM,
    Brace,
    FittedBrace,
    Reach,
    clearance_mm,
    edge_room_mm,
    fitted_between,
    part_covered,
    reach_of,
)
from builder.calculations.end_angles import BlockFit, EndAngle, end_angle, nearest_block, side_from
from builder.calculations.end_blocks import End
from builder.lengths import Length, said_in
from builder.problems import Finding
from builder.record import Spec
from builder.record.body import BodySpec, BraceSpec, Plate
from builder.results.body import BodyResults
from builder.results.sound_holes import PlacedHole
from builder.shop import Shop

if TYPE_CHECKING:
    from shapely import Polygon

#: Less wood than this between a sound hole and the side is asking for a crack: a quarter of an inch, common practice.
LEAST_EDGE_MM = 6.35
#: Where both sides meet on the centre line and leave it this square, the end is round and no angle block is of use.
ROUND_END_DEGREES = 45.0

#: A brace written at least so long, of the way between the sides, is fitted between them; a shorter one stays as it is.
FROM_SIDE_TO_SIDE = 0.75


@dataclass(frozen=True, slots=True)
class EndResults:
    """How one side meets the block at one end. `block` is None where none in the drawer is near enough."""

    end: End
    side: str
    glued_mm: float
    angle: EndAngle
    block: BlockFit | None


@dataclass(frozen=True, slots=True)
class SeenThrough:
    """A sound hole of the other plate through which a brace shows, and how much of it the brace covers: 0 to 1."""

    entry: int
    is_mirror_image: bool
    part: float


@dataclass(frozen=True, slots=True)
class Bevel:
    """By how much the end of a brace is cut out of square, and towards which side of the body its longer edge lies."""

    degrees: float
    longer_towards: str


@dataclass(frozen=True, slots=True)
class BraceResults:
    """One brace. `entry` counts from 0 in the record.

    `fitted` is the brace from side to side, `within_linings_mm` its length from lining to lining; None where not known,
    where its middle lies outside, or where it is written to stop well short of the sides, as a fan brace does.
    `clearance_mm` is that to the nearest hole of the same plate, `nearest_hole`.
    """

    entry: int
    is_mirror_image: bool
    name: str | None
    plate: Plate
    brace: Brace
    reach: Reach
    fitted: FittedBrace | None
    within_linings_mm: float | None
    clearance_mm: float | None
    nearest_hole: int | None
    seen_through: tuple[SeenThrough, ...]

    @property
    def crosses(self) -> bool:
        """Whether it runs across a sound hole of its own plate."""
        return self.clearance_mm is not None and self.clearance_mm < -TOUCH_MM

    @property
    def bevels(self) -> tuple[Bevel | None, Bevel | None]:
        """How its two ends are cut to meet the sides, where it starts and where it ends; None where not known."""
        if self.fitted is None:
            return None, None
        return self._bevel(self.fitted.start_bevel_degrees), self._bevel(self.fitted.end_bevel_degrees)

    def _bevel(self, degrees: float | None) -> Bevel | None:
        if degrees is None:
            return None
        x, y = self.brace.along
        # To the left of a brace that runs to the head lies the bass side, of one to the bass side the tail.
        if abs(x) >= abs(y):
            left, right = ("bass", "treble") if x > 0 else ("treble", "bass")
        else:
            left, right = ("tail", "head") if y > 0 else ("head", "tail")
        return Bevel(abs(degrees), left if degrees > 0 else right)


@dataclass(frozen=True, slots=True)
class HoleRoom:
    """How much wood is left around a sound hole: to the outside of the body, and to the linings of its plate."""

    entry: int
    is_mirror_image: bool
    plate: Plate
    to_edge_mm: float
    to_linings_mm: float | None


@dataclass(frozen=True, slots=True)
class BracingResults:
    """Ends from tail to head, braces and holes in the order of the record."""

    ends: tuple[EndResults, ...]
    braces: tuple[BraceResults, ...]
    holes: tuple[HoleRoom, ...]


def work_out_bracing(
    spec: Spec, shop: Shop, body: BodyResults | Missing
) -> tuple[BracingResults | Missing, tuple[Finding, ...]]:
    """Work out end angles, braces and the room around sound holes, as far as outline and sizes are known."""
    if spec.body is None:
        return Missing(("spec.body",)), ()
    if isinstance(body, Missing):
        if not spec.body.braces or spec.body.outline is not None:
            return body, ()
        message = "whether the braces lie in the body and clear of its sound holes needs the outline"
        return body, (Finding("half-known", "spec.body.braces", message, "add outline to body", "hint"),)
    workings = _Workings(spec.body, shop, body)
    results = BracingResults(tuple(workings.ends()), tuple(workings.braces()), tuple(workings.hole_rooms()))
    if not (results.ends or results.braces or results.holes):
        return Missing(("spec.body.end_blocks", "spec.body.braces")), tuple(workings.findings)
    return results, tuple(workings.findings)


class _Workings:
    """One body on the way; what is wrong gathers in `findings`."""

    def __init__(self, spec: BodySpec, shop: Shop, body: BodyResults) -> None:
        from shapely import Polygon

        self.spec, self.shop, self.body = spec, shop, body
        self.findings: list[Finding] = []
        self.outside = Polygon(body.outline.spots)
        self.inside = Polygon(body.inside.spots) if body.inside else None
        edge = body.linings.edge if body.linings else ()
        self.clear = Polygon(edge) if edge else None
        self.openings = tuple((each, Polygon(each.spots)) for each in body.holes)

    def within_linings(self, plate: Plate) -> Polygon | None:
        """The line within the linings, on a plate that has them."""
        return self.clear if self.spec.linings and plate in self.spec.linings.plates else None

    def ends(self) -> Iterator[EndResults]:
        blocks, sides = self.spec.end_blocks, self.body.sides
        if blocks is None or sides is None:
            return
        both: tuple[tuple[End, Length | None], ...] = (("tail", blocks.tail), ("head", blocks.head))
        for end, glued in both:
            if glued is None:
                continue
            for name, side in (("bass", sides.sides.bass), ("treble", sides.sides.treble)):
                angle = end_angle(side_from(side.spots, end, bass=name == "bass"), glued.mm)
                if isinstance(angle, Outside):
                    self._no_angle(end, angle, too_long=glued.mm > side.length_mm)
                    continue
                yield EndResults(end, name, glued.mm, angle, self._block(angle, glued.mm))

    def _no_angle(self, end: End, why: Outside, *, too_long: bool) -> None:
        field = f"spec.body.end_blocks.{end}"
        if any(finding.field == field for finding in self.findings):
            return  # the other side has said it
        if too_long:
            self._found("impossible", field, why.reason, "make it shorter")
        else:
            self._found("doubtful", field, f"{why.reason}, so its angle is not worked out", "see the outline there")

    def _block(self, angle: EndAngle, glued_mm: float) -> BlockFit | None:
        if abs(angle.to_centre_line_degrees) > ROUND_END_DEGREES:
            return None
        fit = nearest_block(self.shop.angle_blocks, angle.to_centre_line_degrees, glued_mm)
        return None if isinstance(fit, Outside) else fit

    def braces(self) -> Iterator[BraceResults]:
        for entry, spec in enumerate(self.spec.braces):
            field = f"spec.body.braces[{entry}]"
            start, end = ((place[0].mm, place[1].mm) for place in (spec.starts, spec.ends))
            if start == end:
                self._found("impossible", field, "this brace starts and ends at one place", "see starts and ends")
                continue
            if spec.width is None:
                message = "whether this brace lies clear of sound holes and sides needs its width"
                self._found("half-known", field, message, "add width")
                continue
            brace = Brace(start, end, spec.width.mm)
            image = Brace((start[0], -start[1]), (end[0], -end[1]), spec.width.mm)
            first = self._brace(entry, spec, brace, is_mirror_image=False)
            yield first
            self._judge(first, field)
            if not spec.mirrored:
                continue
            if {image.start, image.end} == {brace.start, brace.end}:
                message = "the mirror image of this brace is the brace itself"
                self._found("doubtful", f"{field}.mirrored", message, "remove mirrored")
                continue
            second = self._brace(entry, spec, image, is_mirror_image=True)
            # A trouble that is there on both sides is said once.
            if (second.reach, second.crosses) != (first.reach, first.crosses):
                self._judge(second, field)
            yield second

    def _brace(self, entry: int, spec: BraceSpec, brace: Brace, *, is_mirror_image: bool) -> BraceResults:
        clear = self.within_linings(spec.plate)
        fitted = fitted_between(brace, self.body.inside.spots) if self.body.inside else None
        within = fitted_between(brace, [(x, y) for x, y in clear.exterior.coords[:-1]]) if clear else None
        if isinstance(fitted, FittedBrace) and brace.length_mm < FROM_SIDE_TO_SIDE * fitted.length_mm:
            fitted = within = None
        same = [(clearance_mm(brace, shape), hole) for hole, shape in self.openings if hole.plate == spec.plate]
        nearest = min(same, key=lambda each: each[0], default=None)
        return BraceResults(
            entry=entry,
            is_mirror_image=is_mirror_image,
            name=spec.name,
            plate=spec.plate,
            brace=brace,
            reach=reach_of(brace, self.outside, self.inside, clear),
            fitted=fitted if isinstance(fitted, FittedBrace) else None,
            within_linings_mm=within.length_mm if isinstance(within, FittedBrace) else None,
            clearance_mm=nearest[0] if nearest else None,
            nearest_hole=nearest[1].entry if nearest else None,
            seen_through=tuple(self._seen(brace, spec.plate)),
        )

    def _seen(self, brace: Brace, plate: Plate) -> Iterator[SeenThrough]:
        for hole, shape in self.openings:
            part = part_covered(brace, shape) if hole.plate != plate else 0.0
            if part > 0:
                yield SeenThrough(hole.entry, hole.is_mirror_image, part)

    def _judge(self, brace: BraceResults, field: str) -> None:
        which = "the mirror image of this brace" if brace.is_mirror_image else "this brace"
        if brace.reach == "outside":
            self._found("impossible", field, f"{which} reaches out of the body", self._room(brace))
        elif brace.reach == "into the side":
            self._found("doubtful", field, f"{which} reaches into the side", self._room(brace))
        if brace.crosses and brace.clearance_mm is not None and brace.nearest_hole is not None:
            message = f"{which} runs across sound hole {brace.nearest_hole + 1} of the same plate"
            hint = f"move it or shorten it by {self._said(-brace.clearance_mm)} or more"
            self._found("impossible", field, message, hint)

    def _room(self, brace: BraceResults) -> str:
        if brace.fitted is None:
            return "x is from the tail end, y from the centre line"
        return f"from side to side it is {self._said(brace.fitted.length_mm)} long there"

    def hole_rooms(self) -> Iterator[HoleRoom]:
        for hole, shape in self.openings:
            clear = self.within_linings(hole.plate)
            to_linings = edge_room_mm(shape, clear) if clear is not None else None
            if not hole.is_mirror_image:
                self._judge_hole(hole, shape, to_linings)
            to_edge = edge_room_mm(shape, self.outside)
            yield HoleRoom(hole.entry, hole.is_mirror_image, hole.plate, to_edge, to_linings)

    def _judge_hole(self, hole: PlacedHole, shape: Polygon, to_linings_mm: float | None) -> None:
        field = f"spec.body.sound_holes[{hole.entry}].at"
        if to_linings_mm is not None and to_linings_mm < -TOUCH_MM:
            message = "this sound hole lies partly over the lining, which would show and be cut"
            hint = f"move it in by {self._said(-to_linings_mm)}"
            self._found("doubtful", field, message, hint)
        elif edge_room_mm(shape, self.inside or self.outside) < LEAST_EDGE_MM:
            message = "this sound hole leaves little wood at the edge of its plate"
            self._found("doubtful", field, message, f"leave {self._said(LEAST_EDGE_MM)} or more")

    def _said(self, mm: float) -> str:
        """A length as the shop says it, to what a rule can show."""
        unit = self.shop.unit
        return said_in(Length.from_mm(mm if unit == "mm" else round(mm / 25.4, 3) * 25.4), unit)

    def _found(self, code: str, field: str, message: str, hint: str) -> None:
        severity = {"impossible": "error", "doubtful": "warning", "half-known": "hint"}[code]
        self.findings.append(Finding(code, field, message, hint, severity))  # type: ignore[arg-type]
