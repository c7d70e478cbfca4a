"""Paths on the cell grid: shapes that their own flips share."""

import numpy as np
import pytest

from genbg.paint.craft.paths import LONGEST, draw_paths, shape_table, snap


@pytest.mark.parametrize("rag", [0, 1, 2])
def test_every_shape_is_symmetric_about_its_middle(rag):
    """f[j] + f[7-j] is the step, and no shape strays farther than its rag from the straight."""
    table = shape_table(7, 3, rag)
    steps = np.arange(LONGEST + 1)[:, None, None]
    assert (table + table[..., ::-1] == steps).all()
    straight = steps * (np.arange(8) + 0.5) / 8
    assert np.abs(table - straight).max() <= rag + 0.5


def test_a_path_and_its_mirror_image_cross_cells_alike():
    """A path that goes the other way leaves cells that are flips of the first one's."""
    places = np.array([[0, 8, 8, 24, 20]])
    one = draw_paths(places, 3, 1, 1)[0]
    other = draw_paths(-places, 3, 1, 1)[0]
    assert np.array_equal(other, -one)
    back = draw_paths(places[:, ::-1], 3, 1, 1)[0]
    assert np.array_equal(back, one[::-1])


def test_paths_keep_to_their_places():
    """In the middle of a cell a smooth path is half-way between its places."""
    path = draw_paths(np.array([[0, 16, 16, 0]]), 1, 2, 0)[0]
    assert path.tolist()[:8] == [1, 3, 5, 7, 9, 11, 13, 15]
    assert path.tolist()[8:16] == [16] * 8
    assert path.tolist()[16:] == path.tolist()[7::-1]


def test_no_path_is_no_path():
    """An empty set of paths draws an empty set of lines."""
    assert draw_paths(np.zeros((0, 4), dtype=np.int64), 1).shape == (0, 24)


def test_snap_goes_to_the_nearest_multiple():
    """Halves go up, on both sides of zero."""
    assert snap(np.array([-6.0, -4.0, -3.9, 3.9, 4.0, 12.0]), 8).tolist() == [-8, 0, 0, 0, 8, 16]
