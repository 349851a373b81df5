"""A pen for full-size drawings: lines and letters put on a PDF page in millimetres, nothing rounded on the way.

Places are counted from the lower left corner of the page. The typefaces are those of the site, and are embedded.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from functools import cache, lru_cache
from io import BytesIO
from pathlib import Path
from typing import Literal

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from builder.templates import theme_folder

Place = tuple[float, float]
Align = Literal["left", "middle", "right"]
Face = Literal["plain", "bold", "title"]

POINTS_PER_MM = 72 / 25.4
#: Of the type size: how high a capital stands (from the faces' own tables, rounded up).
CAPITAL = 0.67
#: No page may be longer than 14,400 points, or readers refuse it (ISO 32000-1:2008, Annex C.2).
LONGEST_PAGE_MM = 14_400 / POINTS_PER_MM

#: Signs the faces lack, and what is set for them.
_INSTEAD = str.maketrans({"♯": "#", "♭": "b", "≤": "<", "≥": ">", "″": '"', "′": "'", "Ł": "L", "ł": "l", "Đ": "D"})

_FILES = {
    "plain": ("SourceSans3", "source-sans-3-latin-400.ttf"),
    "bold": ("SourceSans3-Semibold", "source-sans-3-latin-600.ttf"),
    "title": ("Vollkorn-Semibold", "vollkorn-latin-600.ttf"),
}


def typeface_file(face: Face) -> Path:
    """Where a typeface is."""
    return theme_folder() / "sheets" / "fonts" / _FILES[face][1]


@cache
def _font(face: Face) -> TTFont:
    """A typeface, registered the first time it is used."""
    font = TTFont(_FILES[face][0], str(typeface_file(face)))
    pdfmetrics.registerFont(font)
    return font


@lru_cache(10_000)
def in_face(text: str, face: Face = "plain") -> str:
    """A text in signs the typeface has: a letter it lacks stands without its accent, and else as a dot."""
    known = _font(face).face.charToGlyph
    letters = []
    for letter in unicodedata.normalize("NFC", text).translate(_INSTEAD):
        if ord(letter) in known:
            letters.append(letter)
        else:
            parts = unicodedata.normalize("NFKD", letter)
            letters.append(
                "".join(each for each in parts if ord(each) in known and not unicodedata.combining(each)) or "·"
            )
    return "".join(letters)


def width_mm(text: str, points: float, face: Face = "plain") -> float:
    """How wide a text is at a type size."""
    return float(_font(face).stringWidth(in_face(text, face), points)) / POINTS_PER_MM


def fitted(text: str, points: float, room_mm: float, face: Face = "plain", least: float = 7.0) -> tuple[str, float]:
    """A text and the largest type size, up to `points`, at which it fits; in the smallest its end gives way to …"""
    while width_mm(text, points, face) > room_mm and points > least:
        points = max(points - 0.5, least)
    if width_mm(text, points, face) <= room_mm:
        return text, points
    while text and width_mm(f"{text}…", points, face) > room_mm:
        text = text[:-1].rstrip()
    return f"{text}…", points


class Pen:
    """Draws on the pages of one PDF, and hands over its bytes at the end."""

    def __init__(self, title: str, author: str) -> None:
        self._bytes = BytesIO()
        # invariant: neither dates nor chance go into the file, so that the same drawing is the same bytes
        first = _font("plain").fontName  # else every page would name a face that is not embedded
        self._canvas = Canvas(self._bytes, pageCompression=1, invariant=1, lang="en", initialFontName=first)
        self._canvas.setTitle(title)
        self._canvas.setAuthor(author)
        self._canvas.setCreator("Boutbook")
        # ISO 32000-1:2008, 12.2: a reader's print dialogue then opens with no scaling
        self._canvas.setViewerPreference("PrintScaling", "None")

    def start_page(self, width_mm: float, height_mm: float) -> None:
        """Take a page of this size."""
        self._canvas.setPageSize((width_mm * POINTS_PER_MM, height_mm * POINTS_PER_MM))
        self._canvas.setLineCap(0)

    def end_page(self) -> None:
        """Put the page away."""
        self._canvas.showPage()

    def finish(self) -> bytes:
        """The PDF."""
        self._canvas.save()
        return self._bytes.getvalue()

    def keep_within(self, left: float, bottom: float, right: float, top: float) -> None:
        """From here to `release` nothing is drawn outside this rectangle."""
        self._canvas.saveState()
        path = self._canvas.beginPath()
        path.rect(*_points(left, bottom), *_points(right - left, top - bottom))
        self._canvas.clipPath(path, stroke=0, fill=0)

    def release(self) -> None:
        """Draw anywhere again."""
        self._canvas.restoreState()

    def line(
        self, places: Sequence[Place], width_mm: float, *, closed: bool = False, dash: Sequence[float] = (),
        grey: float = 0.0,
    ) -> None:  # fmt: skip
        """A line through places. `dash` is drawn and left out in turn, in millimetres; `grey` 0 is black, 1 white."""
        canvas = self._canvas
        canvas.setLineWidth(width_mm * POINTS_PER_MM)
        canvas.setDash([each * POINTS_PER_MM for each in dash])
        canvas.setStrokeGray(grey)
        path = canvas.beginPath()
        path.moveTo(*_points(*places[0]))
        for place in places[1:]:
            path.lineTo(*_points(*place))
        if closed:
            path.close()
        canvas.drawPath(path, stroke=1, fill=0)

    def disc(self, x: float, y: float, radius_mm: float, line_mm: float, *, filled: bool = False) -> None:
        """A circle around a place, its middle left open or filled."""
        canvas = self._canvas
        canvas.setLineWidth(line_mm * POINTS_PER_MM)
        canvas.setDash([])
        canvas.setStrokeGray(0.0)
        canvas.setFillGray(0.0)
        canvas.circle(*_points(x, y), radius_mm * POINTS_PER_MM, stroke=1, fill=int(filled))

    def words(
        self, text: str, x: float, y: float, points: float, *, face: Face = "plain", align: Align = "left",
        degrees: float = 0.0,
    ) -> None:  # fmt: skip
        """A line of text; its base line starts, has its middle or ends at the place, turned by so many degrees."""
        canvas, text = self._canvas, in_face(text, face)
        font = _font(face)
        canvas.setFillGray(0.0)
        canvas.setFont(font.fontName, points)
        before = {"left": 0.0, "middle": 0.5, "right": 1.0}[align] * font.stringWidth(text, points)
        if not degrees:
            x_points, y_points = _points(x, y)
            canvas.drawString(x_points - before, y_points, text)
            return
        canvas.saveState()
        canvas.translate(*_points(x, y))
        canvas.rotate(degrees)
        canvas.drawString(-before, 0, text)
        canvas.restoreState()


def _points(x_mm: float, y_mm: float) -> Place:
    return x_mm * POINTS_PER_MM, y_mm * POINTS_PER_MM
