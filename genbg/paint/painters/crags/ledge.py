"""A ledge of wet rock at the foot of the picture, to stand on, with foam along its far edge.

It is seen against the light: its top is nearly flat and the low sun only brushes it; its face
toward us is broken and dark. Its slabs are parted by joints; each lies a little higher or lower,
and leans.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import blur, fall
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.stones import Stone, StoneLight, StonePicture, add_stone, light_stones
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.crags.keys import Keys

SHELF = 8.0
"""Height in pixels of the ledge's top, as the eye sees it."""
SLAB = 40.0
"""Mean width of its slabs; RISE: how far they lie higher or lower than each other."""
RISE = 9.0
WORN = 4
"""Pixels over which joints are worn round."""
BLOCK = 12.0, 11.0
"""Half the width and height of the blocks that faces are made of, in pixels."""
GLOW = 120.0
"""Columns from the sun's by which wet stone has lost its glints."""


@dataclass(frozen=True, eq=False)
class Step:
    """The slabs, all (W,): row of its far edge, of its lip, column's slab, and where joints are."""

    edge: np.ndarray
    lip: np.ndarray
    slab: np.ndarray
    joint: np.ndarray


def lay_ledge(keys: Keys, job: Job, picture: TonalPicture, near: np.ndarray) -> None:
    """The ledge and the foam behind it. near: (W,) pixels from each column to the light's."""
    far = keys.foot * job.lines
    sway = profile(job.width, hash_words(job.seed, "sway"), 5, octaves=3).astype(np.float64)
    edge = far - keys.size * job.lines * sway
    step = _step(job, edge)
    _foam(keys, job, picture, step.edge)
    _lay_step(job, picture, step, near)


