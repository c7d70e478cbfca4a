"""Fades: the way from one of the 512 colours to another, in steps that look even.

The ideal way is the straight line in OKLab. Its nearest grid colours would swing from hue to hue,
since the grid is coarse, so the steps are chosen as a whole, as the inks of a ramp are
(`ramps.py`): near the line, evenly apart, never back, and with little movement across it.
"""

from __future__ import annotations

import functools

import numpy as np

from genbg.colour import LINEAR_LEVELS, distance_steps, lab_steps, oklab_table
from genbg.paint.ramps import choose_ramps, spread_anchors

STEP = 40
"""Lab steps from one colour of a fade to the next, about what one level of green changes."""
MOST = 24
"""Colours of a fade; black to white takes 24 steps of the size above."""


def fade_paths(
    pairs: np.ndarray, levels: tuple[int, ...] = LINEAR_LEVELS
) -> dict[tuple[int, int], tuple[int, ...]]:
    """The colour numbers of a fade, from the first to the last, for pairs (n, 2) of them.

    Two neighbours always differ. A colour that stays has itself alone.
    """
    distinct = sorted({(int(a), int(b)) for a, b in pairs})
    return {pair: _path(*pair, levels) for pair in distinct}


@functools.lru_cache(maxsize=4096)
def _path(first: int, last: int, levels: tuple[int, ...]) -> tuple[int, ...]:
    if first == last:
        return (first,)
    ends = oklab_table(levels)[[first, last]]
    steps = lab_steps(levels)
    count = min(MOST, 2 + _root(int(distance_steps(steps[first], steps[last]))) // STEP)
    chosen = choose_ramps([spread_anchors(ends, count)], levels)[0].tolist()
    path = [first, *chosen[1:-1], last]
    return tuple(b for a, b in zip([-1, *path], path, strict=False) if a != b)


def _root(square: int) -> int:
    """Whole part of a root of a whole number."""
    root = int(np.sqrt(square))
    return root - (root * root > square)
