"""Painter of waterfalls: cliffs of rock, water that falls down them step by step, and spray.

Cliffs are ranks of buttresses on the cells (`rocks.py`), the farther ones taller and
dimmer. A fall is a patch of streaks that repeats down its whole height; where it meets a step or
the pool, puffs of spray hide the join.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft import CELL
from genbg.paint.fields import profile
from genbg.paint.mist import raise_mist
from genbg.paint.pieces import BETWEEN, DEEP, Sheet, Tones
from genbg.paint.puffs import Shading, draw_puff
from genbg.paint.rocks import Wall, cut_wall, draw_wall, outline_of
from genbg.paint.scatter import hash_words, jittered, pick, pick_one
from genbg.paint.trees import CONIFERS

DRIPS = np.array([[4, 5, 7, 8, 6, 4, 5, 4], [4, 6, 9, 10, 7, 5, 4, 4]])
"""How far green hangs over an edge, column by column."""
TUFTS = np.array([[1, 1, 2, 2, 1, 0, 1, 1], [1, 2, 3, 3, 2, 1, 1, 0]])
"""How far it stands above the edge."""
PUFFS = ((2, 1), (3, 2), (4, 2))
"""Columns and rows of puffs of spray, from small to large."""
REFLECTION = ((0, 8), (0, 8), (2, 8), (0, 5), (3, 8), (1, 4), (5, 8), (0, 2))
"""Of each cell, the pixels from which and to which the foot is reflected, line by line."""
BESIDE = 3
"""Columns beside a fall that no opening takes: water falls between rocks."""
WIDE = 4
"""Cell columns of a usual block of a cliff."""
LANES = np.array([[3, 2, 2, 1, 3, 2], [4, 3, 4, 2, 4, 3]])
"""Tones of lanes of falling water side by side: between streaks, and in them."""
STREAK_ROWS = 4
"""Cells after which the streaks of a fall repeat."""


@dataclass(frozen=True)
class FallKeys:
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


@dataclass(frozen=True)
class Fall:
    """One fall: cell columns [left, left + wide), its lip row, the rows at which it meets steps.

    phase: cells by which its streaks begin later than another's
    """

    left: int
    wide: int
    lip: int
    steps: tuple[int, ...]
    seed: int
    phase: int = 0


def paint_waterfall(job: Job) -> Painting:
    """A cliff with falls, its foot at the layer's last line; see-through above and in openings."""
    keys: FallKeys = job.params
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    falls = place_falls(job, keys, sheet)
    _raise_rank(job, keys, sheet, falls, 0)
    for fall in falls:
        _let_fall(job, keys, sheet, fall)
    if job.thrift < 0.9:
        _raise_rank(job, keys, sheet, falls, 1)
    _spray(job, keys, sheet, falls)
    raise_mist(sheet, "mist", keys.mist)
    if keys.water:
        _reflect(keys, sheet)
    return sheet.painting()


def place_falls(job: Job, keys: FallKeys, sheet: Sheet) -> list[Fall]:
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


def _raise_rank(job: Job, keys: FallKeys, sheet: Sheet, falls: list[Fall], rank: int) -> None:
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
    _stand_trees(job, keys, sheet, outline, rank)
    row = sheet.tones.row(("behind", "rock")[rank])
    ink = np.where(tones >= 0, row[np.maximum(tones, 0)], 0)
    sheet.ink[:] = np.where(ink > 0, ink, sheet.ink)
    _grow_green(job, keys, sheet, outline, rank)


def _block_tops(job: Job, keys: FallKeys, sheet: Sheet, wall: Wall, rank: int) -> np.ndarray:
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


