"""What has been done to an instrument since it was handed over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from builder.record.words import Sentence


@dataclass(frozen=True, slots=True)
class ServiceEntry:
    """Work on the finished instrument: new strings, a dressed fret, a repair. Shown to buyers."""

    date: date
    did: Sentence
