"""Arches, domes, blocks and broken tops against plain geometry."""

from fractions import Fraction

import numpy as np
import pytest

from genbg.paint.craft.edges import CELL
from genbg.paint.painters.bridge.masonry import (
    arch_head,
    arch_mask,
    arch_ring,
    blocks,
    dome_mask,
    half_circle,
)


@pytest.mark.parametrize("radius", [4, 8, 16, 28, 64])
def test_a_half_circle_is_one(radius):
    """A pixel belongs to it just where its middle lies inside x^2 + y^2 = r^2.

    Source: Euclid, Elements, book I, definition 15; counted in exact fractions.
    """
    for y, reach in enumerate(half_circle(radius)):
        up = Fraction(2 * (radius - y) - 1, 2)
        inside = [x for x in range(radius) if Fraction(2 * x + 1, 2) ** 2 + up**2 < radius**2]
        assert abs(len(inside) - reach) <= 1
        assert reach <= radius


@pytest.mark.parametrize("pointed", [False, True])
@pytest.mark.parametrize("width", [16, 24, 32, 64])
def test_an_arch_mirrors_widens_and_ends_in_straight_sides(width, pointed):
    """It is its own mirror image, never narrows on the way down, and ends at its full width."""
    mask = arch_mask(width, 2 * width, pointed)
    assert (mask == mask[:, ::-1]).all()
    across = mask.sum(axis=1)
    assert (np.diff(across) >= 0).all()
    assert across[arch_head(width, pointed)] == width
    assert across[0] <= width // 2


def test_a_pointed_arch_is_two_circles_about_the_feet_of_each_other():
    """Its edge keeps the distance `width` from the opposite foot, to a pixel.

    Source: the equilateral arch; common practice of masons, no source.
    """
    width, head = 64, arch_head(64, pointed=True)
    mask = arch_mask(width, head, pointed=True)
    for y in range(head // 4, head):
        right = mask[y].nonzero()[0].max() + 1
        away = np.hypot(right, head - y)
        assert away == pytest.approx(width, abs=1.5)


@pytest.mark.parametrize("pointed", [False, True])
def test_a_ring_lies_around_its_opening(pointed):
    """No pixel of the ring is in the opening, and the ring closes: every opening's edge has it."""
    width, lines, thick = 32, 40, 6
    ring, joint = arch_ring(width, lines, thick, pointed)
    opening = np.zeros_like(ring)
    opening[thick:, thick:-thick] = arch_mask(width, lines, pointed)
    assert not (ring & opening).any()
    assert (joint <= ring).all()
    assert 0.05 < joint.sum() / ring.sum() < 0.5
    head = slice(thick, thick + arch_head(width, pointed) - 1)
    for row, hole in zip(ring[head], opening[head], strict=True):
        first = hole.argmax()
        assert row[first - 1]


@pytest.mark.parametrize("columns", [2, 3, 4, 5])
def test_a_dome_is_half_an_ellipse(columns):
    """Its area is that of half an ellipse, pi/4 of the box, to 4 %."""
    lines = columns * CELL // 2 + 4
    mask = dome_mask(columns, lines)
    assert mask.mean() == pytest.approx(np.pi / 4, rel=0.04)
    assert (mask == mask[:, ::-1]).all()


def test_blocks_lie_in_courses_and_repeat():
    """A course is a cell high with its joint below; the patch goes on where it is repeated."""
    change = blocks(4, 8, seed=3)
    joints = change[CELL - 1 :: CELL]
    assert (joints == -1).all()
    twice = np.tile(blocks(4, 8, seed=3, worn=5), (1, 2))
    assert (twice[:, 60:68] == np.roll(twice, 64, axis=1)[:, 60:68]).all()
    assert set(np.unique(change)) <= {-2, -1, 0, 1}


def test_worn_blocks_make_calm_places():
    """The more blocks are worn, the fewer marks there are; all worn leave a plain wall."""
    marks = [np.count_nonzero(blocks(8, 8, seed=5, worn=n)) for n in (0, 3, 6, 8)]
    assert marks == sorted(marks, reverse=True)
    assert marks[-1] == 0