def _stand_trees(job: Job, keys: FallKeys, sheet: Sheet, outline: np.ndarray, rank: int) -> None:
    """Trees in groups on level tops, in place; the wall goes before their feet."""
    row = sheet.tones.row("green")
    seed = hash_words(job.seed, "trees", rank)
    for column in range(sheet.columns):
        group = pick_one(seed, 100, column // 5) < keys.trees * 100
        if not group or pick_one(seed, 3, column, "gap") == 0:
            continue
        top = outline[column * CELL : column * CELL + CELL]
        if int(top.max() - top.min()) > 4 or int(top.max()) > len(sheet.ink) * 2 // 3:
            continue
        stamp = CONIFERS[pick_one(seed, len(CONIFERS), column, "kind")]
        foot = -(-int(top.max()) // 4) * 4 + 4
        sheet.put(np.where(stamp >= 0, row[np.maximum(stamp, 0)], 0), column, foot)


def _grow_green(job: Job, keys: FallKeys, sheet: Sheet, outline: np.ndarray, rank: int) -> None:
    """Green on level tops in place, with tufts above and drips below the edge."""
    green = sheet.tones.row("green")
    x = np.arange(sheet.width)
    flat = np.abs(np.roll(outline, -3) - np.roll(outline, 3)) <= 6
    seed = hash_words(job.seed, "green", rank)
    kind = pick(seed, 2, x // CELL)
    grown = pick(seed, 100, outline // CELL, x // (4 * CELL)) < keys.green * 100
    drip = np.where(grown & flat, DRIPS[kind, x % CELL], 0)
    tuft = np.where(grown & flat, TUFTS[kind, x % CELL], 0)
    down = np.arange(len(sheet.ink))[:, None] - outline
    leaf = (down >= -tuft) & (down < drip) & (outline < len(sheet.ink))
    tone = np.where(down < 1 - tuft // 2, 4, np.where(down < drip - 2, 3, 1))
    sheet.ink[:] = np.where(leaf, green[tone], sheet.ink)


def streaks(columns: int, seed: int, flat: bool) -> np.ndarray:
    """Tones (8 * STREAK_ROWS, 8 * columns) of falling water, which repeats downward.

    flat: every cell column takes one of three patches, so that a wide fall costs no more
    """
    height = STREAK_ROWS * CELL
    parts = []
    for column in range(columns):
        number = column % 3 if flat else column
        own = hash_words(seed, number)
        x = np.arange(CELL)
        lane = number * CELL // 2 + x // 2
        dull, bright = LANES[:, lane % LANES.shape[1]]
        start = lane * 11 + pick(own, 6, x // 2, 1)
        length = 11 + pick(own, 10, x // 2, 2)
        y = np.arange(height)[:, None]
        shines = (y - start - x % 2 * 2) % height < length
        parts.append(np.where(shines, bright, dull))
    return np.concatenate(parts, axis=1)


def _let_fall(job: Job, keys: FallKeys, sheet: Sheet, fall: Fall) -> None:
    """Water down its steps, a cell wider from step to step, with a round lip."""
    row = sheet.tones.row("fall")
    first, thrifty = fall.lip, job.thrift > 0.5
    for n, last in enumerate(fall.steps):
        wide = fall.wide + 2 * n
        height = (last - first) * CELL
        patch = streaks(wide, hash_words(job.seed, "streaks", 0 if thrifty else fall.left), thrifty)
        # Begun at another cell, the same patterns make another fall.
        patch = np.roll(patch, (CELL * (fall.phase + n), CELL * (fall.phase // 4)), axis=(0, 1))
        tones = np.tile(patch, (-(-height // len(patch)), 1))[:height]
        y, x = np.arange(height)[:, None], np.arange(wide * CELL)[None, :]
        edge = np.minimum(x, wide * CELL - 1 - x)
        sway = np.array([0, 1, 1, 2, 2, 1, 1, 0])[(y + 3 * (x > wide * 4)) % CELL]
        shade = x >= wide * CELL * 3 // 4 if job.light[0] <= 0 else x < wide * CELL // 4
        tones = np.where(shade, np.maximum(tones - 1, 1), tones)
        tones = np.where(edge < 2 + sway, 1, tones)
        tones = np.where(y < 2, 4, np.where(y < 5, np.maximum(tones, 3), tones))
        inside = (y > 1) | (edge > 3 - 2 * y)
        sheet.put(np.where(inside, row[tones], 0), fall.left - n, last * CELL, False)
        first = last


def _spray(job: Job, keys: FallKeys, sheet: Sheet, falls: list[Fall]) -> None:
    """Puffs along the foot of every step of the falls: small ones on steps, large ones below."""
    if keys.spray <= 0 or not falls:
        return
    shading = Shading(job.steps["spray"], (-abs(job.light[0]), job.light[1]), 0.4, 2)
    last_size = min(len(PUFFS) - 1, round(keys.spray * 2))
    stamps = {}
    for size in {0, last_size}:
        puff = draw_puff(*PUFFS[size], hash_words(job.seed, "puff", size), shading)
        stamps[size] = np.where(puff > 0, sheet.tones("spray", 0) + puff - 1, 0)
    for fall in falls:
        for n, last in enumerate(fall.steps):
            final = n == len(fall.steps) - 1
            piece = stamps[last_size if final else 0]
            wide = piece.shape[1] // CELL
            left, span = fall.left - n - 1, fall.wide + 2 * n + 2
            count = 1 + -(-max(0, span - wide) // max(1, wide - 2))
            for k in range(count):
                column = left + k * (span - wide) // max(1, count - 1)
                sheet.put(piece, column, last * CELL + (0 if final else 4), k % 2 == 1)


def _reflect(keys: FallKeys, sheet: Sheet) -> None:
    """The last lines in place: a bright edge of water, and broken reflections below it."""
    first = sheet.foot - keys.water
    above = sheet.ink[first - 1].copy()
    white = sheet.tones.holds(above, "fall") | sheet.tones.holds(above, "spray")
    dark = np.where(white, sheet.tones("fall", BETWEEN), sheet.tones("rock", DEEP))
    edge = sheet.tones("spray", DEEP)
    x = np.arange(sheet.width)
    for n in range(keys.water):
        gap, run = REFLECTION[n * len(REFLECTION) // keys.water]
        there = (above > 0) & (x % CELL >= gap) & (x % CELL < run)
        ink = np.where(there, edge if n == 0 else dark, 0)
        sheet.ink[first + n] = ink


PAINTER = Painter(
    name="waterfall",
    about="Cliffs of rock with water that falls over steps, green ledges and spray.",
    params=FallKeys,
    ramps=RAMPS,
    paint=paint_waterfall,
    thrift=0.7,
)
