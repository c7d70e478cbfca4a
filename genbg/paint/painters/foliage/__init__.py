"""Painter of near foliage: grass, reeds, ferns and bushes from the ground up, vines from above.

Plants are a few stamps of whole cells (`blades.py`, `leaves.py`) that stand in groups,
so that a foreground is busy here and open there. They cover what lies behind them with their own
deep shade.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL, remove_strays
from genbg.paint.craft.fields import profile
from genbg.paint.craft.scatter import hash_words, jittered, pick_one
from genbg.paint.craft.sheet import Sheet
from genbg.paint.painters.foliage.blades import FLOWERS, HEAD, blot, fern, reeds, tuft, vine
from genbg.paint.painters.foliage.leaves import Growth, leaf_clump

WIDTHS = {"grass": 4, "reeds": 4, "plumes": 4, "ferns": 7, "bushes": 6, "vines": 4}
"""Columns of a usual plant of each kind, for a height of four cells."""
UPRIGHT = ("grass", "reeds", "plumes")
"""Kinds that show no light side, so that a plant may be turned at will."""
RANKS = ((1.0, 0.14), (0.65, 0.0), (0.35, -0.06))
"""Of each rank: its height, and how far inside a group it stands; groups thin out at their ends."""
WET = ((0, 6), (2, 8), (0, 0), (1, 6), (0, 0), (3, 8), (0, 0), (2, 5))
"""Of each cell, the pixels in which water mirrors what stands in it, from the foot on."""


@dataclass(frozen=True)
class Keys:
    """Keys of the foliage painter."""

    kind: str = key("grass", "choice", "What grows.", choices=tuple(WIDTHS))
    height: float = key(
        0.9, "float", "Height of the tallest plants, a share of the lines.", low=0.1, high=1
    )
    density: float = key(0.6, "float", "Share of the width that is grown over.", low=0.05, high=1)
    ground: float = key(
        0.0, "float", "How high solid growth stands, a share of the lines.", low=0, high=1
    )
    flowers: float = key(0.0, "float", "Share of plants that flower.", low=0, high=1)
    shine: int = key(
        0,
        "int",
        "Lines at the foot that are water with broken images of what stands in it.",
        low=0,
        high=32,
        unit="lines",
    )


RAMPS = (
    Ramp(
        "leaves", "Stalks and leaves.", ("#00181f", "#003a24", "#246d24", "#6da224", "#dbe85b"), 5
    ),
    Ramp("head", "Flowers, plumes and bulrushes.", ("#6d2424", "#b66d49", "#ffdb92"), 3),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Plants at the layer's foot, or from its first line down; see-through between them."""
    sheet = Sheet(job, RAMPS)
    hangs = keys.kind == "vines"
    shine = 0 if hangs else min(keys.shine, job.lines // 2)
    sheet.foot -= shine
    rows = max(1, round(keys.height * (job.lines - shine) / CELL))
    solid = min(sheet.rows, round(keys.ground * job.lines / CELL))
    colours = np.concatenate([[0], sheet.tones.row("leaves"), [0, 0, 0], sheet.tones.row("head")])
    if solid:
        area = slice(0, solid * CELL) if hangs else slice(sheet.foot - solid * CELL, None)
        sheet.ink[area] = colours[1]
    groups = profile(sheet.columns, hash_words(job.seed, "groups"), 5, 3)
    level = np.sort(groups, kind="stable")[int((1 - keys.density) * (sheet.columns - 1))]
    spread = float(groups.max() - groups.min()) or 1.0
    room = (groups - level) / spread
    for rank, (share, edge) in enumerate(RANKS):
        tall = max(1, round(rows * share))
        _plant(job, sheet, colours, rank, (tall, max(0, solid - 1)), room >= edge)
    _mirror(sheet, colours[2], shine)
    return sheet.painting()


def _plant(
    job: Job,
    sheet: Sheet,
    colours: np.ndarray,
    rank: int,
    size: tuple[int, int],
    grown: np.ndarray,
) -> None:
    """One rank of plants on the sheet, the tall ones behind.

    size: cell rows of a plant, and at which it stands; grown: (C,) bool, where plants may stand
    """
    keys: Keys = job.params
    tall, up = size
    wide = max(2, WIDTHS[keys.kind] * min(tall, 8) // 4)
    seed = hash_words(job.seed, "plants", rank)
    variants = 2 if job.thrift > 0.8 else 3 if job.thrift > 0.5 else 5
    # Plants that overlap in few ways cost few tiles.
    grid = 1 if job.thrift < 0.4 else 2 if job.thrift < 0.7 else max(2, wide // 2)
    apart = wide * 2 // 3 if job.thrift < 0.9 else max(grid, wide)
    stamps = [
        draw_plant(job, wide, tall, rank, hash_words(seed, n), n % 4 < keys.flowers * 4)
        for n in range(variants)
    ]
    for n, column in enumerate(jittered(sheet.columns, max(1, apart), seed, 0.8).tolist()):
        column = column // grid * grid
        if not grown[(column + wide // 2) % sheet.columns]:
            continue
        stamp = stamps[pick_one(seed, variants, n, "stamp")]
        foot = len(stamp) if keys.kind == "vines" else sheet.foot - up * CELL
        upright = keys.kind in UPRIGHT
        flip = upright and pick_one(seed, 2, n, "turn") == 1
        sheet.put(colours[stamp + 1], column, foot, by_light=not upright, flip=flip)


def _mirror(sheet: Sheet, ink: int, lines: int) -> None:
    """Broken lines of an ink below all that stands in water, in place; a group's ends are round."""
    stands = (sheet.ink[sheet.foot - 1] > 0).reshape(-1, CELL).sum(axis=1) > 1
    inner = stands & np.roll(stands, 1) & np.roll(stands, -1)
    x = np.arange(sheet.width) % CELL
    for n in range(lines):
        left, right = WET[n * len(WET) // lines]
        wet = np.repeat(inner if 2 * n >= lines else stands, CELL)
        sheet.ink[sheet.foot + n, wet & (x >= left) & (x < right)] = ink


def draw_plant(
    job: Job, columns: int, rows: int, rank: int, seed: int, flowers: bool
) -> np.ndarray:
    """Tones (8 * rows, 8 * columns) of one plant, drawn for light from the left."""
    kind = job.params.kind
    if kind == "bushes":
        light = (-abs(job.light[0]), job.light[1])
        stamp = leaf_clump(columns, rows, seed, Growth("broad", 4, light))
        stamp = _grounded(stamp)
    elif kind == "ferns":
        stamp = fern(columns, rows, seed)
    elif kind == "vines":
        stamp = vine(columns, rows, seed)
    elif kind == "grass":
        stamp = tuft(columns, rows, seed, columns * 4)
    else:
        stamp = reeds(columns, rows, seed, kind if rank == 0 else "none")
    if flowers and rank and kind in ("bushes", "grass"):
        _flower(stamp, seed)
    stamp = remove_strays(remove_strays(stamp))
    return stamp if rank else np.where((stamp > 0) & (stamp < HEAD), stamp - 1, stamp)


def _grounded(stamp: np.ndarray) -> np.ndarray:
    """A clump whose lower half reaches down to the ground in shade, drawn in toward its foot."""
    half = len(stamp) // 2
    down = np.clip(np.arange(len(stamp)) - half, 0, None)[:, None]
    x = np.arange(stamp.shape[1])
    wide = np.flatnonzero(stamp[half] >= 0)
    if not len(wide):
        return stamp
    draw_in = down * down // (2 * half)
    inside = (x >= wide[0] + draw_in) & (x <= wide[-1] - draw_in)
    return np.where((down > 0) & inside & (stamp < 0), 0, stamp)


def _flower(stamp: np.ndarray, seed: int) -> None:
    """Some flowers in place, on the upper side of a plant."""
    width = stamp.shape[1]
    for n in range(1 + width // 16):
        x = 6 + (n * 13 + pick_one(seed, 7, n, "flower")) % max(1, width - 12)
        column = np.flatnonzero(stamp[:, x] >= 0)
        if len(column):
            down = pick_one(seed, max(2, len(stamp) // 3), n, "down")
            blot(stamp, FLOWERS[pick_one(seed, len(FLOWERS), n)], x - 1, int(column[0]) + down)


PAINTER = Painter(
    name="foliage",
    about="Near grass, reeds, ferns and bushes, or vines that hang from above.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.85,
)
