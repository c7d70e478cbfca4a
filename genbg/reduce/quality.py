"""The smallest budget that holds a quality, where a preset asks for that instead of a count."""

from __future__ import annotations

from collections.abc import Callable

from genbg.errors import LimitError
from genbg.model import StoredPlanes


def fit_budget(
    reduce: Callable[[int], StoredPlanes],
    judge: Callable[[StoredPlanes], float],
    quality: float,
    most: int,
) -> StoredPlanes:
    """Planes of the smallest budget that are judged at least `quality`, by halving.

    reduce: planes of a budget 1..most; judge: their quality, more is better
    One pattern less falls short. Quality need not grow with every single pattern; where it does
    not, a smaller budget may hold by luck.

    Raises: LimitError where even `most` patterns fall short.
    """
    best = reduce(most)
    reached = judge(best)
    if reached < quality:
        cure = "ask for less quality or for thriftier layers"
        raise LimitError(f"quality with {most} patterns", quality, reached, cure=cure)
    low, high = 0, min(most, len(best.patterns))
    while high - low > 1:
        middle = (low + high) // 2
        trial = reduce(middle)
        if judge(trial) >= quality:
            best, high = trial, middle
        else:
            low = middle
    return best
