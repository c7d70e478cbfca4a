"""Pixels that weigh more: what a painter marked, and rare spots of high contrast.

A lit window, a star or a mast is a few pixels; its loss costs little in squared error beside the
texture of a whole cell, yet an eye finds it at once. Such pixels get extra *weight*, in multiples
of an ordinary pixel's squared error, wherever cells are compared.

A *rare spot* is a pixel whose lightness differs from the median of its 5 x 5 surroundings by
`SPOT` or more, where at most `RARE` of the pixels within `REACH` cells do. In a dither or a texture
many pixels stand out, and none is rare.
"""

from __future__ import annotations

import numpy as np

from genbg.reduce.exact import cut_cells
from genbg.reduce.metric import SCALE

GUARD_WEIGHT = 12
"""Extra weight of a pixel that a painter marked."""

SPOT_WEIGHT = 3
"""Extra weight of a rare spot."""

SPOT = SCALE // 6
"""Coarse steps of lightness that a spot stands out by: about one step of a five-step ramp."""

RARE = 1 / 128
"""Largest share of pixels that stand out around a rare spot: one pixel in two cells."""

REACH = 2
"""Cells to each side that the share is counted over."""


def heavy_pixels(lightness: np.ndarray, guard: np.ndarray) -> np.ndarray:
    """Extra weight (n, 8, 8) uint8 of every pixel of every cell.

    lightness: (planes, H, W) int32 coarse steps; guard: (planes, H, W) bool
    """
    weight = np.where(rare_spots(lightness), SPOT_WEIGHT, 0).astype(np.uint8)
    weight[guard] = GUARD_WEIGHT
    return cut_cells(weight)


def rare_spots(lightness: np.ndarray) -> np.ndarray:
    """Pixels (planes, H, W) bool that stand out where few others do."""
    out = np.abs(lightness - _median_5(lightness)) >= SPOT
    counts = cut_cells(out).sum(axis=(1, 2), dtype=np.int64)
    planes, height, width = lightness.shape
    counts = counts.reshape(planes, height // 8, width // 8)
    size = 2 * REACH + 1
    wide = np.pad(counts, ((0, 0), (0, 0), (REACH, REACH)), mode="wrap")
    wide = np.pad(wide, ((0, 0), (REACH, REACH), (0, 0)), mode="edge")
    around = np.lib.stride_tricks.sliding_window_view(wide, (size, size), axis=(1, 2))
    few = around.sum(axis=(3, 4)) <= RARE * 64 * size * size
    return out & np.repeat(np.repeat(few, 8, axis=1), 8, axis=2)


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
