"""Where stones stand: groups of boulders, and the blocks that make a headland."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import blur, smooth
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.stones import Stone
from genbg.paint.painters.crags.keys import Keys

CAPE = 150.0
"""Pixels that a headland measures along its foot."""
CAPES = (
    (0.1, 0.5, 0.9, 1.0, 0.95, 0.8, 0.66, 0.5, 0.3, 0.12),
    (0.3, 0.95, 0.45, 0.2, 0.5, 0.85, 1.0, 0.75, 0.4, 0.15),
    (0.15, 0.3, 0.5, 0.72, 0.88, 1.0, 0.6, 0.18, 0.4, 0.1),
)
"""Heights along capes, from their brow to their back: a long back; stacks; one that climbs."""
PATH = 60.0
"""What a column on the body's path counts, beside pixels of foam in it: stones keep off both."""
SEEDS = 2**31


@dataclass(frozen=True)
class Group:
    """Stones that stand together.

    first, last: columns of their foot; row: its row; tall: their height in pixels
    """

    stones: tuple[Stone, ...]
    first: float
    last: float
    row: float
    tall: float
    seed: int

    @property
    def middle(self) -> float:
        return (self.first + self.last) / 2


def light_x(job: Job) -> float:
    """The column that light comes from."""
    return job.body.x if job.body is not None else (0.5 + 0.5 * job.light[0]) * job.width


def off(job: Job, x: float, other: float) -> float:
    """Pixels from column x to another, the shorter way round."""
    return (other - x + job.width / 2) % job.width - job.width / 2


def _draws(seed: int, number: int, count: int) -> list[float]:
    return np.asarray(unit(seed, number, np.arange(count))).tolist()


def plan(keys: Keys, job: Job) -> list[Group]:
    """All groups, from back to front."""
    sun = light_x(job)
    if keys.kind == "headland":
        side, away = _draws(job.seed, 1, 2)
        x = sun + (1.0 if side < 0.5 else -1.0) * (130.0 + 70.0 * away)
        return [_headland(keys, job, x if keys.place < 0 else keys.place * job.width)]
    found = []
    for n, x in enumerate(_quiet_places(keys, job, sun)):
        found += _boulders(keys, job, x, n)
    return sorted(found, key=lambda group: group.row)


def _quiet_places(keys: Keys, job: Job, sun: float) -> list[float]:
    """Columns for groups, apart from each other, from the body's path and from foam that is seen.

    The layers that this one sees tell where foam is: stones keep away from a breaking wave.
    """
    busy = np.zeros(job.width)
    for seen in job.seen.values():
        first = 1
        for use in seen.painting.ramps:
            inks = (seen.painting.ink >= first) & (seen.painting.ink < first + use.steps)
            busy += 6.0 * inks.sum(axis=0) * (use.name in ("foam", "glass"))
            first += use.steps
    busy = blur(busy[None, :], 48, 0)[0]
    columns = np.arange(0, job.width, 8)
    score = busy[columns] + 1.5 * unit(job.seed, columns, 3)
    near = np.abs([off(job, float(x), sun) for x in columns])
    score = score + PATH * smooth(near, 130.0, 70.0)
    found: list[float] = []
    for _ in range(keys.groups):
        found.append(float(columns[int(np.argmin(score))]))
        apart = np.abs([off(job, float(x), found[-1]) for x in columns])
        score = score + 100.0 * smooth(apart, 0.9 * job.width / keys.groups, 60.0)
    return found


def _boulders(keys: Keys, job: Job, x: float, number: int) -> list[Group]:
    """Rows of one group: small ones behind, the tall ones, and those that the frame cuts."""
    great = keys.size * job.lines * (1.0 if number % 2 == 0 else 0.6)
    foot = keys.foot * job.lines
    rows = (
        (-34.0, foot - 13.0, 22.0, 0.32 * great, 3),
        (6.0, foot, 46.0, great, 6),
        (-40.0, foot + 22.0, 38.0, 0.62 * great, 4),
        (48.0, foot + 26.0, 40.0, 0.5 * great, 4),
    )
    found = []
    for row, (dx, line, half, tall, count) in enumerate(rows):
        seed = hash_words(job.seed, number, row) % SEEDS
        at = x + dx + 20.0 * (_draws(seed, 0, 1)[0] - 0.5)
        found.append(_group(job, seed, (at, line, half, tall), count))
    return found


