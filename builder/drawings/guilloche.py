"""Rings of engine turning: bands of curves between two circles, as they are engraved on old share certificates.

A band is made of strands. Each strand is one curve that comes back to itself after one petal, so one petal's width of
it is drawn, and set round the circle as often as there are petals. Angles run with the clock, from the top.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

Shape = Literal["round", "pointed", "broad", "leaning with the clock", "leaning against the clock"]
Weave = Literal[
    "braided",
    "nested",
    "knotted",
    "fanned with the clock",
    "fanned against the clock",
    "looped inwards",
    "looped outwards",
]
WEAVES: tuple[Weave, ...] = (
    "braided",
    "nested",
    "knotted",
    "fanned with the clock",
    "fanned against the clock",
    "looped inwards",
    "looped outwards",
)
_UPRIGHT: tuple[Shape, ...] = ("round", "pointed", "broad")
_LEANING: tuple[Shape, ...] = ("leaning with the clock", "leaning against the clock")

#: How far a petal is from a plain wave; below 1, or the curve would turn back.
_SHARPNESS = 0.7
#: The smallest strand of a nested band, of a fan and of loops, as a part of the largest.
_LEAST_NESTED, _LEAST_FANNED, _LEAST_LOOP = 0.3, 0.5, 0.45
#: From the first strand of a fan to its last, as a part of a petal.
_FAN = 0.42
#: Pieces of curve that a petal's width of a strand is drawn with; they keep to it within a quarter of the finest line.
PIECES = 8


@dataclass(frozen=True, slots=True)
class Band:
    """A band between two circles: how many petals it has, of which shape, and how its strands are laid."""

    inner: float
    outer: float
    petals: int
    shape: Shape
    weave: Weave
    strands: int

    @property
    def middle(self) -> float:
        """Halfway between its circles."""
        return (self.inner + self.outer) / 2

    @property
    def is_looped(self) -> bool:
        """Whether its curves cross themselves; loops have no other shape."""
        return self.weave.startswith("looped")


def shapes_of(weave: Weave) -> tuple[Shape, ...]:
    """The shapes that can be told apart in a band so laid: a fan or a knot leans by itself, and loops are round."""
    if weave.startswith("looped"):
        return ("round",)
    return _UPRIGHT + _LEANING if weave in ("braided", "nested") else _UPRIGHT


#: A place as a complex number, `x` to the right and `y` downwards, for a turn from 0 (a petal's crest) to 1 (the next).
Curve = Callable[[float], complex]


def strands_of(band: Band) -> tuple[Curve, ...]:
    """The curves of a band, each over the width of one petal."""
    return tuple(_strand(band, number) for number in range(band.strands))


def _strand(band: Band, number: int) -> Curve:
    """One strand of a band."""
    along = number / (band.strands - 1)
    half = (band.outer - band.inner) / 2
    if band.is_looped:
        reach = half * (1 - (1 - _LEAST_LOOP) * along)
        return lambda turn: _loop(band, reach, turn)
    if band.weave == "braided":
        return lambda turn: _at(band, turn, band.middle + half * _wave(band.shape, turn + number / band.strands))
    if band.weave == "knotted":
        return lambda turn: _at(band, turn, band.middle + half * (1 - 2 * along) * _wave(band.shape, turn))
    if band.weave == "nested":
        height = half * (1 - (1 - _LEAST_NESTED) * along)
        return lambda turn: _at(band, turn, band.inner + height * (1 + _wave(band.shape, turn)))
    height = half * (1 - (1 - _LEAST_FANNED) * along)
    shift = _FAN * along * (-1 if band.weave == "fanned with the clock" else 1)
    return lambda turn: _at(band, turn, band.inner + height * (1 + _wave(band.shape, turn + shift)))


def _wave(shape: Shape, turn: float) -> float:
    """From 1 at a crest to -1 in a valley and back, over one turn."""
    angle = 2 * math.pi * turn
    if shape == "pointed":
        angle += _SHARPNESS * math.sin(angle)
    elif shape == "broad":
        angle -= _SHARPNESS * math.sin(angle)
    elif shape == "leaning with the clock":
        angle += _SHARPNESS * (1 - math.cos(angle))
    elif shape == "leaning against the clock":
        angle -= _SHARPNESS * (1 - math.cos(angle))
    return math.cos(angle)


def _at(band: Band, turn: float, radius: float) -> complex:
    """The place at a radius, so many petals with the clock from the top."""
    return radius * cmath.exp(1j * (2 * math.pi * turn / band.petals - math.pi / 2))


def _loop(band: Band, reach: float, turn: float) -> complex:
    """A trochoid: a point on a wheel that rolls round the middle of the band, inside or outside."""
    wheel = 2 * math.pi * turn * (1 if band.weave == "looped inwards" else -1)
    return _at(band, turn, 1.0) * (band.middle + reach * cmath.exp(1j * wheel))


def path_of(curve: Curve) -> str:
    """One petal's width of a curve as the data of an SVG path, in the unit of the drawing to a hundredth."""
    return "".join(_pieces(curve))


def _pieces(curve: Curve) -> Iterator[str]:
    """Cubic pieces whose ends and directions are those of the curve (Hermite's form)."""
    step, near = 1 / PIECES, 1e-4
    places = [curve(piece * step) for piece in range(PIECES + 1)]
    thirds = [
        (curve(piece * step + near) - curve(piece * step - near)) / (2 * near) * step / 3 for piece in range(PIECES + 1)
    ]
    here = _rounded(places[0])
    yield f"M{number(here.real)} {number(here.imag)}"
    for piece in range(PIECES):
        ends = (places[piece] + thirds[piece], places[piece + 1] - thirds[piece + 1], places[piece + 1])
        away = [_rounded(_rounded(end) - here) for end in ends]
        yield "c" + _joined(part for place in away for part in (place.real, place.imag))
        here = _rounded(places[piece + 1])


def _rounded(place: complex) -> complex:
    return complex(round(place.real, 2), round(place.imag, 2))


def number(value: float) -> str:
    """A number to a hundredth, as short as SVG lets it be: `-.5`, `12.25`."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    text = text.replace("-0.", "-.") if text.startswith("-0.") else text.removeprefix("0") or "0"
    return "0" if text in ("-0", "") else text


def _joined(values: Iterator[float]) -> str:
    """Numbers one after another, a space only where two would run together."""
    joined = before = ""
    for text in map(number, values):
        tells_itself = text.startswith("-") or (text.startswith(".") and "." in before)
        joined += text if tells_itself or not before else f" {text}"
        before = text
    return joined
