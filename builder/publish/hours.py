"""Names what the bench page shows of the hours worked. They come from the private file: for the shop edition alone."""

from __future__ import annotations

from builder.lengths import trimmed
from builder.publish.measures import kept
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.results.hours import HoursResults
from builder.words import counted


def hours_of(results: HoursResults | None) -> Figures | None:
    """All hours, and at which steps they were spent; None where none are written down."""
    if results is None:
        return None
    said = f"{trimmed(results.total_hours, 2)} h in {counted(results.sittings, 'sitting')}"
    columns = (Column("step", "step", "", "record"), Column("hours", "hours", "h", "record", 2))
    rows = tuple((each.step or "no step named", kept(each.hours)) for each in results.by_step)
    table = FigureTable("hours_by_step", "Hours by step", "Hours by step", Table(columns, rows))
    return Figures(
        facts=(Figure("hours", "Worked so far", said, value=kept(results.total_hours), unit="h"),),
        tables=(table,) if len(rows) > 1 else (),
    )
