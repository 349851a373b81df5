"""Which fields a buyer may come to see, themselves or what is worked out from them. All others stay in the workshop."""

from __future__ import annotations

from collections.abc import Mapping

#: Files of which nothing is ever seen.
_PRIVATE_FILES = {"private", "shop-private", "pattern"}

#: Shape ─► its fields that stay in the workshop, in files that are seen.
_KEPT: Mapping[str, frozenset[str]] = {
    "Record": frozenset({"format", "visibility", "started_from"}),
    "Dates": frozenset({"promised"}),
    "Shop": frozenset({"format", "clamps", "angle_blocks", "room_limits", "allowances", "levelling", "label"}),
    "WoodRack": frozenset({"format"}),
    "Billet": frozenset({"size", "papers", "private"}),
    "BilletPrivate": frozenset({"seller", "price"}),
}


def may_be_seen(file: str, shape: str, field: str) -> bool:
    """Whether a buyer may come to see a field of a file."""
    return file not in _PRIVATE_FILES and field not in _KEPT.get(shape, frozenset())
