"""The wood rack worked out: what was cut from each billet and for which instrument, what is left, which papers lack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from builder.calculations.answers import Missing
from builder.calculations.billets import Balance, balance_of
from builder.calculations.cutting import Blank, Piece, board_feet
from builder.problems import Finding
from builder.record import Record, WoodSpec
from builder.results import Results
from builder.results.cutting import CutPiece, CuttingResults, allowances_of
from builder.results.woods_named import name_of_wood
from builder.shop import Billet, Shop
from builder.tables.trade_listings import TradeListing, listings_of
from builder.words import in_a_row

_MM3_PER_LITRE = 1_000_000


@dataclass(frozen=True, slots=True)
class CutFrom:
    """A part that was cut from a billet; its blank is None where the record does not say how large it is."""

    serial: str
    part: str
    count: int
    blank: Blank | None


@dataclass(frozen=True, slots=True)
class BilletResults:
    """One billet: what it was cut up for, in the order of serials, what is left, and what it is listed under.

    `balance` is None where its size is not known; parts of unknown size are not in it.
    """

    name: str
    billet: Billet
    cut: tuple[CutFrom, ...]
    balance: Balance | None
    listings: tuple[TradeListing, ...]

    @property
    def left_board_feet(self) -> float | None:
        """What is left of it in board feet; None where its size is not known."""
        return board_feet(max(self.balance.left_mm3, 0.0)) if self.balance else None

    @property
    def left_litres(self) -> float | None:
        """The same in litres."""
        return max(self.balance.left_mm3, 0.0) / _MM3_PER_LITRE if self.balance else None

    @property
    def lacks_papers(self) -> bool:
        """Whether it may be listed, and no papers are on file."""
        return bool(self.listings) and self.billet.papers is None


def work_out_rack(
    billets: Mapping[str, Billet], instruments: Sequence[tuple[Record, Results]], shop: Shop
) -> tuple[tuple[BilletResults, ...], tuple[Finding, ...]]:
    """Every billet of the rack; and what is wrong: more cut than there was, papers that a listed wood lacks."""
    rack: list[BilletResults] = []
    findings: list[Finding] = []
    for name, billet in billets.items():
        cut: list[CutFrom] = []
        pieces: list[Piece] = []
        for record, results in instruments:
            for part, piece in _parts_from(name, record, results.cutting):
                count, blank = (piece.piece.count, piece.blank) if piece else (1, None)
                cut.append(CutFrom(record.serial, part, count, blank))
                pieces += [piece.piece] if piece else []
        size, balance = billet.size, None
        if size.length and size.width and size.thickness:
            boards = size.length.mm, size.width.mm, size.thickness.mm, billet.pieces
            balance = balance_of(*boards, pieces, allowances_of(shop))
        known = name_of_wood(WoodSpec(), billet).species
        botanical = known.botanical if known else (billet.botanical or "",)
        results_of_it = BilletResults(name, billet, tuple(cut), balance, listings_of(botanical))
        rack.append(results_of_it)
        findings += _findings(results_of_it)
    return tuple(rack), tuple(findings)


def _parts_from(name: str, record: Record, cutting: CuttingResults | Missing) -> Iterator[tuple[str, CutPiece | None]]:
    """Parts of one instrument that came from a billet; a part that runs in several lines of the list has each."""
    pieces = () if isinstance(cutting, Missing) else cutting.pieces
    for part, wood in record.spec.wood.items():
        if wood.billet == name:
            known = [each for each in pieces if each.piece.part == part and each.piece.billet == name]
            yield from ((part, each) for each in known)
            if not known:
                yield part, None


def _findings(results: BilletResults) -> Iterator[Finding]:
    balance, field = results.balance, f"billets.{results.name}"
    serials = in_a_row(dict.fromkeys(each.serial for each in results.cut if each.blank))
    if balance and balance.parts_mm3 > balance.boards_mm3 * 1.000001:
        times = balance.parts_mm3 / balance.boards_mm3
        message = f"the parts of {serials} are {times:.2f} times the wood that this billet has"
        hint = "see which part came from another billet, or write pieces: if there are more boards of this size"
        yield Finding("impossible", field, message, hint)
    elif balance and balance.left_mm3 < -1e-6 * balance.boards_mm3:
        message = f"the blanks of {serials} with their saw cuts are more than this billet has"
        hint = "they were sawn closer than the shop's allowances, or a part came from another billet"
        yield Finding("doubtful", field, message, hint, "warning")
    if results.lacks_papers:
        named = in_a_row(dict.fromkeys(each.called for each in results.listings))
        message = f"{named} may be listed, and no papers are on file"
        yield Finding("half-known", field, message, "write what you have under papers:, and ask your authority", "hint")
