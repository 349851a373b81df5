"""The shape of the shop's own private file: what concerns the whole workshop and nobody else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from builder.limits import Words
from builder.record.words import Format


@dataclass(frozen=True, slots=True)
class ShopPrivate:
    """What only the workshop may see of itself; it stands in `private.yaml` beside the shop file. Never published."""

    format: Format
    notes: Annotated[str, Words(10_000, lines=True)] | None = None
