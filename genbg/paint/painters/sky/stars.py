"""Stars, and a band of faint light among them."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dither import between_corners, dither_levels
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, pick, scatter
from genbg.paint.painters.sky.disc import Disc
from genbg.paint.painters.sky.keys import GRAINS, Keys

DROWNED = 550
"""Thousandths of the layer's lines below which the sky is too bright for stars. The horizon's
colours fill a palette row there; a star's cell, fitted in another, is a square of other blue."""


def draw_stars(
    keys: Keys, job: Job, ink: np.ndarray, disc: Disc | None, first: int, steps: int
) -> tuple[np.ndarray, np.ndarray]:
    """Sky with stars, and the guard of them: fewer toward the horizon, none in the halo.

    A star stands on one of four places of its cell, so that cells with stars are often alike.
    """
    spacing = round(44 - 26 * keys.stars)
    places = scatter(job.width, job.lines, spacing, hash_words(job.seed, "stars"))
    number = np.arange(len(places))
    depth = places[:, 1] * 1000 // job.lines
    keep = (pick(job.seed, 1000, number, 1) > depth * depth // 900) & (depth < DROWNED)
    cells = (places + np.array([0, job.top])) // CELL
    corner = pick(job.seed, 4, number, 2)
    x = cells[:, 0] * CELL + np.where(corner & 1, 2, 5)
    y = cells[:, 1] * CELL + np.where(corner & 2, 2, 5) - job.top
    keep &= (y > 0) & (y < job.lines - 1)
    if disc is not None:
        clear = disc.radius * (1.3 + 1.2 * keys.halo)
        keep &= disc.distance[np.clip(y, 0, job.lines - 1), x % job.width] > clear
    x, y, grade = x[keep] % job.width, y[keep], pick(job.seed, 16, number, 3)[keep]
    ink, guard = ink.copy(), np.zeros(ink.shape, dtype=bool)
    bright = grade == 0
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        ink[y[bright] + dy, (x[bright] + dx) % job.width] = first
        guard[y[bright] + dy, (x[bright] + dx) % job.width] = True
    tone = np.where(bright, steps - 1, np.where(grade < 6, (steps - 1) // 2, 0))
    ink[y, x] = first + np.where((grade >= 1) & (grade < 3), steps - 1, tone)
    guard[y, x] = True
    return ink, guard


def draw_nebula(keys: Keys, job: Job, ink: np.ndarray, first: int, steps: int) -> np.ndarray:
    """A slanting band of clouds of light; sky shows through where it is faint.

    Its strength is rounded at the corners of cells, so that its cells have few contents.
    """
    above = job.top % CELL
    rows, columns = -(-(job.lines + above) // CELL), job.width // CELL
    cloud = fractal(columns, rows + 1, hash_words(job.seed, "nebula"), 4, 0.16, octaves=3)
    sway = fractal(columns, 1, hash_words(job.seed, "sway"), 2, octaves=2)[0]
    middle = rows * (0.36 + 0.6 * sway)[None, :]
    off = np.abs(np.arange(rows + 1)[:, None] - middle) / (0.3 * rows)
    band = np.clip(1.0 - off * off, 0.0, 1.0)
    strength = band * (0.15 + 0.9 * keys.nebula + 1.1 * cloud) * (steps + 0.5)
    parts = 1 if job.thrift > 0.6 else 2
    corners = np.clip(np.floor(strength * parts + 0.5) / parts, 0.0, steps)
    levels = between_corners(corners)[above : above + job.lines]
    tone = dither_levels(levels, steps + 1, job.top, GRAINS[keys.grain], 0.1)
    return np.where(tone > 0, first + tone - 1, ink)
