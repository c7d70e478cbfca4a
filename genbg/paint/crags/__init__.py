"""Painter of a rocky coast: a headland with its cliffs, or boulders in the surf.

The layers that it sees tell where foam is: boulders keep away from a breaking wave.
"""

from __future__ import annotations

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.edges import clean_mask
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.spray import Burst, burst, collar, drops
from genbg.paint.craft.stones import StoneLight, StonePicture, add_stone, light_stones
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.crags.keys import RAMPS, CragsKeys
from genbg.paint.crags.plans import Group, light_x, off, plan

SUN_HEIGHT = 34.0
"""Lines above the body from which stone is lit, so that its upper planes have light."""
TOWARD_US = 0.28
"""Share of the sun's light that comes from our side."""
THIN = 0.34
"""Thickness from which foam is seen."""
TURF_LINES = 4.0
"""Lines of turf, seen edge on, where a headland is flat on top."""


def paint(keys: CragsKeys, job: Job) -> Painting:
    """Stone and surf; the rest is see-through."""
    picture = TonalPicture(job, RAMPS)
    for group in plan(keys, job):
        _draw_group(keys, job, picture, group)
    return picture.painting(tidy=True)


def _draw_group(keys: CragsKeys, job: Job, picture: TonalPicture, group: Group) -> None:
    """Spray behind, the stones down to their waterline, foam round their foot."""
    field = StonePicture(job.lines, job.width, group.seed)
    for stone in group.stones:
        add_stone(field, stone)
    wave = profile(job.width, hash_words(group.seed, "foot"), 18, octaves=3).astype(np.float64)
    foot = group.row + 4.8 * wave
    lit = light_stones(field, _sun(job, group), foot, group.seed)
    cover = clean_mask(field.cover) & (np.arange(job.lines)[:, None] <= foot[None, :])
    _spray(keys, job, picture, group)
    picture.lay_share(cover & lit.sunlit, "warm", lit.warm)
    picture.lay_share(cover & ~lit.sunlit, "cold", lit.cool)
    if keys.kind == "headland" and keys.turf > 0:
        _turf(keys, job, picture, cover, lit, group)
    ends = group.first + 8.0, group.last - 8.0, group.row
    reach = 0.06 * (group.last - group.first) + 2.0
    thick = keys.surf * collar((job.lines, job.width), ends, reach, group.seed)
    _foam(picture, np.where(cover, 0.0, thick), thick)


def _sun(job: Job, group: Group) -> tuple[float, float, float]:
    """Unit vector from a group to the sun, seen a little from our side."""
    dx = off(job, group.middle, light_x(job))
    top = job.top + group.row - 0.5 * group.tall
    dy = (job.body.y if job.body is not None else job.top) - SUN_HEIGHT - top
    dy = min(dy, -0.2 * abs(dx))
    long = float(np.sqrt(dx * dx + dy * dy)) + 1e-6
    flat = float(np.sqrt(1.0 - TOWARD_US * TOWARD_US))
    return flat * dx / long, flat * dy / long, TOWARD_US


def _turf(
    keys: CragsKeys,
    job: Job,
    picture: TonalPicture,
    cover: np.ndarray,
    lit: StoneLight,
    group: Group,
) -> None:
    """Grass on the upper edge, thick in hollows, bright where the sun meets it."""
    rows = np.arange(job.lines)[:, None]
    top = np.where(cover.any(axis=0), np.argmax(cover, axis=0), job.lines)
    seed, cells = hash_words(group.seed, "turf"), 34 * job.width // 512
    tuft = fractal(job.width, job.lines, seed, cells, 1 / 6.0, octaves=2).astype(np.float64)
    thick = keys.turf * TURF_LINES * (0.9 + 2.2 * tuft)
    high = group.row - top[None, :] > 0.3 * group.tall
    down = rows - top[None, :]
    turf = clean_mask(cover & high & (down < thick))
    tone = np.where(down < 0.4 * thick, 1.0, 0.0) + np.where(lit.sunlit & (down < 1), 1.0, 0.0)
    picture.lay(turf, "turf", np.minimum(tone, float(picture.last("turf"))))


def _spray(keys: CragsKeys, job: Job, picture: TonalPicture, group: Group) -> None:
    """A burst at one side of a group; calmer seas have fewer of them."""
    often, side, high = (float(unit(group.seed, k)[0]) for k in (70, 71, 72))
    if keys.surf <= 0 or often > keys.surf:
        return
    way = 1.0 if side < 0.5 else -1.0
    x = group.middle + way * 0.55 * (group.last - group.first)
    tall = keys.surf * keys.size * job.lines * (0.45 + 0.5 * high)
    spray = Burst(x, group.row, tall, 0.9 * tall + 14.0, 0.3 * way, group.seed)
    thick, bright = burst((job.lines, job.width), spray)
    _foam(picture, thick, bright)
    flung = drops((job.lines, job.width), spray)
    picture.lay(flung, "foam", float(max(0, picture.last("foam") - 1)))
    picture.guard |= flung


def _foam(picture: TonalPicture, thick: np.ndarray, bright: np.ndarray) -> None:
    picture.lay_share(clean_mask(thick > THIN), "foam", np.clip(bright, 0.0, 1.0))


PAINTER = Painter(
    name="crags",
    about="A rocky coast: a headland with its cliffs, or boulders in the surf.",
    params=CragsKeys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.4,
)
