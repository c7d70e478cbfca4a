"""The scanned line over a picture, and the colours that memory holds while it is drawn."""

from __future__ import annotations

import numpy as np

from genbg.screen.display import Screen
from genbg.write.labels import INK, QUIET, fill, write

SWATCH_PX = 14
ROW_PX = 16
ROWS, ENTRIES = 4, 16
ROW_NUMBER_PX = 10
STRIP_PX = ROW_NUMBER_PX + ENTRIES * ROW_PX


def put_scan(picture: np.ndarray, x: int, y: int, screen: Screen, line: int) -> None:
    """Mark the scanned line: dots over the picture and a wedge at its left."""
    picture[y + line, x : x + screen.width : 4] = INK
    for step in range(4):
        fill(picture, x - 5 + step, y + line - 3 + step, 1, 7 - 2 * step, INK)


def put_swatches(
    picture: np.ndarray, x: int, y: int, numbers: np.ndarray, used: np.ndarray
) -> None:
    """Draw 4 rows of 16 colours: whole squares for the used ones, small squares for the others."""
    small = SWATCH_PX // 2 - 2
    for entry, number in enumerate(numbers.tolist()):
        row, column = divmod(entry, ENTRIES)
        left, top = x + ROW_NUMBER_PX + column * ROW_PX, y + row * ROW_PX
        if column == 0:
            write(picture, x, top + 3, str(row), QUIET)
        inset = 0 if entry in used else (SWATCH_PX - small) // 2
        size = SWATCH_PX - 2 * inset
        fill(picture, left + inset, top + inset, size, size, number)
