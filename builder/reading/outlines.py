"""The folder of traced outlines: pictures that bodies are drawn after, by the name that records call them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from builder.calculations.svg_path import MOST_LETTERS

#: Where they lie, beside shop file and instruments.
OUTLINES = "outlines"


def read_outlines(records: Path) -> Mapping[str, str]:
    """File name ─► text of every SVG file in the folder `outlines` of the records. A file that is no text is left out.

    Never raises for what the folder holds. A longer file than any tracing is cut, and then found too long.
    """
    found = {}
    for path in sorted((records / OUTLINES).glob("*.svg")):
        try:
            with path.open("rb") as stream:
                found[path.name] = stream.read(4 * MOST_LETTERS).decode("utf-8-sig")
        except (OSError, UnicodeDecodeError):
            continue
    return MappingProxyType(found)