def _group(job: Job, seed: int, place: tuple[float, float, float, float], count: int) -> Group:
    """Stones of one row: its middle column, row of its foot, half its width, its height."""
    x, line, half, tall = place
    sunny = 1.0 if off(job, x, light_x(job)) > 0 else -1.0
    lean, stones = 0.9 * (_draws(seed, 90, 1)[0] - 0.5), []
    for n in range(count):
        high, wide, at, deep, turn = _draws(seed, n, 5)
        side = 2 * (n + 0.5) / count - 1.0
        up = tall * (1.0 - 0.75 * abs(side + lean)) * (0.65 + 0.4 * high) + 3.0
        w = half * (0.36 + 0.18 * wide)
        bx, z = x + side * half * 0.8 + 8.0 * (at - 0.5), 1.3 * n + 10.0 * (deep - 0.5)
        facing = sunny if turn < 0.4 else 0.0
        if up > 1.5 * w:
            low, upper = (bx, line - 0.26 * up, z + 3), (bx, line - 0.55 * up, z)
            stones.append(Stone(*low, 1.25 * w, 0.46 * up, 14, facing, seed=seed + n))
            stones.append(Stone(*upper, 0.95 * w, 0.46 * up, 14, facing, seed=seed + n))
        else:
            low = bx, line - 0.38 * up, z
            stones.append(Stone(*low, w, 0.66 * up, 14, facing, seed=seed + n))
    for n in range(count - 1):
        at, w = _draws(seed, 50 + n, 2)
        small, bx = (0.12 + 0.1 * w) * half, x + 1.9 * (at - 0.5) * half
        stones.append(Stone(bx, line - 1, 12.0, small, 0.8 * small, 9, seed=seed + 50 + n))
    return Group(tuple(stones), x - half, x + half, line, tall, seed)


def _headland(keys: Keys, job: Job, x: float) -> Group:
    """A cape of tall blocks, its brow toward the light, with low ones and rubble at its foot."""
    line, tall = keys.foot * job.lines, keys.size * job.lines
    toward = 1.0 if off(job, x, light_x(job)) > 0 else -1.0
    seed = hash_words(job.seed, "cape") % SEEDS
    shape = CAPES[int(_draws(seed, 99, 1)[0] * len(CAPES))]
    stones = []
    for n, rise in enumerate(shape):
        high, at, wide, facing, deep, low = _draws(seed, n, 6)
        up = tall * rise * (0.88 + 0.2 * high) + 2.0
        place = CAPE * ((n + 0.5) / len(shape) - 0.5) + 6.0 * (at - 0.5)
        bx, w = x - toward * place, (13.0 + 9.0 * wide) * (0.6 + 0.4 * rise)
        side, own = (toward if facing < 0.7 else 0.0), seed + 7 * n
        body = bx, line - 0.42 * up, 8.0 * deep - 8.0
        stones.append(Stone(*body, w, 0.62 * up, 22, side, 1.7, own))
        part = up * (0.3 + 0.3 * low)
        apron = bx + 12.0 * (deep - 0.5), line - 0.36 * part, 2.0
        stones.append(Stone(*apron, 0.8 * w, 0.62 * part, 16, side, 1.7, own + 3))
        rubble = bx + 16.0 * (wide - 0.5), line - 1.0, 8.0
        stones.append(Stone(*rubble, 4.0 + 5.0 * low, 3.0 + 4.0 * deep, 10, seed=own + 5))
    half = 0.5 * CAPE
    return Group(tuple(stones), x - half, x + half, line, tall, seed)
