"""What the palette fit hands on: planes and sprites in the entries of four palette rows."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field

import numpy as np


@dataclass(frozen=True, eq=False)
class Fit:
    """Planes and sprites in palette rows, before any tile is merged (quantize -> reduce).

    palette: (Z, 4, 16) uint16 ink of every entry in every palette zone; entry 0 of a row is
        see-through (ink 0); unused entries hold ink 0 too
    index: (2, H, W) uint8 entry 0..15 of every pixel; row: (2, R, C) uint8 palette row of a cell
    exact: True where every pixel has a colour equal in all moods to the one it was painted with
    mse: mean squared OKLab distance a pixel that the fit cost, under the HOME mood
    pictures: sprite pictures (8 * height, 8 * width) uint8 entries; picture_row: (b,) uint8
    """

    palette: np.ndarray
    index: np.ndarray
    row: np.ndarray
    exact: bool
    mse: float = 0.0
    pictures: tuple[np.ndarray, ...] = ()
    picture_row: np.ndarray = field(default_factory=lambda: np.zeros(0, np.uint8))

    def reordered(self, entry_order: np.ndarray | None) -> Fit:
        """The same picture with the entries of each palette row in another order.

        entry_order: (4, 16) uint8, for each entry the one whose ink it takes; None: as it is. Rows
        that sprites are drawn in keep their order.
        """
        if entry_order is None:
            return self
        palette, index = reorder_entries(self.palette, self.index, self.row, entry_order)
        return dataclasses.replace(self, palette=palette, index=index)


def reorder_entries(
    palette: np.ndarray, index: np.ndarray, row: np.ndarray, entry_order: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Palette rows (..., r, 16) and entries (P, H, W) that show the same in another order.

    row: (P, R, C) palette row of each cell, 0..r-1
    entry_order: (r, 16) uint8, for each entry the one whose ink it takes
    """
    back = np.argsort(entry_order, axis=1).astype(np.uint8)
    moved = np.take_along_axis(
        palette, np.broadcast_to(entry_order.astype(np.intp), palette.shape), -1
    )
    return moved, back[row.repeat(8, axis=1).repeat(8, axis=2), index]
