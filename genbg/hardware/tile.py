"""Tile: 8x8 pixels of 4 bits, 32 bytes, row after row, the left pixel in the high nibble.

Common practice, no source.
"""

from __future__ import annotations

import numpy as np

from genbg.errors import BytesError
from genbg.hardware.words import Field, Layout, check_length, check_range

TILE_BYTES = 32

PIXEL_PAIR = Layout(
    "tile byte",
    8,
    (
        Field("left", 7, 4, "entry of the palette row of the left pixel, 0 see-through"),
        Field("right", 3, 0, "the same of the pixel to its right"),
    ),
)


def pack_tiles(tiles: np.ndarray) -> bytes:
    """Bytes of tiles (T, 8, 8) with entries 0..15.

    Raises BytesError for another shape or an entry outside 0..15.
    """
    tiles = np.asarray(tiles)
    if tiles.ndim != 3 or tiles.shape[1:] != (8, 8):
        raise BytesError(f"tiles: shape {tiles.shape}; (patterns, 8, 8) is needed")
    entries = check_range("tile pixel", tiles, 0, 15)
    return PIXEL_PAIR.pack({"left": entries[..., 0::2], "right": entries[..., 1::2]}).tobytes()


def unpack_tiles(data: bytes) -> np.ndarray:
    """Tiles (T, 8, 8) uint8 of tile bytes.

    Raises BytesError when the last tile is cut short.
    """
    count = check_length("tiles", data, TILE_BYTES)
    pair = PIXEL_PAIR.unpack(np.frombuffer(data, dtype=np.uint8).reshape(count, 8, 4))
    return np.stack([pair["left"], pair["right"]], axis=-1).reshape(count, 8, 8).astype(np.uint8)
