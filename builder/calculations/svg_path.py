"""A traced outline: the first path of an SVG picture as a chain of straight lines.

Reads the path commands M L H V C S Q T A Z in both cases (W3C, Scalable Vector Graphics 2, 2018, chapter 9), circles of
radii too small made larger as its appendix on arcs says, the `transform` of the path and of the groups around it, and
the size of the picture in the units of CSS. Coordinates grow to the right and downwards, as in the picture.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree

from builder.calculations.answers import Outside
from builder.calculations.curves import Spot, flattened

_TOKEN = re.compile(r"([MmLlHhVvCcSsQqTtAaZz])|([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)|([\s,]+)")
_NUMBERS_OF = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_SIZE = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-z]*)\s*", re.ASCII)
_TRANSFORM = re.compile(r"\s*,?\s*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)")
#: Millimetres in a unit of CSS: 96 px to the inch.
_MM_PER_UNIT = {"": 25.4 / 96, "px": 25.4 / 96, "mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6}
#: Longer than any tracing of one outline; whatever is longer is a photograph turned into paths.
MOST_LETTERS = 400_000
_MOST_COMMANDS = 20_000
_FARTHEST = 1e7
_PARTS_OF_SIZE = 20_000.0

Matrix = tuple[float, float, float, float, float, float]
_AS_IT_IS: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Tracing:
    """The closed line of a path in the picture's own units, and how many millimetres one of them is."""

    spots: tuple[Spot, ...]
    mm_per_unit: float


class _Unreadable(ValueError):
    """Why a path cannot be read, in a sentence."""


def read_tracing(svg: str) -> Tracing | Outside:
    """The first path of an SVG picture. Outside where there is none, or where it cannot be read as one closed line."""
    if len(svg) > MOST_LETTERS:
        return Outside("the picture is too large to be a tracing of one outline")
    if re.search(r"<!(?:DOCTYPE|ENTITY)\b[^>]*\[", svg, re.IGNORECASE) or "<!ENTITY" in svg.upper():
        return Outside("the picture declares entities of its own; save it as plain SVG")
    try:
        root = ElementTree.fromstring(svg)
    except (ElementTree.ParseError, ValueError):
        return Outside("the picture is not SVG, or is damaged")
    try:
        found = _first_path(root, _AS_IT_IS)
        if found is None:
            return Outside("there is no path in the picture")
        data, matrix = found
        spots = [_moved(spot, matrix) for spot in read_path(data)]
        if any(not math.isfinite(number) or abs(number) > _FARTHEST for spot in spots for number in spot):
            return Outside("the path leads too far away")
        return Tracing(tuple(spots), _mm_per_unit(root))
    except _Unreadable as trouble:
        return Outside(str(trouble))


def _first_path(element: ElementTree.Element, around: Matrix) -> tuple[str, Matrix] | None:
    """Depth first, without recursion, so that no depth of groups is too deep."""
    waiting = [(element, around)]
    while waiting:
        here, matrix = waiting.pop()
        name = str(here.tag).rpartition("}")[2]
        if name in ("defs", "clipPath", "mask", "symbol", "pattern", "marker"):
            continue
        matrix = _after(matrix, _read_transform(here.get("transform", "")))
        if name == "path" and here.get("d", "").strip():
            return here.get("d", ""), matrix
        waiting += [(child, matrix) for child in reversed(here)]
    return None


