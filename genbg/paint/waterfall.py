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
from genbg.paint.pieces import Sheet, Tones
from genbg.paint.puffs import Shading, draw_puff
from genbg.paint.rocks import Buttress, draw_buttress, outline_of
from genbg.paint.scatter import hash_words, jittered, pick, pick_one

DRIPS = np.array([[3, 3, 5, 6, 5, 3, 2, 2], [2, 4, 7, 7, 4, 3, 3, 2]])
"""How far green hangs over an edge, column by column."""
PUFFS = ((3, 2), (4, 2), (5, 3))
"""Columns and rows of puffs of spray, from small to large."""
BESIDE = 3
"""Columns beside a fall that no opening takes: water falls between rocks."""
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
    spray: float = key(0.6, "float", "How much spray stands at the foot.", low=0, high=1)
    mist: float = key(
        0.0, "float", "How far mist rises from the foot, a share of the lines.", low=0, high=1
    )


RAMPS = (
    Ramp("rock", "The cliff.", ("#18182d", "#333355", "#5b5b7f", "#8c8ca2", "#d1d1c8"), 5),
    Ramp("green", "What grows on it.", ("#003324", "#246d24", "#6db624"), 3),
    Ramp("fall", "Falling water.", ("#246db6", "#6db6db", "#dbffff"), 4),
    Ramp("spray", "Spray.", ("#92c8db", "#ffffff"), 3),
    Ramp("mist", "Mist at the foot, thin to thick.", ("#b6dbdb", "#dbffff"), 2),
)


@dataclass(frozen=True)
class Fall:
    """One fall: cell columns [left, left + wide), its lip row, the rows at which it meets steps."""

    left: int
    wide: int
    lip: int
    steps: tuple[int, ...]
    seed: int


def paint_waterfall(job: Job) -> Painting:
    """A cliff with falls, its foot at the layer's last line; see-through above and in openings."""
    keys: FallKeys = job.params
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    falls = place_falls(job, keys, sheet)
    _raise_rank(job, keys, sheet, falls, 0)
    for fall in falls:
        _let_fall(job, keys, sheet, fall)
    _raise_rank(job, keys, sheet, falls, 1)
    _spray(job, keys, sheet, falls)
    raise_mist(sheet, "mist", keys.mist)
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
        falls.append(Fall(place // CELL, wide, lip, tuple(steps), own))
    return falls


def _raise_rank(job: Job, keys: FallKeys, sheet: Sheet, falls: list[Fall], rank: int) -> None:
    """One rank of buttresses on the sheet: the tall one behind the falls, or the one before it."""
    seed = hash_words(job.seed, "cliff", rank)
    shapes = hash_words(job.seed, "edges")
    tall = keys.height * job.lines / CELL
    rise = profile(sheet.columns, hash_words(job.seed, "rise"), 4, 3, 0.4)
    open_at = profile(sheet.columns, hash_words(job.seed, "open"), 3, 2)
    level = float(np.sort(open_at, kind="stable")[int(keys.opening * (sheet.columns - 1))])
    wet = np.full(sheet.columns, -1)
    for n, fall in enumerate(falls):
        wet[(fall.left - 1 + np.arange(fall.wide + 2)) % sheet.columns] = n
    beside = np.any([np.roll(wet, n) >= 0 for n in range(-BESIDE, BESIDE + 1)], axis=0)
    places = jittered(sheet.columns, (4, 6)[rank], seed, 0.7)
    rocks = []
    for n, column in enumerate(places.tolist()):
        own = hash_words(seed, n)
        behind = int(wet[column])
        if keys.opening > 0 and open_at[column] < level and not beside[column]:
            continue
        share = 0.8 + 0.45 * float(rise[column]) + 0.05 * pick_one(own, 3, "top")
        if rank:
            low = pick_one(own, 2 if beside[column] else 4, "low")
            share *= (0.25, 0.45, 0.6, 0.8)[low]
        top = max(0, sheet.rows - round(tall * min(share, 1.0)))
        if behind >= 0:
            top = falls[behind].lip if rank == 0 else sheet.rows - 1 - pick_one(own, 2, "stone")
        wide = (32 + 8 * pick_one(own, 3, "wide"), 32 + 8 * pick_one(own, 5, "wide"))[rank]
        if top < sheet.rows:
            rocks.append(Buttress(column * CELL, wide, top, own, 1 - rank, 1 + rank))
    for rock in sorted(rocks, key=lambda rock: (rock.top, rock.x)):
        tones, first = draw_buttress(rock, sheet.rows, job.light[0], shapes)
        _put_rock(job, keys, sheet, tones, first)


def _put_rock(job: Job, keys: FallKeys, sheet: Sheet, tones: np.ndarray, first: int) -> None:
    """A buttress on the sheet, with green where its outline is nearly level."""
    row, green = sheet.tones.row("rock"), sheet.tones.row("green")
    ink = np.where(tones >= 0, row[np.maximum(tones, 0)], 0)
    outline = outline_of(tones)
    x = np.arange(tones.shape[1]) + first
    level = np.abs(np.roll(outline, -2) - np.roll(outline, 2)) <= 6
    grown = pick(hash_words(job.seed, "green"), 100, x // (2 * CELL), int(outline.min())) < (
        keys.green * 100
    )
    drip = np.where(level & grown, DRIPS[0][x % CELL], 0)
    down = np.arange(len(tones))[:, None] - outline
    leaf = (down >= 0) & (down < drip) & (tones >= 0)
    tone = np.where(down < 2, 4, np.where(down < drip - 2, 2, 0))
    sheet.put(np.where(leaf, green[tone], ink), first // CELL, sheet.rows * CELL, False)


def streaks(columns: int, seed: int, flat: bool) -> np.ndarray:
    """Tones (8 * STREAK_ROWS, 8 * columns) of falling water, which repeats downward.

    flat: every cell column takes one of two patches, so that a wide fall costs no more
    """
    height = STREAK_ROWS * CELL
    parts = []
    for column in range(columns):
        own = hash_words(seed, column % 2 if flat else column)
        x = np.arange(CELL)
        lane = pick(own, 4, x // 2, 0)
        start, length = pick(own, height, x // 2, 1), 10 + pick(own, 14, x // 2, 2)
        y = np.arange(height)[:, None]
        bright = (y - start - x % 2 * 2) % height < length
        parts.append(np.where(bright, np.where(lane > 1, 4, 3), np.where(lane == 0, 1, 2)))
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
        patch = np.roll(patch, CELL * pick_one(fall.seed, STREAK_ROWS, n, "phase"), axis=0)
        tones = np.tile(patch, (-(-height // len(patch)), 1))[:height]
        y, x = np.arange(height)[:, None], np.arange(wide * CELL)[None, :]
        edge = np.minimum(x, wide * CELL - 1 - x)
        sway = np.array([0, 1, 1, 2, 2, 1, 1, 0])[(y + 3 * (x > wide * 4)) % CELL]
        tones = np.where(edge < 2 + sway, 1, tones)
        tones = np.where(y < 2, 4, np.where(y < 5, np.maximum(tones, 3), tones))
        inside = (edge >= sway // 2) & ((y > 1) | (edge > 3 - 2 * y))
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


PAINTER = Painter(
    name="waterfall",
    about="Cliffs of rock with water that falls over steps, green ledges and spray.",
    params=FallKeys,
    ramps=RAMPS,
    paint=paint_waterfall,
    thrift=0.7,
)
