"""Ordered dither, locked to the 8x8 cells so that equal gradients give equal tiles.

A smooth field between 0 and 1 becomes inks 0..steps-1: each pixel takes the ink below or the ink
above its value, decided by a threshold matrix that repeats within a cell. A gradient that runs down
the screen therefore costs one tile a cell row, however wide it is.
"""

from __future__ import annotations

import functools

import numpy as np

_ONE = 4096
"""Fixed point: parts of one step between two inks."""


@functools.cache
def threshold_matrix(size: int) -> np.ndarray:
    """Threshold matrix (size, size) uint8 with the numbers 0..size**2-1; size 1, 2, 4 or 8.

    Made by doubling: the matrix of size 2n is [[4D, 4D + 2], [4D + 3, 4D + 1]], D that of size n
    (B. E. Bayer, "An optimum method for two-level rendition of continuous-tone pictures", IEEE
    International Conference on Communications, 1973).
    """
    if size not in (1, 2, 4, 8):
        raise ValueError(f"size of a threshold matrix: {size}, allowed are 1, 2, 4 and 8")
    matrix = np.zeros((1, 1), dtype=np.uint8)
    while len(matrix) < size:
        matrix = np.block([[4 * matrix, 4 * matrix + 2], [4 * matrix + 3, 4 * matrix + 1]])
    matrix.setflags(write=False)
    return matrix


def threshold_plane(lines: int, width: int, top: int = 0, size: int = 4) -> np.ndarray:
    """The matrix repeated over (lines, width) uint8; row 0 is screen line `top`."""
    rows = threshold_matrix(size)[(np.arange(lines) + top) % size]
    return np.tile(rows, (1, -(-width // size)))[:, :width]


def dither(
    field: np.ndarray, steps: int, top: int = 0, size: int = 4, flat: float = 0.0
) -> np.ndarray:
    """Inks (N, W) int32 in 0..steps-1 of a field (N, W) of numbers 0..1.

    top: screen line of row 0, to which the matrix is locked
    size: of the matrix: 2 gives the few bold tones that are drawn by hand, 4 and 8 smoother ones
    flat: share of each ink's band that is left plain, 0..1; the dither gathers at the borders
    Values outside 0..1 are held to the ends.
    """
    field = np.asarray(field)
    return dither_levels(field * (steps - 1), steps, top, size, flat)


def dither_levels(
    levels: np.ndarray,
    steps: int,
    top: int = 0,
    size: int = 4,
    flat: float = 0.0,
    width: int | None = None,
) -> np.ndarray:
    """The same for a field counted in inks, 0..steps-1; (N, 1) becomes `width` wide."""
    levels = np.asarray(levels)
    if width is None:
        width = levels.shape[1]
    held = np.minimum(np.maximum(levels * float(_ONE), 0.0), float((steps - 1) * _ONE))
    fixed = held.astype(np.int32)
    low, part = fixed >> 12, fixed & (_ONE - 1)
    tones = _tones(size, flat)[part]
    return low + (tones > threshold_plane(len(levels), width, top, size))


@functools.cache
def _tones(size: int, flat: float) -> np.ndarray:
    """For each part of a step (4096,), how many thresholds of the matrix it passes, uint8."""
    part = np.arange(_ONE)
    if flat > 0.0:
        half = _ONE // 2
        part = np.clip((part - half) * _ONE // max(1, int(_ONE * (1.0 - flat))) + half, 0, _ONE)
    tones = ((part * (size * size) + _ONE // 2) >> 12).astype(np.uint8)
    tones.setflags(write=False)
    return tones


def gradient(
    lines: int,
    width: int,
    steps: int,
    top: int = 0,
    size: int = 4,
    flat: float = 0.0,
    bend: float = 0.0,
) -> np.ndarray:
    """Inks (lines, width) int32 from 0 at the first line to steps-1 at the last.

    bend: -1..1, how the steps crowd: above 0 toward the last line (a sky's horizon), below 0 toward
        the first
    """
    down = (np.arange(lines, dtype=np.float64) + 0.5)[:, None] / lines
    curve = down + bend * down * (down - 1.0)
    return dither_levels(curve * steps - 0.5, steps, top, size, flat, width)


def between_corners(corners: np.ndarray) -> np.ndarray:
    """Levels (8R, 8C) float64 between levels at the corners of cells (R+1, C), wrapping.

    With few different levels at the corners, cells have few different contents, so a soft shape of
    any outline (a glow, a nebula, mist) is dithered in few tiles.
    """
    share = (np.arange(8) + 0.5) / 8
    right = np.roll(corners, -1, axis=1)
    across = corners[:, :, None] + (right - corners)[:, :, None] * share
    across = across.reshape(len(corners), -1)
    down = across[:-1, None, :] + (across[1:] - across[:-1])[:, None, :] * share[None, :, None]
    return down.reshape(8 * (len(corners) - 1), -1)
