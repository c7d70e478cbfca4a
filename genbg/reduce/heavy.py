"""Pixels that weigh more: what a painter marked, and rare spots of high contrast.

A lit window, a star or a mast is a few pixels; its loss costs little in squared error beside the
texture of a whole cell, yet an eye finds it at once. Such pixels get extra *weight*, in multiples
of an ordinary pixel's squared error, wherever cells are compared.

How far a pixel *stands out* is by how much its lightness differs from the median of its 5 x 5
surroundings. It is a *rare spot* where, for one of the steps of `SPOTS` that it reaches, at most
`RARE` of the pixels within `REACH` cells reach it too. In a dither or a texture many pixels stand
out as far as each other, and none is rare; a star over a texture is, if it stands out further.
"""

from __future__ import annotations

import numpy as np

from genbg.model import KEPT, MARKED, SHAPED
from genbg.reduce.exact import cut_cells
from genbg.reduce.metric import SCALE

GUARD_WEIGHT = 5
"""Extra weight of a pixel that a painter marked: such pixels err less than the mean one where one
tile in three is left; without, twelve times as much as it."""

GUARD_PART = 20
"""Marked pixels together weigh as much as one in so many of the picture, or else each counts twice:
with a fifth of a picture marked and 5 for each, the rest erred by half as much again."""

GUARD_MOST = 7
GUARD_RARE = 200
"""Where few pixels are marked, each weighs more, up to so much, until all together weigh as much as
one in so many of the picture's. Single marked pixels, one to a cell, still err more than the mean
where half of the tiles are left: each kept would take a tile of its own."""

KEEP_WEIGHT = 25
"""Extra weight of a pixel that the preset keeps or that belongs to a plain shape, however many of
them there are: its tile is merged when little else is left."""

SPOT_WEIGHT = 4
"""Extra weight of a rare spot: with it spots err six tenths of what the mean pixel does; without,
two and a half times as much. Both weights cost the rest of the picture about one hundredth."""

SPOTS = (SCALE // 6, SCALE // 4, 3 * SCALE // 8)
"""Coarse steps of lightness that a spot stands out by; the least is one step of a ramp of six."""

RARE = 1 / 256
"""Largest share of pixels that stand out around a rare spot: one pixel in four cells."""

REACH = 2
"""Cells to each side that the share is counted over."""


def heavy_pixels(lightness: np.ndarray, guard: np.ndarray) -> np.ndarray:
    """Extra weight (n, 8, 8) uint8 of every pixel of every cell.

    lightness: (planes, H, W) int16 coarse steps
    guard: (planes, H, W) uint8, `MARKED`, `KEPT` or `SHAPED` pixels
    """
    weight = np.where(rare_spots(lightness), SPOT_WEIGHT, 0).astype(np.uint8)
    marked = guard == MARKED
    weight[marked] = guard_weight(int(marked.sum()), guard.size)
    weight[(guard == KEPT) | (guard == SHAPED)] = KEEP_WEIGHT
    return cut_cells(weight)


def guard_weight(marked: int, pixels: int) -> int:
    """Extra weight of each marked pixel: more where few are marked, at least 1."""
    marked = max(marked, 1)
    most = min(GUARD_MOST, pixels // (GUARD_RARE * marked))
    return max(1, most, min(GUARD_WEIGHT, pixels // (GUARD_PART * marked)))


def rare_spots(lightness: np.ndarray) -> np.ndarray:
    """Pixels (planes, H, W) bool that stand out where few others do."""
    out = np.abs(lightness - _median_5(lightness))
    rare = np.zeros(lightness.shape, dtype=bool)
    for step in SPOTS:
        reached = out >= step
        few = _share(reached) <= RARE
        rare |= reached & np.repeat(np.repeat(few, 8, axis=1), 8, axis=2)
    return rare


def _share(marked: np.ndarray) -> np.ndarray:
    """Share (planes, R, C) of marked pixels within `REACH` cells of every cell.

    Left and right edges meet; beyond the upper and lower edge the outermost cells count again.
    """
    planes, height, width = marked.shape
    counts = cut_cells(marked).sum(axis=(1, 2), dtype=np.int64)
    counts = counts.reshape(planes, height // 8, width // 8)
    for axis, mode in ((1, "edge"), (2, "wrap")):
        pad = [(0, 0), (0, 0), (0, 0)]
        pad[axis] = (REACH, REACH)
        wide = np.pad(counts, pad, mode=mode)  # type: ignore[call-overload]
        counts = sum(
            np.take(wide, np.arange(counts.shape[axis]) + far, axis) for far in range(2 * REACH + 1)
        )
    return counts / (64 * (2 * REACH + 1) ** 2)


def _median_5(values: np.ndarray) -> np.ndarray:
    """Median of three medians of three along each axis of a plane, about that of 5 x 5 pixels."""
    height, width = values.shape[1:]
    for step in (1, 2):
        wide = np.pad(values, ((0, 0), (0, 0), (step, step)), mode="wrap")
        values = _middle(*(wide[:, :, far : far + width] for far in (0, step, 2 * step)))
    for step in (1, 2):
        tall = np.pad(values, ((0, 0), (step, step), (0, 0)), mode="edge")
        values = _middle(*(tall[:, far : far + height] for far in (0, step, 2 * step)))
    return values


def _middle(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> np.ndarray:
    return np.maximum(np.minimum(a, c), np.minimum(np.maximum(a, c), b))
