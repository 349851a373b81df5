"""The body drawn to scale from above, tail end to the left: sides, blocks, linings, braces, sound holes, centre line.

The drawing's own unit is the millimetre. Lines that are seen on the soundboard are whole; what lies hidden under it,
or on the back, is broken.
"""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup

from builder.drawings.naming import id_prefix
from builder.published.body import PublishedBodyDrawing
from builder.templates import render
from builder.words import counted

#: Thickness of a line and length of the dashes, as parts of the drawing's length; real ones would vanish on a phone.
_LINE_PER_LENGTH, _DASH_PER_LENGTH, _MARGIN_PER_LENGTH = 1 / 420, 1 / 90, 1 / 45
#: How far the mark of the saddle reaches to both sides of the centre line, as a part of the width.
_SADDLE_PER_WIDTH = 1 / 6


def body_svg(drawing: PublishedBodyDrawing, *, name: str) -> Markup:
    """Draw a body. `name` tells its parts from those of any other drawing on the page."""
    margin_mm = drawing.length_mm * _MARGIN_PER_LENGTH
    left_mm, right_mm = (choose(x for x, _ in drawing.outline) for choose in (min, max))
    low_mm, high_mm = (choose(y for _, y in drawing.outline) for choose in (min, max))
    return render(
        "drawings/body.svg",
        id=f"{id_prefix(name)}-body",
        title=_in_words(drawing),
        drawing=drawing,
        outline=_path(drawing.outline),
        inside=_path(drawing.inside),
        linings=_path(drawing.linings),
        blocks=tuple(map(_path, drawing.blocks)),
        braces=tuple((each.on_soundboard, _path(each.corners)) for each in drawing.braces),
        holes=tuple((each.in_soundboard, _path(each.edge)) for each in drawing.holes),
        line_mm=drawing.length_mm * _LINE_PER_LENGTH,
        dash_mm=drawing.length_mm * _DASH_PER_LENGTH,
        margin_mm=margin_mm,
        saddle_mm=drawing.width_mm * _SADDLE_PER_WIDTH,
        left_mm=left_mm - margin_mm,
        top_mm=-high_mm - margin_mm,
        width_mm=right_mm - left_mm + 2 * margin_mm,
        height_mm=high_mm - low_mm + 2 * margin_mm,
    )


def _path(places: Iterable[tuple[float, float]]) -> str:
    """A closed line; the bass side, whose places lie above zero, is drawn above the centre line."""
    steps = " ".join(f"{x:.2f} {-y + 0.0:.2f}" for x, y in places)
    return f"M{steps}Z" if steps else ""


def _in_words(drawing: PublishedBodyDrawing) -> str:
    parts = ["The body drawn to scale from above, tail end to the left, bass side above"]
    holes = sum(each.in_soundboard for each in drawing.holes)
    in_back = len(drawing.holes) - holes
    if holes:
        parts.append(counted(holes, "sound hole"))
    if in_back:
        parts.append(f"{in_back} in the back")
    if drawing.braces:
        parts.append(
            "1 brace as a broken line" if len(drawing.braces) == 1 else f"{len(drawing.braces)} braces as broken lines"
        )
    return ", ".join(parts)
