"""The cutting list of one instrument, and of several at once: blanks, board feet, hardware, strings, fret wire."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.cutting import Allowances, Blank, Piece, blank_of, board_feet, stock_mm3
from builder.calculations.strings import Course
from builder.problems import Finding
from builder.record import Spec, WoodSpec
from builder.results.fretting import FrettingResults
from builder.shop import Billet, Shop


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One line of the list: the piece, its blank, and the board feet of rough stock for all of its count."""

    piece: Piece
    blank: Blank
    board_feet: float


@dataclass(frozen=True, slots=True)
class CuttingResults:
    """Everything to lay out. `strings` are gauges with their count, `wire_mm` the fret wire to buy (0: not known).

    `uncounted` are parts named in the plural whose number of pieces is not written; they are not in the list.
    """

    pieces: tuple[CutPiece, ...]
    hardware: tuple[tuple[str, str, int], ...]
    strings: tuple[tuple[str, int], ...]
    wire_mm: float
    allowances: Allowances
    instruments: int
    uncounted: tuple[str, ...]

    @property
    def board_feet_by_species(self) -> tuple[tuple[str, float], ...]:
        """Rough stock of each species, in the order of the list; pieces of no named species under an empty name."""
        sums: dict[str, float] = {}
        for each in self.pieces:
            species = each.piece.species or ""
            sums[species] = sums.get(species, 0.0) + each.board_feet
        return tuple(sums.items())


def allowances_of(shop: Shop) -> Allowances:
    """The shop's allowances as plain numbers; what it does not say is nothing."""
    said = shop.allowances
    length, width, thickness, kerf = (
        each.mm if each else 0.0 for each in (said.length, said.width, said.thickness, said.kerf)
    )
    return Allowances(length, width, thickness, kerf, (said.waste or 0.0) / 100)


def work_out_cutting(
    spec: Spec,
    shop: Shop,
    billets: Mapping[str, Billet],
    courses: tuple[Course, ...],
    fretting: FrettingResults | Missing,
    more: Sequence[Piece] = (),
) -> tuple[CuttingResults | Missing, tuple[Finding, ...]]:
    """The list for one instrument. `more` are pieces worked out elsewhere, such as side blanks, braces and linings.

    A part whose size stands in the record under `wood` is taken from there, and a piece of `more` with its name is
    left out; a piece of `more` without a species takes that of its part.
    """
    allowances = allowances_of(shop)
    own: list[Piece] = []
    uncounted: list[str] = []
    findings: list[Finding] = []
    for part, wood in spec.wood.items():
        piece = _piece(part, wood, billets)
        if piece is None:
            findings += _half_findings(part, wood)
        elif wood.pieces is None and _is_several(part) and wood.joined_from is None:
            uncounted.append(part)
            message = f"how many {part} there are is not written, so they are not in the cutting list"
            findings.append(Finding("half-known", f"spec.wood.{part}", message, "add pieces: 2", "hint"))
        else:
            own.append(piece)
            findings += _size_findings(part, wood, piece, allowances, billets)
    named = {piece.part for piece in own}
    own += [_with_species(piece, spec, billets) for piece in more if piece.part not in named]
    pieces = tuple(_cut(piece, allowances) for piece in own)
    hardware = tuple((part, words, 1) for part, words in spec.hardware.items())
    gauges = Counter(str(each.gauge) for course in courses for each in course.strings if each.gauge)
    wire_mm = fretting.wire.mm if isinstance(fretting, FrettingResults) and fretting.wire else 0.0
    if not (pieces or hardware or gauges or wire_mm):
        return Missing(("spec.wood",)), tuple(findings)
    results = CuttingResults(pieces, hardware, tuple(gauges.items()), wire_mm, allowances, 1, tuple(uncounted))
    return results, tuple(findings)


def put_together(lists: Sequence[CuttingResults]) -> CuttingResults | Missing:
    """One list for several instruments: like pieces, hardware and strings in one line each. All of one shop."""
    if not lists:
        return Missing(("instruments",))
    allowances = lists[0].allowances
    counts: Counter[Piece] = Counter()
    hardware: Counter[tuple[str, str]] = Counter()
    strings: Counter[str] = Counter()
    for each in lists:
        for cut in each.pieces:
            counts[_one(cut.piece)] += cut.piece.count
        for part, words, count in each.hardware:
            hardware[part, words] += count
        for gauge, count in each.strings:
            strings[gauge] += count
    return CuttingResults(
        tuple(_cut(_so_many(piece, count), allowances) for piece, count in counts.items()),
        tuple((part, words, count) for (part, words), count in hardware.items()),
        tuple(strings.items()),
        sum(each.wire_mm for each in lists),
        allowances,
        sum(each.instruments for each in lists),
        tuple(dict.fromkeys(part for each in lists for part in each.uncounted)),
    )


