"""What a maker decides anew when an instrument is built again: asked, with the numbers that help, and never changed."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from fractions import Fraction

from builder.lengths import Length, Unit, said_in
from builder.record import FretboardSpec, MultiScale, Spec, WoodSpec
from builder.words import in_a_row

#: Parts whose wood runs along the strings, and so may be shorter or longer with them.
_ALONG_THE_STRINGS = ("soundboard", "back", "sides", "fretboard", "fretboard cap", "neck")


@dataclass(frozen=True, slots=True)
class Question:
    """Something to decide: the field it is about, as it stands in the record, and the words."""

    field: str
    words: str


def questions_of_scale(spec: Spec, new: Length, unit: Unit) -> Iterator[Question]:
    """What should change when a specification gets another scale length, and does not by itself."""
    if spec.scale_length is None or isinstance(spec.scale_length, MultiScale):
        return
    old = spec.scale_length
    if old == new:
        return
    yield from _board_questions(spec.fretboard, old, new)
    if spec.frets and spec.frets.last is not None:
        words = f"the last fret stays {spec.frets.last}; is that still the highest one wanted?"
        yield Question("spec.frets.last", words)
    if spec.strings:
        pull, gauge = (new.mm / old.mm) ** 2, old.mm / new.mm
        words = (
            f"the strings stay as they are; at the same notes they pull {pull:.0%} of what they did at "
            f"{_said(old, unit)}, and would have to be {gauge:.2f} times as thick to pull as before"
        )
        yield Question("spec.strings", words)
    if spec.setup and spec.setup.clearance:
        words = f"the clearances stay as they were for {_said(old, unit)}; are they right for {_said(new, unit)}?"
        yield Question("spec.setup.clearance", words)
    if spec.setup and spec.setup.setbacks:
        words = f"the setbacks were decided for {_said(old, unit)}; leave them out to have the best ones worked out"
        yield Question("spec.setup.setbacks", words)
    yield from _body_questions(spec, old, new, unit)
    yield from _wood_questions(spec, old, unit)


def questions_of_wood(spec: Spec, decided: Collection[str]) -> Iterator[Question]:
    """Boards of the rack that another instrument is cut from already, and words that tell of its wood.

    `decided` are the parts whose wood is another now.
    """
    kept = {part: wood for part, wood in spec.wood.items() if part not in decided}
    billets: dict[str, list[str]] = {}
    for part, wood in kept.items():
        if wood.billet is not None:
            billets.setdefault(wood.billet, []).append(part)
    if billets:
        said = "; ".join(f"{in_a_row(parts)} from {billet}" for billet, parts in billets.items())
        yield Question("spec.wood", f"{said}: is there enough left of {'it' if len(billets) == 1 else 'each'}?")
    told = [part for part, wood in spec.wood.items() if wood.words is not None]
    if told:
        yield Question("spec.wood", f"words are those of the earlier one's wood; do they hold for {in_a_row(told)}?")


def _board_questions(board: FretboardSpec | None, old: Length, new: Length) -> Iterator[Question]:
    if board is None:
        return
    if board.length is not None:
        beyond = board.length.exact_mm - old.exact_mm
        moved = new.exact_mm + beyond if beyond >= 0 else board.length.exact_mm * new.exact_mm / old.exact_mm
        how = "to reach as far beyond the scale as before" if beyond >= 0 else "in proportion"
        words = f"the fretboard stays {_own(board.length)} long; {how} it would be {_like(moved, board.length)}"
        yield Question("spec.fretboard.length", words)
    if board.nut_from_tail is not None:
        moved = board.nut_from_tail.exact_mm + new.exact_mm - old.exact_mm
        words = (
            f"the nut stays {_own(board.nut_from_tail)} from the tail; with the saddle where it was it would be "
            f"{_like(moved, board.nut_from_tail)}"
        )
        yield Question("spec.fretboard.nut_from_tail", words)


def _body_questions(spec: Spec, old: Length, new: Length, unit: Unit) -> Iterator[Question]:
    body = spec.body
    if body is None:
        return
    there = [
        word
        for word, part in (
            ("outline", body.outline), ("end blocks", body.end_blocks), ("sound holes", body.sound_holes),
            ("braces", body.braces),
        )
        if part
    ]  # fmt: skip
    if there:
        change = _said(Length(abs(old.exact_mm - new.exact_mm), new.written_in), unit)
        words = (
            f"{in_a_row(there)} are still those for {_said(old, unit)}; from nut to bridge it is {change} "
            f"{'shorter' if new < old else 'longer'} now"
        )
        yield Question("spec.body", words)


def _wood_questions(spec: Spec, old: Length, unit: Unit) -> Iterator[Question]:
    long = {part: wood for part, wood in spec.wood.items() if part in _ALONG_THE_STRINGS and wood.length is not None}
    if long:
        said = in_a_row(f"{part} {_length_of(wood)}" for part, wood in long.items())
        words = f"the wood is still sized for {_said(old, unit)}: {said}"
        yield Question("spec.wood", words)


def _length_of(wood: WoodSpec) -> str:
    return _own(wood.length) if wood.length is not None else ""


def _said(length: Length, unit: Unit) -> str:
    return said_in(length, length.written_in or unit)


def _own(length: Length) -> str:
    return said_in(length, length.written_in or "in")


def _like(mm: Fraction, model: Length) -> str:
    """A length in the unit of another."""
    return said_in(Length(mm), model.written_in or "in")
