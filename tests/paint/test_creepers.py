"""Ivy over an edge: ragged, whole, and only where there is an edge."""

import numpy as np
import pytest
from painting_checks import stray_share

from genbg.paint.painters.bridge.creepers import ABOVE, SIZES, draw_bunch, hang_creepers


class Wall:
    """A sheet as far as creepers need one."""

    def __init__(self, lines, width):
        self.ink = np.zeros((lines, width), dtype=np.int64)
        self.placed = []

    def put(self, piece, column, foot, by_light, flip):
        assert not by_light
        self.placed.append((column, foot - len(piece), flip))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("seed", range(8))
def test_a_bunch_is_ragged_below(seed, size):
    """Its lower end differs from strand to strand, and no single pixels hang about it."""
    bunch = draw_bunch(*size, seed)
    assert bunch.shape == (8 * size[1], 8 * size[0])
    leaf = bunch >= 0
    long = np.where(leaf.any(axis=0), len(leaf) - leaf[::-1].argmax(axis=0), 0)
    assert len(set(long[::4].tolist())) >= size[0] // 2 + 1
    assert not leaf[-1].all()
    assert not leaf[:, [0, -1]].all(axis=0).any()
    assert bunch.max() >= 3
    assert stray_share((bunch + 1).astype(np.uint16)) <= 0.02


def test_it_hangs_from_the_edge_alone():
    """Every bunch starts a little above the line of its edge, and none where there is no edge."""
    tops = np.full(64, 40)
    tops[20:40] = -1
    wall = Wall(128, 512)
    hang_creepers(wall, np.arange(1, 6), tops, 0.8, 3, few=False)
    assert wall.placed
    for column, top, _ in wall.placed:
        assert top == 40 - ABOVE
        assert not 17 < column < 40
    assert any(turn for *_, turn in wall.placed)


def test_few_bunches_are_all_alike():
    """A thrifty wall takes fewer shapes, none turned over."""
    stamps = {True: set(), False: set()}
    for few, shapes in stamps.items():
        wall = Wall(128, 512)
        wall.put = lambda piece, column, foot, by_light, flip, shapes=shapes: shapes.add(
            (piece.tobytes(), flip)
        )
        hang_creepers(wall, np.arange(1, 6), np.full(64, 40), 1.0, 3, few)
    assert len(stamps[True]) < len(stamps[False])
    assert not any(turn for _, turn in stamps[True])
