"""A rosette read from its SVG with a general-purpose library: as lines to measure, and as tones to look at."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw
from svgelements import Path

#: Points a piece of curve is taken at; pixels of the drawing, and of the picture a glance leaves in the mind.
_POINTS, _PIXELS, TONES = 10, 320, 32
#: Half the drawing, and its finest line as the style sheets set it, in its own unit.
HALF, _FINEST = 50.0, 0.42

Numbers = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A path with all its turns, as rows of points; whether it is light on dark, and whether it is filled."""

    is_light: bool
    is_filled: bool
    lines: tuple[Numbers, ...]


def tree_of(svg: str) -> Element:
    """The drawing as XML, which it is besides being HTML."""
    return ElementTree.fromstring(svg)


def drawn_in(group: Element) -> list[Drawn]:
    """The paths of a group of the drawing."""
    turns = [_turn(use.attrib["transform"]) for use in group.iter("use")]
    found = []
    for path in group.iter("path"):
        lines = _lines(path.attrib["d"])
        turned = tuple(line @ turn for turn in turns for line in lines)
        is_light = "--bb-paper" in group.get("style", "")
        found.append(Drawn(is_light, path.get("stroke") == "none", lines + turned))
    return found


@lru_cache(1000)
def _lines(path: str) -> tuple[Numbers, ...]:
    along = np.linspace(0, 1, _POINTS)
    return tuple(np.concatenate([piece.npoint(along) for piece in Path(part)[1:]]) for part in Path(path).as_subpaths())


def _turn(transform: str) -> Numbers:
    degrees = re.fullmatch(r"rotate\(([\d.]+)\)", transform)
    assert degrees, transform
    angle = np.radians(float(degrees.group(1)))
    return np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])


def tones_of(svg: str) -> Numbers:
    """The picture as a glance sees it: 32 by 32 tones from 0 (paper) to 1 (ink), each a millimetre of a 30 mm print."""
    image = Image.new("L", (_PIXELS, _PIXELS))
    pen, scale = ImageDraw.Draw(image), _PIXELS / (2 * HALF)
    for element in tree_of(svg):
        if element.tag == "circle":
            radius, width = float(element.attrib["r"]), float(element.get("stroke-width", _FINEST))
            if "fill" in element.attrib:
                radius, width = radius / 2, radius
            low, high = _PIXELS / 2 - (radius + width / 2) * scale, _PIXELS / 2 + (radius + width / 2) * scale
            pen.ellipse((low, low, high, high), outline=255, width=max(1, round(width * scale)))
        elif element.tag == "g":
            for each in drawn_in(element):
                ink = 0 if each.is_light else 255
                for line in each.lines:
                    points = [(float(x), float(y)) for x, y in line * scale + _PIXELS / 2]
                    if each.is_filled:
                        pen.polygon(points, fill=ink)
                    else:
                        pen.line(points, fill=ink)
    return np.asarray(image.resize((TONES, TONES), Image.Resampling.BOX), dtype=np.float64) / 255
