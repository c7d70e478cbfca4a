"""The valley before the peaks: spurs that interlock, water, woods as masses with toothed rims."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import blur, fall, power, sine, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.massif import crests
from genbg.paint.craft.relief import UNSEEN, Light, hull, lambert, oblique, read, seen, shaded
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.peaks.lowland import lay_calm_water, paint_hills
from genbg.paint.painters.peaks.plans import Plan
from genbg.paint.painters.peaks.ranges import tones
from genbg.paint.painters.peaks.scene import View

SPUR_ROWS = 56
SPUR_TILT = 0.5
"""Lines by which a pixel of depth is lifted among the spurs."""
SPURS = (
    # side, depth, height, columns from the body where it begins, and where it ends
    (1, 44, 17, 150, 20),
    (-1, 38, 16, 140, 14),
    (1, 25, 13, 190, 52),
    (-1, 18, 14, 170, 40),
    (1, 6, 12, 230, 110),
)
OPEN = 90.0
"""Columns beside the body's within which nearer woods leave a broad valley open to the eye."""
LIT_WATER = 15.0
"""Columns beside the body's within which water carries its light, at the far end."""


def paint_valley(
    picture: TonalPicture, view: View, plan: Plan, woods: float, hamlet: bool, broadly: bool = False
) -> None:
    """Everything below the foot; broadly: round hills, water with one path of light."""
    if broadly:
        paint_hills(picture, view, plan)
    else:
        _paint_spurs(picture, view, plan)
    _paint_floor(picture, view, 0.08 if broadly else 0.2)
    water = _paint_water(picture, view, plan, broadly)
    _plant_woods(picture, view, water, woods, broadly)
    if hamlet and plan.valley != "meadow":
        _paint_hamlet(picture, view, plan)


def _paint_spurs(picture: TonalPicture, view: View, plan: Plan) -> None:
    """Low spurs from both sides, the far ones first."""
    job, dice = view.job, Dice(view.job.seed, "spurs")
    ground = oblique(SPUR_ROWS, view.foot + 20.0, SPUR_TILT)
    parts = []
    for side, depth, height, start, end in SPURS:
        way = side * plan.turn
        x = view.middle + way * (start + 24.0 * dice.bell())
        arms = (0.5 if way > 0 else 0.0, -0.22, -0.3 if way > 0 else -0.2, 0.0 if way > 0 else 0.5)
        tall = height * dice.between(0.8, 1.3)
        slope = tall / (start - end)
        parts.append(crests(dice, x, depth + 1.5 * dice.bell(), tall, slope * 1.4, arms, 2))
    heights = hull(np.concatenate(parts), ground, job.width, 0.6, -1.0)
    rough = fractal(
        job.width, SPUR_ROWS, hash_words(job.seed, "knolls"), job.width // 20, octaves=2
    )
    heights = heights + 1.4 * rough * (heights > 0)
    light: Light = (view.side, 0.45, 0.3)
    lit = lambert(heights, ground, light)
    tone = 4.4 + 1.7 * smooth(lit, 0.38, 0.8) - 0.9 * smooth(lit, 0.36, 0.1)
    tone = tone - 0.6 * shaded(heights, ground, light, 30.0)
    row = seen(heights, ground, job.lines)
    high = read(heights, row)
    mist = 1.0 - smooth(high, 0.5, 6.0)
    where = (row != UNSEEN) & (high > 0.2) & (view.y >= view.foot - 30)
    picture.lay(where, "air", tones(picture, read(tone, row) * (1 - mist) + 4.1 * mist), 0.3)


