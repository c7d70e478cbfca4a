"""Round hills cut into terraces: rings of fields that bulge toward the eye, each on its wall.

Words used here:
  ring      one terrace of a mound: its outer edge, the lip, is an ellipse seen from a little above
  rise      lines from one lip to the next at the sides, where the outline shows it
  bulge     how much farther down a lip runs in the middle than at the sides

A mound is drawn from its lowest ring up; each ring is level ground and, below its lip, a face. The
half away from the light takes darker tones, and the border between them runs along cell borders.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft import CELL
from genbg.paint.paths import draw_paths, snap
from genbg.paint.scatter import hash_words, jittered, pick_one


@dataclass(frozen=True, eq=False)
class Mound:
    """One hill: column of its middle (cells), line of its foot, lines to its top, half width."""

    middle: int
    foot: int
    tall: int
    half: int
    seed: int


@dataclass(frozen=True, eq=False)
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
