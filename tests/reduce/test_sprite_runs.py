"""Tiles of sprites: runs in column order, shared where bytes agree, exact always."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.errors import LimitError
from genbg.model import Cells
from genbg.reduce.sprite_runs import add_runs, column_order, lay_runs, plane_budget

CELLS = np.random.Generator(np.random.PCG64(4)).integers(0, 16, (12, 8, 8)).astype(np.uint8)
"""Twelve cells, all different."""


def picture(rows) -> np.ndarray:
    """A picture of numbered cells, rows of columns."""
    return np.concatenate([np.concatenate([CELLS[n] for n in row], axis=1) for row in rows])


def shown(runs, pictures) -> None:
    """Assert that every picture stands where it is said to, turned as it is said to be."""
    for number, wanted in enumerate(pictures):
        height, width = wanted.shape[0] // 8, wanted.shape[1] // 8
        start = int(runs.start[number])
        cells = runs.tiles[start : start + height * width]
        # common practice, no source: a sprite's cells go down each column, then to the right
        picture = cells.reshape(width, height, 8, 8).transpose(1, 2, 0, 3)
        picture = picture.reshape(height * 8, width * 8)
        if runs.vflip[number]:
            picture = picture[::-1]
        if runs.hflip[number]:
            picture = picture[:, ::-1]
        assert (picture == wanted).all(), number


def test_cells_go_down_columns():
    """A picture of two rows and three columns: 0 3, 1 4, 2 5."""
    order = column_order(picture([[0, 1, 2], [3, 4, 5]]))
    assert order == [CELLS[n].tobytes() for n in (0, 3, 1, 4, 2, 5)]


def test_equal_blocks_and_flips_are_stored_once():
    """A picture, the same again and its three flips take the tiles of one."""
    one = picture([[0, 1], [2, 3]])
    pictures = [one, one.copy(), one[:, ::-1], one[::-1], one[::-1, ::-1]]
    runs = lay_runs(pictures)
    assert len(runs.tiles) == 4
    shown(runs, pictures)


def test_a_block_within_another_costs_nothing():
    """A post of one column is the second column of a larger picture."""
    pictures = [picture([[1], [4]]), picture([[0, 1, 2], [3, 4, 5]])]
    runs = lay_runs(pictures)
    assert len(runs.tiles) == 6
    shown(runs, pictures)


def test_runs_overlap_at_their_ends():
    """One picture ends with the column that another begins with: 4 + 4 cells take 6 tiles."""
    pictures = [picture([[0, 1], [2, 3]]), picture([[1, 4], [3, 5]])]
    runs = lay_runs(pictures)
    assert len(runs.tiles) == 6
    shown(runs, pictures)


@pytest.mark.parametrize("seed", range(10))
def test_whatever_is_laid_is_shown(seed):
    """Random pictures of few cells: each is found in the sequence, which is never longer than
    all."""
    dice = np.random.Generator(np.random.PCG64(seed))
    pictures = []
    for _ in range(12):
        rows, columns = dice.integers(1, 5, 2)
        made = picture(dice.integers(0, 4, (rows, columns)))
        pictures.append(made[:: 1 - 2 * dice.integers(2), :: 1 - 2 * dice.integers(2)])
    runs = lay_runs(pictures)
    shown(runs, pictures)
    assert len(runs.tiles) <= sum(one.size // 64 for one in pictures)


def cells_of(tiles, number, hflip=None, vflip=None) -> Cells:
    number = np.asarray(number, dtype=np.uint16).reshape(2, 1, -1)
    flags = np.zeros(number.shape, dtype=bool)
    return Cells(
        tiles=np.stack(tiles),
        number=number,
        hflip=flags if hflip is None else np.asarray(hflip, bool).reshape(number.shape),
        vflip=flags if vflip is None else np.asarray(vflip, bool).reshape(number.shape),
        row=np.zeros(number.shape, np.uint8),
    )


def pictures(cells) -> np.ndarray:
    """What every cell shows, flips and all."""
    shown = cells.tiles[cells.number]
    shown = np.where(cells.hflip[..., None, None], shown[..., ::-1], shown)
    return np.where(cells.vflip[..., None, None], shown[..., ::-1, :], shown)


def test_planes_use_the_sprites_tiles():
    """A tile of the planes that equals one of a sprite, turned over, is left out; cells show
    the same as before. The two tiles of the sprite add one.
    """
    runs = lay_runs([picture([[0], [1]])])
    before = cells_of(
        [CELLS[7], CELLS[1][:, ::-1], CELLS[8]], [0, 1, 2, 1], [0, 0, 1, 1], [0, 1, 1, 0]
    )
    after, start, added = add_runs(before, runs)
    assert len(after.tiles) == 2 + 2
    assert (pictures(after) == pictures(before)).all()
    assert start.tolist() == [2]
    assert (after.tiles[2:] == runs.tiles).all()
    assert added == 2 - 1


def test_a_tile_that_is_its_own_flip_is_shared_too():
    """A cell that looks the same turned over is shown right whichever flip is chosen."""
    even = np.full((8, 8), 5, np.uint8)
    runs = lay_runs([even])
    before = cells_of([even, CELLS[3]], [0, 1, 1, 0], [1, 1, 0, 0])
    after, _, added = add_runs(before, runs)
    assert len(after.tiles) == 2
    assert added == 0
    assert (pictures(after) == pictures(before)).all()


def test_no_sprites_change_nothing():
    """Without pictures there is no run, and the planes stay as they are."""
    runs = lay_runs([])
    cells = cells_of([CELLS[0]], [0, 0])
    assert runs.tiles.shape == (0, 8, 8)
    after, _, added = add_runs(cells, runs)
    assert after is cells
    assert added == 0
    assert plane_budget(runs, 7) == 7


def test_the_budget_is_shared():
    """Sprites take theirs first; where they leave the planes none, the error says by how much."""
    runs = lay_runs([picture([[0, 1, 2], [3, 4, 5]])])
    assert plane_budget(runs, 7) == 1
    says = (
        "patterns of sprites: 6 patterns asked, 5 patterns allowed; "
        "raise machine.tile_budget, or draw less as sprites"
    )
    with pytest.raises(LimitError, match=says):
        plane_budget(runs, 6)
