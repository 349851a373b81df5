"""The picture that stands beside a link to a page, where people send each other links: 1200 × 630 pixels.

It is made of what the page shows, in our own typefaces, and asks no other program or host for anything.
"""

from __future__ import annotations

import io
import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path

from PIL import Image, ImageColor, ImageDraw, ImageFont, ImageOps

from builder.published import PublishedDrawing, PublishedPoint
from builder.sheets.pen import Face, in_face, typeface_file

#: The size that is asked for by most who show such pictures (common practice; the protocol itself names none).
WIDTH_PX, HEIGHT_PX = 1200, 630
_JPEG_QUALITY = 86
#: Between two colours that meet there are so many steps, both counted.
_STEPS = 20

_PAPER, _INK, _QUIET, _WALNUT = "#fffdf8", "#26211b", "#655c51", "#4a3323"
_BOARD, _EDGE, _FRET, _NUT, _MARKER, _STRING = "#5b3a24", "#3f2817", "#e6cf9c", "#ece2cd", "#cdb896", "#b9b2a6"

#: From the edge of the picture to its frame, to its words and board, and to the foot of the board.
_FRAME_PX, _MARGIN_PX, _NARROW_MARGIN_PX, _FOOT_PX = 26, 84, 62, 88
#: How much of the width a photograph takes, on the right.
COVER_PX = 560
_HIGHEST_BOARD_PX = 118
#: Type sizes, of the title those that are tried, largest first; and how many lines a text may have.
_ABOVE_PX, _LINE_PX, _TITLE_PX, _MOST_LINES = 30, 35, (124, 104, 88, 74, 62, 52, 44), 2
_LARGEST_OF_SEVERAL_PX, _LINE_HEIGHT, _AIR_PX = 74, 1.29, 24
#: For texts with letters that our own typefaces lack.
_WIDER = {"plain": "DejaVuSans.ttf", "bold": "DejaVuSans-Bold.ttf", "title": "DejaVuSerif-Bold.ttf"}
#: Between the letters of the line above.
_SPACED_PX = 5
#: The board is drawn so many times larger and made smaller, so that slanted and thin lines are smooth.
_FINER = 3
_FRET_PX, _NUT_PX, _STRING_PX, _MARKER_PX = 3.2, 9.0, 1.1, 5.5


