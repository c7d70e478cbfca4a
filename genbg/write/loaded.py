"""Patterns and map words as a console has them in video memory, numbers from tile_base on."""

from __future__ import annotations

import numpy as np

from genbg.errors import BytesError
from genbg.hardware.sizes import TILE_NUMBER_MASK


def tile_rows(tiles: np.ndarray) -> np.ndarray:
    """Return tiles (T, 8, 8) as (T * 8,) numbers of 32 bits, the left pixel highest."""
    rows = np.zeros(tiles.shape[:2], dtype=np.int64)
    for column in range(8):
        rows = rows << 4 | tiles[:, :, column]
    return rows.reshape(-1)


def placed(words: np.ndarray, tile_base: int) -> np.ndarray:
    """Return map words (...) whose tile numbers count from tile_base.

    Raises BytesError where a number would pass 2047, the last that a map word can hold.
    """
    words = np.asarray(words, dtype=np.int64)
    numbers = (words & TILE_NUMBER_MASK) + tile_base
    if numbers.max(initial=0) > TILE_NUMBER_MASK:
        raise BytesError(
            f"source: pattern {int(numbers.max()) - tile_base}, loaded from {tile_base} on, is "
            f"number {int(numbers.max())}; a map word holds at most {TILE_NUMBER_MASK}"
        )
    return words & ~TILE_NUMBER_MASK | numbers
