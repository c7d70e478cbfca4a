"""Rocks: buttresses of a cliff, each with a lit and a shaded face and a ragged outline.

Tones are those of `relief.py`. A buttress stands on the lattice of cells: its outline and the ridge
between its faces are paths of `paths.py`, so that a cliff stores the few ways in which an edge can
cross a cell.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft import CELL
from genbg.paint.marks import tone_changes
from genbg.paint.paths import draw_paths
from genbg.paint.scatter import pick, pick_one

DEEP, SHADE, BETWEEN, LIT, RIM = range(5)


CRACKS = (
    tone_changes("...-.... ...-.... ..--.... ..-..... ..-..... ..--.... ...-.... ...-...."),
    tone_changes("........ .....-.. .....-.. ....--.. ....-... ....-... ........ ........"),
    tone_changes("........ .++..... .+++.... ...----. ......-. ........ ........ ........"),
)
"""Tone changes (8, 8) of a face: a long crack, a short one, a ledge."""


@dataclass(frozen=True)
class Buttress:
    """One upright of a cliff.

    x, wide: pixels of its middle and of its width below the head, multiples of 4
    top: cell row; dim: tones by which it is darker, as it stands farther back
    spread: of 8 cell rows, at how many each side stands out by 4 pixels more
    """

    x: int
    wide: int
    top: int
    seed: int
    dim: int = 0
    spread: int = 1


def buttress_edges(rock: Buttress, rows: int) -> np.ndarray:
    """Places (3, rows - top + 1) int64 of left edge, ridge and right edge at the cell borders."""
    n = np.arange(rows - rock.top + 1)
    half = rock.wide // 2 // 4 * 4
    edges = []
    for side, word in ((-1, "left"), (1, "right")):
        out = np.cumsum(pick(rock.seed, 8, n, 1 + side) < rock.spread) * 4
        wave = np.where(pick(rock.seed, 4, n // 2, 4 + side) == 0, 4, 0)
        head = 4 * pick_one(rock.seed, max(1, half // 8), word)
        reach = np.where(n == 0, min(head, half), np.where(n == 1, max(half - 4, 4), half))
        edges.append(side * (reach + np.where(n > 1, out - wave, 0)))
    turn = 1 if pick_one(rock.seed, 2, "turn") else -1
    zig = np.array([0, 1, 1, 2, 1, 0, -1, -1])[(n + pick_one(rock.seed, 8, "zig")) % 8]
    ridge = np.clip(turn * zig * max(4, half // 3 // 4 * 4), edges[0] + 4, edges[1] - 4)
    return np.stack([edges[0], ridge // 4 * 4, edges[1]])


def draw_buttress(
    rock: Buttress, rows: int, light_x: float, shapes: int, cracks: int = 3
) -> tuple[np.ndarray, int]:
    """Tones (8 * (rows - top), w) int64 of a buttress, -1 beside it, and the column they begin at.

    shapes: seed of the shapes that edges take; cracks: of 8 cells, how many are marked
    """
    places = buttress_edges(rock, rows)
    # The middle lies on a multiple of 4, the stamp begins at a cell.
    first = (rock.x + int(places[0].min())) // CELL * CELL - CELL
    wide = -(-(rock.x + int(places[2].max()) - first) // CELL) * CELL + CELL
    paths = draw_paths(places + rock.x - first, shapes, 1, 1)
    left, ridge, right = (path[:, None] for path in paths)
    x = np.arange(wide)[None, :]
    inside = (x >= left) & (x < right)
    lit = (x < ridge) if light_x <= 0 else (x >= ridge)
    tones = np.where(lit, LIT, SHADE)
    y = np.arange(len(tones))[:, None]
    row, column = np.arange(len(tones) // CELL), np.arange(wide // CELL) + first // CELL
    kind = _spread(pick(rock.seed, 8, row[:, None], column[None, :], 9))
    mark = np.stack(CRACKS)[kind % len(CRACKS), y % CELL, x % CELL]
    deep_in = np.minimum(np.minimum(x - left, right - 1 - x), np.abs(x - ridge))
    whole = np.minimum.reduceat(
        np.minimum.reduceat(deep_in, np.arange(0, wide, CELL), axis=1),
        np.arange(0, len(tones), CELL),
        axis=0,
    )
    tones = tones + np.where((kind < cracks) & (_spread(whole) > 0), mark, 0)
    to_light, from_light = (x - left, right - 1 - x) if light_x <= 0 else (right - 1 - x, x - left)
    tones = np.where(to_light < 1, RIM, tones)
    tones = np.where(from_light < 2, DEEP, tones)
    tones = np.where(inside, tones, -1)
    above = np.vstack([np.full((1, wide), -1), tones[:-1]])
    tones = np.where((tones >= LIT) & (above < 0), RIM, tones)
    return np.where(tones >= 0, np.clip(tones - rock.dim, DEEP, RIM), -1), first


def _spread(cells: np.ndarray) -> np.ndarray:
    """What holds for cells (r, c), pixel by pixel (8r, 8c)."""
    return np.repeat(np.repeat(cells, CELL, axis=0), CELL, axis=1)


def outline_of(tones: np.ndarray) -> np.ndarray:
    """First line (w,) int64 of each column of a stamp, its height where the column is empty."""
    there = tones >= 0
    return np.where(there.any(axis=0), there.argmax(axis=0), len(tones))
