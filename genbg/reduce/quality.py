"""The smallest budget that holds a quality, where a preset asks for that instead of a count."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from genbg.errors import LimitError

Result = TypeVar("Result")


def fit_budget(
    reduce: Callable[[int], Result],
    judge: Callable[[Result], float],
    count: Callable[[Result], int],
    quality: float,
    most: int,
    least: int = 1,
) -> Result:
    """What `reduce` makes of the smallest budget that is judged at least `quality`.

    reduce: the result of a budget least..most; judge: its quality, more is better
    count: how many tiles a result needs
    One tile less falls short. Quality need not grow with every single tile; where it does
    not, a smaller budget may hold by luck.

    The bracket is narrowed in turn where a straight line through what its ends lack would meet the
    quality, and in the middle, which a crooked curve can't slow down.

    Raises: LimitError where even `most` tiles fall short.
    """
    best = reduce(most)
    over = judge(best) - quality
    if over < 0:
        cure = "ask for less quality, raise machine.tile_budget or draw thriftier layers"
        raise LimitError(f"quality with {most} patterns", quality, over + quality, cure=cure)
    low, high, under = least - 1, min(most, count(best)), None
    halve = True
    while high - low > 1:
        middle = (low + high) // 2
        if under is not None and not halve:
            middle = low + int((high - low) * under / (under + over))
            middle = min(max(middle, low + 1), high - 1)
        halve = not halve
        middle_result = reduce(middle)
        reached = judge(middle_result) - quality
        if reached >= 0:
            best, high, over = middle_result, middle, reached
        else:
            low, under = middle, -reached
    return best
