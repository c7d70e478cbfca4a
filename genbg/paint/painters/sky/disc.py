"""The sun or the moon: where it stands, its crisp edge and its face."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, pick_one, unit
from genbg.paint.painters.sky.keys import Keys

SEAS = 9
"""Blots that make up the dark parts of a moon's face, and craters, each with a lit far rim."""
CRATERS = 5
SUN_CORE = 0.72
"""Share of a sun's radius, from its upper side, that has the brightest ink."""


@dataclass(frozen=True, eq=False)
class Disc:
    """Where the disc is: centre on a cell corner, in pixels of the layer; radius.

    across: (1, W) and down: (N, 1) float64 pixels from the centre, the first wrapping
    distance: (N, W) float64 of both
    """

    x: int
    y: int
    radius: float
    across: np.ndarray
    down: np.ndarray
    distance: np.ndarray


def find_disc(keys: Keys, job: Job) -> Disc | None:
    """The disc's place; None where the sky has none."""
    if keys.body == "none":
        return None
    away = keys.wander * (pick_one(job.seed, 2001, "wander") - 1000) / 1000
    x = round((keys.body_x + away) * job.width / CELL) * CELL % job.width
    y = round((keys.body_y * job.lines + job.top) / CELL) * CELL - job.top
    half = job.width // 2
    across = ((np.arange(job.width) + 0.5 - x + half) % job.width - half)[None, :]
    down = (np.arange(job.lines) + 0.5 - y)[:, None]
    return Disc(x, y, keys.body_size / 2, across, down, np.sqrt(across * across + down * down))


def mirror_cells(ink: np.ndarray, disc: Disc, touched: np.ndarray, top: int) -> np.ndarray:
    """The right half of the cells (bool (N, W)) that a disc's light touches mirrors the left."""
    return np.where(cells_of(touched, top), mirror_field(ink, disc), ink)


def mirror_field(field: np.ndarray, disc: Disc) -> np.ndarray:
    """A field (N, W) whose half right of the disc's centre is its left one turned over."""
    width = field.shape[1]
    opposite = (2 * disc.x - 1 - np.arange(width)) % width
    right = (np.arange(width) - disc.x) % width < width // 2
    return np.where(right, field[:, opposite], field)


def cells_of(mask: np.ndarray, top: int) -> np.ndarray:
    """The mask (N, W) grown to whole cells."""
    lines, width = mask.shape
    above, below = top % CELL, -(top + lines) % CELL
    padded = np.pad(mask, ((above, below), (0, 0)))
    cells = padded.reshape(-1, CELL, width // CELL, CELL).any(axis=(1, 3))
    return np.repeat(np.repeat(cells, CELL, axis=0), CELL, axis=1)[above : above + lines]


def draw_disc(
    keys: Keys, job: Job, ink: np.ndarray, disc: Disc, first: int, steps: int
) -> np.ndarray:
    """The sky (N, W) with the disc in inks from `first`."""
    inside = disc.distance < disc.radius
    if keys.body == "sun":
        levels, lit = _sun(disc), inside
    else:
        levels, lit = _moon(keys, job, disc)
    tone = np.clip(np.floor(levels * (steps - 1) + 0.5), 0, steps - 1).astype(np.int64)
    return np.where(lit, first + tone, ink)


def _sun(disc: Disc) -> np.ndarray:
    """Levels (N, W) 0..1: a bright face that lies a little high, a darker, wider lower rim."""
    off = disc.down + 0.16 * disc.radius
    away = np.sqrt(disc.across * disc.across + off * off) / disc.radius
    return 1.0 - smooth(away, SUN_CORE, SUN_CORE + 0.5)


def _moon(keys: Keys, job: Job, disc: Disc) -> tuple[np.ndarray, np.ndarray]:
    """Levels (N, W) 0..1 and the lit part (N, W) bool of a moon, bright toward the light."""
    side = 1.0 if job.light[0] > 0 else -1.0
    inner = np.sqrt(np.maximum(disc.radius * disc.radius - disc.down * disc.down, 0.0))
    lit = disc.distance < disc.radius
    lit &= disc.across * side > inner * (1.0 - 2.0 * keys.phase)
    levels = np.where(_seas(job, disc), 0.5, 1.0)
    levels = _craters(job, disc, levels, side)
    away = (disc.across + side * 0.1 * disc.radius, disc.down + 0.1 * disc.radius)
    limb = away[0] * away[0] + away[1] * away[1] > disc.radius * disc.radius
    turned = disc.across * side < inner * (1.0 - 2.0 * keys.phase) + 0.16 * disc.radius
    shade = turned if keys.phase < 1 else limb & (disc.across * side < 0)
    return np.where(shade, np.minimum(levels, 0.5) - np.where(levels < 1.0, 0.5, 0.0), levels), lit


def _seas(job: Job, disc: Disc) -> np.ndarray:
    """Dark parts (N, W) bool of the face: blots that run together, their shores bent by noise."""
    seed = hash_words(job.seed, "moon")
    n = np.arange(SEAS)
    at_x, at_y, size = (unit(seed, n, k) for k in range(3))
    bend = fractal(256, job.lines, seed, 32, octaves=3).astype(np.float64)
    bend = np.resize(bend, (job.lines, disc.across.shape[1])) * 1.6
    dark = np.zeros(disc.distance.shape, dtype=bool)
    for x, y, s in zip(at_x.tolist(), at_y.tolist(), size.tolist(), strict=True):
        dx = disc.across / disc.radius - (x * 1.2 - 0.75)
        dy = disc.down / disc.radius - (y * 1.5 - 0.85)
        reach = 0.14 + 0.2 * s
        dark |= np.sqrt(dx * dx + dy * dy) + bend * reach < reach
    return dark


def _craters(job: Job, disc: Disc, levels: np.ndarray, side: float) -> np.ndarray:
    """Levels with small hollows: dark toward the light, bright beyond."""
    seed = hash_words(job.seed, "craters")
    for n in range(CRATERS):
        x, y, s = (float(unit(seed, n, k)[0]) for k in range(3))
        reach = (0.05 + 0.06 * s) * disc.radius + 0.6
        dx = disc.across - (x * 1.3 - 0.65) * disc.radius
        dy = disc.down - (y * 1.3 - 0.65) * disc.radius
        hole = dx * dx + dy * dy < reach * reach
        levels = np.where(hole, np.where(dx * side > -0.3 * reach, 0.5, 1.0), levels)
    return levels
