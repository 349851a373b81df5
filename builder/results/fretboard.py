"""The fretboard as it lies on the bench: edges, fret slots and markers, in millimetres from the nut."""

from __future__ import annotations

from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.fretboard import marker_place_mm, width_at_mm
from builder.lengths import Length, said_in
from builder.problems import Finding
from builder.record import Spec
from builder.results.frets import FretResults

#: Board shown past the last fret, as a part of the scale length, where the record does not say how long it is.
SHOWN_PAST_LAST_FRET = 0.02


@dataclass(frozen=True, slots=True)
class FretLine:
    """One fret across the board: its name, its place from the nut, and the board's width there."""

    name: str
    is_half: bool
    from_nut_mm: float
    width_mm: float


@dataclass(frozen=True, slots=True)
class FretboardResults:
    """The board to scale. `length_is_known` is False where it is only drawn a little past its last fret."""

    length_mm: float
    length_is_known: bool
    width_at_nut_mm: float
    width_at_end_mm: float
    frets: tuple[FretLine, ...]
    markers_mm: tuple[float, ...]


def work_out_fretboard(
    spec: Spec, frets: FretResults | Missing
) -> tuple[FretboardResults | Missing, tuple[Finding, ...]]:
    """Lay out the board, from its widths and the placed frets."""
    board = spec.fretboard
    if isinstance(frets, Missing):
        return frets, ()
    if board is None or board.width_at_nut is None or board.width_at_end is None:
        given = {"width_at_nut": board and board.width_at_nut, "width_at_end": board and board.width_at_end}
        return Missing(tuple(f"spec.fretboard.{name}" for name, width in given.items() if width is None)), ()
    findings = []
    last = frets.frets[-1]
    shown_mm = last.from_nut_mm + SHOWN_PAST_LAST_FRET * frets.scale_length_mm
    if board.length is not None and board.length.mm < last.from_nut_mm:
        place = f"{said_in(Length.from_mm(last.from_nut_mm), 'in')} ({last.from_nut_mm:.1f} mm)"
        message = f"the board ends before its last fret, {last.number}, which lies {place} from the nut"
        findings.append(
            Finding("does-not-fit", "spec.fretboard.length", message, "make it longer, or end the frets sooner")
        )
    length_mm = board.length.mm if board.length is not None and not findings else shown_mm
    nut_mm, end_mm = board.width_at_nut.mm, board.width_at_end.mm
    lines = tuple(
        FretLine(str(fret.number), fret.number.is_half, fret.from_nut_mm,
                 width_at_mm(fret.from_nut_mm, length_mm, nut_mm, end_mm))
        for fret in frets.frets
    )  # fmt: skip
    places = {fret.number: fret.from_nut_mm for fret in frets.frets}
    markers = []
    for number, marker in enumerate(board.markers):
        if marker in places:
            before_mm = max((place for place in places.values() if place < places[marker]), default=0.0)
            markers.append(marker_place_mm(before_mm, places[marker]))
        else:
            field = f"spec.fretboard.markers[{number}]"
            findings.append(
                Finding("does-not-fit", field, f"there is no fret {marker} to mark", "name a fret of this board")
            )
    return (
        FretboardResults(length_mm, board.length is not None, nut_mm, end_mm, lines, tuple(markers)),
        tuple(findings),
    )
