"""Painter of forests: ranks of trunks under a canopy of leaves, with shafts of light between them.

A layer shows two ranks of trunks at most: the near one, and a paler one behind it. Trunks, clumps
of leaves and shafts all stand on the cells (`parts/trunks.py`, `parts/leaves.py`), so that a wood
as wide as the plane stores few patterns. Shafts are a checker of light before whatever lies behind
the layer.
"""

from __future__ import annotations

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.fields import profile
from genbg.paint.craft.scatter import hash_words, jittered, pick_one
from genbg.paint.craft.sheet import Sheet, Tones
from genbg.paint.parts.leaves import Growth, clump_set
from genbg.paint.parts.trunks import Trunk, draw_branch, draw_trunk
from genbg.records import record

CLUMPS = ((8, 5), (6, 4), (5, 3))
"""Columns and rows of the clumps of leaves, from large to small."""


@record(frozen=True)
class ForestKeys:
    """Keys of the forest painter."""

    trunks: float = key(0.6, "float", "How closely trunks of the near rank stand.", low=0, high=1)
    width: int = key(24, "int", "Width of a usual trunk.", low=4, high=64, unit="pixels")
    behind: float = key(0.5, "float", "How closely those of the rank behind stand.", low=0, high=1)
    canopy: float = key(
        0.35, "float", "How far leaves hang down, a share of the lines.", low=0, high=1
    )
    branches: float = key(0.5, "float", "Share of trunks that fork.", low=0, high=1)
    shafts: float = key(0.0, "float", "How many shafts of light fall.", low=0, high=1)
    leaf: str = key(
        "broad", "choice", "What leaves are like.", choices=("broad", "fine", "pointed")
    )


RAMPS = (
    Ramp("bark", "Trunks of the near rank.", ("#180018", "#492424", "#92493f", "#dba26d"), 5),
    Ramp("far", "Trunks of the rank behind.", ("#244949", "#496d6d", "#6d926d"), 3),
    Ramp("leaves", "Leaves.", ("#002424", "#004924", "#246d24", "#6db624", "#dbff6d"), 5),
    Ramp("shaft", "Light between the trunks.", ("#dbff92",), 1, hazed=False),
)


