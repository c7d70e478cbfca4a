"""Painter of waterfalls: cliffs of rock, water that falls down them step by step, and spray.

Cliffs are walls cut into blocks (`parts/rocks.py`): a tall one, over whose edge the water comes,
and a broken one before it, which leaves room for the falls (`falls.py`). Green and trees
stand on what is level (`parts/growth.py`).
"""

from __future__ import annotations

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.fields import profile
from genbg.paint.craft.scatter import hash_words, jittered, pick, pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, Sheet, Tones
from genbg.paint.painters.waterfall.falls import STREAK_ROWS, Fall, let_fall, spray_falls
from genbg.paint.painters.waterfall.mist import raise_mist
from genbg.paint.parts.growth import grow_green, stand_trees
from genbg.paint.parts.rocks import Wall, cut_wall, draw_wall, outline_of
from genbg.records import record

REFLECTION = ((0, 8), (0, 8), (2, 8), (0, 5), (3, 8), (1, 4), (5, 8), (0, 2))
"""Of each cell, the pixels from which and to which the foot is reflected, line by line."""
WIDE = 4
"""Cell columns of a usual block of a cliff."""


@record(frozen=True)
class Keys:
    """Keys of the waterfall painter."""

    height: float = key(
        0.9, "float", "How high the cliff is, a share of the lines.", low=0.1, high=1
    )
    spacing: int = key(224, "int", "From fall to fall; 0 none.", low=0, high=1024, unit="pixels")
    width: int = key(40, "int", "Width of a usual fall.", low=8, high=160, unit="pixels")
    tiers: int = key(2, "int", "Steps over which water falls.", low=1, high=4)
    opening: float = key(0.0, "float", "Share of the width without a cliff.", low=0, high=0.9)
    green: float = key(0.5, "float", "How much grows on tops and ledges.", low=0, high=1)
    trees: float = key(0.3, "float", "How many trees stand on its tops.", low=0, high=1)
    spray: float = key(0.6, "float", "How much spray stands at the foot.", low=0, high=1)
    water: int = key(
        0, "int", "Lines at the foot that show its reflection.", low=0, high=32, unit="lines"
    )
    mist: float = key(
        0.0, "float", "How far mist rises from the foot, a share of the lines.", low=0, high=1
    )


RAMPS = (
    Ramp("rock", "The cliff.", ("#18182d", "#333355", "#5b5b7f", "#8c8ca2", "#d1d1c8"), 5),
    Ramp("behind", "The cliff behind.", ("#33335c", "#5b5b8c", "#8c8cb6", "#c8d1db"), 4),
    Ramp("green", "What grows on it.", ("#003324", "#246d24", "#6db624"), 3),
    Ramp("fall", "Falling water.", ("#246db6", "#6db6db", "#dbffff"), 4),
    Ramp("spray", "Spray.", ("#92c8db", "#ffffff"), 3),
    Ramp("mist", "Mist at the foot, thin to thick.", ("#b6dbdb", "#dbffff"), 2),
)


def paint(keys: Keys, job: Job) -> Painting:
    """A cliff with falls, its foot at the layer's last line; see-through above and in openings."""
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    falls = place_falls(job, keys, sheet)
    _raise_rank(job, keys, sheet, falls, 0)
    for fall in falls:
        let_fall(job, sheet, fall)
    if job.thrift < 0.9:
        _raise_rank(job, keys, sheet, falls, 1)
    spray_falls(job, sheet, falls, keys.spray)
    raise_mist(sheet, "mist", keys.mist)
    if keys.water:
        _reflect(keys, sheet)
    return sheet.painting()


