"""The label inside the instrument, as it is to be printed."""

from __future__ import annotations

from dataclasses import dataclass

from builder.published.columns import Measure


@dataclass(frozen=True, slots=True)
class PublishedLabel:
    """Size and words of the label; the fields are where its size is written, for whoever must change it.

    `fingerprint` is that of the certificate, empty while none is issued.
    """

    width: Measure
    height: Measure
    width_field: str
    height_field: str
    words: str | None
    fingerprint: str = ""
