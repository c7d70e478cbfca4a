"""Painter of terraced fields: hillsides cut into steps, with water, tea or meadow on each.

Words used here:
  contour   the line at the back of a field; it runs level and steps by whole cells, so that every
            field costs the same few patterns
  step      from one contour to the next: a field, its lip, and the wall that holds it
"""

from __future__ import annotations

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.fields import profile
from genbg.paint.craft.paths import draw_paths, snap
from genbg.paint.craft.scatter import hash_words, jittered, pick_one
from genbg.paint.craft.sheet import DEEP, RIM, SHADE, Sheet, Tones
from genbg.paint.parts.crops import (
    CROPS,
    GLINTS,
    MEADOW,
    SPROUTS,
    TEA,
    TEA_LOW,
    WALL,
    draw_lip_lamp,
)
from genbg.paint.parts.mist import raise_mist
from genbg.paint.parts.trees import stamps_of
from genbg.paint.terraces.keys import TerraceKeys
from genbg.paint.terraces.mounds import raise_mounds

RAMPS = (
    Ramp("crop", "Leaves of the crop and grass.", ("#004924", "#246d24", "#6db624", "#dbff6d"), 5),
    Ramp("water", "Water between the sprouts.", ("#4992db", "#b6dbff", "#ffffff"), 3),
    Ramp("wall", "Walls and earth.", ("#331824", "#6d4924", "#b69249"), 4),
    Ramp("trees", "Trees.", ("#001824", "#004924", "#246d24", "#92b649"), 4),
    Ramp("mist", "Mist at the foot, thin to thick.", ("#b6dbdb", "#dbffff"), 2),
    Ramp("lamp", "Lamps on their posts.", ("#ff9224", "#ffffb6"), 2, True),
    Ramp("roof", "The house's roof.", ("#490024", "#922449", "#db6d49"), 3),
)

HOUSE = {"window": "lamp", "wood": "wall"}
"""Ramps that a house asks for, and which of the painter's own it takes."""


def paint(keys: TerraceKeys, job: Job) -> Painting:
    """Hillsides of steps up to their outline; see-through above it."""
    sheet = Sheet(job, _Hues(RAMPS, job.steps))
    contours = lay_contours(job, keys, sheet)
    for n in range(len(contours) - 1):
        _draw_step(job, keys, sheet, contours, n)
    for n in range(len(contours) - 1):
        _stand(job, keys, sheet, contours[n], n)
    if keys.mounds:
        raise_mounds(job, keys, sheet, min(4, _quantum(job)))
    raise_mist(sheet, "mist", keys.mist)
    return sheet.painting(("lamp",))


def lay_contours(job: Job, keys: TerraceKeys, sheet: Sheet) -> np.ndarray:
    """Lines (K, W) int64 of the contours from the hills' outline down; the last is the foot."""
    columns, seed = sheet.columns, hash_words(job.seed, "hills")
    rise = profile(columns, seed, keys.hills, 3, 0.4).astype(np.float64)
    share = (rise - rise.min()) / max(float(rise.max() - rise.min()), 0.01)
    height = keys.height * (keys.slope if keys.mounds else 1.0)
    tall = height * job.lines * (0.55 + 0.45 * share)
    count = max(1, round(height * job.lines / keys.step))
    quantum = _quantum(job)
    places: list[np.ndarray] = []
    for n in range(count + 1):
        sway = profile(columns, hash_words(seed, n), keys.hills * 2, 2, 0.3).astype(np.float64)
        down = tall * (1.0 - n / count) + sway * keys.step * (0.0, 0.4, 1.1)[min(n, 2)] * (
            n < count
        )
        level = snap(sheet.foot - down, quantum)
        if places:
            level = np.maximum(level, places[-1] + quantum * (n < count))
        places.append(level)
    ends = np.concatenate([np.stack(places), np.stack(places)[:, :1]], axis=1)
    contours = draw_paths(ends, hash_words(job.seed, "edges"), 1, 0)
    contours[-1] = np.maximum(contours[-1], sheet.foot)
    return contours


def _quantum(job: Job) -> int:
    """The lattice of lines that contours keep to."""
    return CELL if job.thrift > 0.85 else 4 if job.thrift > 0.3 else 2


