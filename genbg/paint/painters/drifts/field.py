"""The ground of the drifts painter: crests as hulls, the way cut in, ripples, the upper edge."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.crestlines import drift_crest
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import between_points, sine, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import Ground, cut_way, hull, receding, side_light, wrapped
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.terrain import Lie, Tones, lay_ground, lie_in_light
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.drifts.keys import Keys

HORIZON = 100
"""Screen line of the horizon that near ground runs to."""
REACH = 150.0
"""Lines times pixels of depth a line: how far ground recedes."""
BELOW = 28
"""Lines below the screen where the nearest drifts have their foot."""
SEAM = 7.0
"""Lines below the upper edge within which ground without a ragged edge grows its forms."""
SUB = 2
"""Rows of the field a line."""
LIGHT = (0.85, 0.42, 0.32)
"""Light on near ground: from the side, up, a little from behind."""
SLOPES = (0.3, 0.62, 0.6, 0.28)
"""Fall of a drift a pixel: to the light, to the lee, toward us, away from us."""


RANKS = ((0.2, 0.5), (0.52, 0.85), (1.0, 1.5))
"""Ranks of drifts: where their crests lie, a share of the lines, and their size."""


@dataclass(frozen=True, eq=False)
class Field:
    """row: (N, W) row of the ground that a pixel shows; side: (W,) side that light comes from

    top: (W,) first line of the ground
    """

    ground: Ground
    heights: np.ndarray
    row: np.ndarray
    side: np.ndarray
    top: np.ndarray


def lay_drifts(picture: TonalPicture, job: Job, keys: Keys) -> Field:
    """Lay the ground; returns what stands on it needs to know."""
    ground = receding(job.lines + BELOW, -2.0, HORIZON - job.top, REACH, SUB)
    side = side_light(job.body.x if job.body else None, job.width, job.light[0])
    heights = _crests(job, keys, ground, side)
    heights = heights + _swell(job, keys, ground)
    if keys.ripples > 0:
        heights = heights + _ripples(job, keys, ground)
    heights = _cut(job, keys, ground, heights)
    edge = _edge(job, keys)
    if keys.edge <= 0:
        heights = heights * smooth(ground.base, 1.0, SEAM)[:, None]
    limit = np.maximum(ground.base[:, None] - 1.0, 0.0)
    heights = np.minimum(heights, limit)
    clip = ground.base[:, None] < edge[None, :]
    lie = lie_in_light(heights, ground, (LIGHT[0] * side, LIGHT[1], LIGHT[2]), brush=0)
    line = np.arange(job.lines)[:, None] / max(1, job.lines - 1)
    more = -1.6 * keys.cool * smooth(line, 0.35, 1.0)
    lit = job.steps["lit"] - 1
    tones = Tones(
        level=keys.level * lit,
        gain=3.0 * keys.contrast * lit,
        shade=0.66 * (job.steps["shade"] - 1),
        deep=3.1 * keys.contrast,
        crest=1.7,
    )
    lie = _gloom(job, keys, ground, lie)
    row = lay_ground(picture, lie, tones, soft=0.2, clip=clip, more=more)
    shown = picture.holds()
    top = np.where(shown.any(axis=0), shown.argmax(axis=0), job.lines)
    return Field(ground, heights, row, side, top)


def _gloom(job: Job, keys: Keys, ground: Ground, lie: Lie) -> Lie:
    """The ground with pools of shade that something unseen throws."""
    if keys.gloom <= 0:
        return lie
    cells = max(1, job.width // 170)
    pools = fractal(job.width, ground.rows, hash_words(job.seed, "gloom"), cells, 1 / 60, octaves=3)
    fine = fractal(job.width, ground.rows, hash_words(job.seed, "rim"), job.width // 26, 1 / 14, 2)
    return replace(lie, dark=lie.dark | (pools + 0.12 * fine < 1.4 * keys.gloom - 0.7))


def _crests(job: Job, keys: Keys, ground: Ground, side: np.ndarray) -> np.ndarray:
    """The hull of all drifts: each a crest that winds from far to near, higher the nearer it is."""
    dice = Dice(job.seed, "crests")
    count = max(2, round(job.width / keys.spacing))
    parts, turned = [], []
    for share, size in RANKS:
        shift = dice.unit()
        for number in range(count):
            x = (number + shift + 0.55 * dice.unit()) * job.width / count
            if dice.unit() < 0.2:
                continue
            line = job.lines * (share + dice.between(-0.1, 0.1))
            tall = keys.height * 22.0 * size * dice.between(0.55, 1.25)
            from_right = bool(side[int(x) % job.width] > 0)
            parts.append(drift_crest(dice, ground, x, line, tall, size, -1 if from_right else 1))
            turned.append(np.full(len(parts[-1]), from_right))
    if not parts or keys.height <= 0:
        return np.zeros((ground.rows, job.width))
    points, faces = np.concatenate(parts), np.concatenate(turned)
    heights = np.maximum(hull(points, ground, job.width, SLOPES, 0.0, faces), 0.0)
    return heights * heights / (heights + 1.6)


def _swell(job: Job, keys: Keys, ground: Ground) -> np.ndarray:
    """Low swells between the drifts."""
    far = fractal(
        job.width,
        ground.rows,
        hash_words(job.seed, "swell"),
        max(1, job.width // 120),
        1 / 50,
        octaves=2,
    )
    return keys.height * 6.0 * np.maximum(far + 0.1, 0.0)


def _ripples(job: Job, keys: Keys, ground: Ground) -> np.ndarray:
    """Ripples in patches: short on the lee side, long to the wind."""
    shape = job.width, ground.rows
    bend = fractal(
        *shape, hash_words(job.seed, "bend"), max(1, job.width // 110), 1 / 60, octaves=2
    )
    patch = fractal(
        *shape, hash_words(job.seed, "patch"), max(1, job.width // 150), 1 / 50, octaves=2
    )
    count = job.width // 16
    place = (
        np.arange(job.width)[None, :] * (count / job.width)
        + ground.depth[:, None] / 22
        + 2.6 * bend
    )
    part = place - np.floor(place)
    wave = np.where(part < 0.72, part / 0.72, (1.0 - part) / 0.28)
    return 1.4 * keys.ripples * wave * smooth(patch, -0.1, 0.2)


def _cut(job: Job, keys: Keys, ground: Ground, heights: np.ndarray) -> np.ndarray:
    """The trodden way with its footprints, where the seed has one."""
    dice = Dice(job.seed, "way")
    if dice.unit() >= keys.way:
        return heights
    near = np.clip(ground.base / job.lines, 0.0, 1.3)
    start, run = dice.unit() * job.width, dice.choice((-1, 1)) * dice.between(60, 150)
    phase, swing = dice.unit(), dice.between(12, 26)
    middle = start + run * near * (0.6 + 0.4 * near) + swing * sine(phase + 0.75 * near)
    half = 4.0 + 9.0 * near
    ragged = fractal(
        job.width, ground.rows, hash_words(job.seed, "ragged"), job.width // 14, 1 / 9, octaves=2
    )
    off = wrapped(np.arange(job.width)[None, :], middle[:, None], job.width) / half[:, None]
    deep = (1.2 + 2.4 * near)[:, None]
    heights = cut_way(heights, off * (1.0 + 0.16 * ragged), deep, 0.8 * deep)
    return heights - _prints(job, ground, middle, dice)


def _prints(job: Job, ground: Ground, middle: np.ndarray, dice: Dice) -> np.ndarray:
    """Footprints: pits left and right of the way's middle in turn."""
    pits = np.zeros((ground.rows, job.width))
    line, leg = 3.0, 1
    column = np.arange(job.width)[None, :]
    while line < job.lines:
        near = line / job.lines
        at = (
            float(between_points(-line, -ground.base, middle))
            + leg * (1.4 + 3.6 * near)
            + 0.5 * dice.bell()
        )
        tall = 1.2 + 1.6 * near
        rows = np.flatnonzero(np.abs(ground.base - line) < 1.2 * tall)
        across = wrapped(column, at, job.width) / (1.7 + 2.9 * near)
        down = (ground.base[rows][:, None] - line) / tall
        pit = 1.0 - smooth(np.sqrt(across * across + down * down), 0.5, 1.1)
        pits[rows] = np.maximum(pits[rows], pit)
        leg, line = -leg, line + 2.8 + 3.6 * near
    return 0.9 * pits


def _edge(job: Job, keys: Keys) -> np.ndarray:
    """(W,) line above which the ground is left out."""
    if keys.edge <= 0:
        return np.zeros(job.width)
    wide = fractal(job.width, 1, hash_words(job.seed, "edge"), max(1, job.width // 170), octaves=2)[
        0
    ]
    fine = fractal(job.width, 1, hash_words(job.seed, "rag"), max(1, job.width // 34), octaves=2)[0]
    return job.lines * keys.edge * np.clip(0.5 + 0.95 * wide + 0.16 * fine, 0.05, 1.0)


def ground_line(field: Field, x: float, line: float) -> int:
    """Screen row of the ground at column x that would lie at `line` were it level."""
    column = int(x) % field.heights.shape[1]
    row = int(np.argmin(np.abs(field.ground.base - line)))
    return round(float(field.ground.base[row] - field.heights[row, column]))