def place_falls(job: Job, keys: Keys, sheet: Sheet) -> list[Fall]:
    """Where water falls, in order across the plane."""
    if not keys.spacing:
        return []
    falls = []
    seed = hash_words(job.seed, "falls")
    apart = max(keys.spacing, 2 * keys.width)
    rows = sheet.rows
    for n, place in enumerate(jittered(sheet.width, apart, seed, 0.5).tolist()):
        own = hash_words(seed, n)
        wide = max(1, round(keys.width * (3 + pick_one(own, 3, "wide")) / 4 / CELL))
        lip = rows - round(keys.height * job.lines / CELL * (0.78 + 0.07 * pick_one(own, 3, "lip")))
        lip = max(lip, 1)
        tiers = max(1, keys.tiers - pick_one(own, 2, "tiers"))
        steps = [lip + (rows - lip) * k // tiers for k in range(1, tiers + 1)]
        phase = n + pick_one(seed, STREAK_ROWS, "phase")
        falls.append(Fall(place // CELL, wide, lip, tuple(steps), own, phase))
    return falls


def _raise_rank(job: Job, keys: Keys, sheet: Sheet, falls: list[Fall], rank: int) -> None:
    """One wall on the sheet: the tall one behind the falls, or the broken one before it."""
    seed = hash_words(job.seed, "cliff", rank)
    wall = cut_wall(sheet.columns, WIDE, seed, 0 if job.thrift > 0.8 else 4)
    tops = np.minimum(_block_tops(job, keys, sheet, wall, rank), sheet.rows * CELL)
    for fall in falls:
        _open_for(fall, wall, tops, sheet.rows, rank)
    marks = 1 if job.thrift > 0.8 else 2
    shapes = hash_words(job.seed, "edges")
    tones = draw_wall(wall, tops, sheet.rows, job.light, shapes, marks)
    outline = outline_of(tones)
    stand_trees(sheet, outline, keys.trees, hash_words(job.seed, "trees", rank))
    row = sheet.tones.row(("behind", "rock")[rank])
    ink = np.where(tones >= 0, row[np.maximum(tones, 0)], 0)
    sheet.ink[:] = np.where(ink > 0, ink, sheet.ink)
    grow_green(sheet, outline, keys.green, hash_words(job.seed, "green", rank))


def _block_tops(job: Job, keys: Keys, sheet: Sheet, wall: Wall, rank: int) -> np.ndarray:
    """First lines (K,) of the blocks of a wall, in whole half cells."""
    tall = keys.height * job.lines
    rise = profile(sheet.columns, hash_words(job.seed, "rise"), 3, 3, 0.5)
    rise = (rise - rise.min()) / max(float(rise.max() - rise.min()), 0.01)
    open_at = profile(sheet.columns, hash_words(job.seed, "open"), 3, 2)
    level = float(np.sort(open_at, kind="stable")[int(keys.opening * (sheet.columns - 1))])
    number = np.arange(len(wall.left))
    middle = (wall.left + wall.wide // 2) % sheet.columns
    luck = pick(wall.seed, 4, number, 7)
    share = 0.72 + 0.28 * rise[middle] - 0.05 * luck
    if rank:
        share = share * np.array([0.22, 0.42, 0.6, 0.78])[(luck + number) % 4]
    gone = (keys.opening > 0) & (open_at[middle] < level)
    lines = sheet.rows * CELL - (tall * share / 4).astype(np.int64) * 4
    return np.where(gone, sheet.rows * CELL, lines)


def _open_for(fall: Fall, wall: Wall, tops: np.ndarray, rows: int, rank: int) -> None:
    """Make room for a fall, in place: rock up to its lip behind it, low stones before it."""
    for column in range(fall.left - 1, fall.left + fall.wide + 2):
        block = wall.at(column)
        tops[block] = fall.lip * CELL if rank == 0 else rows * CELL
    for column, side in ((fall.left - 1, -1), (fall.left + fall.wide + 1, 1)):
        block = (wall.at(column) + side) % len(tops)
        if rank == 0:
            tops[block] = min(int(tops[block]), (fall.lip - 2) * CELL)
        else:
            low = 1 + pick_one(fall.seed, 3, "beside", side)
            tops[block] = (rows - (rows - fall.lip) * low // 4) * CELL


def _reflect(keys: Keys, sheet: Sheet) -> None:
    """The last lines in place: a bright edge of water, and broken reflections below it."""
    lines = min(keys.water, sheet.foot - 1)
    first = sheet.foot - lines
    above = sheet.ink[first - 1].copy()
    white = sheet.tones.holds(above, "fall") | sheet.tones.holds(above, "spray")
    dark = np.where(white, sheet.tones("fall", BETWEEN), sheet.tones("rock", DEEP))
    edge = sheet.tones("spray", DEEP)
    x = np.arange(sheet.width)
    for n in range(lines):
        gap, run = REFLECTION[n * len(REFLECTION) // lines]
        there = (above > 0) & (x % CELL >= gap) & (x % CELL < run)
        ink = np.where(there, edge if n == 0 else dark, 0)
        sheet.ink[first + n] = ink


PAINTER = Painter(
    name="waterfall",
    about="Cliffs of rock with water that falls over steps, green ledges and spray.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.7,
)
