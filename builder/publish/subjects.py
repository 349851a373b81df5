"""Every subject besides board, frets and strings, in the order of the page: for the buyer, and for the bench."""

from __future__ import annotations

from builder.published import Figures, Subject
from builder.shop import Shop
from builder.workshop import Instrument


def buyer_subjects(instrument: Instrument, shop: Shop) -> tuple[Subject, ...]:
    """What a buyer may see, each subject only if there is something to show."""
    return _kept()


def bench_subjects(instrument: Instrument, shop: Shop) -> tuple[Subject, ...]:
    """What the bench needs, each subject only if there is something to show or something wanting."""
    return _kept()


def _kept(*subjects: tuple[str, str, Figures | None]) -> tuple[Subject, ...]:
    return tuple(
        Subject(key, title, figures)
        for key, title, figures in subjects
        if figures is not None and (not figures.is_empty or figures.wanting)
    )
