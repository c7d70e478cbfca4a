"""Light in the air: how bright each place of a sky is."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import hash_words
from genbg.paint.painters.sky.disc import Disc, mirror_field
from genbg.paint.painters.sky.keys import Keys

FAR_GLOW = 0.35
"""Share of the horizon's light that is left far from the body."""
GLOW_LINES = 0.45
"""Share of the layer, from the horizon up, that the glow reaches into."""
LENS = 2.6
"""How much wider than high the light along the horizon is."""
OVAL = 1.4
"""The same for the light round the body."""
TORN = 0.5
"""Most that a streak adds to or takes from the light, as a share of the light there."""
STREAK_CELLS = 5
"""Streaks along a plane of 512 pixels, and the lines of one of them."""
STREAK_LINES = 7.0
BENT = 0.12
"""Share of its distance that the rim of a tone round the body is bent by, at most."""
BEND_CELLS = 16
"""Bends along a plane of 512 pixels, about as high as wide."""
PLAIN = 0.9
"""Thrift from which the light is neither torn nor bent."""
RAY_CELLS = 40
"""Rays round the body."""
RAY_ENDS = (2.5, 7.0)
"""Radii from the body's centre where rays begin to fade, and where they end."""


def sky_levels(keys: Keys, job: Job, steps: int, halo_steps: int) -> np.ndarray:
    """Levels (N, 1), counted in inks: 0 at the top, steps-1 at the horizon, glow beyond."""
    down = (np.arange(job.lines, dtype=np.float64) + 0.5)[:, None] / job.lines
    levels = (down + keys.bend * down * (down - 1.0)) * steps - 0.5
    levels = np.clip(levels, 0.0, steps - 1.0)
    near = np.maximum(0.0, (down - 1.0 + GLOW_LINES * keys.glow) / GLOW_LINES)
    share = FAR_GLOW if keys.body != "none" else 1.0
    return levels + share * near * near * (halo_steps + 1.0)


def light_share(keys: Keys, job: Job, disc: Disc) -> np.ndarray:
    """How far (N, W) float64, 0..1, each place is from its sky toward the brightest ink.

    It is the same on both sides of the body and changes from pixel to pixel, so that its tones have
    rims of their own and not those of cells. It is 0 from a certain distance on, so that the sky
    there is the same along its lines.
    """
    lined = keys.tear > 0 and job.thrift < PLAIN
    horizon = np.abs(np.arange(job.lines) + 0.5 - job.lines)[:, None]
    reach = GLOW_LINES * job.lines * (0.5 + 0.8 * keys.glow)
    lens = keys.glow * _lens(disc.across / LENS, horizon, reach)
    if lined:
        lens = lens * (1.0 + keys.tear * TORN * _torn(job, disc) * smooth(1.0 - lens, 0.05, 0.4))
    size: np.ndarray | float = disc.radius * (1.4 + 3.0 * keys.halo)
    if lined:
        size = size * (1.0 + keys.tear * BENT * _bent(job, disc))
    oval = 0.85 * keys.halo * _lens(disc.across / OVAL, disc.down, size)
    share = 1.0 - (1.0 - lens) * (1.0 - oval)
    if keys.rays > 0:
        share = share * (1.0 + 0.7 * keys.rays * _rays(job, disc))
    return np.clip(share, 0.0, 1.0)


def _lens(across: np.ndarray, down: np.ndarray, reach: np.ndarray | float) -> np.ndarray:
    """1 in the middle, falling smoothly to 0 at `reach`."""
    near = np.clip(1.0 - np.sqrt(across * across + down * down) / reach, 0.0, 1.0)
    return near * near * (2.0 - near)


def _torn(job: Job, disc: Disc) -> np.ndarray:
    """Flat streaks (N, W), about -1 .. 1: each line of a streak differs little along it."""
    cells = max(2, STREAK_CELLS * job.width // 512)
    seed = hash_words(job.seed, "tear")
    field = fractal(job.width, job.lines, seed, cells, 1 / STREAK_LINES, octaves=3, top=job.top)
    return mirror_field(2.2 * field.astype(np.float64), disc)


def _bent(job: Job, disc: Disc) -> np.ndarray:
    """Round bends (N, W), about -1 .. 1."""
    cells = max(4, BEND_CELLS * job.width // 512)
    seed = hash_words(job.seed, "bend")
    field = fractal(job.width, job.lines, seed, cells, octaves=3, top=job.top)
    return mirror_field(2.2 * field.astype(np.float64), disc)


def _rays(job: Job, disc: Disc) -> np.ndarray:
    """Rays (N, W), about -1 .. 1, that start at the disc's edge and fade out.

    The angle is told by its place on the rim of a square on its corner, which needs no arctangent.
    """
    across = disc.across * np.ones_like(disc.down)
    down = disc.down * np.ones_like(across)
    turn = across / np.maximum(np.abs(across) + np.abs(down), 1.0)
    turn = np.where(down < 0, turn, 2.0 - turn) / 4.0
    fans = profile(1024, hash_words(job.seed, "rays"), RAY_CELLS, octaves=2).astype(np.float64)
    place = np.floor((turn - np.floor(turn)) * 1024).astype(np.intp)
    rise = smooth(disc.distance, disc.radius, disc.radius * 2.0)
    fade = 1.0 - smooth(disc.distance, disc.radius * RAY_ENDS[0], disc.radius * RAY_ENDS[1])
    return 2.5 * fans[place] * rise * fade
