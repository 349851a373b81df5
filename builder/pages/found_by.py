"""What an instrument in a list can be found by: kind, wood, scale length, year; in the workshop stage and batch too."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from builder.lengths import Unit
from builder.published import Published

#: Scale lengths are chosen by spans of so many millimetres: of two inches, or of five centimetres.
_SPAN_MM: Mapping[Unit, float] = MappingProxyType({"in": 50.8, "mm": 50.0})
_SPAN_SAID: Mapping[Unit, int] = MappingProxyType({"in": 2, "mm": 50})
#: A scale length written as 28 in stands on the edge of two spans, and may miss it by a rounding.
_NEAR_ENOUGH_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing to choose by: its name for the page's script, its title, what may be chosen, in order."""

    name: str
    title: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FoundBy:
    """Every choice that leaves some instruments out, and what each instrument says to all of them, by serial.

    What an instrument says is JSON for the page's script: name of a choice ─► its values.
    """

    choices: tuple[Choice, ...]
    told: Mapping[str, str]


def found_by(instruments: Sequence[Published], unit: Unit, stages: Mapping[str, str] | None = None) -> FoundBy:
    """What these instruments are told apart by. `stages`, by serial, adds stage and batch, for the workshop."""
    values = {each.serial: _values(each, unit) for each in instruments}
    titles = {"kind": "Kind", "wood": "Wood", "scale": "Scale length", "year": "Year"}
    if stages is not None:
        titles |= {"stage": "Stage", "batch": "Batch"}
        for each in instruments:
            values[each.serial] |= {"stage": [stages[each.serial]], "batch": [each.batch] if each.batch else []}
    choices = []
    for name, title in titles.items():
        known = {value for said in values.values() for value in said[name]}
        # Where all say the same there is nothing to choose.
        if any(set(said[name]) != known for said in values.values()):
            choices.append(Choice(name, title, tuple(_in_order(name, known))))
    names = [choice.name for choice in choices]
    told = {
        serial: json.dumps({name: said[name] for name in names}, ensure_ascii=False) for serial, said in values.items()
    }
    return FoundBy(tuple(choices), told)


def _values(instrument: Published, unit: Unit) -> dict[str, list[str]]:
    return {
        "kind": [instrument.kind.casefold()],
        "wood": list(dict.fromkeys(wood.species.casefold() for wood in instrument.woods if wood.species)),
        "scale": list(_spans(instrument, unit)),
        "year": [str(instrument.year)] if instrument.year else [],
    }


def _spans(instrument: Published, unit: Unit) -> Iterator[str]:
    """`26 to under 28 in`: every span that a scale length of the instrument lies in."""
    if instrument.multi_scale is not None:
        ends = (instrument.multi_scale.bass.mm, instrument.multi_scale.treble.mm)
    elif instrument.scale_length is not None:
        ends = (instrument.scale_length.mm,) * 2
    else:
        return
    first, last = (math.floor((mm + _NEAR_ENOUGH_MM) / _SPAN_MM[unit]) for mm in (min(ends), max(ends)))
    said = _SPAN_SAID[unit]
    for number in range(first, last + 1):
        yield f"{number * said} to under {(number + 1) * said} {unit}"


def _in_order(name: str, values: set[str]) -> list[str]:
    """Years with the newest first, spans of scale lengths by length, everything else by its letters."""
    if name == "scale":
        return sorted(values, key=lambda span: int(span.partition(" ")[0]))
    return sorted(values, reverse=name == "year")
