"""The command that says how the bench stands: board."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import click

from builder.commands.asked import at_option, moment_said, open_here, shop_option, stop_on_problems
from builder.publish.bench_board import publish_bench_board
from builder.published.bench_board import PublishedBenchBoard, PublishedBoardLine, PublishedWork


@click.command()
@at_option
@shop_option
def board(said_at: str | None, folder: Path) -> None:
    """Say what can leave the clamps, what rests, what comes next, and what the week brings."""
    moment = moment_said(said_at)
    workshop = open_here(folder, private_files=True)
    if workshop.shop is None or workshop.has_errors:
        stop_on_problems(workshop.problems)
    for line in _lines(publish_bench_board(workshop, moment)):
        click.echo(line)


def _lines(board: PublishedBenchBoard) -> Iterator[str]:
    """The board in plain lines, as much as there is to say."""
    yield f"The bench on {board.moment}."
    yield from _part("Ready now", map(_line, board.ready))
    yield from _part("In clamps and drying", map(_line, board.resting))
    yield from _part("Next steps", map(_work, board.work))
    days = ((each.day, line) for each in board.ahead for line in each.lines)
    yield from _part("The week ahead", (_event(day, line) for day, line in days))
    if board.room:
        says = (f"{board.room.last}. {board.room.says}", *(f"  {each}" for each in board.room.outside))
        yield from _part("The room", says)
    if board.has_typical_times:
        yield "\n* typical of this kind of glue; its label leads."


def _part(title: str, lines: Iterable[str]) -> Iterator[str]:
    several = list(lines)
    if several:
        yield f"\n{title}"
        yield from (f"  {each}" for each in several)


def _line(line: PublishedBoardLine) -> str:
    also = f"; {line.also}" if line.also else ""
    return f"{line.serial}  {line.what}: {line.says}, {line.when}{'*' if line.is_typical else ''}{also}"


def _event(day: str, line: PublishedBoardLine) -> str:
    what = f"{line.what}: {line.says}" if line.what else line.says
    return f"{day}{' ' if line.when else ''}{line.when}  {line.serial}  {what}{'*' if line.is_typical else ''}"


def _work(work: PublishedWork) -> str:
    step = f"{work.next_step or 'no step written'}{f' ({work.takes})' if work.takes else ''}"
    waits = [*(["to be begun"] if work.state == "not begun" else []), *work.waits]
    said = [step, *([f"waits: {', '.join(waits)}"] if waits else []), *([work.due] if work.due else [])]
    return f"{work.serial}  {'; '.join(said)}"