class _Hues(Tones):
    """The painter's inks; a house takes those of HOUSE for what it is made of."""

    def __call__(self, ramp: str, tone: int) -> int:
        return super().__call__(HOUSE.get(ramp, ramp), tone)

    def row(self, ramp: str) -> np.ndarray:
        return super().row(HOUSE.get(ramp, ramp))


def _draw_step(job: Job, keys: TerraceKeys, sheet: Sheet, contours: np.ndarray, n: int) -> None:
    """One field on the sheet in place, with the lip and the wall below it."""
    back, front = contours[n], contours[n + 1]
    first, last = max(0, int(back.min())), min(len(sheet.ink), int(front.max()))
    lines = np.arange(first, last)[:, None]
    wall = max(2, round(keys.wall * keys.step))
    room = front - back
    wall_of = np.minimum(wall, np.maximum(room - 2, 0))
    inside = (lines >= back) & (lines < front)
    x = np.arange(sheet.width)[None, :]
    deep = lines - back
    up = front - 1 - lines
    crops = CROPS[keys.crop]
    crop = crops[pick_one(job.seed, len(crops), "crop", n)] if n else "meadow"
    ink = _field(sheet, crop, deep, x, room - wall_of - 1, n)
    stones = WALL[(wall_of - 1 - up) % CELL, (x + 4 * n) % CELL]
    stones = np.where(up == 0, DEEP, stones)
    face = sheet.tones.row("wall")[stones] if wall > 3 else sheet.tones.row("crop")[SHADE]
    ink = np.where(up < wall_of, face, ink)
    lip = up == wall_of
    grass = sheet.tones.row("crop")
    ink = np.where(lip, grass[RIM], ink)
    ink = np.where((up == wall_of - 1) & (wall_of > 2), grass[SHADE], ink)
    place = sheet.ink[first:last]
    place[inside] = ink[inside]


def _field(
    sheet: Sheet, crop: str, deep: np.ndarray, x: np.ndarray, room: np.ndarray, n: int
) -> np.ndarray:
    """Inks (H, W) of a field by how far in front of its back each pixel lies."""
    grass, water = sheet.tones.row("crop"), sheet.tones.row("water")
    across = x if not sheet.turned else -1 - x
    row, column = deep % CELL, (across + 4 * (deep // CELL % 2)) % CELL
    if crop == "tea":
        low = np.broadcast_to(room < 9, deep.shape)
        return grass[np.where(low, TEA_LOW[row, column], TEA[row, column])]
    if crop == "meadow":
        return grass[MEADOW[row, column]]
    shine = GLINTS[row, (across + 3 * n) % CELL]
    shine = np.where(deep < 2, DEEP, shine)
    ink = water[shine]
    if crop == "sprouts":
        ink = np.where(SPROUTS[row, column] & (deep > 0), grass[SHADE], ink)
    return ink


def _stand(job: Job, keys: TerraceKeys, sheet: Sheet, contour: np.ndarray, n: int) -> None:
    """Trees and lamps along one contour, where it runs level."""
    seed = hash_words(job.seed, "stand", n)
    wood, lamp = sheet.tones.row("trees"), draw_lip_lamp(sheet)
    for number, column in enumerate(jittered(sheet.columns, 4, seed, 0.9).tolist()):
        foot = int(contour[column * CELL])
        if foot < 2 * CELL or foot + CELL > sheet.foot:
            continue
        luck = pick_one(seed, 1000, number, "luck")
        level = contour[column * CELL] == contour[(column * CELL + CELL) % sheet.width]
        if luck < keys.lamps * 250 and level:
            sheet.put(lamp, column, foot + 1)
        elif luck > 1000 - keys.trees * (300 if n else 900):
            stamps = stamps_of(False)
            tones = stamps[pick_one(seed, len(stamps), number, "tree")]
            piece = np.where(tones >= 0, wood[np.maximum(tones, 0)], 0)
            sheet.put(piece, column, foot + 2)


PAINTER = Painter(
    name="terraces",
    about="Hillsides cut into fields of rice, tea and meadow, held by walls.",
    params=TerraceKeys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.7,
)
