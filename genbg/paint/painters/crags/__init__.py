"""Painter of a rocky coast: a headland with its cliffs, boulders in the surf, a ledge before us.

The layers that it sees tell where foam is: boulders keep away from a breaking wave.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.edges import clean_mask
from genbg.paint.craft.exact import blur
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.spray import Burst, burst, collar, drops
from genbg.paint.craft.stones import StoneLight, StonePicture, add_stone, light_stones
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.crags.keys import RAMPS, Keys
from genbg.paint.painters.crags.ledge import lay_ledge
from genbg.paint.painters.crags.plans import Group, light_x, off, plan

SUN_HEIGHT = 34.0
"""Lines above the body from which stone is lit, so that its upper planes have light."""
TOWARD_US = 0.28
"""Share of the sun's light that comes from our side; BEHIND: from behind stone that is backlit."""
BEHIND = -0.6
MIRROR = 0.5
"""Length of the dark reflection under a stone, a share of its height."""
THIN = 0.34
"""Thickness from which foam is seen."""
TURF_LINES = 4.0
"""Lines of turf, seen edge on, where a headland is flat on top."""


def paint(keys: Keys, job: Job) -> Painting:
    """Stone and surf; the rest is see-through."""
    picture = TonalPicture(job, RAMPS)
    if keys.kind == "ledge":
        half = job.width / 2
        off_light = (np.arange(job.width) + 0.5 - light_x(job) + half) % job.width - half
        lay_ledge(keys, job, picture, np.abs(off_light))
        return picture.painting()
    for group in plan(keys, job):
        _draw_group(keys, job, picture, group)
    return picture.painting(tidy=True)


def _draw_group(keys: Keys, job: Job, picture: TonalPicture, group: Group) -> None:
    """One group in a picture of its own, as wide as it needs, laid over what stands there."""
    sun = _sun(keys, job, group)
    wide = int(group.last - group.first) + 2 * BESIDE
    wide = min(job.width, wide + -wide % 8)
    left = int(group.middle) - wide // 2
    stones = tuple(replace(stone, x=stone.x - left) for stone in group.stones)
    moved = replace(group, stones=stones, first=group.first - left, last=group.last - left)
    part = TonalPicture(replace(job, width=wide), RAMPS)
    _fill_group(keys, replace(job, width=wide), part, moved, sun)
    columns = (left + np.arange(wide)) % job.width
    rows, across = np.nonzero(part.holds())
    there = rows, columns[across]
    picture.material[there] = part.material[rows, across]
    picture.tone[there] = part.tone[rows, across]
    picture.guard[there] = part.guard[rows, across]


BESIDE = 80
"""Columns beside a group's foot that its foam and spray may reach."""


def _fill_group(
    keys: Keys,
    job: Job,
    picture: TonalPicture,
    group: Group,
    sun: tuple[float, float, float],
) -> None:
    """Spray behind, the stones down to their waterline, foam round their foot."""
    field = StonePicture(job.lines, job.width, group.seed)
    for stone in group.stones:
        add_stone(field, stone)
    count = max(2, 18 * job.width // 512)
    wave = profile(job.width, hash_words(group.seed, "foot"), count, octaves=3).astype(np.float64)
    foot = group.row + 4.8 * wave
    lit = light_stones(field, sun, foot, group.seed, back=keys.backlit)
    cover = clean_mask(field.cover) & (np.arange(job.lines)[:, None] <= foot[None, :])
    _spray(keys, job, picture, group)
    if keys.backlit > 0:
        _footing(keys, job, picture, cover, group)
    picture.lay_share(cover & lit.sunlit, "warm", lit.warm)
    picture.lay_share(cover & ~lit.sunlit, "cold", lit.cool)
    if keys.kind == "headland" and keys.turf > 0:
        _turf(keys, job, picture, cover, lit, group)
    ends = group.first + 8.0, group.last - 8.0, group.row
    reach = 0.06 * (group.last - group.first) + 2.0
    thick = keys.surf * collar((job.lines, job.width), ends, reach, group.seed)
    _foam(picture, np.where(cover, 0.0, thick), thick)


def _footing(keys: Keys, job: Job, picture: TonalPicture, cover: np.ndarray, group: Group) -> None:
    """What joins stone and water: the dark reflection in broken dashes, and a collar of foam."""
    lines, width = cover.shape
    rows = np.arange(lines)[:, None]
    last = lines - 1 - np.argmax(cover[::-1], axis=0)
    stands = cover.any(axis=0) & (last > group.row - 6.0)
    tall = blur(np.where(stands, cover.sum(axis=0), 0.0)[None, :], 4, 0)
    down = np.where(stands, rows - last[None, :], -1.0)
    seed = hash_words(group.seed, "mirror")
    dash = fractal(width, lines, seed, width // 10, 1 / 1.6, octaves=2).astype(np.float64)
    share = down / np.maximum(MIRROR * tall, 1.0)
    picture.lay((down > 0) & (share < 1.0) & (dash > 0.9 * share - 0.35), "cold", 0.0)
    lace = fractal(width, lines, seed + 1, width // 7, 1 / 2.0, octaves=2).astype(np.float64)
    thick = keys.surf * (1.5 - 0.3 * down) + 1.7 * lace
    shown = (down > 0) & (down < 5) & (thick > 0.5)
    picture.lay(shown, "foam", np.where(thick > 1.1, 2.0, np.where(thick > 0.75, 1.0, 0.0)))


def _sun(keys: Keys, job: Job, group: Group) -> tuple[float, float, float]:
    """Unit vector from a group to the sun: a little from our side, or from behind."""
    dx = off(job, group.middle, light_x(job))
    top = job.top + group.row - 0.5 * group.tall
    dy = (job.body.y if job.body is not None else job.top) - SUN_HEIGHT - top
    dy = min(dy, -0.2 * abs(dx))
    long = float(np.sqrt(dx * dx + dy * dy)) + 1e-6
    toward = TOWARD_US + keys.backlit * (BEHIND - TOWARD_US)
    flat = float(np.sqrt(1.0 - toward * toward))
    return flat * dx / long, flat * dy / long, toward


def _turf(
    keys: Keys,
    job: Job,
    picture: TonalPicture,
    cover: np.ndarray,
    lit: StoneLight,
    group: Group,
) -> None:
    """Grass on the upper edge, thick in hollows, bright where the sun meets it."""
    rows = np.arange(job.lines)[:, None]
    top = np.where(cover.any(axis=0), np.argmax(cover, axis=0), job.lines)
    seed, cells = hash_words(group.seed, "turf"), max(2, 34 * job.width // 512)
    tuft = fractal(job.width, job.lines, seed, cells, 1 / 6.0, octaves=2).astype(np.float64)
    thick = keys.turf * TURF_LINES * (0.9 + 2.2 * tuft)
    high = group.row - top[None, :] > 0.3 * group.tall
    down = rows - top[None, :]
    turf = clean_mask(cover & high & (down < thick))
    tone = np.where(down < 0.4 * thick, 1.0, 0.0) + np.where(lit.sunlit & (down < 1), 1.0, 0.0)
    picture.lay(turf, "turf", np.minimum(tone, float(picture.last("turf"))))


def _spray(keys: Keys, job: Job, picture: TonalPicture, group: Group) -> None:
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
    about="A rocky coast: a headland with its cliffs, boulders in the surf, or a ledge before us.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.4,
)
