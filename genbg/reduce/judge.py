"""How merging judges a fit: every cell by the colours of its own lines.

Where colours are rewritten part-way down, every zone has four rows of its own here, and its inks
count anew in each, so that no cell takes another zone's row.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.hardware.sizes import PALETTES
from genbg.model import Fit, reorder_entries
from genbg.model.zones import ZonePlan

ZONES_APART = 230
"""Lab steps that inks of different zones differ by on top of their colours, halved: more than a
cell gains by a better colour of a zone in which it does not stand."""


@dataclass(frozen=True, eq=False)
class Judged:
    """palette: (r, 16) ink of every entry; index: (planes, H, W) uint8 entries
    row: (planes, R, C) uint8, 0..r-1; steps: (k, ch) int lab steps of every ink, and what else of
        an ink is to be kept; steps[0] is the backdrop colour
    """

    palette: np.ndarray
    index: np.ndarray
    row: np.ndarray
    steps: np.ndarray

    def reordered(self, entry_order: np.ndarray | None) -> Judged:
        """The same picture with the entries of each row in another order; see `Fit.reordered`."""
        if entry_order is None:
            return self
        palette, index = reorder_entries(self.palette, self.index, self.row, entry_order)
        return dataclasses.replace(self, palette=palette, index=index)


def judge_zones(fit: Fit, steps: np.ndarray, zones: ZonePlan, behind: Sequence[int]) -> Judged:
    """The fit as merging is to judge it, with four rows for each zone.

    steps: (K+1, ch) of every ink; behind: the ink of the backdrop colour in every zone

    Further columns of the steps tell the zones apart.
    """
    count, inks = len(fit.palette), len(steps)
    if count == 1:
        return Judged(fit.palette[0], fit.index, fit.row, steps)
    zone = np.arange(count)[:, None, None]
    palette = np.where(fit.palette > 0, fit.palette.astype(np.int64) + zone * inks, 0)
    palette[:, :, 0] = (np.asarray(behind) + np.arange(count) * inks)[:, None]
    row = fit.row + PALETTES * zone_of_cells(zones, fit.row.shape[1])[:, None]
    bits = np.arange(count)[:, None] >> np.arange((count - 1).bit_length()) & 1
    apart = np.repeat((2 * bits - 1) * ZONES_APART, inks, axis=0)
    steps = np.concatenate([np.tile(steps, (count, 1)), apart.astype(steps.dtype)], axis=1)
    return Judged(palette.reshape(-1, 16), fit.index, row.astype(np.uint8), steps)


def zone_of_cells(zones: ZonePlan, rows: int) -> np.ndarray:
    """The zone (R,) that has most lines of every row of cells; of two as many, the upper.

    A reflected row has that of the row it shows.
    """
    tops = [zones.source(row * 8) // 8 * 8 for row in range(rows)]
    return np.array([max(0, zones.zone_of(top + 3)) for top in tops])
