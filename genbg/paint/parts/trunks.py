"""Trunks: columns of bark whose edges and cracks keep to the cells, so that they repeat.

Tones are those of `relief.py`. A trunk is known by its left and right edge at the cell borders; its
light lies along the edge that looks toward the light, and its cracks are counted from the left
edge, so that a trunk costs a few patterns however tall it is.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.paths import draw_paths
from genbg.paint.craft.scatter import pick, pick_one
from genbg.paint.parts.marks import tone_changes
from genbg.records import record

DEEP, SHADE, BETWEEN, LIT, RIM = range(5)

BARK = tone_changes(
    "..-..... ..-..... ..-...-. ..-...-. .-+...-. .-+..-+. .-...-+. .-...-.. "
    "....--.. ....-... ...-+... ...-+..- ...-...- ......-+ ......-. -.....-."
)
"""Tone changes (16, 8) of cracks in bark; it wraps both ways."""

FLARES = ((0, 0, 4, 12), (0, 4, 8, 16), (0, 0, 0, 8), (0, 0, 8, 20))
"""Pixels by which an edge stands out at the borders of the lowest cells, down to the foot."""


@record(frozen=True)
class Trunk:
    """One trunk.

    x: pixels of its middle; width: pixels, a multiple of 4
    top, foot: cell rows, the second not included
    seed: its own; flare: roots spread at the foot
    bends: of 12 stretches of six cells, how many have a bend
    """

    x: int
    width: int
    top: int
    foot: int
    seed: int
    flare: bool = True
    bends: int = 4


def trunk_edges(trunk: Trunk) -> tuple[np.ndarray, np.ndarray]:
    """Left and right edges (rows+1,) int64 at the cell borders from top to foot."""
    rows = trunk.foot - trunk.top
    up = np.arange(rows, -1, -1)
    # A bend takes two cells and one cell's width, so that beyond it the same patterns go on.
    bend = np.where(pick(trunk.seed, 12, up // 6, 0) < trunk.bends, 1, 0)
    side = 1 if pick_one(trunk.seed, 2, "side") else -1
    turn = np.where((up % 6 == 3) | (up % 6 == 4), bend * side, 0)
    sway = np.cumsum(turn[::-1])[::-1] * 4
    sway = np.abs((sway + 8) % 32 - 16) - 8
    left = trunk.x - trunk.width // 2 // CELL * CELL + sway
    right = left + trunk.width
    if trunk.flare and trunk.width >= 8:
        reach = min(4, rows + 1)
        for edge, sign, word in ((left, -1, "left"), (right, 1, "right")):
            out = np.array(FLARES[pick_one(trunk.seed, len(FLARES), word)][4 - reach :])
            edge[-reach:] += sign * (out if trunk.width >= 16 else out // 8 * 4)
    return left, right


def draw_trunk(trunk: Trunk, light_x: float, shapes: int) -> tuple[np.ndarray, int]:
    """Tones (8 * rows, w) int64 of a trunk, -1 beside it, and the column at which they begin.

    shapes: seed of the shapes that edges take (`paths.py`), the same for all trunks of a layer
    """
    left, right = trunk_edges(trunk)
    first = int(left.min()) // CELL * CELL
    wide = -(-(int(right.max()) - first) // CELL) * CELL
    a, b = draw_paths(np.stack([left, right]) - first, shapes, 1, 0)
    x = np.arange(wide)[None, :]
    inside = (x >= a[:, None]) & (x < b[:, None])
    from_left, from_right = x - a[:, None], b[:, None] - 1 - x
    d, e = (from_left, from_right) if light_x <= 0 else (from_right, from_left)
    tones = bark_tones(d, d + e + 1, e)
    if trunk.width >= 12:
        y = np.arange(len(a))[:, None]
        crack = BARK[y % 16, (d + 1) % 8]
        tones = np.where((d > 1) & (e > 1), np.minimum(tones + crack, LIT), tones)
    return np.where(inside, np.clip(tones, DEEP, RIM), -1), first


def bark_tones(d: np.ndarray, width: np.ndarray, e: np.ndarray) -> np.ndarray:
    """Tone of a place `d` pixels from the lit edge and `e` from the other, of `width` pixels."""
    tones = np.where(8 * d < 3 * width, LIT, BETWEEN)
    tones = np.where(16 * e < 7 * width, SHADE, tones)
    tones = np.where(8 * e < width, DEEP, tones)
    return np.where((d < 1) & (width > 4), RIM, tones)


def draw_branch(
    rows: int, slope: int, thick: int, light_x: float, shapes: int
) -> tuple[np.ndarray, int]:
    """Tones (8 * rows, w) of a branch that rises from the middle of its foot, and that column.

    slope: pixels to the right for each cell row up; thick: pixels at its foot, less at its tip
    """
    up = np.arange(rows, -1, -1)
    middle = up * slope
    first = min(0, int(middle.min())) // CELL * CELL - CELL
    half = np.maximum(thick * (rows + 1 + up[::-1]) // (2 * rows + 2) // 2, 1)
    a, b = draw_paths(np.stack([middle - half, middle + half]) - first, shapes, 1, 0)
    wide = -(-(abs(slope) * rows) // CELL) * CELL + 2 * CELL
    x = np.arange(wide)[None, :]
    inside = (x >= a[:, None]) & (x < b[:, None])
    near = x - a[:, None] if light_x <= 0 else b[:, None] - 1 - x
    tones = np.where(near < 1, LIT, np.where(2 * near < (b - a)[:, None], BETWEEN, SHADE))
    return np.where(inside, tones, -1), -first
