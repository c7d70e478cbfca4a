"""Fades: the way from one of the 512 colours to another, in steps that no eye follows.

The ideal way is the straight line in OKLab. The grid colour nearest to each point of it would swing
from hue to hue, since the grid is coarse; so the colours are chosen as a whole, by dynamic
programming, for the least sum of errors of place and of step, with hue and chroma weighed more than
lightness. All sums are of whole numbers, so the choice is the same on every machine.
"""

from __future__ import annotations

import functools
import math
from itertools import pairwise

import numpy as np

from genbg.colour import LINEAR_LEVELS, distance_steps, lab_steps

STEP = 40
"""Lab steps from one colour of a fade to the next, about what one level of green changes."""
MOST = 24
"""Colours of a fade; black to white takes 24 steps of the size above."""
CANDIDATES = 16
"""Grid colours tried at each step: those within about two grid steps of the ideal point."""
WEIGHTS = np.array([1, 4, 4])
"""Of an error in L, a and b: a hue that strays is seen sooner than a lightness that does."""


def fade_paths(
    pairs: np.ndarray, levels: tuple[int, ...] = LINEAR_LEVELS
) -> dict[tuple[int, int], tuple[int, ...]]:
    """The colour numbers of a fade, from the first to the last, for pairs (n, 2) of them.

    Two neighbours always differ. A colour that stays has itself alone.
    """
    distinct = sorted({(int(a), int(b)) for a, b in pairs})
    return {pair: fade_path(*pair, levels) for pair in distinct}


@functools.lru_cache(maxsize=8192)
def fade_path(first: int, last: int, levels: tuple[int, ...] = LINEAR_LEVELS) -> tuple[int, ...]:
    """The colour numbers of one fade. Ties: the candidate nearer to the line, then the lower."""
    if first == last:
        return (first,)
    table = lab_steps(levels).astype(np.int64)
    whole = math.isqrt(int(distance_steps(table[first], table[last])))
    ideal = ideal_points(table[first], table[last], min(MOST, 2 + whole // STEP))
    gap = ((ideal[:, None] - table[None]) ** 2 * WEIGHTS).sum(axis=2)
    near = np.argsort(gap, axis=1, kind="stable")[:, :CANDIDATES]
    near[0], near[-1] = first, last
    chosen = choose_way(ideal, table[near], np.take_along_axis(gap, near, axis=1))
    path = [int(row[place]) for row, place in zip(near, chosen, strict=True)]
    return (first, *(b for a, b in pairwise(path) if a != b))


def ideal_points(first: np.ndarray, last: np.ndarray, count: int) -> np.ndarray:
    """Lab steps (count, 3) int64 evenly along the line between two colours, both included."""
    part = np.arange(count)[:, None]
    return first + (2 * part * (last - first) + count - 1) // (2 * (count - 1))


def choose_way(ideal: np.ndarray, tried: np.ndarray, gap: np.ndarray) -> list[int]:
    """Which candidate stands at each of n points: (n,) places.

    ideal: (n, 3); tried: (n, C, 3) candidates; gap: (n, C) weighted squared distance to the point
    """
    best, came = gap[0], []
    for k in range(1, len(ideal)):
        move = tried[k][None] - tried[k - 1][:, None] - (ideal[k] - ideal[k - 1])
        total = best[:, None] + (move * move * WEIGHTS).sum(axis=2)
        came.append(total.argmin(axis=0))
        best = total.min(axis=0) + gap[k]
    places = [int(best.argmin())]
    for back in reversed(came):
        places.append(int(back[places[-1]]))
    return places[::-1]
