"""The body: its outline, sides, linings, blocks and sound holes, the room inside, and roughly the note of its air."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.calculations.air import Opening, air_resonance_hz
from builder.calculations.answers import Missing, Outside
from builder.calculations.curves import Spot
from builder.calculations.end_blocks import End, end_block
from builder.calculations.outline import Outline, inside_of, thinned
from builder.calculations.sides import Bend, Sides, Width, depth_at, sides_of, tightest_bend, widths_along
from builder.lengths import Length
from builder.limits import no_entries
from builder.problems import Finding
from builder.record import Spec
from builder.record.body import BodySpec, Plate
from builder.results.body_outline import outline_in
from builder.results.linings import LiningResults, work_out_linings
from builder.results.sound_holes import PlacedHole, over_blocks, place_holes

#: What a side is cut longer than it ends up, both ends together (2 in), and wider (1/4 in): common practice.
LONGER_MM, WIDER_MM = 50.8, 6.35
#: The warmth at which the note of the air is worked out.
AIR_CELSIUS = 20.0


@dataclass(frozen=True, slots=True)
class SideResults:
    """The two sides along the outside, what to cut them from, and where they bend most.

    `widths` are those of the blank along a side, from its tail end; none where the depth is not known.
    `bend_from_tail_mm` is how far along the side the tightest bend lies.
    """

    sides: Sides
    blank_length_mm: float
    blank_width_mm: float | None
    widths: tuple[Width, ...]
    bend: Bend | None
    bend_from_tail_mm: float | None


@dataclass(frozen=True, slots=True)
class DepthResults:
    """Depth at both ends, between the plates and over them; the latter is None where a plate has no thickness."""

    inside_mm: tuple[float, float]
    outside_mm: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class VolumeResults:
    """The room inside: between sides and plates, and what blocks and linings take of it, in cubic millimetres.

    `counted` names what is taken off.
    """

    whole_mm3: float
    blocks_mm3: float
    linings_mm3: float
    counted: tuple[str, ...]

    @property
    def net_mm3(self) -> float:
        """What is left for the air."""
        return self.whole_mm3 - self.blocks_mm3 - self.linings_mm3


@dataclass(frozen=True, slots=True)
class BraceLine:
    """A brace as it lies: four corners, or its two ends where its width is not known."""

    plate: Plate
    corners: tuple[Spot, ...]
    entry: int


@dataclass(frozen=True, slots=True)
class DrawnLines:
    """The lines of a drawing: outside, inside of the sides, edge of the linings, end blocks, sound holes."""

    outline: tuple[Spot, ...]
    inside: tuple[Spot, ...]
    linings: tuple[Spot, ...]
    blocks: tuple[tuple[Spot, ...], ...]
    holes: tuple[tuple[Spot, ...], ...]


@dataclass(frozen=True, slots=True)
class BodyResults:
    """Everything known of a body. Lengths in millimetres, places from the tail end on the centre line.

    `saddle_mm` is where the scale length ends along the centre line, if the nut's place is known.
    """

    outline: Outline
    widest_at_mm: float
    inside: Outline | None
    sides: SideResults | None
    depth: DepthResults | None
    blocks: tuple[Outline, ...]
    linings: LiningResults | None
    holes: tuple[PlacedHole, ...]
    volume: VolumeResults | None
    air_hz: float | None
    saddle_mm: float | None
    nut_mm: float | None
    braces: tuple[BraceLine, ...]

    def drawn(self, strays_mm: float = 0.05) -> DrawnLines:
        """The closed lines through no more places than a drawing needs."""
        return DrawnLines(
            thinned(self.outline.spots, strays_mm),
            thinned(self.inside.spots, strays_mm) if self.inside else (),
            thinned(self.linings.edge, strays_mm) if self.linings and self.linings.edge else (),
            tuple(thinned(block.spots, strays_mm) for block in self.blocks),
            tuple(thinned(each.spots, strays_mm) for each in self.holes),
        )


def work_out_body(
    spec: Spec, tracings: Mapping[str, str] = no_entries()
) -> tuple[BodyResults | Missing, tuple[Finding, ...]]:
    """Work out whatever the record says enough for. `tracings`: texts of the shop's traced outlines by file name."""
    body = spec.body
    if body is None:
        return Missing(("spec.body",)), ()
    if body.outline is None:
        wanted = any((body.depth, body.sides, body.end_blocks, body.linings, body.sound_holes))
        hint = Finding("half-known", "spec.body", "the body has no outline", "add outline", "hint")
        return Missing(("spec.body.outline",)), ((hint,) if wanted else ())
    outline, findings = outline_in(body.outline, tracings)
    if isinstance(outline, Missing):
        return outline, findings
    return _Workings(spec, body, outline, [*findings]).results()