@dataclass(frozen=True, slots=True)
class Words:
    """What the picture says: a short line above, or none; the title large; and the lines below it."""

    above: str
    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of words as it is set, and how much room it takes."""

    text: str
    face: Face
    size_px: int
    colour: str
    room_px: int
    spaced_px: int = 0


def link_picture(words: Words, drawing: PublishedDrawing | None, cover: bytes | None = None) -> bytes:
    """The picture, the same bytes for the same words, drawing and photograph.

    With a photograph, which is cut to fit, it is a JPEG; without, a PNG.
    """
    if cover is None:
        return _as_png(_card(words, drawing, WIDTH_PX))
    image = Image.new("RGB", (WIDTH_PX, HEIGHT_PX), _PAPER)
    image.paste(_card(words, drawing, WIDTH_PX - COVER_PX), (0, 0))
    with Image.open(io.BytesIO(cover)) as photograph:
        photograph.draft("RGB", (COVER_PX, HEIGHT_PX))  # no more of it is read than this size asks for
        cut = ImageOps.fit(photograph.convert("RGB"), (COVER_PX, HEIGHT_PX), Image.Resampling.LANCZOS)
    image.paste(cut, (WIDTH_PX - COVER_PX, 0))
    return _as_jpeg(image)


def _card(words: Words, drawing: PublishedDrawing | None, width_px: int) -> Image.Image:
    """Words above the board, in a frame."""
    image = Image.new("RGB", (width_px, HEIGHT_PX), _PAPER)
    pen = ImageDraw.Draw(image)
    for inset_px, line_px in ((_FRAME_PX, 3), (_FRAME_PX + 9, 1)):
        far = (width_px - 1 - inset_px, HEIGHT_PX - 1 - inset_px)
        pen.rectangle(((inset_px, inset_px), far), outline=_WALNUT, width=line_px)
    room_px = width_px - 2 * (_MARGIN_PX if width_px == WIDTH_PX else _NARROW_MARGIN_PX)
    foot_px = HEIGHT_PX - _MARGIN_PX
    if drawing:
        board = _board(drawing, room_px)
        foot_px = HEIGHT_PX - _FOOT_PX - board.height
        image.paste(board, ((width_px - board.width) // 2, foot_px))
    lines = _lines(words, room_px, foot_px - _FRAME_PX - _AIR_PX)
    y_px = (_FRAME_PX + foot_px - sum(line.room_px for line in lines)) // 2
    for line in lines:
        _set(pen, line, width_px / 2, y_px)
        y_px += line.room_px
    return image


def _lines(words: Words, room_px: int, high_px: int) -> list[_Line]:
    """Every line of the card, with the title in the largest type in which all of them fit."""
    above = [
        _Line(text, "bold", _ABOVE_PX, _WALNUT, round(_ABOVE_PX * 1.4), _SPACED_PX)
        for text in _few(words.above.upper(), "bold", _ABOVE_PX, room_px, _SPACED_PX)
    ]
    below = [
        _Line(text, "plain", _LINE_PX, _QUIET if number else _INK, round(_LINE_PX * _LINE_HEIGHT))
        for number, said in enumerate(words.lines)
        for text in _few(said, "plain", _LINE_PX, room_px)
    ]
    for size_px in _TITLE_PX:
        title = [
            _Line(text, "title", size_px, _INK, round(size_px * _LINE_HEIGHT))
            for text in _few(words.title, "title", size_px, room_px)
        ]
        lines = [line for line in (*above, *title, *below) if _lettered(line.text, line.face, line.size_px)[1]]
        is_large = len(title) > 1 and size_px > _LARGEST_OF_SEVERAL_PX
        is_whole = not any(line.text.endswith("…") for line in title) or words.title.endswith("…")
        if is_whole and not is_large and sum(line.room_px for line in lines) <= high_px:
            break
    while sum(line.room_px for line in lines) > high_px:
        lines.pop()
    return lines


def _few(text: str, face: Face, size_px: int, room_px: int, spaced_px: int = 0) -> tuple[str, ...]:
    """A text on one line or two, without a dot between things at its end; what does not fit is left out of the last."""
    lines = _broken(text, face, size_px, room_px, spaced_px)
    shown = [*lines[: _MOST_LINES - 1], " ".join(lines[_MOST_LINES - 1 :])]
    return tuple(_shortened(line.rstrip(" ·"), face, size_px, room_px, spaced_px) for line in shown if line)


def _broken(text: str, face: Face, size_px: int, room_px: int, spaced_px: int = 0) -> list[str]:
    """A text broken into lines between its words."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and _width_px(longer, face, size_px, spaced_px) > room_px:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _shortened(text: str, face: Face, size_px: int, room_px: int, spaced_px: int = 0) -> str:
    """A text that fits, if need be by leaving out its end."""
    if _width_px(text, face, size_px, spaced_px) <= room_px:
        return text
    while text and _width_px(f"{text}…", face, size_px, spaced_px) > room_px:
        text = text[:-1].rstrip()
    return f"{text}…"


def _width_px(text: str, face: Face, size_px: int, spaced_px: int = 0) -> float:
    font, letters = _lettered(text, face, size_px)
    return float(font.getlength(letters)) + spaced_px * (len(letters) - 1)


def _lettered(text: str, face: Face, size_px: int) -> tuple[ImageFont.FreeTypeFont, str]:
    """A text and the typeface to set it in: ours; where ours lacks a letter of it, one that has more, if that has all.

    What neither has is set in ours, without accents or as dots; a text that is mostly lost so is left out.
    """
    text = unicodedata.normalize("NFC", text)
    ours = in_face(text, face)
    if ours != text and (wider := _wider(face, size_px)) and all(_has(wider, letter) for letter in set(text)):
        return wider, text
    return _font(typeface_file(face), size_px), "" if ours.count("·") > len(text) / 2 else ours


@cache
def _font(file: Path, size_px: int) -> ImageFont.FreeTypeFont:
    """A typeface at a size, set in the one way that is the same on every machine."""
    return ImageFont.truetype(str(file), size_px, layout_engine=ImageFont.Layout.BASIC)


@cache
def _wider(face: Face, size_px: int) -> ImageFont.FreeTypeFont | None:
    """A typeface with the letters of most of Europe, of those that come with the plots' library; None without them."""
    library = find_spec("matplotlib")
    file = Path(library.origin or "").parent / "mpl-data" / "fonts" / "ttf" / _WIDER[face] if library else None
    return _font(file, size_px) if file and file.is_file() else None


