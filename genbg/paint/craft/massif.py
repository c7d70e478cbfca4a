"""Mountains: crests that run down from a summit and branch, as points for `relief.hull`."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import cosine, sine

STEP = 1.5
"""Pixels from one point of a crest to the next."""
FALLS = (0.35, 0.9, 1.7)
"""What a step falls, in shares of the crest's slope: a ledge, a slope, a step."""
FLOOR = -4.0
"""Height at which a crest ends."""
BRANCHES = 3
"""Generations of side crests."""
ARMS = (0.49, 0.015, -0.34, -0.18)
"""Ways, in turns, that the main crests run: left, right, two toward us."""
TURNS = 1024
"""Parts of a full turn in the table of ways."""

_WAYS = np.arange(TURNS) / TURNS
_ALONG = (STEP * cosine(_WAYS)).tolist()
_AWAY = (STEP * sine(_WAYS)).tolist()


def crests(
    dice: Dice,
    x: float,
    z: float,
    height: float,
    slope: float,
    arms: tuple[float, ...] = ARMS,
    branches: int = BRANCHES,
) -> np.ndarray:
    """Points (P, 3) float64 of x, depth, height on all crests that run down from one summit.

    slope: mean fall of a main crest a pixel; side crests are steeper
    branches: generations of side crests
    """
    points: list[tuple[float, float, float]] = []
    todo = [
        (x, z, height, way + 0.03 * 0.5 * dice.bell(), slope * dice.between(0.85, 1.15), 0)
        for way in arms
    ]
    while todo:
        todo += _run_down(dice, points, branches, *todo.pop())
    return np.array(points)


def _run_down(
    dice: Dice,
    points: list[tuple[float, float, float]],
    branches: int,
    x: float,
    z: float,
    height: float,
    way: float,
    slope: float,
    generation: int,
) -> list[tuple[float, float, float, float, float, int]]:
    """Add one crest's points, and return the side crests that leave it."""
    found = []
    side, gap, first = dice.choice((-1, 1)), dice.between(3, 7), way
    while height > FLOOR:
        points.append((x, z, height))
        a, b, c, d, fall = dice.take(5)
        way += 0.035 * 0.5 * (a + b + c + d - 2.0) + (first - way) * 0.12  # a, b, c, d: `bell`
        turn = int(way * TURNS) % TURNS
        x, z = x + _ALONG[turn], z + _AWAY[turn]
        height -= STEP * slope * FALLS[int(fall * len(FALLS))]
        gap -= STEP
        if gap < 0 and generation < branches:
            branch = way + side * dice.between(0.095, 0.167)
            steeper = slope * dice.between(1.05, 1.25)
            found.append((x, z, height - 0.5, branch, steeper, generation + 1))
            side, gap = -side, dice.between(5, 12) * (1 + 0.5 * generation)
    return found
