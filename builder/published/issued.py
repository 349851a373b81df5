"""The certificate of an instrument once issued, as a page tells of it: number, day, fingerprint, what changed since."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PublishedChange:
    """One thing that is said otherwise than before, each in words; `was` or `now` is empty where nothing was said.

    `is_written` where it stands in the record; what is not written is worked out from it.
    """

    what: str
    was: str
    now: str
    is_written: bool


@dataclass(frozen=True, slots=True)
class PublishedAmendment:
    """A change told after the certificate was issued: its number from 1, its day (ISO), why, and what changed."""

    number: int
    date: str
    reason: str
    changes: tuple[PublishedChange, ...]
    fingerprint: str


@dataclass(frozen=True, slots=True)
class PublishedStored:
    """A file that was issued: what it is, in words, and its SHA-256."""

    words: str
    sha256: str


@dataclass(frozen=True, slots=True)
class PublishedIssue:
    """A certificate as issued. `not_amended` is what the record says otherwise today, and no amendment tells of.

    `files` are all that were issued, so that somebody's copy can be compared with them.
    """

    number: str
    date: str
    fingerprint: str
    amendments: tuple[PublishedAmendment, ...] = ()
    not_amended: tuple[PublishedChange, ...] = ()
    files: tuple[PublishedStored, ...] = ()

    @property
    def unamended(self) -> tuple[PublishedChange, ...]:
        """Of that, what is written in the record, and so must be told."""
        return tuple(each for each in self.not_amended if each.is_written)
