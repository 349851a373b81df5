"""Every field of every file, as the page that explains them has it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PublishedField:
    """A key: what it means, how it is written, an example, what lies in bounds, and who may come to see it.

    `group` is the key of the group that tells what stands below it, where there is one.
    """

    name: str
    meaning: str
    written: str
    example: str
    bounds: str
    group: str | None
    is_required: bool
    is_for_buyers: bool


@dataclass(frozen=True, slots=True)
class PublishedGroup:
    """Keys that stand together: where, what they are together, and each of them."""

    key: str
    place: str
    about: str
    fields: tuple[PublishedField, ...]


@dataclass(frozen=True, slots=True)
class PublishedFile:
    """One kind of file: what it is called, where it stands, and its groups, each told where it is first met."""

    key: str
    title: str
    place: str
    groups: tuple[PublishedGroup, ...]
