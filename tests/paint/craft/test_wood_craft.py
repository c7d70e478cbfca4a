"""Swept spheres: heights and normals against the sphere's equation, bark against its light."""

import numpy as np
import pytest

from genbg.paint.craft.wood import (
    Wood,
    bark_grain,
    bark_tone,
    bough,
    grow_boughs,
    grow_trunk,
    rounded,
    toward_light,
)

UPRIGHT = np.array([[100.0, 70.0, 9.0], [100.0, 0.0, 9.0]])


def test_a_straight_limb_is_a_cylinder() -> None:
    """Height sqrt(r^2 - dx^2) and normal dx / r at every column (Pythagoras, by hand)."""
    wood = Wood(80, 256)
    wood.sweep(UPRIGHT)
    for dx in (-8, -3, 0, 5):
        assert wood.height[40, 100 + dx] == pytest.approx(np.sqrt(81.0 - dx * dx))
        assert wood.nx[40, 100 + dx] == pytest.approx(dx / 9.0)
        assert wood.ny[40, 100 + dx] == pytest.approx(0.0)
    assert not wood.there[40, 110]
    assert wood.there[79, 100]  # the end is a half sphere
    assert not wood.there[79, 102]


def test_what_lies_nearer_hides_what_lies_behind() -> None:
    """Of two limbs that cross, each pixel shows the one whose sphere reaches nearer to the eye."""
    wood = Wood(80, 256)
    wood.sweep(UPRIGHT, 1)
    wood.sweep(np.array([[70.0, 40.0, 4.0], [130.0, 40.0, 4.0]]), 2)
    assert wood.part[40, 100] == 1  # 9 is nearer than 4
    assert wood.part[40, 80] == 2
    assert wood.part[40, 108] == (1 if np.sqrt(81 - 64) > 4.0 else 2)


def test_limbs_wrap_over_the_width() -> None:
    """A limb at the plane's left edge is the one in the middle, rolled."""
    middle, edge = Wood(64, 256), Wood(64, 256)
    points = bough((128.0, 60.0, 7.0), (150.0, 4.0, 3.0), 5, 4.0)
    middle.sweep(points)
    edge.sweep(points - np.array([128.0, 0.0, 0.0]))
    assert np.array_equal(np.roll(middle.there, -128, axis=1), edge.there)
    assert np.allclose(np.roll(middle.height, -128, axis=1), edge.height)


def test_cut_corners_approach_a_quadratic_curve() -> None:
    """Chaikin's limit is the quadratic B-spline (Riesenfeld 1975): at an inner corner's middle it
    runs through (a + 6b + c) / 8."""
    a, b, c = (0.0, 0.0), (10.0, 20.0), (30.0, 0.0)
    cut = rounded(np.array([a, b, c]), 7)
    wanted = (np.array(a) + 6 * np.array(b) + np.array(c)) / 8
    assert np.sqrt(((cut - wanted) ** 2).sum(axis=1)).min() < 0.2


@pytest.mark.parametrize("light", [(-0.8, 0.58), (0.8, 0.58)])
def test_the_side_of_the_light_is_lighter(light: tuple[float, float]) -> None:
    """Lambert's law: brightness grows with the cosine to the light, so sides differ, either way."""
    wood = Wood(80, 256)
    wood.sweep(UPRIGHT)
    tone = bark_tone(wood, np.full((80, 256), 0.5), light)
    side = -1 if light[0] < 0 else 1
    assert tone[40, 100 + 8 * side] > tone[40, 100] + 0.3
    assert tone[40, 100] >= tone[40, 100 - 8 * side]
    assert toward_light(wood, light)[40, 100 + 8 * side] > 0.6


def test_grain_runs_along_the_wood() -> None:
    """Bark changes less from line to line of an upright trunk than from column to column."""
    wood = Wood(80, 256)
    wood.sweep(np.array([[100.0, 79.0, 20.0], [100.0, 0.0, 20.0]]))
    grain = bark_grain(wood, 3)[10:70, 86:114]
    along = np.abs(np.diff(grain, axis=0)).mean()
    assert along < 0.5 * np.abs(np.diff(grain, axis=1)).mean()


def test_trunks_spread_at_the_foot_and_thin_upward() -> None:
    """A trunk is broadest at the ground, and boughs leave it within their lines, to both sides."""
    wood = Wood(200, 512)
    trunk = grow_trunk(wood, (200.0, 180.0, 14.0), (206.0, -10.0, 9.0), 4, 0)
    wide = wood.there.sum(axis=1)
    assert wide[178] > wide[150] > wide[40]
    grown = grow_boughs(wood, trunk, 9, 0, (20.0, 60.0), 4)
    starts = [points[0] for points in grown]
    assert all(10 < y < 75 for _, y, _ in starts)
    ends = [points[-1][0] - points[0][0] for points in grown]
    assert min(ends) < 0 < max(ends)
