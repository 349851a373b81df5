"""What a sum answers when it cannot be done: which fields it lacks, or why the question lies outside its range."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Missing:
    """The sum needs these fields, named as in a record, before it can be done."""

    fields: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Outside:
    """The sum would leave the range in which it is known to hold; `reason` says so in a sentence."""

    reason: str
