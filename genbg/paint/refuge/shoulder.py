"""The shoulder of snow: its height field, the path cut into it, and how it is laid."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import fall, sine, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import Ground, cut_way, oblique, side_light, wrapped
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.terrain import Tones, lay_ground, lie_in_light
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.refuge.site import Site
from genbg.records import record

if TYPE_CHECKING:
    from genbg.paint.refuge import RefugeKeys

ROWS = 40
"""Pixels of depth of the shoulder."""
TILT = 0.85
"""Lines by which a pixel of depth is lifted."""
LIGHT = (0.8, 0.4, 0.46)
"""Light on the shoulder: from the side, up, from behind."""


@record(frozen=True, eq=False)
class Shoulder:
    """The laid ground: side is (W,), from which light comes."""

    ground: Ground
    heights: np.ndarray
    side: np.ndarray

    def row(self, deep: float) -> int:
        """The field's row at a depth 0 (near) .. 1 (far)."""
        return min(self.ground.rows - 1, max(0, round(deep * (self.ground.rows - 1))))

    def line(self, x: float, deep: float) -> int:
        """The line on which the ground is seen at a column and a depth 0..1."""
        row = self.row(deep)
        return round(self.ground.base[row] - self.heights[row, int(x) % self.heights.shape[1]])


def lay_shoulder(picture: TonalPicture, job: Job, keys: RefugeKeys, site: Site) -> Shoulder:
    """Lay the shoulder; its last line is level ground of one tone."""
    ground = oblique(ROWS, float(job.lines), TILT)
    heights = _heights(job, keys, site, ground)
    if site.lived_in:
        heights = _cut_path(job, site, ground, heights)
    heights = heights * smooth(ground.depth, 0.0, 9.0)[:, None]
    side = side_light(job.body.x if job.body else None, job.width, job.light[0])
    lie = lie_in_light(heights, ground, (LIGHT[0] * side, LIGHT[1], LIGHT[2]))
    near = fall((wrapped(np.arange(job.width), site.middle, job.width) / 60.0) ** 2)
    lit = job.steps["lit"] - 1
    tones = Tones(keys.level * lit, 1.35 * lit, 0.8 * (job.steps["shade"] - 1), 3.0, 1.2)
    line = np.arange(job.lines)[:, None]
    more = 0.7 * near[None, :] * smooth(line, job.lines - 4.0, job.lines - 22.0)
    lay_ground(picture, lie, tones, soft=0.3, more=more)
    return Shoulder(ground, heights, side)


def _heights(job: Job, keys: RefugeKeys, site: Site, ground: Ground) -> np.ndarray:
    """A ridge at the back that dips under the body, knolls and drifts before it."""
    column = np.arange(job.width)
    deep = (ground.depth / ground.depth[-1])[:, None]
    roll = fractal(job.width, 1, hash_words(job.seed, "roll"), max(1, job.width // 130), octaves=2)
    dip = wrapped(column, site.dip, job.width) / site.wide
    ridge = (
        0.30 * keys.height * 100.0 * 0.36 + 5.0 * roll - site.low * fall((dip * dip) ** 2)[None, :]
    )
    ridge = ridge + site.lean * sine(wrapped(column, site.middle, job.width) / job.width)[None, :]
    heights = ridge * smooth(deep, 0.12, 0.85)
    drift = (
        1.0
        - np.abs(
            fractal(
                job.width,
                ground.rows,
                hash_words(job.seed, "drift"),
                max(1, job.width // 84),
                1 / 15,
                octaves=2,
            )
        )
        * 2.4
    )
    drift = 4.6 * np.maximum(drift, 0.0) * np.maximum(drift, 0.0) * smooth(deep, 0.04, 0.25)
    if site.lived_in:
        off = wrapped(column, site.house, job.width)
        about = fall((off / 46.0) ** 4)[None, :] * smooth(np.abs(deep - site.deep), 0.4, 0.15)
        drift = drift * (1.0 - 0.9 * about)
        heights = heights + 5.0 * fall((off / 60.0) ** 2)[None, :] * smooth(
            deep, 0.1, site.deep + 0.1
        )
    return heights + drift


def _cut_path(job: Job, site: Site, ground: Ground, heights: np.ndarray) -> np.ndarray:
    """The path from the door down to the hollow: it winds and widens toward us."""
    start = site.deep * ground.depth[-1] - 2.0
    near = np.clip((start - ground.depth) / max(start, 1.0), 0.0, 1.0)
    middle = (
        site.house
        + site.turn * (14.0 * site.size - 14.0 * near)
        + 13.0 * near * sine(0.1 + 0.8 * near)
    )
    half = 2.4 + 4.0 * near
    off = wrapped(np.arange(job.width)[None, :], middle[:, None], job.width) / half[:, None]
    deep = np.where((ground.depth < start) & (ground.depth > 0), 1.4 * smooth(near, 0.0, 0.5), 0.0)[
        :, None
    ]
    return cut_way(heights, off, deep, 0.35 * deep)
