"""What a stand-alone sheet carries within itself: typefaces and its style sheet."""

from __future__ import annotations

import base64
from functools import cache

from markupsafe import Markup

from builder.templates import theme_folder

#: Family, style, weight and data of a typeface.
Face = tuple[str, str, int, str]

#: Family, style, weight and file of the typefaces of a sheet for the bench.
_FACES = (
    ("Vollkorn", "normal", 600, "vollkorn-latin-600.woff2"),
    ("Source Sans 3", "normal", 400, "source-sans-3-latin-400.woff2"),
    ("Source Sans 3", "normal", 600, "source-sans-3-latin-600.woff2"),
)
#: And of what goes to the buyer, set in the book face throughout.
_BUYER_FACES = (
    ("Vollkorn", "normal", 400, "vollkorn-latin-400.woff2"),
    ("Vollkorn", "italic", 400, "vollkorn-latin-400-italic.woff2"),
    ("Vollkorn", "normal", 600, "vollkorn-latin-600.woff2"),
    ("Source Sans 3", "normal", 400, "source-sans-3-latin-400.woff2"),
)


@cache
def bench_faces() -> tuple[Face, ...]:
    """Each typeface with its file as text, for a `data:` address."""
    return tuple(_with_data(*face) for face in _FACES)


@cache
def buyer_faces() -> tuple[Face, ...]:
    """The same for certificate and label."""
    return tuple(_with_data(*face) for face in _BUYER_FACES)


@cache
def card_faces() -> tuple[Face, ...]:
    """The same for cards: those of the buyer's sheets, and one for the heads of tables."""
    return (*buyer_faces(), _with_data(*_FACES[2]))


def _with_data(family: str, style: str, weight: int, file: str) -> Face:
    return family, style, weight, base64.b64encode((theme_folder() / "fonts" / file).read_bytes()).decode("ascii")


@cache
def style_sheet(name: str) -> Markup:
    """A style sheet of the theme as it is written into a sheet."""
    return Markup((theme_folder() / "css" / name).read_text(encoding="utf-8"))
