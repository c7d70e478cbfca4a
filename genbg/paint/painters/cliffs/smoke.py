"""Smoke: a plume of balls that grow as they drift, torn at their edges, lit from one side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.solids import Eye, Seen
from genbg.paint.craft.solids.view import Point
from genbg.paint.craft.tonal import TonalPicture

TEAR = 7.0
"""Pixels by which noise moves the edge of a ball at most."""
SIDE, ABOVE, BEFORE = 0.72, 0.5, 0.2
"""The light on smoke, as parts of a vector: from its side, from above, from our side."""
LIT = 0.42
"""Cosine from which smoke is lit."""


@dataclass(frozen=True)
class Puff:
    """A ball of smoke in the world."""

    place: Point
    radius: float


def plume(dice: Dice, at: Point, wind: float) -> list[Puff]:
    """Balls of a plume from a mouth at `at`: each a little larger and farther down the wind.

    wind: 1 to the right, -1 to the left
    """
    x, y, z = at
    size, found = dice.between(3.4, 4.2), []
    for n in range(dice.whole(12, 17)):
        for _ in range(2 if n > 2 else 1):
            off = dice.between(-0.5, 0.5) * size, dice.between(-0.4, 0.4) * size
            found.append(Puff((x + off[0], y + off[1], z), size * dice.between(0.75, 1.1)))
        x += wind * size * (0.2 + 0.07 * n)
        y += size * max(0.16, 0.85 - 0.055 * n)
        size *= dice.between(1.05, 1.12)
    return found


def lay_smoke(
    picture: TonalPicture, seen: Seen, puffs: Sequence[Puff], eye: Eye, job: Job, sign: np.ndarray
) -> None:
    """Lay balls of smoke before the sky and before what stands behind them.

    sign: (1, W), 1 where the light comes from the left, as `Light.signs` has it
    """
    seed = hash_words(job.seed, "smoke")
    cells = job.width // 10
    tear = [
        fractal(job.width, job.lines, seed + n, cells, octaves=3, top=job.top).astype(np.float64)
        for n in range(2)
    ]
    for puff in puffs:
        column, line = eye.place(puff.place)
        radius = puff.radius * eye.focal / puff.place[2]
        reach = int(radius + TEAR) + 1
        columns = np.arange(int(column) - reach, int(column) + reach + 1)
        lines = np.arange(int(line) - reach, int(line) + reach + 1) - job.top
        lines = lines[(lines >= 0) & (lines < job.lines)]
        if not len(lines):
            continue
        part = np.ix_(lines, columns % job.width)
        right = (columns[None, :] + 0.5 - column + TEAR * tear[0][part]) / radius
        up = (line - job.top - lines[:, None] - 0.5 + TEAR * tear[1][part]) / radius
        away = right * right + up * up
        toward = np.sqrt(np.maximum(1.0 - away, 0.0))
        facing = -SIDE * right * sign[:, columns % job.width] + ABOVE * up + BEFORE * toward
        behind = ~seen.has[part] | (seen.depth[part] > puff.place[2] + puff.radius)
        where = np.zeros((job.lines, job.width), dtype=bool)
        where[part] = (away < 1.0) & behind
        tone = np.zeros(where.shape)
        shade = np.clip(1.2 + 1.1 * up, 0.0, 2.0)
        bright = 3.0 + (facing > 0.66) + (facing > 0.86)
        tone[part] = np.where(facing > LIT, bright, np.floor(shade))
        picture.lay(where, "slate", tone)
