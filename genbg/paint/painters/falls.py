"""Painter of falls: water that comes over the edge of the rock it sees, down to a pool.

A fall takes the upper edge of what it sees as its brink and leaps from ledge to ledge: it widens as
it drops, its strands run down in long lenses, and where it meets a ledge or the pool it bursts into
mist. What light there is comes from the scene's side. Grass hangs over the brink of the rock, too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import clean_mask
from genbg.paint.craft.exact import blur, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.tonal import TonalPicture


@dataclass(frozen=True)
class Keys:
    """Keys of the falls painter."""

    count: int = key(3, "int", "Falls along the plane.", low=0, high=8)
    width: float = key(30.0, "float", "Width of the great one.", low=4, high=80, unit="pixels")
    foot: int = key(160, "int", "Where they meet the pool.", low=0, high=255, unit="screen line")
    place: float = key(
        -1.0,
        "float",
        "Where the great one falls, a share of the width; -1: where the rock stands highest.",
        low=-1,
        high=1,
    )
    mist: float = key(0.7, "float", "How much mist hangs at their feet.", low=0, high=1)
    turf: float = key(0.7, "float", "How much grows on the brink of the rock.", low=0, high=1)


RAMPS = (
    Ramp(
        "fall",
        "Falling water, from its shade to its light.",
        ("#246d92", "#4992b6", "#6db6db", "#92dbff", "#dbffff", "#ffffff"),
        6,
        hazed=False,
        chosen=True,
    ),
    Ramp(
        "mist",
        "Mist at the foot, from thin to thick.",
        ("#4992b6", "#6db6db", "#92dbdb", "#dbffff"),
        4,
        hazed=False,
        chosen=True,
    ),
    Ramp(
        "turf",
        "What grows on the brink, from its shade to its light.",
        ("#002449", "#004949", "#246d49", "#499249", "#92b649", "#dbdb6d"),
        6,
        hazed=False,
        chosen=True,
    ),
)

SMOOTH = 6
"""Columns over which a brink is taken as level."""
LIP = 3.0
"""Lines over which the water bends over the brink, and is lightest."""
SPREAD = 0.12
"""Pixels by which a fall widens on each side for each line that it drops."""
LEDGES = (0.34, 0.62)
"""Shares of the drop between which a fall meets a ledge."""
STEP = 0.12
"""Part of its width by which a fall leaps wider from a ledge."""
LEAST = 60
"""Lines over the foot from which what is seen counts as rock, not as ground."""
SHELF = 12.0
"""Lines by which a ledge runs up and down across a fall."""
WIDE_MIST = 1.5
"""Half width of the mist, in widths of the fall."""
TUFT = 7.0
"""Lines that the longest growth hangs over the brink."""


def paint(keys: Keys, job: Job) -> Painting:
    """Growth on the brinks, falls, mist; all else is see-through."""
    picture = TonalPicture(job, RAMPS)
    brink = _brink(job, keys.foot)
    dice = Dice(job.seed, "falls")
    if keys.turf > 0:
        _grow(picture, keys, job, brink)
    for x, wide in _places(keys, job, brink, dice):
        _pour(picture, keys, job, (x, wide), brink, dice.part("fall", round(x)))
    return picture.painting()


def _brink(job: Job, foot: int) -> np.ndarray:
    """Screen lines (W,) of the upper edge of what is seen; the foot where nothing is."""
    solid = np.zeros((job.bottom, job.width), dtype=bool)
    for other in job.seen.values():
        ink = other.painting.ink[: max(0, job.bottom - other.top)]
        solid[other.top : other.top + len(ink)] |= ink > 0
    brink = np.where(solid.any(axis=0), solid.argmax(axis=0), foot).astype(np.float64)
    return np.minimum(brink, float(foot))


def _places(keys: Keys, job: Job, brink: np.ndarray, dice: Dice) -> list[tuple[float, float]]:
    """Column and width of each fall: the great one where the rock is high, others off from it."""
    level = blur(brink[None, :], SMOOTH, 0)[0]
    steep = np.abs(np.roll(level, -SMOOTH) - np.roll(level, SMOOTH))
    cost = (
        level
        + 1.5 * steep
        + 12.0
        * np.array(
            fractal(job.width, 1, hash_words(job.seed, "where"), 12, octaves=1)[0], dtype=np.float64
        )
    )
    if keys.place >= 0:
        cost = cost + np.abs(wrapped(np.arange(job.width), keys.place * job.width, job.width))
    found: list[tuple[float, float]] = []
    for n in range(keys.count):
        x = int(np.argmin(cost))
        if keys.foot - level[x] < LEAST:
            break
        wide = keys.width * (1.0 if n == 0 else dice.between(0.25, 0.5))
        found.append((float(x), wide))
        near = np.abs(wrapped(np.arange(job.width), x, job.width)) < job.width / (keys.count + 2)
        cost = np.where(near, 1e6, cost)
    return found


def _pour(
    picture: TonalPicture,
    keys: Keys,
    job: Job,
    fall: tuple[float, float],
    brink: np.ndarray,
    dice: Dice,
) -> None:
    """One fall from its brink to its foot."""
    x, wide = fall
    seed = hash_words(job.seed, "strands", round(x))
    y = np.arange(job.lines)[:, None] + job.top + 0.5
    near = np.abs(wrapped(np.arange(job.width), x, job.width)) < wide / 2
    top = float(np.sort(brink[near], kind="stable")[int(near.sum()) // 2]) - 1.0
    drop = keys.foot - top
    shelf = fractal(job.width, 1, seed + 3, job.width // 12, octaves=2)[0]
    ledge = top + drop * dice.between(*LEDGES) + SHELF * shelf[None, :]
    down = np.clip((y - top) / drop, 0.0, 1.0)
    half = wide / 2 * (1.0 + STEP * (y > ledge)) + SPREAD * np.minimum(y - top, 40.0)
    torn = fractal(job.width, job.lines, seed, job.width // 5, 1 / 22.0, octaves=2)
    bend = dice.between(-0.08, 0.08) * drop * down * down
    off = wrapped(np.arange(job.width)[None, :], x + bend, job.width)
    inside = (np.abs(off) < half + 3.0 * torn) & (y > brink[None, :]) & (y < keys.foot)
    inside = clean_mask(inside)
    strand = fractal(job.width, job.lines, seed + 1, job.width // 4, 1 / 34.0, octaves=2)
    strand = strand.astype(np.float64)
    round_ = off / np.maximum(half, 1.0) * (1.0 if job.light[0] > 0 else -1.0)
    tone = 2.6 + 1.3 * round_ - 0.9 * round_ * round_ + 4.2 * strand
    tone += 1.6 * smooth(y, top + LIP, top) + 1.5 * smooth(y - ledge, 9.0, 0.0) * (y > ledge)
    tone -= 1.2 * smooth(y - ledge, -12.0, 0.0) * (y <= ledge)
    tone -= 0.6 * smooth(down, 0.5, 1.0)
    picture.lay(inside, "fall", np.clip(tone, 0.0, 5.0))
    picture.guard |= inside & (wide > 0.9 * keys.width)
    if keys.mist > 0:
        _burst(picture, keys, job, (x, float(keys.foot)), wide, seed + 2)


def _burst(
    picture: TonalPicture,
    keys: Keys,
    job: Job,
    at: tuple[float, float],
    wide: float,
    seed: int,
) -> None:
    """Mist where water strikes: heaped, flat below, torn above."""
    y = np.arange(job.lines)[:, None] + job.top + 0.5
    off = wrapped(np.arange(job.width)[None, :], at[0], job.width)
    up = (at[1] - y) / (0.75 * wide + 6.0)
    lump = fractal(job.width, job.lines, seed, job.width // 9, 1 / 7.0, octaves=3)
    across = off / (WIDE_MIST * wide + 6.0)
    thick = keys.mist * 1.5 * (1.0 - across * across - np.where(up > 0, up, -6.0 * up)) + 0.9 * lump
    shown = clean_mask(thick > 0.25)
    picture.lay(shown, "mist", np.clip(3.4 * thick - 0.6, 0.0, 3.0), 0.6)


def _grow(picture: TonalPicture, keys: Keys, job: Job, brink: np.ndarray) -> None:
    """Grass and bushes on the brink: a thick rim, tufts that hang over it, light from the side."""
    seed = hash_words(job.seed, "turf")
    y = np.arange(job.lines)[:, None] + job.top
    level = brink[None, :]
    stands = level < keys.foot - LEAST
    tuft = fractal(job.width, 1, seed, job.width // 7, octaves=3)[0].astype(np.float64)
    patch = fractal(job.width, 1, seed + 1, 14, octaves=1)[0].astype(np.float64)
    long = keys.turf * TUFT * np.clip(0.75 + 1.9 * tuft + 0.9 * patch, 0.0, 2.0)
    rise = keys.turf * 3.0 * np.clip(0.6 + 2.0 * np.roll(tuft, 5), 0.0, 1.5)
    inside = stands & (y >= level - rise[None, :]) & (y < level + long[None, :])
    grain = fractal(job.width, job.lines, seed + 2, job.width // 4, 1 / 3.0, octaves=2)
    tone = 3.6 - 0.62 * (y - level) + 3.0 * grain
    picture.lay(clean_mask(inside), "turf", np.clip(tone, 0.0, 5.0))


PAINTER = Painter(
    name="falls",
    about="Water that falls over the edge of the rock it sees, with mist and growth on the brink.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
