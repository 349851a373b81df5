"""The bench board at the head of the bench page: what is ready, what rests, what comes next, the room, the week."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from builder import addresses
from builder.published.bench_board import PublishedBenchBoard
from builder.seam import Section
from builder.templates import section


def bench_board_sections(board: PublishedBenchBoard, link: Callable[[str], str]) -> Iterator[Section]:
    """The parts of the board; `link` leads to an address from the page they stand on."""

    def part(id: str, title: str, template: str) -> Section:
        return section(
            id, title, f"pages/bench/board/{template}.html", board=board, link=link, bench_page=addresses.bench_page
        )

    yield part("", "", "moment")
    yield part("bench-ready", "Ready now", "ready")
    if board.resting:
        yield part("bench-resting", "In clamps and drying", "resting")
    if board.work:
        yield part("bench-next", "Next steps", "next")
    yield part("bench-week", "The week ahead", "week")
    if board.room:
        yield part("bench-room", "The room", "room")
    yield part("", "", "end")
