"""Words for a photograph, where the maker has any. A file in the folder `photos` needs none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from builder.limits import Words
from builder.record.words import Sentence

#: The name of a file in the folder `photos`, as it stands there.
PhotoName = Annotated[str, Words(255)]


@dataclass(frozen=True, slots=True)
class PhotoWords:
    """What a photograph shows, what to tell those who cannot see it, and whether it is a draft that never leaves."""

    shows: Sentence | None = None
    alt: Sentence | None = None
    draft: bool = False
