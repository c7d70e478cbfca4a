"""Blocks are convex, stand on a straight foot and show few, whole faces."""

import numpy as np
import pytest

from genbg.paint.craft.blocks import FACES, draw_block
from genbg.paint.craft.dice import Dice

WIDE, TALL = 36, 24


@pytest.fixture(scope="module", params=[1, 5, 9])
def block(request):
    return draw_block(Dice(request.param), WIDE, TALL)


def test_a_block_is_convex_and_broadest_near_its_foot(block):
    """An overlap of half-spaces is convex (Boyd and Vandenberghe, Convex Optimization, 2.3.1):

    each row and column of its outline is one unbroken run.
    """
    for lines in (block.solid, block.solid.T):
        starts = np.diff(np.pad(lines, ((0, 0), (1, 1))).astype(int), axis=1) == 1
        assert starts.sum(axis=1).max() == 1
    rows = block.solid.sum(axis=1)[block.solid.any(axis=1)]
    assert rows[len(rows) // 2 :].min() >= 0.9 * rows[: len(rows) // 2].max()


def test_a_block_has_about_the_size_that_is_asked_for(block):
    assert 0.7 * WIDE <= block.solid.any(axis=0).sum() <= 1.2 * WIDE
    assert 0.7 * TALL <= block.solid.any(axis=1).sum() <= 1.3 * TALL
    assert block.solid[block.y, block.x]


def test_faces_are_few_and_each_has_one_normal_of_length_one(block):
    """What Lambert's cosine law (Photometria, 1760) asks of normals."""
    shown = np.unique(block.facet[block.solid])
    assert 3 <= len(shown) <= len(FACES)
    for face in shown:
        found = block.normal[block.solid & (block.facet == face)]
        assert (found == found[0]).all()
        assert abs(float(found[0] @ found[0]) - 1.0) < 1e-9
