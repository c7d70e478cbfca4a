"""Height fields: hulls, light, shadows and how ground is seen, held against geometry by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from genbg.paint.craft.relief import (
    UNSEEN,
    cut_way,
    hull,
    lambert,
    oblique,
    receding,
    seen,
    shaded,
    side_light,
)
from genbg.paint.craft.scatter import unit

WIDTH = 256
LEVEL = oblique(64, 100.0, 0.5)


def test_a_hull_over_one_point_is_a_cone() -> None:
    """One point gives height minus slope times distance, also across the wrap (by hand)."""
    heights = hull(np.array([[2.0, 30.0, 40.0]]), LEVEL, WIDTH, 0.5)
    assert heights[30, 2] == pytest.approx(40.0)
    assert heights[33, 6] == pytest.approx(40.0 - 0.5 * 5.0)
    assert heights[30, WIDTH - 8] == pytest.approx(40.0 - 0.5 * 10.0)


def test_a_hull_is_the_highest_of_all_cones() -> None:
    """Against the maximum over all points, tried one by one: 99 % alike, none 1 pixel off."""
    draws = unit(7, np.arange(120))
    points = np.stack([draws[:40] * WIDTH, draws[40:80] * 63, 10 + 30 * draws[80:]], axis=1)
    found = hull(points, LEVEL, WIDTH, 0.8, -99.0)
    x, z = np.arange(WIDTH)[None, :], np.arange(64)[:, None]
    best = np.full((64, WIDTH), -99.0)
    for at_x, at_z, high in points:
        across = (x - at_x + WIDTH / 2) % WIDTH - WIDTH / 2
        best = np.maximum(best, high - 0.8 * np.hypot(across, z - at_z))
    assert (np.abs(found - best) < 1e-3).mean() > 0.99
    assert np.abs(found - best).max() < 1.0


def test_slopes_differ_by_side() -> None:
    """Left, right, toward us and away a cone falls as each side is told to."""
    heights = hull(np.array([[100.0, 30.0, 40.0]]), LEVEL, WIDTH, (0.2, 0.6, 0.4, 0.1))
    falls = [40.0 - heights[row, x] for row, x in ((30, 90), (30, 110), (20, 100), (40, 100))]
    assert falls == pytest.approx([2.0, 6.0, 4.0, 1.0], abs=1e-3)


def test_light_follows_the_cosine_law() -> None:
    """Lambert 1760: level ground takes the sine of the light's height; a face square to it, all."""
    level = np.zeros((64, WIDTH))
    assert lambert(level, LEVEL, (0.8, 0.6, 0.0))[10, 10] == pytest.approx(0.6)
    rising = np.broadcast_to(-np.arange(WIDTH) * 1.0, (64, WIDTH))
    assert lambert(rising, LEVEL, (1.0, 1.0, 0.0))[10, 10] == pytest.approx(1.0)
    assert lambert(rising, LEVEL, (-1.0, 1.0, 0.0))[10, 10] == pytest.approx(0.0, abs=1e-9)


def test_a_wall_throws_a_shadow_as_long_as_the_light_is_low() -> None:
    """Height over the tangent of the light's height: 12 px at 1:2 give 24 px."""
    wall = np.zeros((64, WIDTH))
    wall[:, 100] = 12.0
    dark = shaded(wall, LEVEL, (-1.0, 0.5, 0.0), 60.0, 1.0)[20]
    assert not dark[:101].any()
    assert abs(int(dark.sum()) - 24) <= 2


def test_near_ground_hides_what_lies_behind() -> None:
    """A ridge of 20 px hides 20 lines of ground; above the field nothing is seen."""
    heights = np.zeros((64, WIDTH))
    heights[10, 50] = 20.0
    row = seen(heights, LEVEL, 110)
    assert (row[75:96, 50] == 10).sum() >= 20
    assert row[66, 50] == UNSEEN
    assert row[90, 51] == 20


def test_ground_recedes_as_a_pinhole_sees_it() -> None:
    """Depth between two lines is reach times the log of their ratio (Hartley and Zisserman ch. 6,
    with heights drawn alike: the integral of reach / h)."""
    ground = receding(124.0, 4.0, -100.0, 150.0, 8)
    far = ground.depth[np.argmin(np.abs(ground.base - 12.0))]
    assert far == pytest.approx(150.0 * math.log(224.0 / 112.0), rel=0.01)


def test_a_way_lies_below_the_ground_and_its_rim_above() -> None:
    """Bed by its depth, rim by its height, far off nothing."""
    level = np.zeros((1, 9))
    off = np.array([[0.0, 0.5, 1.16, 1.16, 3.0, 4.0, 5.0, 6.0, 7.0]])
    cut = cut_way(level, off, 2.0, 0.8)[0]
    assert cut[:2] == pytest.approx([-2.0, -2.0])
    assert cut[2] == pytest.approx(0.8)
    assert cut[4:] == pytest.approx([0.0] * 5)


def test_light_comes_from_the_side_of_its_body() -> None:
    """Right of the moon from the left, left of it from the right, and no jump where it turns."""
    side = side_light(150.0, 512, 1.0)
    assert side[250] < -0.8
    assert side[60] > 0.8
    assert np.abs(np.diff(side, append=side[0])).max() < 0.1
