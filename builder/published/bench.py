"""What the bench needs of one instrument and a buyer does not: shown in the shop edition alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from builder.published.beside import Visibility
from builder.published.body import PublishedBodyDrawing
from builder.published.columns import Measure
from builder.published.figures import Subject
from builder.published.levelling import PublishedLevelling

#: How far an instrument may have come that is still to be built.
TO_BUILD = ("planned", "inquiry", "quote", "for stock", "ordered")


@dataclass(frozen=True, slots=True)
class PublishedStep:
    """One step of the work, and the day it was done (ISO), if it is done."""

    step: str
    done: str | None


@dataclass(frozen=True, slots=True)
class PublishedGlue:
    """A glue as its label has it, times and limits in words; a value that is typical of its kind says so itself.

    `is_used` says whether a glue-up of this instrument names it.
    """

    name: str
    is_used: bool
    open_time: str
    clamps_off: str
    bears_load: str
    cured: str
    limits: str
    caution: str


@dataclass(frozen=True, slots=True)
class PublishedFinishing:
    """The finish schedule with its times and limits in words; `coats_left` are those not laid yet."""

    schedule: str
    product: str
    coats: int | None
    coats_left: int
    between_coats: str
    cured: str
    limits: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PublishedClearance:
    """The room wanted between the crown of a fret and the open string above it."""

    fret: str
    under: Literal["all strings", "the bass string", "the treble string"]
    clearance: Measure


@dataclass(frozen=True, slots=True)
class PublishedBench:
    """The bench page of one instrument. `stage` is how far it has come; `heights` are the frets to level.

    `steps` stand in the order of the record. `glues` are those its glue-ups name, and the whole shelf while it is not
    finished. `room_limits` is the room the shop glues and finishes in, in words. `address` is what the addresses of
    its pages are made of, `visibility` who may find them.
    """

    serial: str
    address: str
    title: str
    kind: str
    visibility: Visibility
    stage: str
    promised: str | None
    steps: tuple[PublishedStep, ...]
    glues: tuple[PublishedGlue, ...]
    finishing: PublishedFinishing | None
    room_limits: str
    clearances: tuple[PublishedClearance, ...]
    body_drawing: PublishedBodyDrawing | None
    heights: PublishedLevelling | None
    subjects: tuple[Subject, ...]

    @property
    def is_to_build(self) -> bool:
        """Whether it is still to be built, ordered or not."""
        return self.stage in TO_BUILD