def read_path(data: str) -> list[Spot]:
    """The first closed part of path data as places; curves stray from it by a 20,000th of its size at the most.

    Raises ValueError, with the reason, for what is no path.
    """
    commands = list(_commands(data))
    if not commands or commands[0][0].upper() != "M":
        raise _Unreadable("a path begins with M")
    ends = [n for number in commands for n in number[1]]
    size = max((abs(number) for number in ends), default=0.0)
    if size > _FARTHEST:
        raise _Unreadable("the path leads too far away")
    strays = max(size, 1e-9) / _PARTS_OF_SIZE
    spots: list[Spot] = []
    here: Spot = (0.0, 0.0)
    handle: tuple[str, Spot] = ("", here)
    for letter, numbers in commands:
        kind, relative = letter.upper(), letter.islower()
        if kind == "Z" or (kind == "M" and spots):
            break
        from_x, from_y = here if relative else (0.0, 0.0)
        if kind == "H":
            places = [(from_x + numbers[0], here[1])]
        elif kind == "V":
            places = [(here[0], from_y + numbers[0])]
        elif kind == "A":
            places = [(from_x + numbers[5], from_y + numbers[6])]
        else:
            places = [(from_x + numbers[n], from_y + numbers[n + 1]) for n in range(0, len(numbers), 2)]
        if kind in ("S", "T"):  # the handle of the curve before, turned about the place where they meet
            same = handle[0] == ("C" if kind == "S" else "Q")
            mirrored = (2 * here[0] - handle[1][0], 2 * here[1] - handle[1][1]) if same else here
            places = [mirrored, *places]
            kind = "C" if kind == "S" else "Q"
        if kind in ("C", "Q"):
            spots += _bezier([here, *places], strays)
        elif kind == "A":
            spots += _arc(here, places[0], numbers[0], numbers[1], numbers[2], numbers[3:5], strays)
        else:
            spots.append(places[-1])
        handle = (kind, places[-2] if len(places) > 1 else places[-1])
        here = places[-1]
    return spots


def _commands(data: str) -> Iterator[tuple[str, list[float]]]:
    """Each command with its numbers; one letter may stand for several in a row, and M then goes on as L."""
    letter, numbers, at, given = "", list[float](), 0, 0
    while at < len(data):
        if letter.upper() == "A" and len(numbers) in (3, 4) and data[at] in "01":
            found_number, at = float(data[at]), at + 1  # flags may stand together without a space
        else:
            found = _TOKEN.match(data, at)
            if not found:
                raise _Unreadable(f"«{data[at]}» has no meaning in a path")
            at = found.end()
            if found[3]:
                continue
            if found[1]:
                if numbers or (letter and letter.upper() != "Z" and not given):
                    raise _Unreadable(f"a number is missing after {letter} in the path")
                letter, given = found[1], 0
                if letter.upper() == "Z":
                    yield letter, []
                continue
            found_number = float(found[2])
        if not letter or letter.upper() == "Z":
            raise _Unreadable("a number stands in the path where a letter belongs")
        numbers.append(found_number)
        if len(numbers) == _NUMBERS_OF[letter.upper()]:
            given += 1
            if given > _MOST_COMMANDS:
                raise _Unreadable("the path has too many pieces to be a tracing of one outline")
            yield letter, numbers
            numbers = []
            letter = {"M": "L", "m": "l"}.get(letter, letter)
    if numbers or (letter and letter.upper() != "Z" and not given):
        raise _Unreadable(f"a number is missing after {letter} in the path")


def _bezier(handles: Sequence[Spot], strays: float) -> list[Spot]:
    """A curve drawn by its handles, two ends and one or two between (P. de Casteljau): its places after the first."""

    def place(part: float) -> Spot:
        left = list(handles)
        while len(left) > 1:
            left = [
                (one[0] + part * (other[0] - one[0]), one[1] + part * (other[1] - one[1]))
                for one, other in pairwise(left)
            ]
        return left[0]

    return [*flattened(place, 0.0, 0.5, strays)[1:], *flattened(place, 0.5, 1.0, strays)[1:]]


