"""The fretboard as it lies on the bench: outline, fret slots, markers and strings, as points in millimetres."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.frets import FretNumber
from builder.calculations.slanted import Edges, Line, Point
from builder.lengths import Length, said_in
from builder.problems import Finding
from builder.record import FretboardSpec, Spec
from builder.results.frets import FretResults, PlacedFret
from builder.results.spacing import SpacingResults
from builder.results.strings import StringResults

#: Board shown past the last fret, as a part of the scale length, where the record does not say how long it is.
SHOWN_PAST_LAST_FRET = 0.02


@dataclass(frozen=True, slots=True)
class FretLine:
    """One fret across the board, from edge to edge, or as far as a partial fret reaches."""

    name: str
    is_half: bool
    is_partial: bool
    line: Line


@dataclass(frozen=True, slots=True)
class StringLine:
    """One string above the board, from the nut or the fret where it starts to the board's end."""

    start: Point
    end: Point
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class FretNote:
    """A note's name, at the place where it is fretted."""

    at: Point
    name: str


@dataclass(frozen=True, slots=True)
class FretboardResults:
    """The board to scale. `length_is_known` is False where it is only drawn a little past its last fret."""

    length_mm: float
    length_is_known: bool
    width_at_nut_mm: float
    width_at_end_mm: float
    outline: tuple[Point, ...]
    frets: tuple[FretLine, ...]
    markers: tuple[Point, ...]
    strings: tuple[StringLine, ...]
    notes: tuple[FretNote, ...]


def work_out_fretboard(
    spec: Spec,
    frets: FretResults | Missing,
    strings: StringResults | Missing,
    spacing: SpacingResults | Missing,
) -> tuple[FretboardResults | Missing, tuple[Finding, ...]]:
    """Lay out the board, from its widths, the placed frets, and the strings where they are known."""
    board = spec.fretboard
    if isinstance(frets, Missing):
        return frets, ()
    if board is None or board.width_at_nut is None or board.width_at_end is None:
        given = {"width_at_nut": board and board.width_at_nut, "width_at_end": board and board.width_at_end}
        return Missing(tuple(f"spec.fretboard.{name}" for name, width in given.items() if width is None)), ()
    if len(frets.lines) > 1 and frets.nut is None:
        return Missing(("spec.spacing",)), ()
    nut = frets.nut or _square(0.0)
    lines = frets.slanted or tuple(_square(fret.places[0].from_nut_mm) for fret in frets.frets)
    length_mm, findings = _length(board, frets, lines)
    edges = Edges(board.width_at_nut.mm, board.width_at_end.mm, length_mm)
    nut = edges.carried_to(nut)
    lines = tuple(map(edges.carried_to, lines))
    numbers = [fret.number for fret in frets.frets]
    markers, more = _markers(board, nut, dict(zip(numbers, lines, strict=True)))
    courses = len(strings.courses) if isinstance(strings, StringResults) else 0
    half_end = board.width_at_end.mm / 2
    above = _StringsAbove.over(frets, strings, spacing, length_mm)
    return (
        FretboardResults(
            length_mm, board.length is not None and not findings, board.width_at_nut.mm, board.width_at_end.mm,
            (nut.bass, nut.treble, Point(length_mm, -half_end), Point(length_mm, half_end)),
            tuple(_fret_line(fret, line, spec, courses) for fret, line in zip(frets.frets, lines, strict=True)),
            markers, above.lines if above else (), above.notes(frets) if above else (),
        ),
        (*findings, *more),
    )  # fmt: skip


def _square(x_mm: float) -> Line:
    """A line square to the board; its ends are carried to the edges afterwards."""
    return Line(Point(x_mm, 1.0), Point(x_mm, -1.0))


def _length(board: FretboardSpec, frets: FretResults, lines: tuple[Line, ...]) -> tuple[float, tuple[Finding, ...]]:
    last_mm = max(lines[-1].at(0.5).x, lines[-1].bass.x, lines[-1].treble.x)
    shown_mm = last_mm + SHOWN_PAST_LAST_FRET * frets.lines[0].scale_length_mm
    if board.length is None:
        return shown_mm, ()
    if board.length.mm >= last_mm:
        return board.length.mm, ()
    place = f"{said_in(Length.from_mm(last_mm), 'in')} ({last_mm:.1f} mm)"
    message = f"the board ends before its last fret, {frets.frets[-1].number}, which lies {place} from the nut"
    hint = "make it longer, or end the frets sooner"
    return shown_mm, (Finding("does-not-fit", "spec.fretboard.length", message, hint),)


