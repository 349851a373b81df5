"""The shape of what a record says about the body: outline, depth, sides, blocks, linings, sound holes, braces.

Places are pairs `[x, y]`: `x` along the centre line from the tail end of the body, `y` from the centre line, the bass
side positive, as seen from above the soundboard. The outline is that of the outside of the sides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from builder.lengths import Length, Position
from builder.limits import Between, Degrees, Words
from builder.record.words import Line

Plate = Literal["soundboard", "back"]
ShapeName = Literal["circle", "ellipse", "rectangle", "trapezoid", "teardrop", "hourglass"]
HoleShape = Literal["circle", "ellipse", "slot", "rectangle", "diamond", "heart"]

#: A place along the centre line or across it. Anything longer than a bass is a slip.
Coordinate = Annotated[Position, Between("-3 m", "3 m")]
Place = tuple[Coordinate, Coordinate]
#: A station of half widths: how far from the tail end, and half the width there.
Station = tuple[Annotated[Length, Between("0 mm", "3 m")], Annotated[Length, Between("0 mm", "1 m")]]

NO_TILT = Degrees(0.0)

_Size = Annotated[Length, Between("1 mm", "3 m")]
_SizeOrNothing = Annotated[Length, Between("0 mm", "3 m")]


@dataclass(frozen=True, slots=True)
class OutlineSpec:
    """The outline of the body, in one of four ways: `half_widths`, `points`, `shape` or `traced`.

    `half_widths` go from the tail end (0) to the head end; a smooth curve runs through them on both sides. Where the
    first or last is 0 the outline closes round, or to a point with `ends: pointed`; any other is a flat end face.
    `points` go once round the body, or with `mirrored: yes` along the bass side from tail to head.
    `shape` is a named one, with its sizes; `corners` is the radius of a rectangle's corners. `traced` is the name of
    an SVG file in the folder `outlines`; its first path is taken, with the tail to the `tail_at` side of the picture,
    and made as long as `length` says (without it, as large as the picture says it is).
    """

    half_widths: tuple[Station, ...] = ()
    ends: Literal["round", "pointed"] = "round"
    points: tuple[Place, ...] = ()
    joined: Literal["smooth", "straight"] = "smooth"
    mirrored: bool = False
    shape: ShapeName | None = None
    length: _Size | None = None
    width: _Size | None = None
    widest_at: _Size | None = None
    waist: _Size | None = None
    waist_at: _Size | None = None
    upper_bout: _Size | None = None
    upper_bout_at: _Size | None = None
    tail_width: _SizeOrNothing | None = None
    head_width: _SizeOrNothing | None = None
    corners: _SizeOrNothing | None = None
    traced: Annotated[str, Words(60)] | None = None
    tail_at: Literal["left", "right", "top", "bottom"] = "left"


@dataclass(frozen=True, slots=True)
class DepthSpec:
    """How deep the body is at its two ends; with plates (`outside`) or between them (`inside`)."""

    tail: Annotated[Length, Between("5 mm", "600 mm")]
    head: Annotated[Length, Between("5 mm", "600 mm")] | None = None
    measured: Literal["outside", "inside"] = "outside"


@dataclass(frozen=True, slots=True)
class EndBlocksSpec:
    """The blocks at tail and head: how far each is glued along one side, and how far it reaches into the body.

    At a rounded end, where one block lies across the centre line, that is half of its width.
    """

    tail: Annotated[Length, Between("2 mm", "400 mm")] | None = None
    head: Annotated[Length, Between("2 mm", "400 mm")] | None = None
    tail_thickness: Annotated[Length, Between("2 mm", "400 mm")] | None = None
    head_thickness: Annotated[Length, Between("2 mm", "400 mm")] | None = None


@dataclass(frozen=True, slots=True)
class LiningsSpec:
    """The strips between sides and plates: `width` into the body, `height` along the side.

    `kerf` is how wide each cut is, `kerf_depth` how deep, from the face that looks into the body; `strip` is how long
    a strip of stock is. `plates` are those that have linings.
    """

    width: Annotated[Length, Between("1 mm", "50 mm")] | None = None
    height: Annotated[Length, Between("1 mm", "100 mm")] | None = None
    kerf: Annotated[Length, Between("0.1 mm", "6 mm")] | None = None
    kerf_depth: Annotated[Length, Between("0.2 mm", "50 mm")] | None = None
    strip: Annotated[Length, Between("50 mm", "3 m")] | None = None
    plates: tuple[Plate, ...] = ("soundboard", "back")


@dataclass(frozen=True, slots=True)
class SoundHoleSpec:
    """A hole in a plate. `mirrored` cuts its mirror image too, on the other side of the centre line.

    `long` lies along the centre line, `wide` across; `tilt` turns the hole, its head end towards the bass side. A
    circle needs `long` alone: its diameter.
    """

    at: Place
    shape: HoleShape
    long: Annotated[Length, Between("1 mm", "600 mm")]
    wide: Annotated[Length, Between("1 mm", "600 mm")] | None = None
    plate: Plate = "soundboard"
    mirrored: bool = False
    tilt: Annotated[Degrees, Between("-180", "180")] = NO_TILT


@dataclass(frozen=True, slots=True)
class BraceSpec:
    """A brace on a plate, along the straight line from `starts` to `ends`; `height` stands up from the plate.

    `end_height` is how high it is left at its ends, `taper` over which length it comes down to that.
    """

    plate: Plate
    starts: Place
    ends: Place
    name: Annotated[str, Words(40)] | None = None
    width: Annotated[Length, Between("1 mm", "100 mm")] | None = None
    height: Annotated[Length, Between("1 mm", "150 mm")] | None = None
    end_height: Annotated[Length, Between("0 mm", "150 mm")] | None = None
    taper: Annotated[Length, Between("0 mm", "1 m")] | None = None
    species: Line | None = None
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class BodySpec:
    """The body. Every part is optional; what is not there is not worked out. The plates' thickness is in `wood`."""

    outline: OutlineSpec | None = None
    depth: DepthSpec | None = None
    sides: Annotated[Length, Between("0.3 mm", "60 mm")] | None = None
    end_blocks: EndBlocksSpec | None = None
    linings: LiningsSpec | None = None
    sound_holes: tuple[SoundHoleSpec, ...] = ()
    braces: tuple[BraceSpec, ...] = ()
