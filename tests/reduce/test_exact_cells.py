"""Cells that are equal up to flips are one tile."""

from __future__ import annotations

import numpy as np

from genbg.reduce.exact import canonical, cut_cells, find_cells, flip_each, flip_tiles, join_cells


def random_tiles(count: int) -> np.ndarray:
    random = np.random.Generator(np.random.PCG64(5))
    return random.integers(0, 16, (count, 8, 8)).astype(np.uint8)


def test_canonical_is_the_least_of_four_flips_read_as_bytes():
    """Python's own comparison of the four flips' bytes agrees with the canonical tile."""
    tiles = random_tiles(50)
    lowest, flip = canonical(tiles)
    for tile, low, turn in zip(tiles, lowest, flip, strict=True):
        four = [flip_tiles(tile, number).tobytes() for number in range(4)]
        assert low.tobytes() == min(four)
        assert turn == four.index(min(four)), "ties fall to the lowest flip"


def test_a_symmetric_tile_takes_no_flip():
    """Where flips do not matter the lowest wins."""
    lowest, flip = canonical(np.full((1, 8, 8), 3, dtype=np.uint8))
    assert flip[0] == 0
    assert (lowest == 3).all()


def test_cells_of_both_planes_share_tiles():
    """A tile, its three flips and its like on the other plane are one tile in four uses."""
    tile = random_tiles(1)[0]
    index = np.zeros((2, 8, 32), dtype=np.uint8)
    index[0, :, :8], index[0, :, 8:16] = tile, tile[:, ::-1]
    index[1, :, :8], index[1, :, 8:16] = tile[::-1], tile[::-1, ::-1]
    cells = find_cells(index, np.zeros((2, 1, 4), dtype=np.uint8))
    assert len(cells.tiles) == 2, "the tile and the see-through one"
    rebuilt = flip_each(cells.tiles[cells.number], cells.flip)
    assert (join_cells(rebuilt, cells.shape) == index).all()


def test_see_through_cells_share_one_tile_whatever_their_row():
    """Palette rows do not matter to a cell that shows nothing."""
    index = np.zeros((2, 16, 32), dtype=np.uint8)
    row = np.arange(16, dtype=np.uint8).reshape(2, 2, 4) % 4
    assert len(find_cells(index, row).tiles) == 1


def test_cutting_and_joining_are_inverse():
    """Cells go back to where they came from."""
    index = random_tiles(2 * 3 * 4).reshape(2, 24, 32)
    assert (join_cells(cut_cells(index), (2, 3, 4)) == index).all()