class _Workings:
    """One body on the way: each sum adds to `findings` and hands its part on."""

    def __init__(self, spec: Spec, body: BodySpec, outline: Outline, findings: list[Finding]) -> None:
        self.spec, self.body, self.outline, self.findings = spec, body, outline, findings

    def results(self) -> tuple[BodyResults, tuple[Finding, ...]]:
        depth = self._depth()
        sides = self._sides(depth)
        inside = self._inside()
        sides_inside = sides_of(inside) if inside else None
        known_inside = sides_inside if isinstance(sides_inside, Sides) else None
        blocks = self._blocks(inside, known_inside)
        linings, of_linings = None, tuple[Finding, ...]()
        if self.body.linings and inside and known_inside:
            inside_mm = min(depth.inside_mm) if depth else None
            linings, of_linings = work_out_linings(
                self.body.linings, self.body.end_blocks, inside, known_inside, inside_mm
            )
        holes, of_holes = place_holes(self.body.sound_holes, self.outline, inside)
        self.findings += [*of_linings, *of_holes, *over_blocks(holes, blocks)]
        volume = self._volume(inside, depth, blocks, linings)
        widest = max(self.outline.spots, key=lambda spot: (abs(spot[1]), -spot[0]))
        return BodyResults(
            self.outline, widest[0], inside, sides, depth, blocks, linings, holes, volume,
            self._air(volume, holes), self._saddle(), self._nut(), tuple(_brace_lines(self.body)),
        ), tuple(self.findings)  # fmt: skip

    def _found(self, code: str, field: str, message: str, hint: str = "") -> None:
        severity = {"impossible": "error", "doubtful": "warning", "half-known": "hint"}[code]
        self.findings.append(Finding(code, f"spec.body.{field}", message, hint, severity))  # type: ignore[arg-type]

    def _plate_mm(self, plate: Plate) -> float | None:
        wood = self.spec.wood.get(plate)
        return wood.finished.mm if wood and wood.finished else None

    def _depth(self) -> DepthResults | None:
        spec = self.body.depth
        if spec is None:
            return None
        said = (spec.tail.mm, (spec.head or spec.tail).mm)
        plates = [self._plate_mm("soundboard"), self._plate_mm("back")]
        known = [mm for mm in plates if mm is not None]
        both = sum(known) if len(known) == 2 else None
        if spec.measured == "inside":
            return DepthResults(said, None if both is None else (said[0] + both, said[1] + both))
        if both is None:
            lacking = "soundboard" if plates[0] is None else "back"
            message = f"the depth is measured outside, and the {lacking} has no thickness to take off"
            self._found("half-known", "depth", message, f"add finished to the wood of the {lacking}, or measure inside")
            return None
        inside = (said[0] - both, said[1] - both)
        if min(inside) <= 0:
            self._found("impossible", "depth", "soundboard and back are thicker than the body is deep", "see the depth")
            return None
        return DepthResults(inside, said)

    def _depth_at(self, x_mm: float, depth: DepthResults) -> float:
        return depth_at(x_mm, self.outline.tail_mm, self.outline.head_mm, *depth.inside_mm)

    def _sides(self, depth: DepthResults | None) -> SideResults | None:
        sides = sides_of(self.outline)
        if isinstance(sides, Outside):
            self._found("impossible", "outline", sides.reason, "y is measured from the centre line")
            return None
        longest = max((sides.bass, sides.treble), key=lambda side: side.length_mm)
        bend = tightest_bend(self.outline)
        from_tail = None
        if bend is not None:
            side = min(
                (sides.bass, sides.treble), key=lambda side: min(math.dist(bend.at, spot) for spot in side.spots)
            )
            nearest = min(range(len(side.spots)), key=lambda n: math.dist(bend.at, side.spots[n]))
            from_tail = side.along_mm[nearest]
        widths = widths_along(longest, self.outline, *depth.inside_mm) if depth else ()
        return SideResults(
            sides,
            longest.length_mm + LONGER_MM,
            max(width.width_mm for width in widths) + WIDER_MM if widths else None,
            widths,
            bend,
            from_tail,
        )

    def _inside(self) -> Outline | None:
        if self.body.sides is None:
            if self.body.linings or self.body.end_blocks:
                message = "linings and blocks lie inside the sides, and these have no thickness"
                self._found("half-known", "sides", message, "add sides, such as 2 mm")
            return None
        inside = inside_of(self.outline, self.body.sides.mm)
        if isinstance(inside, Outside):
            self._found("impossible", "sides", inside.reason, "make them thinner, or the body wider")
            return None
        return inside

    def _blocks(self, inside: Outline | None, sides: Sides | None) -> tuple[Outline, ...]:
        spec = self.body.end_blocks
        if spec is None or inside is None or sides is None:
            return ()
        made = []
        ends: tuple[tuple[End, Length | None, Length | None], ...] = (
            ("tail", spec.tail, spec.tail_thickness),
            ("head", spec.head, spec.head_thickness),
        )
        for end, glued, thickness in ends:
            if glued is None:
                continue
            block = end_block(inside, sides, end, glued.mm, thickness.mm if thickness else None)
            if isinstance(block, Missing):
                message = f"the {end} block lies across a round end, and how thick it is there is not known"
                self._found("half-known", f"end_blocks.{end}", message, f"add {block.fields[0]}")
            elif isinstance(block, Outside):
                self._found("impossible", f"end_blocks.{end}", block.reason, "make it smaller")
            else:
                made.append(block)
        if spec.tail and spec.head:
            shortest = min(sides.bass.length_mm, sides.treble.length_mm)
            if spec.tail.mm < shortest and spec.head.mm < shortest <= spec.tail.mm + spec.head.mm:
                self._found("impossible", "end_blocks.tail", "the two blocks meet along the side", "make them shorter")
        return tuple(made)

    def _volume(
        self,
        inside: Outline | None,
        depth: DepthResults | None,
        blocks: tuple[Outline, ...],
        linings: LiningResults | None,
    ) -> VolumeResults | None:
        if inside is None or depth is None:
            if self.body.sound_holes and self.body.depth is None:
                message = "how much room is inside needs the depth of the body"
                self._found("half-known", "depth", message, "add depth: {tail: …, head: …}")
            elif self.body.sides is None and self.body.depth and not (self.body.linings or self.body.end_blocks):
                message = "how much room is inside needs the thickness of the sides"
                self._found("half-known", "sides", message, "add sides, such as 2 mm")
            return None
        whole = inside.area_mm2 * self._depth_at(inside.middle[0], depth)
        taken = sum(block.area_mm2 * self._depth_at(block.middle[0], depth) for block in blocks)
        spec, stuck = self.body.linings, 0.0
        if linings and spec and spec.width and spec.height:
            stuck = linings.total_mm * spec.width.mm * spec.height.mm
        counted = (*(("end blocks",) if blocks else ()), *(("linings",) if stuck else ()))
        if taken + stuck >= whole:
            self._found("impossible", "linings", "blocks and linings fill the whole body", "see their sizes")
            return None
        return VolumeResults(whole, taken, stuck, counted)

    def _air(self, volume: VolumeResults | None, holes: tuple[PlacedHole, ...]) -> float | None:
        if volume is None or not holes or len(holes) < sum(1 + each.mirrored for each in self.body.sound_holes):
            return None
        openings = []
        for each in holes:
            thickness = self._plate_mm(each.plate)
            if thickness is None:
                message = f"the note of the air needs the thickness of the {each.plate}"
                self._found("half-known", "sound_holes", message, f"add finished to the wood of the {each.plate}")
                return None
            openings.append(Opening(each.area_mm2, thickness))
        hertz = air_resonance_hz(volume.net_mm3, openings, AIR_CELSIUS)
        return None if isinstance(hertz, Outside) else hertz

    def _nut(self) -> float | None:
        board = self.spec.fretboard
        return board.nut_from_tail.mm if board and board.nut_from_tail else None

    def _saddle(self) -> float | None:
        board, scale = self.spec.fretboard, self.spec.scale_length
        if board is None or board.nut_from_tail is None or not isinstance(scale, Length):
            return None
        saddle = board.nut_from_tail.mm - scale.mm
        if not self.outline.tail_mm <= saddle <= self.outline.head_mm:
            where = "before the tail end" if saddle < self.outline.tail_mm else "beyond the head end"
            message = f"a scale length from this nut the saddle would lie {where} of the body"
            hint = "nut_from_tail is measured from the tail end of the body to the front of the nut"
            self.findings.append(Finding("impossible", "spec.fretboard.nut_from_tail", message, hint))
            return None
        return saddle


def _brace_lines(body: BodySpec) -> Iterator[BraceLine]:
    """Every brace as its record lays it, and its mirror image if it has one."""
    for number, spec in enumerate(body.braces):
        (x, y), (to_x, to_y) = ((place[0].mm, place[1].mm) for place in (spec.starts, spec.ends))
        length = math.hypot(to_x - x, to_y - y)
        corners: tuple[Spot, ...] = ((x, y), (to_x, to_y))
        if spec.width and length > 0:
            across_x = -(to_y - y) / length * spec.width.mm / 2
            across_y = (to_x - x) / length * spec.width.mm / 2
            corners = (
                (x + across_x, y + across_y), (to_x + across_x, to_y + across_y),
                (to_x - across_x, to_y - across_y), (x - across_x, y - across_y),
            )  # fmt: skip
        yield BraceLine(spec.plate, corners, number)
        if spec.mirrored:
            yield BraceLine(spec.plate, tuple((x, -y) for x, y in corners), number)
