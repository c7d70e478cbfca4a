"""The rocky shelf along the foot of the screen: ledges of blocks, a trodden path, flat skerries.

It runs out of the picture at the foot, so it never floats. Two values tell it, a dark face and a
cool top; the sun or moon adds a warm rim on edges that look its way.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import fall, smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.shore.build import Group

LEDGES = ((25.0, 4.5, 6.0), (16.0, 1.2, 9.5), (4.5, 3.0, 1.5))
"""Of each ledge, far ones first: lines of its edge above the foot of the screen, how far blocks
stand up or down from it, lines of its top that are seen."""
BLOCKS = (9.0, 30.0)
"""Columns of a block."""
ENDS = 26.0
"""Columns in which a shelf steps down at its ends."""
OUTCROP = 15.0
"""Lines by which the far ledge rises at its outcrop."""
PATH_LEDGE = 1
"""The ledge that people walk on."""
WARM_REACH = 150.0
"""Columns from the body over which the warmth of tops fades by e."""


@dataclass(frozen=True, eq=False)
class Shelf:
    """has, top: (N, W) bool, rock, and its level ground; tone: (N, W) 0..5 of rock

    path: (N, W) bool, trodden ground; edge: (N, W) bool, the first pixels of ledges
    foot: (N, W) bool, where skerries meet the water
    """

    has: np.ndarray
    top: np.ndarray
    tone: np.ndarray
    path: np.ndarray
    edge: np.ndarray
    foot: np.ndarray


def lay_shelf(
    job: Job, dice: Dice, groups: list[Group], rise: float, column: float, signs: np.ndarray
) -> Shelf:
    """The shelf of some groups; column: the body's; signs: (W,) 1 where light comes from the left
    and -1 where from the right."""
    size = job.lines, job.width
    has, top, path, edge, foot = (np.zeros(size, dtype=bool) for _ in range(5))
    shelf = Shelf(has, top, np.zeros(size), path, edge, foot)
    _skerries(shelf, job, dice.part("skerries"), groups, signs)
    away = np.abs((np.arange(job.width) + 0.5 - column + job.width / 2) % job.width - job.width / 2)
    warm = fall(away / WARM_REACH)
    for number in range(len(LEDGES)):
        _ledge(shelf, job, dice.part(number), (number, groups, rise), (warm, signs))
    return shelf


def _envelope(x: np.ndarray, groups: list[Group], width: int) -> np.ndarray:
    """1 on the shelves, falling to 0 at their ends, below 0 in the water (n,)."""
    inside = np.full(x.shape, -1.0)
    for one in groups:
        off = np.abs((x - one.x + width / 2) % width - width / 2)
        inside = np.maximum(inside, np.clip((one.half - off) / ENDS, -1.0, 1.0))
    return inside


def _outcrops(x: np.ndarray, groups: list[Group], dice: Dice, width: int) -> np.ndarray:
    """Lines by which the far ledge rises (n,): one hump a group, nearer to one of its ends."""
    lines = np.zeros(x.shape)
    for number, one in enumerate(groups):
        part = dice.part("outcrop", number)
        at = one.x + one.half * part.between(0.3, 0.6) * part.choice((-1.0, 1.0))
        wide = one.half * part.between(0.24, 0.4)
        off = np.abs((x - at + width / 2) % width - width / 2)
        high = OUTCROP * min(1.0, one.high / 36.0) * part.between(0.75, 1.1)
        lines = np.maximum(lines, high * (1 - smooth(off, wide * 0.35, wide * 1.3)))
    return lines


def _blocks(width: int, dice: Dice) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """For each column (W,): its block's number, and the block's first column and width."""
    starts, x = [], 0.0
    while x < width - BLOCKS[0]:
        starts.append(int(x))
        x += dice.between(*BLOCKS)
    shift = dice.whole(0, width - 1)
    edges = np.array([*starts, width])
    column = (np.arange(width) + shift) % width
    number = np.searchsorted(edges, column, side="right") - 1
    return number, (edges[number] - shift) % width, np.diff(edges)[number]


def _ledge(
    shelf: Shelf,
    job: Job,
    dice: Dice,
    which: tuple[int, list[Group], float],
    light: tuple[np.ndarray, np.ndarray],
) -> None:
    """One ledge over what lies behind it. which: (number, groups, rise); light: (warm, signs)"""
    (number, groups, rise), (warm, signs) = which, light
    above, uneven, seen = LEDGES[number]
    block, first, wide = _blocks(job.width, dice)
    middle = (first + wide / 2) % job.width
    held = _envelope(middle, groups, job.width)
    high = above * rise + uneven * (unit(dice.seed, block, 1) * 2 - 1)
    if number == 0:
        high += rise * _outcrops(middle, groups, dice, job.width)
    high = np.where(held > 0, high * np.minimum(1.0, held * 1.15 + 0.05), -9.0)
    on = (np.arange(job.width) - first) % job.width
    high = high + (unit(dice.seed, block, 2) - 0.5) * 0.22 * (on - wide / 2)
    corner = _worn(dice, block, on, wide) * uneven / LEDGES[0][1]
    high = _craggy(high, dice.seed) - corner + 1.6 * profile(job.width, dice.seed + 7, 60, 2)
    edge = np.floor(job.lines - high + 0.5)
    deep = np.arange(job.lines)[:, None] - edge[None, :]
    here = deep >= 0
    thick = seen * (0.7 + 0.5 * unit(dice.seed, block, 3)) - corner
    thick = thick + 1.4 * profile(job.width, dice.seed + 8, 40, 2)
    top = here & (deep < np.maximum(thick, 1.0)[None, :])
    face = _faces(job, dice, deep - thick[None, :], (edge, block, on, wide), signs)
    rough = fractal(job.width, job.lines, dice.seed + 9, 24, 0.22, octaves=2)
    ground = np.where(warm[None, :] + 0.6 * rough > 0.45, 3.0, 2.0)
    level = np.where(rough > 0.2, 2.0, np.where(rough < -0.28, 1.0, ground))
    shelf.tone[here] = np.where(top, level, face)[here]
    shelf.has[here] = True
    shelf.top[here], shelf.path[here] = top[here], False
    shelf.edge[here] = (deep == 0)[here]
    _rims(shelf, dice, deep, (edge, warm, signs))
    if number == PATH_LEDGE:
        winding = 1.6 + 1.1 * profile(job.width, dice.seed + 10, 7, 2)
        off = deep - winding[None, :]
        shelf.path[top & (off >= 0) & (off < thick[None, :] * 0.55)] = True


def _worn(dice: Dice, block: np.ndarray, on: np.ndarray, wide: np.ndarray) -> np.ndarray:
    """Lines (W,) by which the corners of blocks are worn off, each by its own slope."""
    left = (3.0 + 5.0 * unit(dice.seed, block, 5)) - on
    right = (3.0 + 5.0 * unit(dice.seed, block, 6)) - (wide - 1 - on)
    return 0.6 * (np.maximum(left, 0.0) + np.maximum(right, 0.0))


FLANK, FLANK_REACH = 1.9, 9
"""Lines by which a flank falls in a column, and columns over which it does."""


def _craggy(high: np.ndarray, seed: int) -> np.ndarray:
    """Heights (W,) whose steps are steep flanks with notches in place of upright walls."""
    notch = 3.0 * unit(seed, np.arange(len(high)) // 2, 13)
    low = high
    for d in range(1, FLANK_REACH):
        beside = np.minimum(np.roll(high, d), np.roll(high, -d))
        low = np.minimum(low, beside + FLANK * d + notch)
    return low


BED = 6.5
"""Lines of a bed of rock."""


def _faces(
    job: Job,
    dice: Dice,
    below: np.ndarray,
    blocks: tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray],
    signs: np.ndarray,
) -> np.ndarray:
    """Tones (N, W) of the upright faces: dark, each block's sunward part a step lighter, warm
    on the corner that stands free on the sun's side."""
    edge, block, on, wide = blocks
    slant = (unit(dice.seed, block, 14) * 1.1 - 0.3) * signs
    lean = on[None, :] + below * slant[None, :]
    part = np.where(signs > 0, 1.0, 0.0)[None, :] + (-signs / wide)[None, :] * lean
    share = 0.3 + 0.4 * unit(dice.seed, block, 4)
    tone = np.where(part > 1 - share[None, :], 1.0, 0.0)
    bed = (below + 0.12 * on[None, :] * signs[None, :]) / BED + unit(dice.seed, block, 7)[None, :]
    crack = bed - np.floor(bed) < 1.0 / BED
    broken = fractal(job.width, job.lines, dice.seed + 12, 40, 0.1, octaves=2) > -0.05
    tone = np.where(crack & broken & (below > 2), 2.0 * tone, tone)
    ahead = np.where(signs > 0, np.roll(edge, 4), np.roll(edge, -4))
    free = np.clip(ahead - edge, 0.0, 9.0)[None, :]
    corner = (part > 1 - (3.4 / wide)[None, :]) & (free > 2)
    return np.where(corner & (below < free), np.where(below < free - 3, 4.0, 3.0), tone)


