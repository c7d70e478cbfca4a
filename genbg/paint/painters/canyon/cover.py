"""What lies on the floor of a canyon land: a cracked pan, rubble, scrub with long shadows.

Small things are drawn as stamps; their shadows run away from the sun and a little toward us.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.crestlines import depth_at
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import Ground, wrapped
from genbg.paint.craft.rock import NOTHING
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.terrain import put
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.canyon.plans import Plan
from genbg.paint.painters.canyon.stone import Raised

PAN = 15.0
"""Pixels that a plate of a cracked pan measures."""
GAP = 0.09
"""Share of a plate by which two plates are parted."""
PLATES = 0.55, 0.95
"""How likely a plan has a pan, and half its width as a share of its height in screen."""
CLEAR_OF_HOME = 40.0
"""Columns about the dwelling in which nothing grows or lies."""
LEAST = 3.0
"""Lines above the lower edge below which nothing is laid, so that the next layer meets it."""
TUFTS = 20
"""Tufts of scrub on 512 columns."""
STONES = 34
"""Stones of rubble on 512 columns."""


def lay_pan(picture: TonalPicture, job: Job, plan: Plan, ground: Ground) -> None:
    """A pan of dried clay on level sand, cracked into plates that grow toward us."""
    lines, width = picture.tone.shape
    dice = Dice(job.seed, "pan")
    middle = plan.x + dice.between(90, 180) * dice.choice((-1, 1))
    wide, first = dice.between(60, 110), lines - dice.between(18, 24)
    rows = np.arange(max(0, int(first)), lines - int(LEAST))
    if not len(rows) or not dice.chance(PLATES[1]):
        return
    columns = np.arange(width)
    off = wrapped(columns, middle, width)[None, :] / wide
    along = (rows[:, None] - first) / (lines - LEAST - first)
    rag = fractal(width, lines, hash_words(job.seed, "shore"), max(2, width // 40), 1 / 9, 2)[rows]
    inside = off * off + (2 * along - 1) * (2 * along - 1) + 0.9 * rag < 0.75
    inside &= picture.holds("sand")[rows] & (np.abs(wrapped(columns, plan.x, width)) > 30)[None, :]
    crack = _cracked(job, columns / PAN, depth_at(ground, rows.astype(np.float64)) / PAN)
    flat = np.zeros(picture.tone.shape, dtype=bool)
    flat[rows] = inside
    picture.lay(flat, "sand", 0.6 * picture.last("sand"))
    flat[rows] = inside & crack
    picture.lay(flat, "sand", 0.28 * picture.last("sand"))


def _cracked(job: Job, x: np.ndarray, z: np.ndarray) -> np.ndarray:
    """Places (n, W) bool between plates: as far from the two nearest of scattered points."""
    across, along = x[None, :], z[:, None]
    near = np.full((len(z), len(x)), 9.0)
    second = near.copy()
    count = round(float(x[-1]) + 1.0 / PAN)
    for down in (-1, 0, 1):
        for side in (-1, 0, 1):
            column, row = np.floor(across) + side, np.floor(along) + down
            which = (column % count).astype(np.int64), (row + 8).astype(np.int64)
            at_x = column + unit(job.seed, *which, 1)
            at_z = row + unit(job.seed, *which, 2)
            off = np.sqrt((across - at_x) * (across - at_x) + (along - at_z) * (along - at_z))
            second = np.minimum(second, np.maximum(near, off))
            near = np.minimum(near, off)
    return second - near < GAP


def strew_rubble(picture: TonalPicture, job: Job, plan: Plan, rocks: list[Raised]) -> None:
    """Stones that fell from the rock, most of them near its foot."""
    lines, width = picture.tone.shape
    rock = rocks[-1].rock
    under = (rock.hit != NOTHING).any(axis=0)
    foot = np.where(under, lines - 1 - np.argmax((rock.hit != NOTHING)[::-1], axis=0), lines)
    dice, free = Dice(job.seed, "rubble"), ~picture.holds("cool", "clay")
    for _ in range(round(STONES * width / 512)):
        x = int(dice.unit() * width)
        near = dice.unit() * dice.unit()
        line = foot[x] + round(1 + 13 * near) - dice.whole(0, 4)
        wide = dice.choice((2, 3, 3, 4, 5, 7))
        if (
            not under[x]
            or line < 0
            or line > lines - LEAST - 1
            or _at_home(plan, x, width)
            or not free[line, x]
        ):
            continue
        tall = max(2, round(wide * dice.between(0.6, 1.0)))
        _lay_stone(picture, plan, x, line, wide, tall)


def _at_home(plan: Plan, x: float, width: int) -> bool:
    """Whether a column is too near the dwelling."""
    room = CLEAR_OF_HOME * plan.size
    return plan.shelter and abs(float(wrapped(x, plan.x, width))) < room


def _lay_stone(picture: TonalPicture, plan: Plan, x: int, line: int, wide: int, tall: int) -> None:
    """A stone of two faces, a lit one to the sun, over its shadow."""
    _lay_shadow(picture, plan, x, line, wide, 2 * tall)
    rows, columns = np.arange(tall)[:, None], np.arange(wide)[None, :]
    corner = (rows == 0) & ((columns == 0) | (columns == wide - 1)) & (wide > 2)
    body = ~corner & (rows >= 0)
    face = columns if plan.sun < 0 else wide - 1 - columns
    lit = body & (face < 0.55 * wide + 0.4 * rows)
    left, top = x - wide // 2, line - tall + 1
    put(picture, body, "shade", 2.0, left, top)
    put(picture, lit, "lit", 2.2 + 1.0 * (rows == 0), left, top)


def _lay_shadow(picture: TonalPicture, plan: Plan, x: int, line: int, wide: int, long: int) -> None:
    """A shadow that runs away from the sun along the ground and narrows."""
    long = max(2, long)
    rows = 1 if long < 7 else 2
    mask = np.ones((rows, long), dtype=bool)
    mask[-1, -(long // 3) :] = False
    mask = mask if plan.sun < 0 else mask[:, ::-1]
    left = x if plan.sun < 0 else x - long + 1
    sand = picture.holds("sand")
    lines, width = sand.shape
    at = np.clip(np.arange(rows) + line - rows + 2, 0, lines - 1)
    free = sand[at][:, (np.arange(long) + left) % width]
    put(picture, mask & free, "cool", 0.42 * picture.last("cool"), left, int(at[0]))


def grow_scrub(picture: TonalPicture, job: Job, plan: Plan) -> None:
    """Tufts of scrub in loose groups, taller toward us."""
    lines, width = picture.tone.shape
    sand = picture.holds("sand")
    dice = Dice(job.seed, "scrub")
    x = dice.unit() * width
    for _ in range(round(TUFTS * width / 512)):
        x += dice.choice((6, 9, 13, 22, 40, 58)) * dice.between(0.7, 1.3)
        line = lines - 4 - int(dice.unit() * 22)
        column = int(x) % width
        if line < 1 or _at_home(plan, column, width) or not sand[line, column]:
            continue
        near = 1.0 - (lines - line) / 40.0
        _lay_tuft(
            picture, plan, dice, column, line, round((3.5 + 4.0 * near) * dice.between(0.7, 1.2))
        )


def _lay_tuft(picture: TonalPicture, plan: Plan, dice: Dice, x: int, line: int, tall: int) -> None:
    """A tuft of stems that fan out, dark, with lit tips to the sun."""
    tall = max(2, tall)
    _lay_shadow(picture, plan, x + (1 if plan.sun < 0 else -1), line, 2, 3 * tall + 2)
    mask = np.zeros((tall, 2 * tall + 3), dtype=bool)
    tips = mask.copy()
    for stem in range(-2, 3):
        high = max(1, round(tall * dice.between(0.55, 1.0) * (1.0 - 0.12 * abs(stem))))
        for up in range(high):
            column = tall + 1 + round(stem * (0.3 + 0.45 * up / max(1, tall - 1)) * tall / 4)
            mask[tall - 1 - up, column] = True
        tips[tall - high, column] = stem * plan.sun >= 0
    put(picture, mask, "shade", 2.0, x - tall - 1, line - tall + 1)
    put(picture, tips, "lit", 1.6, x - tall - 1, line - tall + 1)
