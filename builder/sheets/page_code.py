"""The address of an instrument's page as a code that a telephone reads (QR code: ISO/IEC 18004)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import groupby

import segno

from builder import addresses
from builder.published import PublishedShop

#: Modules left white on every side (ISO/IEC 18004: four), without which readers do not find the code.
QUIET_MODULES = 4
#: So large must one module be on paper to be read by a telephone held in a hand, in poor light (common practice).
LEAST_MODULE_MM = 0.4


@dataclass(frozen=True, slots=True)
class PageCode:
    """A code as one drawn path, in modules; `modules` is its width with the white margin on both sides."""

    address: str
    modules: int
    path: str

    @property
    def least_mm(self) -> float:
        """The least width on paper, white margin included, at which it can be read."""
        return self.modules * LEAST_MODULE_MM


def page_address(address: str, shop: PublishedShop) -> str | None:
    """The whole address of an instrument's page, if the shop has a site address."""
    return addresses.on_the_web(addresses.instrument_page(address), shop.site_address)


@cache
def page_code(address: str) -> PageCode:
    """The code of an address; a seventh of it may be soiled or torn and it can still be read (level M)."""
    matrix = segno.make(address, error="m", micro=False).matrix
    path = "".join(
        f"M{x + QUIET_MODULES} {y + QUIET_MODULES}h{length}v1h-{length}z"
        for y, row in enumerate(matrix)
        for x, length in _dark_runs(row)
    )
    return PageCode(address, len(matrix) + 2 * QUIET_MODULES, path)


def _dark_runs(row: Iterable[int]) -> Iterator[tuple[int, int]]:
    """Where dark modules begin in a row, and how many stand side by side."""
    place = 0
    for is_dark, modules in groupby(map(bool, row)):
        length = len(list(modules))
        if is_dark:
            yield place, length
        place += length