def _rims(
    shelf: Shelf,
    dice: Dice,
    deep: np.ndarray,
    light: tuple[np.ndarray, np.ndarray, np.ndarray],
) -> None:
    """Warm light along edges that look to the body: hottest near it, lost and found far off."""
    edge, warm, signs = light
    falls = (np.roll(edge, 2) - np.roll(edge, -2)) * signs
    found = profile(len(edge), dice.seed + 11, 40, 2) + warm > 0.4
    turned = falls < -1.0
    tone = np.where(warm > 0.62, 5.0, 4.0) - np.where(turned, 2.0, 0.0)
    rim = (deep == 0) & (found | (falls > 0.5))[None, :]
    shelf.tone[rim] = np.broadcast_to(tone[None, :], rim.shape)[rim]


def _skerries(shelf: Shelf, job: Job, dice: Dice, groups: list[Group], signs: np.ndarray) -> None:
    """Low rocks off the ends of the shelf, flat where they stand in the water."""
    x = np.arange(job.width)
    for number, one in enumerate(groups):
        for side in (-1.0, 1.0):
            part = dice.part(number, "left" if side < 0 else "right")
            for n in range(part.whole(1, 3)):
                at = one.x + side * (one.half + part.between(-14, 12) - 16 * n)
                half = part.between(5, 13) * (1 - 0.2 * n)
                foot = job.lines - part.between(9, 15) - 7.0 * n
                off = (x - at + job.width / 2) % job.width - job.width / 2
                _skerry(shelf, part.part(n), (off, half, int(foot)), signs)


