"""How plainly an eye sees an error: in calm surroundings soon, in texture late.

Words used here:
  contrast    of a cell: standard deviation, in OKLab, of the pixels painted in it and around it
  threshold   the tone error of a cell that is just seen there: `JUST_SEEN` where all is calm, and
              more where contrast masks it, by the power 0.62 of the contrast above `CALM` (G. E.
              Legge and J. M. Foley, "Contrast masking in human vision", J. Opt. Soc. Am. 70(12),
              1980)
  visibility  of a cell's error: the root mean square of what a blur of about one pixel leaves of
              it, and of a quarter of the rest, in thresholds; at 1 it is just seen
  care        how often a cell's own error counts when tiles are merged, 1 to `MOST_CARE`: a
              squared error counts by the square of how soon it is seen

Contrasts are sums of whole numbers, so that they are the same on every machine.
"""

from __future__ import annotations

import functools

import numpy as np

from genbg.reduce.metric import SCALE, UNIT, Form
from genbg.reduce.product import through

JUST_SEEN = 0.01
"""OKLab distance of a flat patch of a cell's size that is just seen (common practice: half of what
is taken for plain to see; no source)."""

CALM = 0.02
"""Contrast, OKLab, up to which surroundings mask nothing: a dither of two neighbouring inks."""

MASKING = 0.62
"""Exponent of the threshold's rise with contrast (Legge and Foley, 1980, table 1, mean)."""

FULL_CARE, MOST_CARE = 0.06, 4
"""Contrast from which a cell counts once, and how often the calmest count. More care (from .25 on,
up to 10 times) showed fewer squares still, but cost a third more error in all."""

GRAIN = 4
"""A texture of pixels that the blur takes away counts one part in so many: it is a dither beside
other dithers, but a checkered square where all is plain."""

ENTRIES = 2048
"""Steps of the table of thresholds from contrast 0 to 1."""


def contrasts(painted: np.ndarray, shape: tuple[int, int, int]) -> np.ndarray:
    """Contrast (n,) float64 of every cell: over it and the eight around it.

    painted: (n, ch, 64) coarse steps, of which the first three channels count; shape: planes, rows
    and columns of cells. The left and right edge meet; above and below the outermost row goes on.
    """
    value = painted[:, :3].astype(np.int64)
    first = _around(value.sum(axis=2), shape)
    second = _around((value * value).sum(axis=2), shape)
    pixels = 9 * 64
    spread = (second * pixels - first * first).sum(axis=1)
    return np.sqrt(spread / (pixels * pixels)) / SCALE


def _around(value: np.ndarray, shape: tuple[int, int, int]) -> np.ndarray:
    """Sums (n, ch) of values (n, ch) over every cell and its eight neighbours."""
    grid = value.reshape(*shape, -1)
    grid = grid + np.roll(grid, 1, axis=2) + np.roll(grid, -1, axis=2)
    tall = np.concatenate([grid[:, :1], grid, grid[:, -1:]], axis=1)
    return (tall[:, :-2] + tall[:, 1:-1] + tall[:, 2:]).reshape(value.shape)


@functools.cache
def _care_bounds() -> np.ndarray:
    """Contrasts, falling, below which a cell counts 2, 3 ... `MOST_CARE` times."""
    halves = np.arange(2, MOST_CARE + 1) - 0.5
    return np.array([round(FULL_CARE / half ** (0.5 / MASKING) * 2**20) / 2**20 for half in halves])


def care_of_cells(contrast: np.ndarray) -> np.ndarray:
    """How often each cell counts (n,) int32."""
    return 1 + (contrast[:, None] < _care_bounds()).sum(axis=1).astype(np.int32)


@functools.cache
def _thresholds() -> np.ndarray:
    """Thresholds at contrasts of 0 to 1 OKLab, `ENTRIES` apart, in coarse steps."""
    rise = [max(1.0, place / ENTRIES / CALM) ** MASKING for place in range(ENTRIES + 1)]
    return np.array([round(JUST_SEEN * SCALE * one * 2**20) / 2**20 for one in rise])


def thresholds(contrast: np.ndarray) -> np.ndarray:
    """Coarse steps (n,) float64 of a flat error that is just seen in each cell."""
    place = np.clip(contrast * ENTRIES, 0.0, ENTRIES - 1.0)
    low = place.astype(np.intp)
    table = _thresholds()
    return table[low] + (table[low + 1] - table[low]) * (place - low)


def visibility(error: np.ndarray, threshold: np.ndarray, form: Form) -> np.ndarray:
    """Visibility (m,) float64 of cells' errors (m, ch, 64), each by itself.

    threshold: (m,) coarse steps
    """
    lines = error.reshape(-1, 64).astype(np.float32)
    blurred = through(lines, form.blur_inner.astype(np.float32)).astype(np.int64)
    blurred *= GRAIN - 1
    plain = lines.astype(np.int64)
    energy = (plain * (blurred + plain * UNIT)).reshape(len(error), 64 * error.shape[1]).sum(axis=1)
    return np.sqrt(np.maximum(energy, 0) / (64 * UNIT * GRAIN)) / threshold
