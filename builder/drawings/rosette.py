"""The rosette of a certificate: an ornament drawn from its fingerprint, so that another certificate has another one.

Every choice that makes the drawing is taken from the SHA-256 digest of the fingerprint's signs, so that one sign more
or less changes them all; the same choices are said in words, for a comparison on the telephone. Rosettes are on paper
for good: what a fingerprint looks like, and in which words it is told, may never change.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, TypeVar

from markupsafe import Markup

from builder.drawings.guilloche import WEAVES, Band, number, path_of, shapes_of, strands_of
from builder.drawings.naming import id_prefix
from builder.templates import render

Edge = Literal["plain", "beaded", "toothed", "scalloped", "roped"]
Figure = Literal["star", "compass star", "open star", "flower", "wheel", "sun"]
EDGES: tuple[Edge, ...] = ("plain", "beaded", "toothed", "scalloped", "roped")
FIGURES: tuple[Figure, ...] = ("star", "compass star", "open star", "flower", "wheel", "sun")

#: Half the drawing is fifty units wide; its edge, the room of the bands, and the disc in the middle are between these.
_EDGE, _BANDS_FROM, _BANDS_TO, _DISC, _FIGURE = 47.6, 45.4, 14.6, 13.4, 11.2
_GAP = 1.3
#: How much wider the widest band is than the others.
_WIDER = 1.7
#: A petal is so wide in the middle of its band, and no band has more petals than anybody would count.
_NARROWEST_PETAL, _WIDEST_PETAL, MOST_PETALS = 8.0, 20.0, 24
FEWEST_POINTS, MOST_POINTS = 5, 12
_STRANDS = {"braided": (3, 4, 5), "nested": (4, 5, 6), "knotted": (5, 7, 9), "fanned": (5, 6, 7), "looped": (2, 3, 4)}
#: Where the points of a star meet; how many arcs and strokes make an edge.
_WAIST, _SCALLOPS, _ROPE = 4.6, 72, 90
_COUNTS = {2: "Two", 3: "Three"}
_PLACES = {
    2: ("the outer", "the inner"),
    3: ("the outer", "the middle", "the inner"),
}

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Ring:
    """A band of the rosette; a solid one has light strands on a dark ground. `is_widest` where one is."""

    band: Band
    is_solid: bool
    is_widest: bool


@dataclass(frozen=True, slots=True)
class Rosette:
    """Everything that is chosen: the edge, the rings from the outside, and the figure in the middle on its disc."""

    edge: Edge
    rings: tuple[Ring, ...]
    figure: Figure
    points: int
    disc_is_solid: bool


class _Choices:
    """Takes one choice after another out of a large number, each in equal parts."""

    def __init__(self, signs: str) -> None:
        self._left = int.from_bytes(hashlib.sha256(signs.encode("ascii")).digest(), "big")

    def one_of(self, options: Sequence[_T]) -> _T:
        self._left, place = divmod(self._left, len(options))
        return options[place]


@lru_cache(10_000)
def rosette_of(fingerprint: str) -> Rosette:
    """What is drawn of a fingerprint; how its signs are grouped makes no difference."""
    choices = _Choices("".join(fingerprint.split()))
    edge = choices.one_of(EDGES)
    count = choices.one_of((2, 3))
    widest = choices.one_of((None, *range(count)))
    rings = tuple(_rings(choices, count, widest))
    return Rosette(
        edge, rings, choices.one_of(FIGURES), choices.one_of(range(FEWEST_POINTS, MOST_POINTS + 1)),
        choices.one_of((False, True)),
    )  # fmt: skip


def _rings(choices: _Choices, count: int, widest: int | None) -> Iterator[Ring]:
    """Rings from the outside to the disc, with a little paper between them."""
    parts = [_WIDER if place == widest else 1.0 for place in range(count)]
    room = _BANDS_FROM - _BANDS_TO - _GAP * (count - 1)
    outer = _BANDS_FROM
    for place, part in enumerate(parts):
        inner = outer - room * part / sum(parts)
        round_middle = math.pi * (outer + inner)
        fewest = math.ceil(round_middle / _WIDEST_PETAL)
        most = min(MOST_PETALS, int(round_middle / _NARROWEST_PETAL))
        petals = choices.one_of(range(fewest, most + 1))
        weave = choices.one_of(WEAVES)
        shape = choices.one_of(shapes_of(weave))
        strands = choices.one_of(_STRANDS[weave.split(" ")[0]])
        is_solid = choices.one_of((False, True))
        yield Ring(Band(inner, outer, petals, shape, weave, strands), is_solid, place == widest)
        outer = inner - _GAP


def rosette_in_words(fingerprint: str) -> str:
    """The rosette as one would tell it to somebody who holds another: every choice that was made for it."""
    rosette = rosette_of(fingerprint)
    rings = rosette.rings
    told = "; ".join(
        f"{place}{', the widest,' if ring.is_widest else ''} of {_ring_in_words(ring)}"
        for place, ring in zip(_PLACES[len(rings)], rings, strict=True)
    )
    ground = "a solid disc" if rosette.disc_is_solid else "an open disc"
    return (
        f"{_COUNTS[len(rings)]} rings in a {rosette.edge} edge: {told}. "
        f"In the middle {_figure_in_words(rosette)} on {ground}."
    )


def _ring_in_words(ring: Ring) -> str:
    """`17 pointed petals, 4 strands braided, on a solid ground`."""
    band = ring.band
    ground = ", on a solid ground" if ring.is_solid else ""
    if band.is_looped:
        return f"{band.petals} loops turned {band.weave.removeprefix('looped ')}, {band.strands} strands{ground}"
    petals = f"petals {band.shape}" if band.shape.startswith("leaning") else f"{band.shape} petals"
    return f"{band.petals} {petals}, {band.strands} strands {band.weave}{ground}"


def _figure_in_words(rosette: Rosette) -> str:
    parts = {"flower": "petals", "wheel": "spokes", "sun": "rays"}.get(rosette.figure, "points")
    article = "an" if rosette.figure[0] in "aeio" else "a"
    return f"{article} {rosette.figure} of {rosette.points} {parts}"


@lru_cache(10_000)
def rosette_svg(fingerprint: str, *, name: str) -> Markup:
    """Draw the rosette of a fingerprint. `name` tells its parts from those of any other drawing on the page."""
    rosette = rosette_of(fingerprint)
    solid, lines = _figure(rosette.figure, rosette.points)
    return render(
        "drawings/rosette.svg",
        id=f"{id_prefix(name)}-rosette",
        words=rosette_in_words(fingerprint),
        rosette=rosette,
        edge_radius=_EDGE,
        edge_path=_edge_path(rosette.edge),
        disc_radius=_DISC,
        rings=tuple(
            (ring, "".join(map(path_of, strands_of(ring.band))), _turns(ring.band.petals)) for ring in rosette.rings
        ),
        solid=solid,
        lines=lines,
    )


def _turns(count: int) -> tuple[str, ...]:
    """The turns in degrees that lay so many equal parts round a circle."""
    return tuple(f"{360 * number / count:.3f}".rstrip("0").rstrip(".") for number in range(count))


def _place(radius: float, turn: float) -> str:
    """A place so far from the middle, after a turn with the clock from the top."""
    x, y = radius * math.sin(2 * math.pi * turn), -radius * math.cos(2 * math.pi * turn)
    return f"{number(x)} {number(y)}"


def _polygon(places: Iterable[str]) -> str:
    return f"M{'L'.join(places)}Z"


def _edge_path(edge: Edge) -> str:
    """The edges that are more than circles: a row of arcs, or slanting strokes as of a rope."""
    if edge == "scalloped":
        arcs = (f"A2.2 2.2 0 0 1 {_place(_EDGE - 0.5, (n + 1) / _SCALLOPS)}" for n in range(_SCALLOPS))
        return f"M{_place(_EDGE - 0.5, 0)}{''.join(arcs)}Z"
    if edge == "roped":
        return "".join(
            f"M{_place(_EDGE - 1.1, n / _ROPE)}L{_place(_EDGE + 1.1, (n + 1.2) / _ROPE)}" for n in range(_ROPE)
        )
    return ""


def _figure(figure: Figure, points: int) -> tuple[str, str]:
    """The figure in the middle: the paths that are filled, and those that are lines."""
    step = 1 / points
    if figure == "star":
        return _polygon(_place(_FIGURE if n % 2 == 0 else _WAIST, n * step / 2) for n in range(2 * points)), ""
    if figure == "compass star":
        halves = (_polygon(("0 0", _place(_FIGURE, n * step), _place(_WAIST, (n + 0.5) * step))) for n in range(points))
        outline = _polygon(_place(_FIGURE if n % 2 == 0 else _WAIST, n * step / 2) for n in range(2 * points))
        return "".join(halves), outline
    if figure == "open star":
        skipped = max(2, round(points * 0.38))
        chords = (
            f"M{_place(radius, n * step)}L{_place(radius, (n + skipped) * step)}"
            for radius in (_FIGURE, _FIGURE * 0.8)
            for n in range(points)
        )
        return "", "".join(chords)
    if figure == "flower":
        petals = (
            f"M0 0C{_place(reach * 0.6, (n - 0.62) * step)} {_place(reach * 1.15, (n - 0.36) * step)} "
            f"{_place(reach, n * step)}C{_place(reach * 1.15, (n + 0.36) * step)} "
            f"{_place(reach * 0.6, (n + 0.62) * step)} 0 0"
            for n in range(points)
            for reach in (_FIGURE, _FIGURE * 0.66)
        )
        return "", "".join(petals)
    if figure == "wheel":
        spokes = (f"M{_place(3, n * step)}L{_place(_FIGURE - 1.6, n * step)}" for n in range(points))
        return _circle(2.2), _circle(3) + _circle(_FIGURE) + _circle(_FIGURE - 1.6) + "".join(spokes)
    rays = (
        _polygon((_place(5.2, (n - 0.34) * step), _place(_FIGURE, n * step), _place(5.2, (n + 0.34) * step)))
        for n in range(points)
    )
    return _circle(4.2) + "".join(rays), ""


def _circle(radius: float) -> str:
    top, bottom, arc = _place(radius, 0), _place(radius, 0.5), f"A{radius} {radius} 0 1 1 "
    return f"M{top}{arc}{bottom}{arc}{top}Z"
