"""Words for a recording, where the maker has any. A file in the folder `recordings` needs none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from builder.limits import Words
from builder.record.words import Sentence

#: The name of a file in the folder `recordings`, as it stands there.
RecordingName = Annotated[str, Words(255)]


@dataclass(frozen=True, slots=True)
class RecordingWords:
    """What is played on a recording, by whom, and whether it is a draft that never leaves."""

    plays: Sentence | None = None
    by: Sentence | None = None
    draft: bool = False