def _arc(
    start: Spot, end: Spot, radius_x: float, radius_y: float, tilt: float, flags: Sequence[float], strays: float
) -> list[Spot]:
    """A piece of an ellipse between two places (SVG 2, appendix B.2): its places after the first."""
    radius_x, radius_y = abs(radius_x), abs(radius_y)
    if start == end:
        return []
    if radius_x < 1e-12 or radius_y < 1e-12:
        return [end]
    cos, sin = math.cos(math.radians(tilt)), math.sin(math.radians(tilt))
    half_x, half_y = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = (cos * half_x + sin * half_y) / radius_x, (cos * half_y - sin * half_x) / radius_y
    apart = math.hypot(x, y)
    if apart > 1:  # the radii are too small to reach from place to place: both grow alike until they do
        radius_x, radius_y, x, y = radius_x * apart, radius_y * apart, x / apart, y / apart
    square = x * x + y * y
    along = math.sqrt(max(1 / square - 1, 0.0)) * (-1 if flags[0] == flags[1] else 1)
    middle_x, middle_y = along * y, -along * x
    first = math.atan2(y - middle_y, x - middle_x)
    sweep = math.atan2(-y - middle_y, -x - middle_x) - first
    if flags[1] and sweep < 0:
        sweep += 2 * math.pi
    elif not flags[1] and sweep > 0:
        sweep -= 2 * math.pi

    def place(angle: float) -> Spot:
        unit_x, unit_y = (math.cos(angle) + middle_x) * radius_x, (math.sin(angle) + middle_y) * radius_y
        return (
            cos * unit_x - sin * unit_y + (start[0] + end[0]) / 2,
            sin * unit_x + cos * unit_y + (start[1] + end[1]) / 2,
        )

    pieces = max(1, math.ceil(abs(sweep) / (math.pi / 2)))
    turns = [first + sweep * n / pieces for n in range(pieces + 1)]
    spots = [spot for turn in pairwise(turns) for spot in flattened(place, *turn, strays)[1:]]
    return [*spots[:-1], end]


def _moved(spot: Spot, matrix: Matrix) -> Spot:
    a, b, c, d, e, f = matrix
    return a * spot[0] + c * spot[1] + e, b * spot[0] + d * spot[1] + f


def _after(outer: Matrix, inner: Matrix) -> Matrix:
    """What moves a place by the inner matrix first and by the outer one then."""
    a, b, c, d, _, _ = outer
    to_x, to_y = _moved((inner[4], inner[5]), outer)
    return (
        a * inner[0] + c * inner[1], b * inner[0] + d * inner[1],
        a * inner[2] + c * inner[3], b * inner[2] + d * inner[3],
        to_x, to_y,
    )  # fmt: skip


def _read_transform(text: str) -> Matrix:
    matrix, at = _AS_IT_IS, 0
    while text[at:].strip():
        found = _TRANSFORM.match(text, at)
        if not found:
            raise _Unreadable("a transform in the picture cannot be read")
        at = found.end()
        try:
            numbers = [float(number) for number in re.split(r"[\s,]+", found[2].strip())]
        except ValueError:
            raise _Unreadable("a transform in the picture cannot be read") from None
        matrix = _after(matrix, _one_transform(found[1], numbers))
    return matrix


def _one_transform(name: str, numbers: Sequence[float]) -> Matrix:
    count = len(numbers)
    if name == "matrix" and count == 6:
        a, b, c, d, e, f = numbers
        return a, b, c, d, e, f
    if name == "translate" and count in (1, 2):
        return 1.0, 0.0, 0.0, 1.0, numbers[0], numbers[1] if count == 2 else 0.0
    if name == "scale" and count in (1, 2):
        return numbers[0], 0.0, 0.0, numbers[-1], 0.0, 0.0
    if name == "rotate" and count in (1, 3) and math.isfinite(numbers[0]):
        cos, sin = math.cos(math.radians(numbers[0])), math.sin(math.radians(numbers[0]))
        x, y = (numbers[1], numbers[2]) if count == 3 else (0.0, 0.0)
        return cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y
    if name in ("skewX", "skewY") and count == 1 and abs(numbers[0]) < 89:
        slant = math.tan(math.radians(numbers[0]))
        return (1.0, 0.0, slant, 1.0, 0.0, 0.0) if name == "skewX" else (1.0, slant, 0.0, 1.0, 0.0, 0.0)
    raise _Unreadable("a transform in the picture cannot be read")


def _mm_per_unit(root: ElementTree.Element) -> float:
    """Millimetres in one unit of the drawing: its width (or height) against its view box, else 96 units to the inch."""
    box = [found for found in re.split(r"[\s,]+", root.get("viewBox", "").strip()) if found]
    for name, place in (("width", 2), ("height", 3)):
        size = _SIZE.fullmatch(root.get(name, "").casefold())
        if not size or size[2] not in _MM_PER_UNIT or len(box) != 4:
            continue
        try:
            across = float(box[place])
        except ValueError:
            continue
        scale = float(size[1]) * _MM_PER_UNIT[size[2]] / across if across > 0 else 0.0
        if 1e-6 < scale < 1e6:
            return scale
    return _MM_PER_UNIT[""]
