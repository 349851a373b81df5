"""The linings: how long their runs are, how many strips they take, and how far apart their kerfs may be."""

from __future__ import annotations

import math
from collections.abc import Sequence


def run_mm(side_mm: float, tail_block_mm: float, head_block_mm: float) -> float:
    """The length of one run of lining: the inside of a side, less what the two end blocks take of it. At least 0."""
    return max(side_mm - tail_block_mm - head_block_mm, 0.0)


def kerf_spacing_mm(radius_mm: float, kerf_mm: float, kerf_depth_mm: float) -> float:
    """The widest spacing of kerfs, from one to the next, at which a lining still takes a bend.

    Each kerf, `kerf_mm` wide and `kerf_depth_mm` deep, closes when the strip has turned by kerf / depth (radians, for
    a kerf much deeper than wide); over a spacing s a bend of radius r turns by s / r. So s = r · kerf / depth, the
    radius being that of the uncut face, against the side.
    """
    return radius_mm * kerf_mm / kerf_depth_mm


def kerfs_in(length_mm: float, spacing_mm: float) -> int:
    """How many kerfs a run needs so that no piece between them, nor at its ends, is longer than the spacing."""
    return max(math.ceil(length_mm / spacing_mm - 1e-9) - 1, 0)


def strips_for(runs_mm: Sequence[float], strip_mm: float) -> int:
    """How many strips of stock the runs take, waste of sawing not counted.

    Runs no longer than a strip are cut from one piece, the longest first, each from the first strip that still holds
    it. Where a run is longer than a strip its pieces must be joined, and then all runs follow one another.
    """
    runs = sorted((run for run in runs_mm if run > 0), reverse=True)
    if not runs:
        return 0
    if runs[0] > strip_mm:
        return math.ceil(sum(runs) / strip_mm - 1e-9)
    left: list[float] = []
    for run in runs:
        fitting = next((n for n, rest in enumerate(left) if rest >= run - 1e-9), None)
        if fitting is None:
            left.append(strip_mm - run)
        else:
            left[fitting] -= run
    return len(left)
