"""Photographs on a page: each in the sizes it can be had in, with the largest behind a plain link."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType

from builder import addresses
from builder.published.beside import PublishedPhoto
from builder.seam import Section
from builder.templates import section

NO_COVERS: Mapping[str, PublishedPhoto] = MappingProxyType({})

#: Of the sizes, the widest of at most this width stands for all where a browser knows no choice of them.
_USUAL_WIDTH_PX = 960
#: A picture may be so much smaller than the frame it is to fill.
_LARGE_ENOUGH = 6 / 7


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph as a page shows it. Addresses are from that page; `choice` is the `srcset` of all its sizes."""

    usual: str
    width_px: int
    height_px: int
    choice: str
    large: str
    alt: str
    shows: str | None
    is_draft: bool


def photograph(photo: PublishedPhoto, address: str, page: str) -> Photograph:
    """A photograph of the instrument that has this `address`, for a page at `page`."""
    link = partial(addresses.from_page, page)
    by_width = {width: link(addresses.photo(address, photo.number, width)) for width, _ in photo.sizes_px}
    fitting = [size for size in photo.sizes_px if size[0] <= _USUAL_WIDTH_PX] or photo.sizes_px[:1]
    width, height = fitting[-1]
    return Photograph(
        usual=by_width[width],
        width_px=width,
        height_px=height,
        choice=", ".join(f"{place} {width}w" for width, place in by_width.items()),
        large=by_width[photo.sizes_px[-1][0]],
        alt=photo.alt,
        shows=photo.shows,
        is_draft=photo.is_draft,
    )


def size_to_fill(photo: PublishedPhoto, width_px: int, height_px: int) -> tuple[int, int]:
    """Width and height in pixels of the smallest size that fills so large a frame, or of the largest there is.

    A little too small is large enough: nobody sees it, and a larger size takes twice as long to read.
    """
    filling = (
        size for size in photo.sizes_px if size[0] >= width_px * _LARGE_ENOUGH and size[1] >= height_px * _LARGE_ENOUGH
    )
    return next(filling, photo.sizes_px[-1])


def gallery_section(photos: Sequence[PublishedPhoto], address: str, page: str) -> Section:
    """Photographs side by side."""
    return section(
        "photographs", "Photographs", "pages/instrument/photographs.html",
        photos=tuple(photograph(each, address, page) for each in photos),
    )  # fmt: skip
