"""Map word: which tile a cell of a plane shows, and how. Common practice, no source.

A map is rows of such words, left to right, top to bottom.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from genbg.hardware.words import Field, Layout

MAP_WORD = Layout(
    "map word",
    16,
    (
        Field("high", 15, 15, "1: drawn with high priority"),
        Field("row", 14, 13, "palette row"),
        Field("vflip", 12, 12, "1: upside down"),
        Field("hflip", 11, 11, "1: left and right swapped"),
        Field("number", 10, 0, "pattern number"),
    ),
)


class MapCells(NamedTuple):
    """Cells of a map, arrays of one shape: number uint16, row uint8, the others bool."""

    number: np.ndarray
    row: np.ndarray
    hflip: np.ndarray
    vflip: np.ndarray
    priority: np.ndarray


def pack_map(
    number: np.ndarray,
    row: np.ndarray | int,
    hflip: np.ndarray | int,
    vflip: np.ndarray | int,
    priority: np.ndarray | int,
) -> np.ndarray:
    """Map words uint16 of arrays of one shape (or single values), usually (R, C).

    number: 0..2047; row: 0..3; hflip, vflip, priority: bool or 0, 1

    Raises BytesError that names the field for a value out of range.
    """
    return MAP_WORD.pack(
        {"high": priority, "row": row, "vflip": vflip, "hflip": hflip, "number": number}
    )


def unpack_map(words: np.ndarray) -> MapCells:
    """Cells of map words of any shape. Raises BytesError for what is not a 16-bit word."""
    part = MAP_WORD.unpack(words)
    return MapCells(
        part["number"],
        part["row"].astype(np.uint8),
        part["hflip"].astype(bool),
        part["vflip"].astype(bool),
        part["high"].astype(bool),
    )
