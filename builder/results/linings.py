"""The linings between sides and plates: runs, strips of stock, kerfs."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from builder.calculations.answers import Outside
from builder.calculations.curves import Spot
from builder.calculations.linings import kerf_spacing_mm, kerfs_in, run_mm, strips_for
from builder.calculations.outline import Outline, inside_of
from builder.calculations.sides import Sides, tightest_bend
from builder.problems import Finding
from builder.record.body import EndBlocksSpec, LiningsSpec, Plate

_FIELD = "spec.body.linings"


@dataclass(frozen=True, slots=True)
class LiningRun:
    """One run of lining."""

    plate: Plate
    side: str
    length_mm: float


@dataclass(frozen=True, slots=True)
class LiningResults:
    """The runs, and what is known of strips and kerfs. `kerfs` is how many the longest run needs.

    `tightest_mm` is the tightest bend of the line inside the sides, None where all of it is straight; `edge` the line
    that the linings reach to, empty where their width is not known.
    """

    runs: tuple[LiningRun, ...]
    strips: int | None
    tightest_mm: float | None
    kerf_spacing_mm: float | None
    kerfs: int | None
    edge: tuple[Spot, ...]

    @property
    def total_mm(self) -> float:
        """All runs together."""
        return sum(run.length_mm for run in self.runs)


def work_out_linings(
    spec: LiningsSpec, blocks: EndBlocksSpec | None, inside: Outline, sides: Sides, depth_mm: float | None
) -> tuple[LiningResults, tuple[Finding, ...]]:
    """The linings of the line `inside` the sides, of which `sides` are the two; `depth_mm` is the least one inside."""
    findings: list[Finding] = []

    def impossible(field: str, message: str, hint: str) -> None:
        findings.append(Finding("impossible", f"{_FIELD}.{field}", message, hint))

    plates = tuple(dict.fromkeys(spec.plates))
    if spec.height and depth_mm and spec.height.mm * len(plates) > depth_mm:
        which = "the linings of both plates are together" if len(plates) == 2 else "the lining is"
        impossible("height", f"{which} higher than the body is deep inside", "make them lower")
    edge: tuple[Spot, ...] = ()
    if spec.width:
        within = inside_of(inside, spec.width.mm)
        if isinstance(within, Outside):
            impossible(
                "width", "the linings are so wide that they meet in the middle of the body", "make them narrower"
            )
        else:
            edge = within.spots
    if spec.width and spec.kerf_depth and spec.kerf_depth >= spec.width:
        message = "the kerfs are as deep as the lining is wide, so they would cut it to pieces"
        impossible("kerf_depth", message, "make them shallower")
    tail_mm, head_mm = (end.mm if end else 0.0 for end in ((blocks.tail, blocks.head) if blocks else (None, None)))
    runs = tuple(
        LiningRun(plate, name, run_mm(side.length_mm, tail_mm, head_mm))
        for plate, (name, side) in product(plates, (("bass", sides.bass), ("treble", sides.treble)))
    )
    bend = tightest_bend(inside)
    spacing = kerfs = None
    if bool(spec.kerf) != bool(spec.kerf_depth):
        message = "how far apart the kerfs may be needs their width and their depth"
        findings.append(Finding("half-known", _FIELD, message, f"add {'kerf_depth' if spec.kerf else 'kerf'}", "hint"))
    elif bend and spec.kerf and spec.kerf_depth:
        spacing = kerf_spacing_mm(bend.radius_mm, spec.kerf.mm, spec.kerf_depth.mm)
        if spacing <= spec.kerf.mm:
            message = "for the tightest bend the kerfs would lie so close that no wood is left between them"
            impossible("kerf", message, "bend this lining with heat, or laminate it")
            spacing = None
        elif runs:
            kerfs = kerfs_in(max(run.length_mm for run in runs), spacing)
    strips = strips_for([run.length_mm for run in runs], spec.strip.mm) if spec.strip else None
    return LiningResults(runs, strips, bend.radius_mm if bend else None, spacing, kerfs, edge), tuple(findings)
