"""Stones and the surf about them."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.craft.spray import Burst, burst, collar, drops
from genbg.paint.craft.stones import (
    Stone,
    StonePicture,
    add_stone,
    light_stones,
    planes_of,
    shadows,
)


def one(x=128.0, **keys) -> StonePicture:
    picture = StonePicture(80, 256, 1, bend=0.0)
    add_stone(picture, Stone(x, 45.0, 0.0, 30.0, 24.0, seed=11, **keys))
    return picture


def test_planes_are_unit_vectors_that_face_the_eye():
    """A facet that is seen leans toward the eye."""
    planes = planes_of(Stone(0, 0, 0, 10, 10, sunny=1.0, seed=3))
    assert (planes[:, :3] ** 2).sum(axis=1) == pytest.approx(1.0)
    assert planes[:, 2].min() > 0
    assert planes[0, 0] > 0


def test_a_hull_is_convex():
    """A solid cut by planes is convex: along each row its depth never has a dent (its second
    differences are not above 0)."""
    picture = one()
    for row in (36, 45, 54):
        columns = np.flatnonzero(picture.cover[row])
        assert len(columns) > 20
        depth = picture.depth[row, columns[0] : columns[-1] + 1]
        assert np.diff(depth, 2).max() < 1e-9


def test_each_facet_has_one_normal_and_one_light():
    """Lambert's cosine law gives a plane one brightness; without grain, edge and foot, so here."""
    picture = one()
    for number in np.unique(picture.facet[picture.cover]):
        where = picture.facet == number
        assert np.ptp(picture.normal[:, where], axis=1).max() == 0.0


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_sun_from_one_side_lights_that_side(side):
    """The mean warm light is greater where normals lean to the sun."""
    picture = one()
    foot = np.full(256, 90.0)
    light = light_stones(picture, (side * 0.8, -0.5, 0.33), foot, 2)
    lean = picture.normal[0] * side
    toward, away = picture.cover & (lean > 0.3), picture.cover & (lean < -0.3)
    assert light.warm[toward].mean() > light.warm[away].mean() + 0.2


def test_a_tall_stone_throws_its_shadow_away_from_the_light():
    """Ground right of a block lies in shadow where light comes from the left, not left of it."""
    depth = np.zeros((40, 128))
    depth[10:30, 50:60] = 12.0
    deep = shadows(depth, (-1.0, 0.0))
    assert deep[20, 64] > 0
    assert deep[20, 45] == 0


def test_the_nearer_stone_is_seen():
    """Where two overlap, the picture shows the one whose surface is nearer to the eye."""
    picture = one()
    before = picture.facet.copy()
    add_stone(picture, Stone(140.0, 45.0, -200.0, 30.0, 24.0, seed=12))
    assert (picture.facet[before >= 0] == before[before >= 0]).all()
    assert (picture.facet >= 64).any()


def test_a_stone_at_the_seam_is_the_same_stone():
    """Moved by half the plane, a hull is the same, columns turned about."""
    middle, seam = one(), one(0.0)
    assert np.array_equal(np.roll(seam.cover, 128, axis=1), middle.cover)


def test_foam_lies_round_the_foot_and_spray_above_it():
    """Foam thins out with distance from the foot; a burst rises from its row and leans."""
    lace = collar((80, 256), (100.0, 150.0, 50.0), 6.0, 3)
    assert lace[50:53, 100:150].mean() > 5 * lace[50:53, 200:240].mean()
    assert lace[:46].max() == 0.0
    spray = Burst(128.0, 60.0, 40.0, 50.0, 0.6, 9)
    thick, bright = burst((80, 256), spray)
    rows, columns = np.nonzero(thick > 0.34)
    assert rows.max() < 66
    assert 60 - rows.min() > 20
    assert columns[rows < 35].mean() > columns[rows > 50].mean()
    assert 0.0 <= bright.min() <= bright.max() <= 1.0
    assert 10 < drops((80, 256), spray).sum() < 80
