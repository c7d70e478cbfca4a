"""sheet.png: where each tile stands, and in which colours."""

from __future__ import annotations

import numpy as np
import png as pypng
from small_backdrops import random_backdrop, random_map, random_sprites

from genbg.hardware.map_word import pack_map
from genbg.write import sheet


def decode(backdrop) -> tuple[np.ndarray, list]:
    """Pixels (H, W) and palette of the sheet, as pypng reads them."""
    ((path, data),) = sheet.files(backdrop)
    assert path == "sheet.png"
    _, _, rows, about = pypng.Reader(bytes=data).read()
    return np.array([list(row) for row in rows]), about["palette"]


def test_tiles_stand_sixteen_in_a_row() -> None:
    """Tile n is at row n // 16, column n % 16, its entries in the low four bits."""
    backdrop = random_backdrop(1, count=35)
    pixels, palette = decode(backdrop)
    assert pixels.shape == (24, 128)
    assert len(palette) == 64
    for number, tile in enumerate(backdrop.tiles.pixels):
        y, x = number // 16 * 8, number % 16 * 8
        assert np.array_equal(pixels[y : y + 8, x : x + 8] & 15, tile)
    assert (pixels[16:, 24:] == 0).all(), "places past the last pattern are see-through"


def test_only_entry_zero_of_each_row_is_see_through() -> None:
    """Alpha is 0 at entries 0, 16, 32 and 48, 255 elsewhere."""
    _, palette = decode(random_backdrop(1))
    assert [n for n, colour in enumerate(palette) if colour[3] == 0] == [0, 16, 32, 48]
    assert {colour[3] for colour in palette} == {0, 255}


def test_the_row_that_shows_a_tile_most() -> None:
    """Counted by hand: tile 0 twice in row 2, 1 once each in rows 3 and 1, 2 nowhere."""
    number = np.ones((2, 2, 2), dtype=np.int64) * 3
    row = np.zeros((2, 2, 2), dtype=np.int64)
    number[0, 0], row[0, 0] = 0, 2  # two cells of the front plane
    number[0, 1, 0], row[0, 1, 0] = 0, 1
    number[1, 0], row[1, 0] = 1, (3, 1)
    maps = [pack_map(number[plane], row[plane], 0, 0, 0) for plane in (0, 1)]
    rows = sheet.common_rows(random_backdrop(1, count=4, maps=maps))
    assert rows.tolist() == [2, 1, 0, 0], "as often: the lowest row"


def test_sprites_count_too() -> None:
    """A tile that only sprites show is drawn in their palette row."""
    dice = np.random.Generator(np.random.PCG64(5))
    maps = random_map(dice, 32, 64, 4)
    table = random_sprites(dice, 1, 8)
    table[0, 2], table[0, 4:6] = 0b0101, (0x60, 4)  # 2 x 2 cells, row 3, from tile 4
    backdrop = random_backdrop(1, count=12, maps=np.stack([maps, maps]), table=table)
    assert sheet.common_rows(backdrop)[4:].tolist() == [3, 3, 3, 3, 0, 0, 0, 0]


def test_no_tile_at_all() -> None:
    """A sheet of nothing is one empty row of places, still a picture."""
    words = np.zeros((32, 64), dtype=np.uint16)
    empty = np.zeros((0, 8, 8), dtype=np.uint8)
    assert sheet.sheet_pixels(empty, np.zeros(0, dtype=np.uint8)).shape == (8, 128)
    one = random_backdrop(1, count=1, maps=np.stack([words, words]))
    assert decode(one)[0].shape == (8, 128)