def _fret_line(fret: PlacedFret, line: Line, spec: Spec, courses: int) -> FretLine:
    """A partial fret reaches over the share of the board's width that belongs to its courses."""
    under = spec.frets.partial.get(fret.number) if spec.frets else None
    is_partial = bool(under) and courses > 0 and max(under or (0,)) <= courses
    if is_partial and under:
        line = Line(line.at((min(under) - 1) / courses), line.at(max(under) / courses))
    return FretLine(str(fret.number), fret.number.is_half, is_partial, line)


def _markers(
    board: FretboardSpec, nut: Line, lines: Mapping[FretNumber, Line]
) -> tuple[tuple[Point, ...], tuple[Finding, ...]]:
    """Each marker midway between its fret and the one before that is there (or the nut)."""
    markers, findings = [], []
    in_order = list(lines)
    for number, marker in enumerate(board.markers):
        if marker in lines:
            before = in_order.index(marker) - 1
            one, other = (lines[in_order[before]] if before >= 0 else nut).at(0.5), lines[marker].at(0.5)
            markers.append(Line(one, other).at(0.5))
        else:
            field, message = f"spec.fretboard.markers[{number}]", f"there is no fret {marker} to mark"
            findings.append(Finding("does-not-fit", field, message, "name a fret of this board"))
    return tuple(markers), tuple(findings)


@dataclass(frozen=True, slots=True)
class _StringsAbove:
    """The strings as straight lines from nut to saddle, one a course for the notes and one a string for drawing."""

    lines: tuple[StringLine, ...]
    courses: tuple[Line, ...]
    starts: tuple[float, ...]
    strings: StringResults

    @classmethod
    def over(
        cls, frets: FretResults, strings: StringResults | Missing, spacing: SpacingResults | Missing, length_mm: float
    ) -> _StringsAbove | None:
        if isinstance(strings, Missing) or isinstance(spacing, Missing):
            return None
        nut = frets.nut or _across(0.0, spacing.spread_at_nut_mm)
        saddle = frets.saddle or _across(frets.lines[0].scale_length_mm, spacing.spread_at_saddle_mm)
        parts = {fret.number: 1.0 - 1.0 / fret.ratio for fret in frets.frets}

        def string(at_nut_mm: float, at_saddle_mm: float) -> Line:
            return Line(
                nut.at(at_nut_mm / spacing.spread_at_nut_mm), saddle.at(at_saddle_mm / spacing.spread_at_saddle_mm)
            )

        starts = tuple(parts.get(course.starts_at, 0.0) if course.starts_at else 0.0 for course in strings.courses)
        lines = []
        for each in spacing.strings:
            line = string(each.at_nut_mm, each.at_saddle_mm)
            to_end = (length_mm - line.bass.x) / (line.treble.x - line.bass.x)
            start = line.at(starts[each.course - 1])
            lines.append(StringLine(start, line.at(to_end), each.string.diameter_mm or 0.0))
        courses = tuple(string(*spacing.middle_of(number)) for number in range(1, len(strings.courses) + 1))
        return cls(tuple(lines), courses, starts, strings)

    def notes(self, frets: FretResults) -> tuple[FretNote, ...]:
        """The notes of the first tuning, each midway between its fret and the one before."""
        note_map = self.strings.tunings[0].note_map if self.strings.tunings else None
        if note_map is None:
            return ()
        notes, before = [], 0.0
        for (_, names), fret in zip(note_map[1:], frets.frets, strict=True):
            part = 1.0 - 1.0 / fret.ratio
            notes += [
                FretNote(line.at((max(before, start) + part) / 2), name)
                for line, start, name in zip(self.courses, self.starts, names, strict=True)
                if name
            ]
            before = part
        return tuple(notes)


def _across(x_mm: float, spread_mm: float) -> Line:
    return Line(Point(x_mm, spread_mm / 2), Point(x_mm, -spread_mm / 2))