def _skerry(
    shelf: Shelf, dice: Dice, form: tuple[np.ndarray, float, int], signs: np.ndarray
) -> None:
    """One low rock: form (columns from its middle, half its width, line of its foot)."""
    off, half, foot = form
    facets = np.abs(off + half * dice.between(-0.3, 0.3)) / half
    high = half * dice.between(0.35, 0.55) * np.clip(1.5 - 1.5 * facets, 0.0, 1.0)
    high = np.where(np.abs(off) < half, np.maximum(high, 1.0), 0.0)
    top = np.floor(foot - high + 0.5)
    line = np.arange(len(shelf.has))[:, None]
    here = (line >= top[None, :]) & (line < foot) & (high > 0)[None, :]
    sunward = (off * signs < -half * 0.25)[None, :]
    tone = np.where(line == top[None, :], np.where(sunward, 4.0, 2.0), np.where(sunward, 1.0, 0.0))
    shelf.has[here], shelf.tone[here], shelf.top[here] = True, tone[here], False
    shelf.foot[(line == foot) & (np.abs(off) < half + 2)[None, :]] = True


def colour_shelf(picture: TonalPicture, shelf: Shelf, seed: int, plain: bool) -> None:
    """Lay the shelf: rock, moss on its level ground, the path, the water's edge.

    plain: no moss
    """
    lines, width = shelf.has.shape
    picture.lay(shelf.has, "rock", shelf.tone)
    if not plain:
        moss = fractal(width, lines, seed, 20, 0.16, octaves=3) > 0.17
        moss &= shelf.top & ~shelf.path & (shelf.tone < 4)
        picture.lay(moss, "grass", np.where(shelf.tone >= 3, 2.0, 1.0))
    trodden = shelf.path & (shelf.tone < 4)
    picture.lay(trodden, "stone", np.where(shelf.tone >= 3, 3.0, 2.0))
    wet = shelf.foot & ~shelf.has
    picture.lay(wet, "foam", 0.0)
    found = profile(width, seed + 1, 50, 2) > -0.05
    picture.lay(wet & found[None, :], "foam", 1.0)
    behind = ~shelf.has & shifted(shelf.edge, 0, 1) & (profile(width, seed + 2, 44, 2) > 0.16)
    picture.lay(behind, "foam", 0.0)
