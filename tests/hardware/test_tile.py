"""Tiles, both directions."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.errors import BytesError
from genbg.hardware.tile import pack_tiles, unpack_tiles

ROWS = (
    "01234567"  # the left pixel of a pair stands in the high nibble
    "89ABCDEF"
    "F0000000"
    "0000000F"
    "00000000"
    "11111111"
    "0F0F0F0F"
    "FEDCBA98"
)


def test_a_tile_against_hex_text():
    """One nibble a pixel, row after row: the hex text of the bytes reads as the picture does."""
    tile = np.array([int(digit, 16) for digit in ROWS]).reshape(1, 8, 8)
    assert pack_tiles(tile).hex().upper() == ROWS
    assert np.array_equal(unpack_tiles(bytes.fromhex(ROWS)), tile)


def test_a_tile_takes_32_bytes():
    """8x8 pixels of 4 bits are 32 bytes. Common practice, no source."""
    assert len(pack_tiles(np.zeros((3, 8, 8), dtype=np.uint8))) == 3 * 32
    assert pack_tiles(np.zeros((0, 8, 8), dtype=np.uint8)) == b""
    assert unpack_tiles(b"").shape == (0, 8, 8)


@settings(deadline=None)
@given(st.binary(min_size=32, max_size=96).filter(lambda data: len(data) % 32 == 0))
def test_any_bytes_are_tiles(data):
    """Every 32 bytes are a tile, and the nibbles in reading order are its pixels."""
    tiles = unpack_tiles(data)
    assert tiles.ravel().tolist() == [int(digit, 16) for digit in data.hex()]
    assert pack_tiles(tiles) == data


def test_wrong_tiles_are_refused():
    """Shape, range and length are checked."""
    with pytest.raises(BytesError, match=r"tiles: shape \(8, 8\); \(patterns, 8, 8\) is needed"):
        pack_tiles(np.zeros((8, 8), dtype=np.uint8))
    tiles = np.zeros((2, 8, 8), dtype=np.uint8)
    tiles[1, 2, 3] = 16
    with pytest.raises(BytesError, match=r"tile pixel \[1, 2, 3\]: 16; allowed is 0 to 15"):
        pack_tiles(tiles)
    with pytest.raises(BytesError, match="tiles: 33 bytes; it has to be a multiple of 32"):
        unpack_tiles(bytes(33))
