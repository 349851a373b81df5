"""Folders that must stand apart: what is built is put in place whole, and what stood there before is gone."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations
from pathlib import Path


class NotApart(Exception):
    """Two folders are one, or one lies in the other; the message says which."""


def see_apart(folders: Mapping[str, Path]) -> None:
    """Raise NotApart where two of the folders are the same, or one lies inside another, by whatever name.

    Each is named as a maker would name it, such as `the folder of the site`.
    """
    real = {said: folder.resolve() for said, folder in folders.items()}
    for one, other in combinations(real, 2):
        if real[one] == real[other]:
            raise NotApart(f"{one} and {other} would be the same, {real[one]}; each needs one of its own")
        for inner, outer in ((one, other), (other, one)):
            if real[inner].is_relative_to(real[outer]):
                raise NotApart(f"{inner}, {real[inner]}, lies inside {outer}; put it elsewhere")


def see_that_records_are_safe(shop_folder: Path, written: Mapping[str, Path]) -> None:
    """Raise NotApart where a folder that is written whole has the maker's own files in it, or is among them."""
    records = (shop_folder / "records").resolve()
    for said, folder in written.items():
        real = folder.resolve()
        if real == records or records.is_relative_to(real) or real.is_relative_to(records):
            raise NotApart(f"{said} would be {real}, where your records are; nothing may be built there")
