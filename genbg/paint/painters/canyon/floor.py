"""The ground of a canyon: dunes as hulls, a dry river cut in, shadows of all that stands on it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.crestlines import depth_at, drift_crest, long_crest
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import between_points, blur, fall, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import Ground, hull, read, receding, wrapped
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.terrain import Lie, Tones, lay_ground, lie_in_light
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.canyon.dwellings import KINDS
from genbg.paint.painters.canyon.keys import Keys
from genbg.paint.painters.canyon.plans import Plan
from genbg.paint.painters.canyon.stone import Raised, sunlight

REACH = 150.0
"""Depth that ground recedes by, as `relief.receding` counts it."""
SUB = 2
"""Rows of the field a line."""
GENTLE, STEEP, ALONG = 0.34, 0.66, 0.42
"""Fall of a dune a pixel: to the light, to the lee, along the depth."""
LEVEL = 0.46
"""Tone of level sand, a share of the ramp: the middle of a step, so that plains are one colour."""
SINKS = (152.0, 172.0)
"""Screen lines over which a dry river is lost, piece by piece, in the sand."""
ROCK_REACH = 190.0
"""Pixels that shadows of rock reach."""


@dataclass(frozen=True, eq=False)
class Floor:
    """The ground in the light; split: row of the field where the rock's foot is, front: before it

    bed: (Z, W) signed distance from the dry river's middle in half widths, or None
    """

    lie: Lie
    split: int
    more: np.ndarray
    bed: np.ndarray | None


def lay_floor(
    picture: TonalPicture, job: Job, keys: Keys, plan: Plan, rocks: list[Raised]
) -> Floor:
    """Lay the ground behind the rock's foot; returns all of it."""
    horizon = keys.horizon - job.top
    last = horizon + (4.0 if keys.rank == "far" else BROW)
    ground = receding(job.lines + 6.0, last, horizon, REACH, SUB)
    heights = _dunes(job, keys, plan, ground)
    heights, bed = _cut_river(job, plan, ground, heights)
    heights = heights * smooth(ground.base, job.lines - 2.0, job.lines - 13.0)[:, None]
    caster = _casters(job, plan, rocks, ground)
    lie = lie_in_light(heights, ground, sunlight(plan.sun), 1, ROCK_REACH, caster)
    line = np.arange(job.lines)[:, None]
    dust = keys.dust * 2.4 * smooth(line, horizon + 46.0, horizon + 4.0)
    big = 0.5 * fractal(
        job.width, job.lines, hash_words(job.seed, "sand"), max(1, job.width // 110), 1 / 16, 2
    )
    base = plan.ranges[-1].base - job.top if plan.ranges else 0.0
    split = int(np.argmin(np.abs(ground.base - base)))
    floor = Floor(lie, split, dust + big, bed)
    _lay(picture, job, keys, floor, behind=True)
    return floor


def lay_front(picture: TonalPicture, job: Job, keys: Keys, plan: Plan, floor: Floor) -> None:
    """Lay the ground before the rock's foot."""
    _lay(picture, job, keys, floor, behind=False)


def _lay(picture: TonalPicture, job: Job, keys: Keys, floor: Floor, behind: bool) -> None:
    """Lay one part of the ground, the river's bed on it."""
    rows = np.arange(floor.lie.ground.rows)
    hidden = rows < floor.split if behind else rows > floor.split
    clip = np.broadcast_to(hidden[:, None], floor.lie.heights.shape)
    if keys.rank == "near":
        clip = clip | (floor.lie.ground.base[:, None] < _brow(job, keys)[None, :])
    lit, cool = job.steps["sand"] - 1, job.steps["cool"] - 1
    soft = 0.3 if keys.rank == "far" else 0.0
    line = np.arange(job.lines)[:, None] + job.top
    step = np.maximum(4.0, 1.7 * REACH / np.maximum(line - keys.horizon, 1.0))
    tones = Tones(LEVEL * lit, lit, 0.3 * cool, 1.2, 1.0)
    row = lay_ground(picture, floor.lie, tones, ("sand", "cool"), soft, clip, floor.more, step)
    if floor.bed is not None:
        _lay_bed(picture, job, floor, row)


def _brow(job: Job, keys: Keys) -> np.ndarray:
    """(W,) line at which near ground ends: a low brow before the far land, no ruled line."""
    wide = fractal(job.width, 1, hash_words(job.seed, "brow"), max(1, job.width // 90), octaves=3)
    return keys.horizon - job.top + BROW + 3.0 + 7.0 * wide[0]


BROW = 32.0
"""Lines below the horizon at which near ground ends."""


def _lay_bed(picture: TonalPicture, job: Job, floor: Floor, row: np.ndarray) -> None:
    """Pale clay in the river's bed, a darker thread where it is damp."""
    assert floor.bed is not None
    off = read(floor.bed, row)
    bed = (np.abs(off) < 1.0) & (row >= 0) & picture.holds("sand")
    thread = np.abs(off + 0.3) < 0.22
    last = picture.last("clay")
    streak = fractal(
        job.width, job.lines, hash_words(job.seed, "clay"), max(1, job.width // 60), 1 / 3, 2
    )
    picture.lay(bed, "clay", last * (0.62 - 0.3 * thread) + 1.1 * streak, 0.3)


def _dunes(job: Job, keys: Keys, plan: Plan, ground: Ground) -> np.ndarray:
    """Heights (Z, W) of all dunes, flat about the shelter."""
    lee = -plan.sun
    parts = _far_crests(job, keys, ground, lee) if keys.rank == "far" else []
    if keys.rank == "near" and keys.dunes > 0:
        parts = _near_crests(job, keys, plan, ground)
    slopes = (GENTLE, STEEP, ALONG, ALONG) if lee > 0 else (STEEP, GENTLE, ALONG, ALONG)
    heights = np.zeros((ground.rows, job.width))
    if parts:
        heights = np.maximum(hull(np.concatenate(parts), ground, job.width, slopes, 0.0), 0.0)
    heights = heights * heights / (heights + 1.6)
    wide = fractal(
        job.width, ground.rows, hash_words(job.seed, "roll"), max(1, job.width // 100), 1 / 30, 2
    )
    heights = np.maximum(heights, 2.4 * wide)
    return heights


def _far_crests(job: Job, keys: Keys, ground: Ground, lee: int) -> list[np.ndarray]:
    """Crests of dunes in dust, in ranks."""
    dice, parts = Dice(job.seed, "dunes"), []
    for line, size in ((110, 0.5), (118, 0.6), (127, 0.7)):
        count = max(1, round((1.0 + 2.4 * keys.dunes) * job.width / 512))
        shift = dice.unit()
        for number in range(count):
            x = (number + shift + 0.5 * dice.unit()) * job.width / count
            tall = keys.dunes * 40.0 * size * dice.between(0.3, 0.8)
            near = line + dice.between(-4, 4) - job.top
            parts.append(drift_crest(dice, ground, x, near, tall, 1.5 * size, lee))
    return parts


GREAT = 30.0
"""Height in pixels of the greatest dunes where the preset's `dunes` is 1."""
RANKS = ((133.0, 150.0, 0.6, 2), (136.0, 162.0, 0.8, 2), (142.0, 176.0, 1.0, 2))
"""Ranks of long dunes: screen lines where crests begin and end, size, how many on 512 columns."""


def _near_crests(job: Job, keys: Keys, plan: Plan, ground: Ground) -> list[np.ndarray]:
    """Crests of long dunes that wind toward us, none of them through the dwelling."""
    dice, parts, lee = Dice(job.seed, "dunes"), [], -plan.sun
    for first, last, size, often in RANKS:
        count = max(1, round(often * (0.4 + 0.8 * keys.dunes) * job.width / 512))
        shift = dice.unit()
        for number in range(count):
            x = (number + shift + 0.6 * dice.unit()) * job.width / count
            tall = GREAT * (0.35 + 0.65 * keys.dunes) * size * dice.between(0.55, 1.0)
            lines = first + dice.between(-5, 5) - job.top, last + dice.between(-7, 4) - job.top
            run = dice.between(-90, 40) * size * lee
            swing = dice.between(14, 30) * size
            points = long_crest(dice, ground, x, lines, tall, run, swing)
            high = max(LOWEST / SUNK, float(points[:, 2].max()))
            points = _kept_clear(plan, job, ground, points)
            if points[:, 2].max() > SUNK * high:
                parts.append(points)
    return parts


def _kept_clear(plan: Plan, job: Job, ground: Ground, crest: np.ndarray) -> np.ndarray:
    """A crest that sinks where it comes near the shelter."""
    if not plan.shelter:
        return crest
    across = wrapped(crest[:, 0], plan.x, job.width) / (CLEAR * plan.size)
    along = (crest[:, 1] - depth_at(ground, np.array(plan.line - job.top))) / CLEAR
    off = across * across + along * along
    crest[:, 2] *= np.where(along > 0.3, 1.0 - 0.6 * fall(off), 1.0 - fall(0.5 * off))
    return crest


LOWEST = 12.0
"""Pixels of height below which a dune is left out: of a low one only a dark streak would show."""
SUNK = 0.5
"""Share of its height that is left of a dune near the shelter, or it is left out as well."""
CLEAR = 58.0
"""Pixels about the shelter that dunes keep low in."""


def _cut_river(
    job: Job, plan: Plan, ground: Ground, heights: np.ndarray
) -> tuple[np.ndarray, np.ndarray | None]:
    """The ground with the dry river cut in, and distance from its middle in half widths."""
    if not plan.river:
        return heights, None
    at = np.array(plan.river)
    base = ground.base + job.top
    middle = between_points(base, at[:, 1], at[:, 0])
    middle = blur(np.repeat(middle[:, None], 2, axis=1), 0, 9)[:, 0]
    near = np.clip((base - 100.0) / 60.0, 0.05, 2.0)
    half = 0.6 + 12.0 * near * smooth(base, SINKS[1] + 16.0, SINKS[0])
    cells = max(1, job.width // 24)
    ragged = fractal(job.width, ground.rows, hash_words(job.seed, "bank"), cells, 1 / 12, octaves=3)
    off = wrapped(np.arange(job.width)[None, :], middle[:, None], job.width) / half[:, None]
    off = off * (1.0 + 0.4 * ragged)
    sinks = smooth(base, SINKS[1], SINKS[0])[:, None]
    off = np.where(ragged > 1.5 * sinks - 0.75, 9.0, off)
    inside = smooth(np.abs(off), 1.9, 0.95) * sinks
    bank = (
        2.6
        * near[:, None]
        * sinks
        * (1.0 - smooth(np.abs(off), 1.06, 0.86))
        * smooth(np.abs(off), 2.6, 1.0)
    )
    return heights * (1.0 - inside) + bank, off


def _casters(job: Job, plan: Plan, rocks: list[Raised], ground: Ground) -> np.ndarray:
    """Heights (Z, W) of rock and shelter over the ground."""
    caster = np.zeros((ground.rows, job.width))
    for raised in rocks:
        foot = float(depth_at(ground, np.array(raised.range.base - job.top)))
        z = np.floor(ground.depth - foot + 0.5).astype(np.int64)
        there = (z >= 0) & (z < len(raised.rock.tops))
        caster[there] = np.maximum(caster[there], raised.rock.tops[z[there]])
    if plan.shelter:
        foot = float(depth_at(ground, np.array(plan.line - job.top)))
        rows = np.flatnonzero(np.abs(ground.depth - foot - 9.0) < 10.0)
        half = KINDS[plan.home].half
        across = np.arange(-int(half), int(half) + 1) * plan.size
        columns = np.floor(plan.x + across).astype(np.int64) % job.width
        off = (ground.depth[rows] - foot - 9.0) / 10.0
        tall = KINDS[plan.home].tall * plan.size
        caster[np.ix_(rows, columns)] = (tall * (1.0 - off * off))[:, None]
    return caster
