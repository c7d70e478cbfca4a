"""The shoulder of snow: its height field, how it is laid, the footprints on it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import fall, sine, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import Ground, oblique, side_light, wrapped
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.terrain import Tones, lay_ground, lie_in_light
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.refuge.keys import Keys
from genbg.paint.painters.refuge.site import Site

TRAIL = 7
"""Lines above the lower edge on which the trail runs along the level snow."""
STRIDE = 8.0
"""Columns from one footprint to the next."""
ROWS = 40
"""Pixels of depth of the shoulder."""
TILT = 0.85
"""Lines by which a pixel of depth is lifted."""
LIGHT = (0.8, 0.4, 0.46)
"""Light on the shoulder: from the side, up, from behind."""


@dataclass(frozen=True, eq=False)
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


def lay_shoulder(picture: TonalPicture, job: Job, keys: Keys, site: Site) -> Shoulder:
    """Lay the shoulder; its last line is level ground of one tone."""
    ground = oblique(ROWS, float(job.lines), TILT)
    heights = _heights(job, keys, site, ground)
    heights = heights * smooth(ground.depth, 0.0, 9.0)[:, None]
    side = side_light(job.body.x if job.body else None, job.width, job.light[0])
    lie = lie_in_light(heights, ground, (LIGHT[0] * side, LIGHT[1], LIGHT[2]))
    near = fall((wrapped(np.arange(job.width), site.middle, job.width) / 60.0) ** 2)
    lit = job.steps["lit"] - 1
    tones = Tones(keys.level * lit, 1.35 * lit, 0.8 * (job.steps["shade"] - 1), 3.0, 1.2)
    line = np.arange(job.lines)[:, None]
    more = 0.7 * near[None, :] * smooth(line, job.lines - 4.0, job.lines - 22.0)
    more = more + (0.35 if keys.homely else 1.0) * _wind_marks(job)
    lay_ground(picture, lie, tones, soft=0.1 if keys.homely else 0.3, more=more)
    if keys.homely:
        _light_rim(picture, job, site)
    return Shoulder(ground, heights, side)


def _light_rim(picture: TonalPicture, job: Job, site: Site) -> None:
    """The upper edge that the body lights from behind: bright and thin, lost far from the body."""
    shown = picture.holds()
    top = np.where(shown.any(axis=0), shown.argmax(axis=0), job.lines)
    down = np.arange(job.lines)[:, None] - top[None, :]
    near = fall((wrapped(np.arange(job.width), site.middle, job.width) / RIM) ** 2)[None, :]
    edge = shown & (down < 4) & (near > 0.25)
    picture.lay(
        edge,
        "lit",
        near * np.where(down < 1, 4.8, np.where(down < 2, 3.6, 2.6)) * (picture.last("lit") / 5.0),
    )


RIM = 105.0
"""Columns beside the body's over which the lit edge is lost."""


def _wind_marks(job: Job) -> np.ndarray:
    """Tones (N, W) of long flat marks that wind left in the snow, in patches; none at the end."""
    shape = job.width, job.lines
    marks = fractal(*shape, hash_words(job.seed, "wind"), max(2, job.width // 34), 1 / 2.2, 2)
    patch = fractal(*shape, hash_words(job.seed, "gusts"), max(1, job.width // 120), 1 / 14, 2)
    line = np.arange(job.lines)[:, None]
    ends = smooth(line, job.lines - 3.0, job.lines - 7.0)
    return (
        0.7
        * (smooth(marks, 0.1, 0.3) - 0.5 * smooth(marks, -0.15, -0.35))
        * smooth(patch, -0.05, 0.2)
        * ends
    )


def _heights(job: Job, keys: Keys, site: Site, ground: Ground) -> np.ndarray:
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
        about = fall((off / 46.0) ** 4)[None, :] * smooth(deep - site.deep, 0.4, 0.15)
        drift = drift * (1.0 - 0.9 * about)
        heights = heights + 3.0 * fall((off / 60.0) ** 2)[None, :] * smooth(
            deep, 0.1, site.deep + 0.1
        )
    return heights + drift


def lay_trail(picture: TonalPicture, job: Job, site: Site, shoulder: Shoulder) -> None:
    """Footprints from the door down to the level snow, and along it to both sides."""
    lines, width = picture.tone.shape
    foot, low = shoulder.line(site.house, site.deep) + 3, lines - TRAIL
    door = site.house + site.turn * 14.0 * site.size
    down = np.arange(0.0, max(low - foot, 1), STRIDE / 2)
    share = down / max(low - foot, 1)
    along = np.arange(0.0, width - STRIDE, STRIDE)
    x = np.concatenate([door + 13.0 * site.turn * share * share, along])
    y = np.concatenate([foot + down, low + 2.0 * sine(along * (3.0 / width))])
    leg = np.arange(len(x)) % 2
    x = np.concatenate([x[: len(down)] + 3.0 * leg[: len(down)], along])
    column = np.floor(x).astype(np.int64)
    row = np.clip(np.floor(y + 0.5).astype(np.int64) + leg, 0, lines - 2)
    pit = np.zeros((lines, width), dtype=bool)
    for wide in range(3):
        pit[row, (column + wide) % width] = True
    rim = np.roll(pit, 1, axis=0) & ~pit
    picture.shift(pit & picture.holds("lit"), -1.8)
    picture.shift(rim & picture.holds("lit"), 0.7)
    picture.shift(pit & picture.holds("shade", "glow"), -1.0)