def paint(keys: ForestKeys, job: Job) -> Painting:
    """Trunks over the whole height of the layer, see-through between them."""
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    _plant(job, sheet, "far", keys.behind, max(8, keys.width * 2 // 5 // 8 * 8), False)
    if keys.shafts > 0:
        _let_light_in(job, keys, sheet)
    near = _plant(job, sheet, "bark", keys.trunks, max(8, keys.width // 8 * 8), True)
    if keys.canopy > 0:
        _hang_canopy(job, keys, sheet, near)
    return sheet.painting()


def _plant(job: Job, sheet: Sheet, ramp: str, share: float, width: int, near: bool) -> list[int]:
    """A rank of trunks on the sheet; returns where they stand."""
    if share <= 0:
        return []
    seed = hash_words(job.seed, ramp)
    keys: ForestKeys = job.params
    apart = max(width * 2, round(width * (2.2 + 6.0 * (1.0 - share))))
    shapes = hash_words(job.seed, "edges")
    row = sheet.tones.row(ramp)
    places = []
    for n, place in enumerate(jittered(sheet.width, apart, seed, 0.6).tolist()):
        own = hash_words(seed, n)
        size = width * (3 + pick_one(own, 3, "size")) // 32 * 8 if width > 8 else width
        foot = sheet.foot // CELL
        bends = 1 if job.thrift > 0.8 or not near else 4
        trunk = Trunk(place // CELL * CELL, max(4, size), 0, foot, own, near, bends)
        places.append(trunk.x)
        if near and pick_one(own, 1000, "fork") < keys.branches * 1000:
            _fork(job, sheet, trunk, row, shapes)
        tones, first = draw_trunk(trunk, job.light[0], shapes)
        _put(sheet, row, tones, first, foot * CELL)
    return places


def _fork(job: Job, sheet: Sheet, trunk: Trunk, row: np.ndarray, shapes: int) -> None:
    """One or two branches of a trunk, high up."""
    for n in range(1 + pick_one(trunk.seed, 2, "count")):
        side = 1 if (pick_one(trunk.seed, 2, "side") + n) % 2 else -1
        rows = min(trunk.foot // 2, 5 + pick_one(trunk.seed, 3, n, "rows"))
        leaves = job.params.canopy * job.lines / CELL * 0.8
        at = min(trunk.foot - 4, int(leaves) + rows - pick_one(trunk.seed, 3, n, "at"))
        slope = side * (4 + 4 * pick_one(trunk.seed, 2, n, "slope"))
        tones, middle = draw_branch(rows, slope, max(4, trunk.width // 2), job.light[0], shapes)
        _put(sheet, row, tones, trunk.x - middle, at * CELL)


def _put(sheet: Sheet, row: np.ndarray, tones: np.ndarray, x: int, foot: int) -> None:
    """Tones as inks of a material, drawn for the scene's light already."""
    inks = np.where(tones >= 0, row[np.maximum(tones, 0)], 0)
    sheet.put(inks, x // CELL, foot, turn=False)


def _hang_canopy(job: Job, keys: ForestKeys, sheet: Sheet, trunks: list[int]) -> None:
    """Leaves from the top down: close rows of one clump each, then single ones at the edge."""
    seed = hash_words(job.seed, "canopy")
    growth = Growth(keys.leaf, 4, job.light)
    variants = 1 if job.thrift > 0.8 else 2 if job.thrift > 0.5 else 3
    turns = 2 if abs(job.light[0]) < job.light[1] else 1  # under a high light either side will do
    clumps = clump_set(CLUMPS, variants, hash_words(seed, "clumps"), growth)
    row = sheet.tones.row("leaves")
    depth = keys.canopy * job.lines / CELL
    edge = profile(sheet.columns, hash_words(seed, "edge"), 5, 3)
    hang = np.clip(depth * (0.75 + 0.9 * edge), 1.0, None)
    half = sheet.columns // 2
    for x in trunks:
        near = np.abs((np.arange(sheet.columns) - x // CELL + half) % sheet.columns - half)
        hang = np.maximum(hang, depth * (1.05 - 0.09 * near))
    low = np.min([np.roll(hang, n) for n in range(-3, 4)], axis=0)
    solid = np.arange(sheet.rows)[:, None] < (low - 3.0)[None, :]
    solid = np.repeat(np.repeat(solid, CELL, axis=0), CELL, axis=1)
    sheet.ink[solid] = row[0]
    for line in range(-2, int(hang.max()) + 1, 2):
        size = 0 if line < depth * 0.3 else 1
        wide, tall = CLUMPS[size]
        step = wide - 2
        start = pick_one(seed, step, line + 8, "start")
        if job.thrift > 0.6:
            start = line // 2 % 2 * (step // 2)
        count = -(-sheet.columns // step)
        for n in range(count):
            column = (start + n * sheet.columns // count) % sheet.columns
            middle = (column + wide // 2) % sheet.columns
            room = hang[middle] - line
            small = size + (1 if room < tall + 1 else 0)
            if room < CLUMPS[small][1] - 1:
                continue
            if line > 0 and room > tall + 3 and pick_one(seed, 5, line + 8, column) == 0:
                continue
            stamps = clumps[small]
            tones = stamps[pick_one(seed, len(stamps), line + 8, column, "stamp")]
            inks = np.where(tones >= 0, row[np.maximum(tones, 0)], 0)
            turn = pick_one(seed, turns, line + 8, column, "turn") == 1
            down = pick_one(seed, 2, line + 8, column, "down") if room > tall + 3 else 0
            sheet.put(inks, column, (line + down) * CELL + len(tones), turn)


def _let_light_in(job: Job, keys: ForestKeys, sheet: Sheet) -> None:
    """Shafts that slant away from the light, a checker that thins out toward the ground."""
    seed = hash_words(job.seed, "shafts")
    lx, ly = job.light
    slope = int(np.floor(-lx / max(ly, 0.2) * 1.5 + 0.5)) * 4
    slope = min(max(slope, -8), 8)
    lines = np.arange(len(sheet.ink))
    apart = round(56 + 120 * (1.0 - keys.shafts))
    cover = np.zeros(sheet.ink.shape, dtype=bool)
    fall = lines // CELL * slope + (lines % CELL) * slope // CELL
    for n, place in enumerate(jittered(sheet.width, apart, seed, 0.5).tolist()):
        wide = (2 + pick_one(seed, 4, n, "wide")) * CELL
        end = len(lines) * (60 + pick_one(seed, 36, n, "end")) // 100
        x = (np.arange(sheet.width)[None, :] - place // CELL * CELL - fall[:, None]) % sheet.width
        cover |= (x < wide) & (lines < end)[:, None]
    thin = np.minimum(lines * 3 // len(lines), 2)
    kept = np.array([4, 3, 2])[thin] > lines % 4
    x, y = np.arange(sheet.width)[None, :], lines[:, None]
    checker = ((x + y) % 2 == 0) & kept[:, None]
    ink = sheet.tones("shaft", 4)
    sheet.ink[cover & checker & (sheet.ink == 0)] = ink


PAINTER = Painter(
    name="forest",
    about="Ranks of trunks under a canopy of leaves, with shafts of light.",
    params=ForestKeys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.6,
)
