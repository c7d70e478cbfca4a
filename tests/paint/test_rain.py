"""The underside of a storm: rags below the base, and rain."""

import numpy as np
import pytest

from genbg.paint.craft.edges import CELL
from genbg.paint.painters.clouds.rain import HANGS, POUCH, draw_rain, hang_rags


@pytest.mark.parametrize("seed", range(5))
def test_rags_hang_below_the_base_only(seed):
    """Nothing changes above the base, and no rag is longer than the deepest one may be."""
    picture = np.zeros((12 * CELL, 512), dtype=np.int64)
    hang_rags(picture, 5, seed, 3)
    assert not picture[: 5 * CELL].any()
    deep = (picture == 3).sum(axis=0)
    assert deep.max() <= HANGS + POUCH.max()
    assert len(np.unique(deep)) > 6
    hanging = np.diff((picture == 3).astype(int)[5 * CELL :], axis=0)
    assert (hanging <= 0).all()


@pytest.mark.parametrize("seed", range(5))
def test_the_hem_wraps(seed):
    """The step from the last column to the first is like those between."""
    picture = np.zeros((12 * CELL, 512), dtype=np.int64)
    hang_rags(picture, 5, seed, 3)
    deep = (picture == 3).sum(axis=0)
    steps = np.abs(np.diff(deep, append=deep[0]))
    assert steps[-1] <= steps.max() <= 5


def test_rain_leans_away_from_the_light_and_thins_out():
    """Lower rows have fewer drops; two lines down, a drop is a pixel nearer to the light's side."""
    left, right = (np.zeros((12 * CELL, 512), dtype=np.int64) for _ in range(2))
    draw_rain(left, 2, 10, 1, False, 1)
    draw_rain(right, 2, 10, 1, True, 1)
    assert left[2 * CELL : 5 * CELL].sum() > left[-3 * CELL :].sum()
    assert not left[: 2 * CELL].any()
    assert (left != right).any()
    for rain, step in ((left, -1), (right, 1)):
        cell = rain[2 * CELL : 3 * CELL].reshape(CELL, -1, CELL).max(axis=1)
        assert (np.flatnonzero(cell[0])[0] + step) % CELL == np.flatnonzero(cell[2])[0]
