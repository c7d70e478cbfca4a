"""Cliffs: a wall of upright blocks of rock, each with a lit and a shaded face.

A wall is cut into blocks by cracks that wander down it on the lattice of `paths.py`. A block is a
prism: the face toward the light is lit, the other lies in shade, and ledges run across it where it
steps out. A block that stands before its neighbour casts shadow on it. Since all cracks and ledges
keep to the cells, a wall stores the few ways in which an edge can cross a cell.

Tones are those of `relief.py`; -1 where there is no rock.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.edges import CELL, rim
from genbg.paint.craft.paths import draw_paths
from genbg.paint.craft.scatter import jittered, pick, pick_one
from genbg.paint.parts.cover import add_marks
from genbg.paint.parts.marks import tone_changes

DEEP, SHADE, BETWEEN, LIT, RIM = range(5)

CRACKS = (
    tone_changes("........ .....-.. .....-.. ....--.. ....-... ....-... ........ ........"),
    tone_changes("........ .++++... .---++.. ....--.. ........ ........ ........ ........"),
    tone_changes("........ ........ ....+++. ..++---. ..--.... ........ ........ ........"),
)
"""Tone changes (8, 8) of a face: a crack, two chips."""
CORNER = np.array([5, 3, 2, 1, 1, 0], dtype=np.int16)
"""Lines by which the top of a block is lower near its edges, pixel by pixel, and farther in."""
SHADOW = 4
"""Pixels of shadow that a block throws on a lit face that stands behind it."""
NARROWEST = 2
"""Cell columns of the narrowest block."""


@dataclass(frozen=True, eq=False)
class Wall:
    """A wall cut into blocks, all the way round.

    left: (K,) cell column at which each begins, ascending; wide: (K,) its cell columns
    out: (K,) 0..2, how far it stands out; seed: of all that is drawn on it
    sway: pixels by which cracks wander: 4, or 0 for a wall of few tiles
    """

    columns: int
    left: np.ndarray
    wide: np.ndarray
    out: np.ndarray
    seed: int
    sway: int = 4

    def at(self, column: int) -> int:
        """The block that a cell column belongs to."""
        return int(np.searchsorted(self.left, column % self.columns, side="right") - 1) % len(
            self.left
        )


def cut_wall(columns: int, wide: int, seed: int, sway: int = 4) -> Wall:
    """Blocks about `wide` cell columns wide, none narrower than NARROWEST."""
    kept: list[int] = []
    for column in jittered(columns - NARROWEST, wide, seed, 0.6).tolist():
        if not kept or column - kept[-1] >= NARROWEST:
            kept.append(column)
    # No block begins at the plane's first column, so that its two ends meet on a face.
    left = np.array(kept) + 1
    width = np.diff(left, append=left[0] + columns)
    number = np.arange(len(left))
    out = (pick(seed, 2, number, 1) + 2 * (number % 2)) % 3
    return Wall(columns, left, width, out, seed, sway)


def draw_wall(
    wall: Wall,
    tops: np.ndarray,
    rows: int,
    light: tuple[float, float],
    shapes: int,
    marks: int = 3,
) -> np.ndarray:
    """Tones (8 * rows, 8 * columns) int64 of a wall, -1 above its blocks.

    tops: (K,) first line of each block, 8 * rows for none; shapes: seed of the shapes of edges
    marks: of 16 plain cells, how many are marked with cracks
    """
    place, before, after = _locate(wall, rows, shapes)
    y = np.arange(rows * CELL)
    sink = CORNER[np.minimum(np.minimum(before, after), len(CORNER) - 1)]
    there = y[:, None] >= tops.astype(np.int16)[place // len(y)] + sink
    from_right = light[0] > 0
    near, far = (after, before) if from_right else (before, after)
    ledge = np.repeat(_ledges(wall, tops, rows), CELL, axis=1)
    lit = near < _parting(wall, rows, shapes).ravel()[place]
    tones = np.where(lit, _faces(wall, ledge).ravel()[place], SHADE)
    tones = add_marks(np.where(there, tones, -1), CRACKS, marks, from_right, 0, wall.seed)
    tones = _mark_ledges(tones, lit, ledge.ravel()[place], y[:, None] % CELL)
    side = np.roll(np.arange(len(tops)), -1 if from_right else 1)
    hidden = (wall.out[side] > wall.out)[:, None] & (tops[side][:, None] <= y)
    cast = hidden.ravel()[place]
    tones = np.where(lit & (near < 2) & ~cast, RIM, tones)
    tones = np.where(lit & (near < SHADOW) & cast, SHADE, tones)
    tones = np.where(far < 2, DEEP, tones)
    tones = np.where((tones >= SHADE) & rim(there, (light[0], 1.0)), RIM, tones)
    return np.where(there, tones, -1).astype(np.int64)


def _locate(wall: Wall, rows: int, shapes: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where each pixel (H, W) lies in tables (K, H) laid flat, and how far from both cracks.

    The block of a pixel is its place // H; pixels to the crack left and right of it are int16.
    """
    count, width, height = len(wall.left), wall.columns * CELL, rows * CELL
    line = np.arange(rows + 1)[None, :]
    number = np.arange(count)[:, None]
    sway = (pick(wall.seed, 3, number, (line + 2 * number) // 4, 2) - 1) * wall.sway
    cracks = draw_paths(wall.left[:, None] * CELL + 4 + sway, shapes, 1, 1)
    passed = np.zeros((height, width + 1), dtype=np.intp)
    for crack in cracks:
        passed[np.arange(height), np.maximum(crack, 0)] += 1
    block = np.cumsum(passed[:, :-1], axis=1) - 1
    block[block < 0] = count - 1
    place = block * height + np.arange(height)[:, None]
    x = np.arange(width, dtype=np.int16)
    cracks = cracks.astype(np.int16)
    before = x - cracks.ravel()[place]
    after = np.roll(cracks, -1, axis=0).ravel()[place] - np.int16(1) - x
    before[before < 0] += width
    after[after < 0] += width
    return place, before, after


def _parting(wall: Wall, rows: int, shapes: int) -> np.ndarray:
    """Pixels (K, H) of each block's lit face, line by line."""
    number, line = np.arange(len(wall.left))[:, None], np.arange(rows + 1)[None, :]
    share = 4 + pick(wall.seed, 4, number, 3)
    step = pick(wall.seed, 2, number, (line + number) // 4, 4) * wall.sway * 2
    places = wall.wide[:, None] * share // 10 * CELL + step
    return draw_paths(np.maximum(places, 4), shapes, 1, 1).astype(np.int16)


def _ledges(wall: Wall, tops: np.ndarray, rows: int) -> np.ndarray:
    """Which cell rows (K, rows) bool of each block begin with a ledge."""
    ledge = np.zeros((len(wall.left), rows), dtype=bool)
    for n, top in enumerate(tops.tolist()):
        row = max(top, 0) // CELL + 3 + pick_one(wall.seed, 3, "ledge", n)
        while row < rows - 1:
            ledge[n, row] = True
            row += 4 + pick_one(wall.seed, 4, "ledge", n, row)
    return ledge


def _faces(wall: Wall, ledge: np.ndarray) -> np.ndarray:
    """Tones (K, H) int16 of lit faces, line by line: they change from ledge to ledge."""
    step = np.cumsum(ledge[:, ::CELL], axis=1)
    luck = pick(wall.seed, 4, np.arange(len(step))[:, None], step, 5)
    return np.repeat(np.where(luck == 0, BETWEEN, LIT), CELL, axis=1).astype(np.int16)


def _mark_ledges(
    tones: np.ndarray, lit: np.ndarray, ledge: np.ndarray, line: np.ndarray
) -> np.ndarray:
    """Tones with ledges: light on their upper side, and shade below."""
    tones = np.where(ledge & lit & (line < 1), RIM, tones)
    under = ledge & (line == np.where(lit, 1, 0))
    return np.where(under, np.where(lit, BETWEEN, DEEP), tones)


def outline_of(tones: np.ndarray) -> np.ndarray:
    """First line (w,) int64 of each column of a picture, its height where the column is empty."""
    there = tones >= 0
    return np.where(there.any(axis=0), there.argmax(axis=0), len(tones))