def _step(job: Job, edge: np.ndarray) -> Step:
    """Slabs of uneven width along the plane; each shifts and leans the edge and the lip."""
    width = job.width
    count = round(width / SLAB)
    n = np.arange(count)
    at, rise, lean, deep = (unit(hash_words(job.seed, "slabs"), n, k) for k in range(4))
    starts = np.floor((n + 0.8 * (at - 0.5)) * (width / count)).astype(np.int64) % width
    order = np.argsort(starts, kind="stable")
    starts = starts[order]
    x = np.arange(width)
    slab = (np.searchsorted(starts, x, side="right") - 1) % count
    inside = (x - starts[slab]) % width
    wide = np.maximum((np.roll(starts, -1) - starts) % width, 1)[slab]
    tilt = (lean[slab] - 0.5) * 6.0 * (inside / wide - 0.5)
    chip = profile(width, hash_words(job.seed, "chip"), width // 4, octaves=2)
    middle = (
        (starts + np.roll(starts, -1)) // 2 % width
    )  # a slab's own height: its edge is straight
    middle[-1] = starts[-1]
    own = edge[middle[slab]] - RISE * (rise[slab] - 0.5) + tilt
    own = blur(own[None, :], WORN, 0)[0]
    top = np.floor(own + 2.4 * chip.astype(np.float64))
    lip = np.floor(
        own + SHELF + blur(7.0 * (deep[slab] - 0.5)[None, :], WORN, 0)[0] - 3.0 * np.roll(chip, 9)
    )
    return Step(top, lip, slab, inside == 0)


def _lay_step(job: Job, picture: TonalPicture, step: Step, near: np.ndarray) -> None:
    rows, width = np.arange(job.lines)[:, None], job.width
    seed = hash_words(job.seed, "stone")
    grain = fractal(width, job.lines, seed, width // 22, 1 / 2.6, octaves=2).astype(np.float64)
    crack = fractal(width, job.lines, seed + 1, width // 24, 1 / 9.0, octaves=2).astype(np.float64)
    own = unit(hash_words(seed, "own"), step.slab, 1)[None, :]
    down = rows - step.edge[None, :]
    cover, top = down >= 0, rows < step.lip[None, :]
    shelf, face = cover & top, cover & ~top
    sun = 0.25 + 0.75 * fall(near / GLOW)[None, :]
    flat = 0.34 + 0.14 * (own - 0.5) + 0.1 * grain + 0.1 * sun
    picture.lay_share(shelf, "cold", np.clip(flat - 0.02 * down, 0.17, 0.7))
    wet = shelf & (down > 1) & (grain > 0.4 - 0.36 * sun + 0.03 * down) & (sun > 0.3)
    picture.lay_share(wet, "warm", np.clip(0.18 + 0.6 * sun + 0.5 * grain, 0.2, 0.85))
    lit = _blocks(job, step, seed)
    under = rows - step.lip[None, :]
    picture.lay_share(face, "cold", np.clip(0.9 * lit.cool - 0.012 * under, 0.0, 0.5))
    picture.lay_share(face & (under < 1) & (grain > -0.1), "cold", 0.42 + 0.2 * grain)
    split = _joints(step, rows) | ((np.abs(crack) < 0.02) & (grain > 0))
    picture.lay(shelf & split & (down > 0), "cold", 1.0)
    picture.lay_share(shelf & (down < 1), "cold", 0.62 + 0.2 * grain)
    rim = shelf & (down < 1.0 + 1.2 * (sun > 0.55)) & (grain + 1.1 * sun > 0.12)
    picture.lay_share(rim, "warm", np.clip(0.32 + 0.66 * sun + 0.3 * grain, 0.3, 1.0))


def _blocks(job: Job, step: Step, seed: int) -> StoneLight:
    """Light on the blocks under a step's lip, which the sun stands behind."""
    field = StonePicture(job.lines, job.width, seed)
    count = round(1.6 * job.width / BLOCK[0])
    for n in range(count):
        at, wide, high, deep = (float(unit(seed, n, k)[0]) for k in (5, 6, 7, 8))
        x = (n + at) * job.width / count
        half, tall = BLOCK[0] * (0.8 + 0.8 * wide), BLOCK[1] * (0.8 + 0.5 * high)
        y = float(step.lip[int(x) % job.width]) + tall * (0.3 + 1.5 * wide)
        add_stone(field, Stone(x, y, 9.0 * deep, half, tall, 11, tall=1.2, seed=seed + n))
    below = np.full(job.width, 2.0 * job.lines)
    return light_stones(field, (0.0, -0.8, -0.6), below, seed, back=1.0)


def _joints(step: Step, rows: np.ndarray) -> np.ndarray:
    """Columns (N, W) bool where two slabs meet; over a top they run askew, one way or the other."""
    down = np.floor((rows - step.edge[None, :]) / 2.0).astype(np.int64)
    columns = np.arange(len(step.edge))[None, :]
    way = np.where(step.slab % 2 == 0, 1, -1)[None, :]
    return step.joint[(columns + way * np.clip(down, 0, 4)) % len(step.edge)]


def _foam(keys: Keys, job: Job, picture: TonalPicture, edge: np.ndarray) -> None:
    """What the sea leaves along the far edge: a dark line of contact, foam found and lost."""
    rows, width = np.arange(job.lines)[:, None], job.width
    seed = hash_words(job.seed, "lap")
    lace = fractal(width, job.lines, seed, width // 9, 1 / 2.4, octaves=2).astype(np.float64)
    found = profile(width, seed + 1, width // 40, octaves=3).astype(np.float64)[None, :]
    up = edge[None, :] - rows
    reach = keys.surf * (4.0 + 9.0 * found)
    picture.lay((up > 0) & (up < 2.0), "cold", 0.0)
    thick = np.clip(1.0 - up / np.maximum(reach, 0.5), 0.0, 1.0) + 1.3 * lace
    shown = (up > 0) & (up < reach) & (thick > 0.34)
    picture.lay_share(shown, "foam", np.clip(thick, 0.1, 1.0))