def _paint_floor(picture: TonalPicture, view: View, soft: float) -> None:
    """The snowy floor: pale in the mist, darker toward us and away from the body's light."""
    job = view.job
    wide = max(1, job.width // 80)
    patch = fractal(job.width, job.lines, hash_words(job.seed, "floor"), wide, 1 / 8, octaves=3)
    edge = (
        view.foot
        + 8
        + 5.0
        * fractal(job.width, 1, hash_words(job.seed, "edge"), max(1, job.width // 110), octaves=3)
    )
    down = view.y - view.foot
    flat = fractal(job.width, job.lines, hash_words(job.seed, "shine"), job.width // 26, 1 / 2, 2)
    ragged = np.maximum(view.near[None, :] * (1.0 + 1.4 * patch) + 60.0 * flat, 0.0)
    light = 0.7 * fall(ragged / 46.0)
    shade = smooth(down, 6.0, 54.0) * smooth(view.near, 24.0, 120.0)[None, :]
    tone = 3.95 + 0.9 * patch + light - shade
    painted = picture.holds()
    floor = (view.y >= edge) & ~(painted & (down < 20) & (picture.tone > 0) & (view.y < edge + 3))
    spur = painted & (down < 26)
    picture.lay(floor & ~spur, "air", tones(picture, tone), soft)


def _middle(view: View, plan: Plan, share: np.ndarray) -> np.ndarray:
    """Columns of the river's middle at shares 0 (far) .. 1 (near) of the valley."""
    swing = 5.0 + 50.0 * power(share, 0.8)
    turn = plan.bend + 2.2 * power(share, 0.62)
    return view.middle + 3.0 * plan.turn + swing * sine(turn)


def _water_mask(view: View, plan: Plan, broadly: bool) -> np.ndarray:
    """(N, W) bool, where the water lies."""
    job = view.job
    deep = job.lines - view.foot
    ragged = fractal(
        job.width, job.lines, hash_words(job.seed, "shore"), job.width // 24, 1 / 5, octaves=2
    )
    if plan.valley == "lake":
        off = view.off[None, :] - 14.0 * plan.turn
        middle, half = view.foot + 0.36 * deep, 0.16 * deep
        across = off / (118.0 + 40.0 * plan.bend)
        down = (view.y - middle) / half
        return across * across + down * down < 1.0 + (0.4 if broadly else 0.9) * ragged
    mask = np.zeros((job.lines, job.width), dtype=bool)
    share = np.arange(320) / 319
    middles = _middle(view, plan, share)
    falls = view.foot - 9 + (deep + 9) * power(share, 1.45) * 1.05
    for x, y, part in zip(middles.tolist(), falls.tolist(), share.tolist(), strict=True):
        half = (2.0 + 17.0 * part) if broadly else (1.2 + 11.0 * part)
        tall = max(0.55, (0.2 if broadly else 0.27) * half)
        first, last = max(0, int(y - tall)), max(0, min(job.lines, int(y + tall) + 2))
        columns = np.arange(int(x - half) - 2, int(x + half) + 3)
        a = (columns + 0.5 - x) / half
        b = (np.arange(first, last)[:, None] + 0.5 - y) / tall
        mask[first:last, columns % job.width] |= a * a + b * b < 1.0
    return mask & (view.y > view.foot - 8)


def _paint_water(picture: TonalPicture, view: View, plan: Plan, broadly: bool) -> np.ndarray:
    """Dark water that carries the body's light in dashes; a dark far bank and a lit near one."""
    if plan.valley == "meadow":
        return np.zeros(picture.tone.shape, dtype=bool)
    job = view.job
    water = _water_mask(view, plan, broadly)
    below, above = np.roll(water, 1, axis=0) & ~water, np.roll(water, -1, axis=0) & ~water
    picture.shift(above & picture.holds("air"), -1.2 * tones(picture, 1.0))
    picture.shift(below & picture.holds("air"), 0.8 * tones(picture, 1.0))
    down = view.y - view.foot
    if broadly:
        lay_calm_water(picture, view, plan, water)
        return water
    reach = LIT_WATER + 0.42 * np.maximum(down, 0.0)
    dash = fractal(
        job.width, job.lines, hash_words(job.seed, "dash"), job.width // 22, 1 / 1.5, octaves=2
    )
    glow = fall((view.near[None, :] / reach) ** 2)
    tone = (
        2.0
        + 1.2 * smooth(down, 24.0, 0.0)
        + 5.1 * np.clip(glow * (0.62 + 2.9 * dash), 0, 1)
        + 1.0 * dash
    )
    picture.lay(water, "water", tone * (picture.last("water") / 7.0), 0.25)
    return water


def _plant_woods(
    picture: TonalPicture, view: View, water: np.ndarray, woods: float, broadly: bool
) -> None:
    """Woods: dark masses with paler feet, single trees only along their upper rim."""
    job = view.job
    down = view.y - view.foot
    mass = fractal(
        job.width,
        job.lines,
        hash_words(job.seed, "woods"),
        max(1, job.width // 90),
        1 / 11,
        octaves=3,
    )
    limit = 0.30 - 0.5 * woods + 0.3 * fall((view.near / 42.0) ** 2)[None, :]
    limit = limit + 0.45 * smooth(down, 40.0, 52.0) + 0.3 * smooth(down, 4.0, -6.0)
    if broadly:
        before = smooth(down, 14.0, 34.0) * fall((view.near / OPEN) ** 2)[None, :]
        limit = limit + 0.5 * before + 0.8 * smooth(blur(water.astype(np.float64), 14, 3), 0.0, 0.4)
    wet = water.copy()
    for across in () if broadly else range(-12, 13, 2):
        wet |= np.roll(water, across, axis=1)
    dense = np.where(wet | (down < -22), -1.0, mass - limit)
    near = np.clip((down + 10.0) / 60.0, 0.0, 1.0)
    tone = 3.0 - 1.5 * smooth(near, 0.15, 0.75)
    feet = np.roll(dense, -4, axis=0) < 0.02
    picture.lay(
        (dense > 0.02) & picture.holds(),
        "air",
        tones(picture, tone + 0.35 + 0.9 * feet),
        0.0 if broadly else 0.25,
    )
    x, y, tall, dark = _tree_places(view, dense, tone, broadly)
    stamp_trees(picture, view, x, y, tall, dark, 0.0 if broadly else 0.3)


def _tree_places(view: View, dense: np.ndarray, tone: np.ndarray, broadly: bool) -> np.ndarray:
    """Columns, foot lines, heights and tones (4, n) of the trees, the far ones first."""
    job = view.job
    line, found = view.foot - 18.0, []
    number = 0
    while line < job.lines - 14:
        near = min(1.0, max(0.0, (line - view.foot + 10) / 60))
        step, tall = 1.3 + 2.8 * near, 1.8 + 9.0 * near
        count = int(job.width / step)
        n = np.arange(count)
        draw = [unit(job.seed, n, number, k) for k in range(4)]
        x = (n + draw[0]) * step
        y = line + (draw[1] - 0.5) * 1.8 * (1 + 2 * near)
        column = x.astype(np.int64) % job.width
        row = np.clip(y.astype(np.int64), 0, job.lines - 1)
        here = dense[row, column]
        rim = dense[np.clip(row - int(tall) - 1, 0, job.lines - 1), column] < 0.02
        keep = (here > 0) & (rim | (draw[2] < (0.1 if broadly else 0.25)))
        size = tall * (0.7 + 0.55 * draw[3]) * (0.6 + 0.4 * smooth(here, 0.0, 0.2))
        if broadly:
            size = size * (0.55 + 0.75 * draw[2] * draw[2])
        part = np.stack([x, y, size, tone[row, 0] - 0.1 + 0.4 * ~rim])[:, keep]
        found.append(part)
        line += 1.2 + 3.2 * near
        number += 1
    return np.concatenate(found, axis=1)


def stamp_trees(
    picture: TonalPicture,
    view: View,
    x: np.ndarray,
    y: np.ndarray,
    tall: np.ndarray,
    dark: np.ndarray,
    soft: float = 0.3,
) -> None:
    """Small firs, each a dark cone whose side toward the light is paler; far ones first."""
    width, lines = picture.tone.shape[1], picture.tone.shape[0]
    lit_side = view.side[x.astype(np.int64) % width]
    for row in range(int(np.ceil(tall.max(initial=0.0)))):
        share = row / np.maximum(tall, 1.0)
        half = (0.23 * tall + 0.5) * np.minimum(share + 0.1, 1.0)
        half = half * (1.0 if row % 3 else 0.7)
        line = np.floor(y - tall + row).astype(np.int64)
        reach = int(np.ceil(half.max(initial=0.0)))
        for across in range(-reach, reach + 1):
            there = (share < 1.0) & (np.abs(across) <= half + 0.3) & (line >= 0) & (line < lines)
            lit = (across * lit_side > 0.15 * half) & (share < 0.8)
            tone = dark + 0.8 * smooth(share, 0.4, 1.0) + 1.7 * lit
            column = (x.astype(np.int64) + across) % width
            at = line[there], column[there]
            picture.material[at] = picture.number("air")
            picture.tone[at] = tones(picture, tone[there])
            picture.soft[at] = soft


def _paint_hamlet(picture: TonalPicture, view: View, plan: Plan) -> None:
    """Snowy roofs three pixels wide, a lit window each, by the water."""
    dice = Dice(view.job.seed, "hamlet")
    lines, width = picture.tone.shape
    middle = view.middle + plan.turn * dice.between(40, 62)
    for across, down in ((0, 0), (7, 2), (12, -1), (4, 5), (-7, 3), (19, 2)):
        x, y = int(middle + across * plan.turn + 2 * 0.5 * dice.bell()), view.foot + 13 + down
        wide = dice.choice((3, 4))
        for n in range(wide if 2 <= y < lines else 0):
            for rise, tone in ((2, 7.0), (1, 6.0 if n < 2 else 4.0), (0, 2.0)):
                if not 0 <= y - rise < lines:
                    continue
                picture.material[y - rise, (x + n) % width] = picture.number("air")
                picture.tone[y - rise, (x + n) % width] = tones(picture, tone)
                picture.soft[y - rise, (x + n) % width] = 0.0
        for line, column, tone in ((y, x + 1, 1), (y + 1, x + 1, 0), (y + 1, x + 2, 0)):
            if 0 <= line < lines:
                picture.material[line, column % width] = picture.number("lamp")
                picture.tone[line, column % width] = tone
                picture.guard[line, column % width] = True
