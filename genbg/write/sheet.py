"""sheet.png: all tiles in one indexed picture, in the order of their numbers, 16 in a row.

Each is drawn under the palette row that most cells and sprites show it with; of rows that show it
as often the lowest, and row 0 where nothing shows it. The picture's palette is the machine's 64
entries, so a pixel is `row * 16 + entry`; entry 0 of each row is see-through.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.colour import screen_table
from genbg.hardware.colour_word import word_to_number
from genbg.hardware.map_word import unpack_map
from genbg.hardware.sizes import PALETTES
from genbg.hardware.sprite_entry import linked_order, unpack_sprites
from genbg.model import Backdrop
from genbg.write.png import indexed_png

ACROSS = 16
"""Tiles in a row of the sheet."""
SEE_THROUGH = bytes([0, *[255] * 15] * PALETTES)
"""Alpha of the 64 entries."""


def files(backdrop: Backdrop) -> Iterator[tuple[str, bytes]]:
    """Yield sheet.png."""
    rows = common_rows(backdrop)
    numbers = word_to_number(backdrop.palette)
    palette = screen_table(tuple(backdrop.machine.levels))[numbers]
    yield (
        "sheet.png",
        indexed_png(sheet_pixels(backdrop.tiles.pixels, rows), palette, SEE_THROUGH),
    )


def common_rows(backdrop: Backdrop) -> np.ndarray:
    """Return (T,) uint8 the palette row that each tile is shown with most often."""
    count = np.zeros((len(backdrop.tiles.pixels), PALETTES), dtype=np.int64)
    for words in backdrop.maps:
        cell = unpack_map(words)
        np.add.at(count, (cell.number.ravel(), cell.row.ravel()), 1)
    for first, size, row in sprite_uses(backdrop):
        count[first : first + size, row] += 1
    return count.argmax(axis=1).astype(np.uint8)


def sprite_uses(backdrop: Backdrop) -> Iterator[tuple[int, int, int]]:
    """Yield (first tile, tiles, palette row) of each sprite of the backdrop's table."""
    if backdrop.sprites.table is None or not len(backdrop.sprites.table):
        return
    sprites = unpack_sprites(backdrop.sprites.table)
    for number in linked_order(sprites.link):
        size = int(sprites.width[number]) * int(sprites.height[number])
        yield int(sprites.number[number]), size, int(sprites.row[number])


def sheet_pixels(tiles: np.ndarray, rows: np.ndarray) -> np.ndarray:
    """Return the sheet (H, 128) uint8; places past the last tile are see-through."""
    lines = max(1, -(-len(tiles) // ACROSS))
    cells = np.zeros((lines * ACROSS, 8, 8), dtype=np.uint8)
    cells[: len(tiles)] = tiles | (rows << 4)[:, None, None]
    grid = cells.reshape(lines, ACROSS, 8, 8).transpose(0, 2, 1, 3)
    return grid.reshape(lines * 8, ACROSS * 8)