@cache
def _has(font: ImageFont.FreeTypeFont, letter: str) -> bool:
    """Whether a typeface has a letter: what it lacks looks like what no typeface has."""
    if letter == " ":
        return True
    shape, nothing = font.getmask(letter), font.getmask("\U0010ffff")
    return (shape.size, bytes(shape)) != (nothing.size, bytes(nothing))


def _set(pen: ImageDraw.ImageDraw, line: _Line, middle_px: float, y_px: int) -> None:
    """Put a line of words around a middle."""
    font, text = _lettered(line.text, line.face, line.size_px)
    if not line.spaced_px:
        pen.text((middle_px, y_px), text, font=font, fill=line.colour, anchor="ma")
        return
    x_px = middle_px - _width_px(line.text, line.face, line.size_px, line.spaced_px) / 2
    for letter in text:
        pen.text((x_px, y_px), letter, font=font, fill=line.colour, anchor="la")
        x_px += font.getlength(letter) + line.spaced_px


def _board(drawing: PublishedDrawing, room_px: int) -> Image.Image:
    """The fretboard to scale, nut to the left: as long as there is room for, unless it were too wide then."""
    left_mm = min(point.x for point in drawing.outline)
    half_mm = max(abs(point.y) for point in drawing.outline)
    length_mm = max(point.x for point in drawing.outline) - left_mm
    scale = min((room_px - _NUT_PX) / length_mm, _HIGHEST_BOARD_PX / (2 * half_mm)) * _FINER
    width_px = round((length_mm * scale / _FINER + _NUT_PX) + 2)
    height_px = round(2 * half_mm * scale / _FINER + 2)
    image = Image.new("RGB", (width_px * _FINER, height_px * _FINER), _PAPER)
    pen = ImageDraw.Draw(image)

    def at(point: PublishedPoint) -> tuple[float, float]:
        """Bass side below, as on the page."""
        return (point.x - left_mm) * scale + (_NUT_PX + 1) * _FINER, point.y * scale + height_px * _FINER / 2

    nut_bass, nut_treble, end_treble, end_bass = map(at, drawing.outline)
    nut_px = _NUT_PX * _FINER
    pen.polygon((nut_bass, nut_treble, end_treble, end_bass), fill=_BOARD, outline=_EDGE, width=_FINER)
    radius_px = _MARKER_PX * _FINER
    for marker in drawing.markers:
        x, y = at(marker)
        pen.ellipse((x - radius_px, y - radius_px, x + radius_px, y + radius_px), fill=_MARKER)
    for fret in drawing.frets:
        pen.line(
            (at(fret.treble), at(fret.bass)), fill=_FRET, width=round(_FRET_PX * _FINER / (2 if fret.is_half else 1))
        )
    for string in drawing.strings:
        pen.line((at(string.start), at(string.end)), fill=_STRING, width=round(_STRING_PX * _FINER))
    back = tuple((x - nut_px, y) for x, y in (nut_treble, nut_bass))
    pen.polygon((nut_bass, nut_treble, *back), fill=_NUT, outline=_EDGE, width=_FINER)
    return image.reduce(_FINER)


@cache
def _palette() -> Image.Image:
    """The colours that can meet in the picture, and the steps between them that smooth edges are made of."""
    meeting = (
        *((_PAPER, each) for each in (_INK, _QUIET, _WALNUT, _EDGE, _BOARD)),
        *((_BOARD, each) for each in (_FRET, _STRING, _MARKER, _EDGE)),
        *((_EDGE, each) for each in (_NUT, _FRET, _STRING)),
    )
    colours = []
    for one, other in meeting:
        start, end = ImageColor.getrgb(one)[:3], ImageColor.getrgb(other)[:3]
        for step in range(_STEPS):
            along = step / (_STEPS - 1)
            colours += [round(a + (b - a) * along) for a, b in zip(start, end, strict=True)]
    palette = Image.new("P", (1, 1))
    palette.putpalette(colours)
    return palette


def _as_png(image: Image.Image) -> bytes:
    """Few colours and no other word in the file: neither a day nor the name of a program."""
    content = io.BytesIO()
    few = image.quantize(palette=_palette(), dither=Image.Dither.NONE)
    few.save(content, "PNG", compress_level=4)
    return content.getvalue()


def _as_jpeg(image: Image.Image) -> bytes:
    """The same for a photograph, of which a file without loss would be many times larger."""
    content = io.BytesIO()
    image.save(content, "JPEG", quality=_JPEG_QUALITY, subsampling=0)
    return content.getvalue()
