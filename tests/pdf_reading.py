"""What is drawn on the pages of a PDF, in millimetres of the page, read from its content streams.

Another library unpacks the file; the operators of ISO 32000-1:2008 that drawings are made of are followed here (8.4.4,
8.5, 9.4): the matrix, the paths, the clipping rectangle, the texts with the place where each begins.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

from pypdf import PageObject, PdfReader

MM_PER_POINT = 25.4 / 72
#: A thousandth of an inch.
THOUSANDTH_MM = 0.0254

Place = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float]
_AS_IT_IS: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


@dataclass(frozen=True)
class Drawn:
    """A path that was stroked: its places in order, and whether it has curves or goes back to its start."""

    places: tuple[Place, ...]
    is_curved: bool
    is_closed: bool

    @property
    def length_mm(self) -> float:
        return math.dist(self.places[0], self.places[-1])

    @property
    def middle(self) -> Place:
        along, across = zip(*self.places, strict=True)
        return (min(along) + max(along)) / 2, (min(across) + max(across)) / 2


@dataclass
class PageRead:
    """One page: its size, strokes, clipping rectangles (left, bottom, right, top) and texts with their places."""

    width_mm: float
    height_mm: float
    strokes: list[Drawn] = field(default_factory=list)
    windows: list[tuple[float, float, float, float]] = field(default_factory=list)
    texts: list[tuple[str, Place]] = field(default_factory=list)

    @property
    def lines(self) -> list[tuple[Place, Place]]:
        """Straight strokes from one place to another."""
        return [
            (each.places[0], each.places[-1]) for each in self.strokes if len(each.places) == 2 and not each.is_curved
        ]

    @property
    def words(self) -> str:
        return "\n".join(text for text, _ in self.texts)


def times(one: Matrix, other: Matrix) -> Matrix:
    """One matrix after another (ISO 32000-1:2008, 8.3.4)."""
    a, b, c, d, e, f = one
    g, h, i, j, k, m = other
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m)


def read_pdf(pdf: bytes) -> list[PageRead]:
    return [_page(page) for page in PdfReader(BytesIO(pdf)).pages]


def _page(page: PageObject) -> PageRead:
    read = PageRead(float(page.mediabox.width) * MM_PER_POINT, float(page.mediabox.height) * MM_PER_POINT)
    contents = page.get_contents()
    assert contents is not None
    letters_of = _letters(page)
    matrix, kept, at, font = _AS_IT_IS, list[Matrix](), _AS_IT_IS, ""
    subpaths: list[tuple[list[Place], bool, bool]] = []

    def placed(x: float, y: float) -> Place:
        a, b, c, d, e, f = matrix
        return (a * x + c * y + e) * MM_PER_POINT, (b * x + d * y + f) * MM_PER_POINT

    for operator, operands in _operations(contents.get_data().decode("latin-1")):
        match operator:
            case "q":
                kept.append(matrix)
            case "Q":
                matrix = kept.pop()
            case "cm":
                matrix = times(_matrix(operands), matrix)
            case "m":
                subpaths.append(([placed(*map(float, operands))], False, False))
            case "l":
                subpaths[-1][0].append(placed(*map(float, operands)))
            case "c":
                places, _, is_closed = subpaths[-1]
                places.append(placed(*map(float, operands[4:])))
                subpaths[-1] = (places, True, is_closed)
            case "h":
                subpaths[-1] = (*subpaths[-1][:2], True)
            case "re":
                x, y, width, height = map(float, operands)
                subpaths.append(([placed(x, y), placed(x + width, y + height)], False, True))
            case "W" | "W*":
                (left, bottom), (right, top) = subpaths[-1][0]
                read.windows.append((left, bottom, right, top))
            case "S" | "s" | "B" | "b":
                read.strokes += [Drawn(tuple(places), is_curved, closed) for places, is_curved, closed in subpaths]
                subpaths = []
            case "n" | "f":
                subpaths = []
            case "Tf":
                font = operands[0]
            case "Tm":
                at = _matrix(operands)
            case "Tj":
                text = "".join(letters_of[font][ord(each)] for each in _unescaped(operands[0][1:-1])).strip()
                if text:
                    *_, x, y = times(at, matrix)
                    read.texts.append((text, (x * MM_PER_POINT, y * MM_PER_POINT)))
            case "TJ" | "v" | "y" | "Do" | "'" | "Td" | "TD" | "f*" | "B*" | "b*":
                raise AssertionError(f"{operator} is not read here")
    return read


_TOKEN = re.compile(r"\((?:\\.|[^\\()])*\)|<[0-9A-Fa-f\s]*>|[\[\]]|/[^\s\[\]()<>/]+|[^\s\[\]()<>/]+", re.DOTALL)
_ESCAPED = re.compile(r"\\([0-7]{1,3}|.)", re.DOTALL)
_NAMED = {"n": "\n", "r": "\r", "t": "\t", "b": "\b", "f": "\f"}


def _operations(content: str) -> Iterator[tuple[str, list[str]]]:
    """Operators with the operands before them (ISO 32000-1:2008, 7.8.2)."""
    operands: list[str] = []
    for token in _TOKEN.findall(content):
        if token[0].isalpha() or token in "'\"":
            yield token, operands
            operands = []
        else:
            operands.append(token)


def _matrix(operands: list[str]) -> Matrix:
    a, b, c, d, e, f = map(float, operands)
    return a, b, c, d, e, f


def _unescaped(text: str) -> str:
    """A string in parentheses (ISO 32000-1:2008, 7.3.4.2)."""
    return _ESCAPED.sub(lambda one: chr(int(one[1], 8)) if one[1].isdigit() else _NAMED.get(one[1], one[1]), text)


def _letters(page: PageObject) -> dict[str, dict[int, str]]:
    """By font, the letter of each code, from the font's ToUnicode table (ISO 32000-1:2008, 9.10.3)."""
    resources: Any = page["/Resources"]
    letters: dict[str, dict[int, str]] = {}
    for name, reference in resources["/Font"].items():
        table = reference.get_object()["/ToUnicode"].get_object().get_data().decode("latin-1")
        codes: dict[int, str] = {}
        for block in re.findall(r"beginbfchar(.*?)endbfchar", table, re.DOTALL):
            for code, letter in re.findall(r"<(\w+)>\s*<(\w+)>", block):
                codes[int(code, 16)] = bytes.fromhex(letter).decode("utf-16-be")
        for block in re.findall(r"beginbfrange(.*?)endbfrange", table, re.DOTALL):
            for start, listed in re.findall(r"<(\w+)>\s*<\w+>\s*\[(.*?)\]", block, re.DOTALL):
                for number, letter in enumerate(re.findall(r"<(\w+)>", listed)):
                    codes[int(start, 16) + number] = bytes.fromhex(letter).decode("utf-16-be")
            for start, end, letter in re.findall(r"<(\w+)>\s*<(\w+)>\s*<(\w+)>", block):
                for number in range(int(end, 16) - int(start, 16) + 1):
                    codes[int(start, 16) + number] = chr(int(letter, 16) + number)
        letters[name] = codes
    return letters


def fonts_of(pdf: bytes) -> Iterator[tuple[str, bool]]:
    """Every font that any page names, and whether its outlines are in the file (ISO 32000-1:2008, 9.9)."""
    for page in PdfReader(BytesIO(pdf)).pages:
        resources: Any = page["/Resources"]
        for reference in resources["/Font"].values():
            font = reference.get_object()
            descriptor = font["/FontDescriptor"].get_object() if "/FontDescriptor" in font else {}
            yield str(font["/BaseFont"]), any(f"/FontFile{kind}" in descriptor for kind in ("", "2", "3"))


def has_line(page: PageRead, one: Place, other: Place, *, within_mm: float = THOUSANDTH_MM) -> bool:
    """Whether a straight stroke goes from one place to another, in either direction."""
    return any(
        (math.dist(a, one) <= within_mm and math.dist(b, other) <= within_mm)
        or (math.dist(b, one) <= within_mm and math.dist(a, other) <= within_mm)
        for a, b in page.lines
    )