def _cut(piece: Piece, allowances: Allowances) -> CutPiece:
    blank = blank_of(piece, allowances)
    return CutPiece(piece, blank, board_feet(stock_mm3(blank, piece.count, allowances)))


def _piece(part: str, wood: WoodSpec, billets: Mapping[str, Billet]) -> Piece | None:
    """A part as pieces of one size; a plate glued up of several widths is as many pieces, each its share as wide."""
    thickness = wood.finished or wood.rough
    if wood.length is None or wood.width is None or thickness is None:
        return None
    leaves = wood.joined_from or 1
    return Piece(
        part,
        (wood.pieces or 1) * leaves,
        wood.length.mm,
        wood.width.mm / leaves,
        thickness.mm,
        wood.rough.mm if wood.rough else None,
        _species(wood, billets),
        wood.billet,
    )


def _species(wood: WoodSpec, billets: Mapping[str, Billet]) -> str | None:
    billet = billets.get(wood.billet) if wood.billet else None
    return wood.species or (billet.species if billet else None)


def _with_species(piece: Piece, spec: Spec, billets: Mapping[str, Billet]) -> Piece:
    wood = spec.wood.get(piece.part)
    if wood is None or piece.species is not None:
        return piece
    return Piece(
        piece.part, piece.count, piece.length_mm, piece.width_mm, piece.thickness_mm, piece.rough_mm,
        _species(wood, billets), wood.billet,
    )  # fmt: skip


def _one(piece: Piece) -> Piece:
    return _so_many(piece, 1)


def _so_many(piece: Piece, count: int) -> Piece:
    """The piece so many times; in a list of several instruments the billet of one of them says nothing."""
    return Piece(
        piece.part, count, piece.length_mm, piece.width_mm, piece.thickness_mm, piece.rough_mm, piece.species
    )  # fmt: skip


def _is_several(part: str) -> bool:
    """Whether a part's name is a plural: `sides`, `linings`, `end blocks`."""
    return part.endswith("s") and not part.endswith("ss")


def _half_findings(part: str, wood: WoodSpec) -> Iterator[Finding]:
    """Who writes a length or a number of pieces wants the part in the list; what it lacks is told."""
    if wood.length is None and wood.pieces is None:
        return
    sizes = {"length": wood.length, "width": wood.width, "finished": wood.finished or wood.rough}
    lacking = [name for name, value in sizes.items() if value is None]
    message = f"the blank of the {part} cannot be worked out without «{lacking[0]}»"
    yield Finding("half-known", f"spec.wood.{part}", message, f"add {lacking[0]}", "hint")


def _size_findings(
    part: str, wood: WoodSpec, piece: Piece, allowances: Allowances, billets: Mapping[str, Billet]
) -> Iterator[Finding]:
    """Rough stock must hold the finished part, and a billet the blank."""
    field = f"spec.wood.{part}"
    if wood.rough and wood.finished and wood.rough < wood.finished:
        message = f"the rough stock of the {part} is thinner than the finished part"
        yield Finding("impossible", f"{field}.rough", message, "one of the two thicknesses is wrong")
    elif wood.rough and wood.finished and wood.rough.mm < wood.finished.mm + allowances.thickness_mm - 1e-9:
        message = f"the rough stock of the {part} leaves less to plane than the shop's allowance"
        yield Finding("doubtful", f"{field}.rough", message, "", "warning")
    billet = billets.get(wood.billet) if wood.billet else None
    if billet is None:
        return
    blank = blank_of(piece, allowances)
    size = billet.size
    if size.length and blank.length_mm > size.length.mm + 1e-9:
        message = f"the blank of the {part} is longer than billet {wood.billet}"
        yield Finding("does-not-fit", f"{field}.length", message, "take another billet, or leave less over", "warning")
    if size.width and size.thickness:
        wide, thick = sorted((size.width.mm, size.thickness.mm), reverse=True)
        width_mm, thickness_mm = sorted((blank.width_mm, blank.thickness_mm), reverse=True)
        if width_mm > wide + 1e-9 or thickness_mm > thick + 1e-9:
            message = f"the blank of the {part} is wider or thicker than billet {wood.billet}"
            hint = "if the plate is glued up of two widths, write joined_from: 2"
            yield Finding("does-not-fit", f"{field}.width", message, hint, "warning")
