"""Round hills cut into terraces: rings of fields that bulge toward the eye, each on its wall.

Words used here:
  ring      one terrace of a mound: its outer edge, the lip, is an ellipse seen from a little above
  rise      lines from one lip to the next at the sides, where the outline shows it
  bulge     how much farther down a lip runs in the middle than at the sides

A mound is drawn from its lowest ring up; each ring is level ground and, below its lip, a face. The
half away from the light takes darker tones, and the border between them runs along cell borders.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.paths import draw_paths, snap
from genbg.paint.craft.scatter import hash_words, jittered, pick_one
from genbg.paint.craft.sheet import DEEP, LIT, RIM, SHADE, Sheet
from genbg.paint.parts.crops import CROPS, SHADED_TEA, TEA, WALL, draw_lip_lamp
from genbg.paint.parts.towers import draw_hut
from genbg.paint.parts.trees import stamps_of
from genbg.paint.terraces.keys import TerraceKeys
from genbg.records import record


@record(frozen=True, eq=False)
class Mound:
    """One hill: column of its middle (cells), line of its foot, lines to its top, half width."""

    middle: int
    foot: int
    tall: int
    half: int
    seed: int


@record(frozen=True, eq=False)
class Ring:
    """One terrace: columns (n,) it covers, the first line of its ground and of its face, its end.

    shade: (n,) bool, the columns that the light does not reach
    """

    columns: np.ndarray
    back: np.ndarray
    lip: np.ndarray
    end: np.ndarray
    shade: np.ndarray
    number: int


def place_mounds(count: int, columns: int, foot: int, tall: int, seed: int) -> list[Mound]:
    """Mounds all around the plane, the tallest first: the others stand before it."""
    spacing = max(2, columns // count)
    middles = jittered(columns, spacing, hash_words(seed, "mounds"), 0.5).tolist()[:count]
    tallest = pick_one(seed, max(1, len(middles)), "tallest")
    mounds = []
    for n, middle in enumerate(middles):
        away = (n - tallest) % len(middles)
        share = 100 if away == 0 else 52 + pick_one(seed, 28, n, "tall")
        high = max(2 * CELL, tall * share // 100)
        half = max(3, spacing * (62 + pick_one(seed, 18, n, "wide")) // 100 * (share + 100) // 200)
        mounds.append(Mound(middle, foot, high, half * CELL, hash_words(seed, n)))
    return sorted(mounds, key=lambda mound: (-mound.tall, mound.middle))


def cut_rings(mound: Mound, step: int, quantum: int, width: int, turned: bool) -> list[Ring]:
    """The rings of a mound from its foot to its top.

    Two lips are a whole number of `quantum` lines apart, at the sides and in the middle, so that
    cells of different rings hold the same pixels.
    """
    step = max(2 * quantum, step // quantum * quantum)
    rise = max(quantum, (3 * step // 4) // quantum * quantum)
    count = max(2, mound.tall // step)
    shape = (count, rise, step - rise, quantum)
    return [_cut_ring(mound, n, shape, width, turned) for n in range(count)]


def _cut_ring(
    mound: Mound, n: int, shape: tuple[int, int, int, int], width: int, turned: bool
) -> Ring:
    """Ring number n from the foot. shape: rings, rise, bulge of one more ring, quantum."""
    count, rise, bulge, quantum = shape
    up = n / count
    reach = mound.half * (1.0 - 0.45 * up - 0.35 * up * up) / CELL
    sides = [max(2, round(reach) + pick_one(mound.seed, 3, n, side, "bay") - 1) for side in (0, 1)]
    borders = np.arange(-sides[0], sides[1] + 1)
    off = borders / np.where(borders < 0, sides[0], sides[1])
    round_ = np.sqrt(np.maximum(0.0, 1.0 - off * off))
    level = (mound.foot - rise * n) // quantum * quantum - rise
    down = snap(round_ * (bulge * (count - n) + quantum), quantum)
    lip = draw_paths((level + down)[None, :], mound.seed, 1, 0)[0]
    at = np.arange(-sides[0] * CELL, sides[1] * CELL)
    back = np.minimum(level - np.where((at < -sides[0] * CELL + 4) | (at >= at[-1] - 3), 0, 2), lip)
    edge = sides[1] * 3 // 8 * CELL
    shade = at < -edge if turned else at >= edge
    end = lip + rise + bulge - (2 if n else 0)
    columns = (mound.middle * CELL + at) % width
    return Ring(columns, back, lip, end, shade, n)


def raise_mounds(job: Job, keys: TerraceKeys, sheet: Sheet, quantum: int) -> None:
    """The round hills on a sheet in place, the house, trees and lamps on them.

    quantum: lines that lips keep to multiples of
    """
    tall = round(keys.height * job.lines)
    mounds = place_mounds(keys.mounds, sheet.columns, sheet.foot, tall, job.seed)
    for number, mound in enumerate(mounds):
        rings = cut_rings(mound, keys.step, quantum, sheet.width, sheet.turned)
        for ring in rings:
            _draw_ring(job, keys, sheet, ring, mound.seed)
        _crown(job, keys, sheet, rings, mound, number)


def _draw_ring(job: Job, keys: TerraceKeys, sheet: Sheet, ring: Ring, seed: int) -> None:
    """Ground, lip, planted face and wall of one ring, in place."""
    crops = CROPS[keys.crop]
    crop = crops[pick_one(seed, len(crops), "ring", ring.number)]
    grass, water, wall = (sheet.tones.row(name) for name in ("crop", "water", "wall"))
    first = max(0, int(ring.back.min()))
    lines = np.arange(first, min(len(sheet.ink), int(ring.end.max())))[:, None]
    x = ring.columns[None, :]
    deep = lines - ring.lip
    stones = max(2, round(keys.wall * keys.step))
    room = keys.step - stones
    across = -1 - x if sheet.turned else x
    planted = grass[TEA[np.minimum(deep, CELL - 1) % CELL, across % CELL]]
    below = np.clip(deep - room, 0, CELL - 1)
    face = np.where(deep < room, planted, wall[WALL[below % CELL, (x + 4 * ring.number) % CELL]])
    shaded = np.where(deep < room, grass[SHADED_TEA[np.minimum(deep, CELL - 1) % CELL]], wall[DEEP])
    if crop != "tea":
        face = wall[WALL[deep % CELL, (x + 4 * ring.number) % CELL]]
        face = np.where(deep < 2, grass[RIM], np.where(deep < 3, grass[SHADE], face))
        shaded = np.where(deep < 2, grass[LIT], wall[DEEP])
    face = np.where(ring.shade[None, :], shaded, face)
    flat = water[LIT] if crop in ("water", "sprouts") else grass[RIM]
    dim = water[DEEP] if crop in ("water", "sprouts") else grass[LIT]
    ground = np.where(ring.shade[None, :] | (lines % 4 == 1) & (deep < -3), dim, flat)
    ink = np.where(deep < 0, ground, face)
    inside = (lines >= ring.back) & (lines < ring.end)
    place = sheet.ink[first : first + len(lines)]
    place[:, ring.columns] = np.where(inside, ink, place[:, ring.columns])


def _crown(
    job: Job, keys: TerraceKeys, sheet: Sheet, rings: list[Ring], mound: Mound, number: int
) -> None:
    """What stands on a mound: the house on the tallest, trees on the others, lamps on lips."""
    seed = hash_words(job.seed, "crown", number)
    wood = sheet.tones.row("trees")
    stamps = stamps_of(False)
    top = int(rings[-1].lip.max()) + 2

    def plant(column: int, foot: int, which: int) -> None:
        tones = stamps[which]
        sheet.put(np.where(tones >= 0, wood[np.maximum(tones, 0)], 0), column, foot)

    if keys.house and number == 0:
        side = 1 if sheet.turned else -1
        hut = draw_hut(sheet.tones, seed, 4, 2)
        sheet.put(hut, mound.middle - 3, top)
        plant(mound.middle + (3 if side < 0 else -5), top + 2, 0)
    elif pick_one(seed, 1000, "tree") < 300 + keys.trees * 700:
        plant(mound.middle - 1, top, 0)
    for n, ring in enumerate(rings[:-1]):
        for k, share in enumerate((25, 60, 85)):
            at = len(ring.columns) * (share + pick_one(seed, 16, n, k) - 8) // 100 // CELL * CELL
            luck = pick_one(seed, 1000, n, k, "luck")
            foot = int(ring.lip[at + 3])
            if foot < sheet.foot - CELL and luck < keys.lamps * 200:
                sheet.put(draw_lip_lamp(sheet), int(ring.columns[at]) // CELL, foot + 1)
            elif foot < sheet.foot - CELL and luck > 1000 - keys.trees * 500:
                plant(int(ring.columns[at]) // CELL, foot + 2, 1)
