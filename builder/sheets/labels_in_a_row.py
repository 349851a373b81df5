"""Labels beside places that lie too close together: moved apart as little as possible."""

from __future__ import annotations

from collections.abc import Sequence


def moved_apart(places: Sequence[float], gap: float) -> tuple[float, ...]:
    """Where labels go so that neighbours are `gap` apart and the squares of all moves add up to the least.

    `places` rise or stay alike; the answer is in the same order. Least squares under an order: neighbours that clash
    are put together in a block around their common middle, and blocks that clash join (pooling adjacent violators).
    """
    blocks: list[tuple[float, int]] = []  # middle of places less the gaps before them, and how many
    for number, place in enumerate(places):
        middle, count = place - number * gap, 1
        while blocks and blocks[-1][0] > middle:
            before, many = blocks.pop()
            middle, count = (before * many + middle * count) / (many + count), many + count
        blocks.append((middle, count))
    moved = [middle for middle, count in blocks for _ in range(count)]
    return tuple(middle + number * gap for number, middle in enumerate(moved))
