"""The code of a page's address, read back with an independent decoder."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.sheets.page_code import QUIET_MODULES, PageCode, page_address, page_code
from tests.certificate_samples import BARE_SHOP, SHOP, USUAL

ADDRESSES = [
    "https://example.org/instruments/2026-014.html",
    f"https://example.org/{'long-address/' * 15}instruments/{'N' * 40}.html",
    "https://münster.example/säge/instruments/1.html",
]


def modules_of(code: PageCode) -> np.ndarray[tuple[int, int], np.dtype[np.uint8]]:
    """The drawn path as a square of light (255) and dark (0) modules."""
    square = np.full((code.modules, code.modules), 255, np.uint8)
    runs = re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", code.path)
    assert "".join(f"M{x} {y}h{length}v1h-{back}z" for x, y, length, back in runs) == code.path
    for x, y, length, back in runs:
        assert length == back
        square[int(y), int(x) : int(x) + int(length)] = 0
    return square


def decoded(square: np.ndarray[tuple[int, int], np.dtype[np.uint8]], scale: int = 4) -> list[str]:
    return [found.text for found in zxingcpp.read_barcodes(np.kron(square, np.ones((scale, scale), np.uint8)))]


@pytest.mark.parametrize("address", ADDRESSES)
def test_it_says_the_address(address: str) -> None:
    assert decoded(modules_of(page_code(address))) == [address]


@settings(max_examples=30, deadline=None)
@given(st.text("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-/.%?=&", min_size=1, max_size=240))
def test_any_address_is_read_back(rest: str) -> None:
    address = f"https://example.org/{rest}"
    assert decoded(modules_of(page_code(address))) == [address]


@pytest.mark.parametrize("address", ADDRESSES)
def test_four_modules_stay_white_on_every_side(address: str) -> None:
    """ISO/IEC 18004: the quiet zone of a QR code is four modules wide, and its side has 17 + 4 v modules."""
    square = modules_of(page_code(address))
    assert QUIET_MODULES == 4
    dark_rows, dark_columns = np.where(square == 0)
    for places in (dark_rows, dark_columns):
        assert places.min() == 4
        assert places.max() == len(square) - 5
    assert (len(square) - 8 - 17) % 4 == 0


def test_a_soiled_corner_does_not_matter() -> None:
    """Level M restores about 15 % of the codewords (ISO/IEC 18004): a stain of 6 × 6 modules on 33 × 33 is 3.3 %."""
    address = ADDRESSES[0]
    square = modules_of(page_code(address))
    for x, y in product((14, 22), (14, 20)):
        stained = square.copy()
        stained[y : y + 6, x : x + 6] = 0
        assert decoded(stained) == [address], (x, y)


def test_the_address_is_that_of_the_page_or_none() -> None:
    assert page_address("2026-014", replace(SHOP, site_address="https://example.org/a/")) == (
        "https://example.org/a/instruments/2026-014.html"
    )
    assert page_address("2026-014", replace(SHOP, site_address="https://example.org")) == (
        "https://example.org/instruments/2026-014.html"
    )
    assert page_address(USUAL.serial, BARE_SHOP) is None
