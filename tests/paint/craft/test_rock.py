"""Layered rock: where it stands, how it steps back, its talus, its arch and its shadow."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.rock import (
    NOTHING,
    TALUS,
    WALL,
    Arch,
    Mass,
    View,
    march,
    outline,
    rock_shade,
)
from genbg.paint.craft.scrub import LEAF, draw_bush
from genbg.paint.craft.strata import MOST_BACK, draw_beds, draw_faces

WIDTH = 256
VIEW = View(100.0, 60.0, 120)


def test_an_outline_is_a_distance() -> None:
    """Beside one of its faces it grows a pixel a pixel along that face's normal (the distance to a
    plane), and inside its foot it is below 0."""
    mass = Mass(128, 48, 30, 20, 60)
    for seed in range(4):
        columns, field = outline(seed, 96, WIDTH, mass)
        at = {int(column): n for n, column in enumerate(columns)}
        assert field[48, at[128]] < -10
        rise = np.hypot(*(np.diff(field, axis=axis)[60:90, 20:60] for axis in (0, 1)))
        assert np.median(rise) == pytest.approx(1.0, abs=1e-6)


def test_an_outline_has_few_faces_that_touch_its_ellipse() -> None:
    """Every face lies between 0.8 and 1 of the way to the tangent of the ellipse (whose distance
    is the root of the squares of its half sizes by the normal's parts), however it is turned."""
    for turn in (0.0, 0.1):
        faces = draw_faces(Dice(3), 40.0, 20.0, turn)
        assert 5 <= len(faces) <= 7
        assert np.hypot(faces[:, 0], faces[:, 1]) == pytest.approx(1.0, abs=1e-3)
        way = np.arctan2(faces[:, 1], faces[:, 0]) - 2 * np.pi * turn
        tangent = np.hypot(40.0 * np.cos(way), 20.0 * np.sin(way))
        assert ((faces[:, 2] > 0.79 * tangent) & (faces[:, 2] < 1.01 * tangent)).all()


def test_walls_step_back_by_no_more_than_is_allowed() -> None:
    """Beds lean back with height, and in all no more at their top than is allowed."""
    beds = draw_beds(Dice(4), 120.0)
    assert beds.off[0] <= 2.0
    assert 2.0 < beds.off[120] <= MOST_BACK + 0.01


def test_beds_are_of_uneven_thickness() -> None:
    """Thicknesses spread by more than half of their mean (even hoops would not spread at all; even
    odds between 0 and twice the mean would by 1/sqrt(3) = 0.58), over ten rocks."""
    for seed in range(10):
        tint = draw_beds(Dice(seed), 160.0).tint[:160]
        thick = np.diff(np.flatnonzero(np.diff(tint, prepend=9.0)), append=160)
        assert thick.std() > 0.5 * thick.mean()


def test_rock_stands_where_it_is_told_and_has_a_foot_of_talus() -> None:
    """The mass's column holds wall up to about its height, and nothing far beside it."""
    rock = march(5, [Mass(128, 46, 26, 20, 70)], VIEW, WIDTH)
    wall = np.flatnonzero(rock.hit[:, 128] == WALL)
    assert abs(100 - wall.min() - 70) < 16
    assert (rock.hit[92:100] == TALUS).sum() > 40
    assert (rock.hit[:, 230:] == NOTHING).all()


def test_normals_have_length_one_and_face_us() -> None:
    """On all rock seen; most walls look toward us, away from us none of them does by much."""
    rock = march(5, [Mass(128, 46, 26, 20, 70)], VIEW, WIDTH)
    seen = rock.hit == WALL
    right, up, away = (axis[seen] for axis in rock.normal)
    assert np.abs(right**2 + up**2 + away**2 - 1).max() < 1e-4
    assert (away < 0.1).mean() > 0.95


def test_an_arch_lets_the_view_through() -> None:
    """In its middle nothing is hit between springing and crown, above there is rock."""
    arch = Arch(128, 10, 18, 24)
    rock = march(6, [Mass(128, 44, 50, 14, 66, 0.4, 0.0, arch)], VIEW, WIDTH)
    assert (rock.hit[79:89, 126:131] == NOTHING).all()
    assert (rock.hit[50:60, 128] == WALL).any()


def test_rock_in_the_lee_of_a_tower_lies_in_its_shadow() -> None:
    """Light from the left: the low mass right of a tall one is dark, the one left of it is not."""
    light = (-0.88, 0.47, 0.0)
    tall = Mass(128, 46, 18, 34, 80, 0.1)
    right, left = Mass(176, 46, 14, 14, 30, 0.1), Mass(80, 46, 14, 14, 30, 0.1)
    rock = march(7, [tall, right, left], VIEW, WIDTH)
    dark = rock_shade(rock, light)
    lee = (rock.hit == WALL) & (np.arange(WIDTH) > 168)[None, :]
    sun = (rock.hit == WALL) & (np.arange(WIDTH) < 76)[None, :]
    assert dark[lee].mean() > 0.9
    assert dark[sun].mean() < 0.5


def test_a_bush_is_lighter_toward_the_light() -> None:
    """Leaves on the lit half are lighter in the mean, over ten bushes."""
    gap = 0.0
    for seed in range(10):
        bush = draw_bush(Dice(seed), 24, -1.0, 0.6)
        columns = np.arange(bush.material.shape[1])[None, :] - bush.x
        leaf = bush.material == LEAF
        gap += bush.tone[leaf & (columns < -2)].mean() - bush.tone[leaf & (columns > 2)].mean()
    assert gap / 10 > 0.15


def test_a_block_that_lies_on_another_leaves_the_air_below_it_free() -> None:
    """Below its lower end nothing is hit beside the neck, above it the block is."""
    neck, block = Mass(128, 46, 8, 8, 44, 0.0), Mass(128, 46, 24, 16, 70, 0.0, 0.0, None, 40.0)
    rock = march(8, [neck, block], VIEW, WIDTH)
    assert (rock.hit[70:90, 104:112] == NOTHING).all()
    assert (rock.hit[36:50, 128] == WALL).all()


def test_an_alcove_ends_in_a_wall_that_lies_in_shade() -> None:
    """Its back is hit, farther off than the wall beside it, and no light gets there."""
    arch = Arch(128, 8, 16, 14, 34.0)
    rock = march(9, [Mass(128, 44, 60, 20, 70, 0.0, 0.0, arch)], VIEW, WIDTH)
    back = rock.z[84:91, 124:132]
    assert (rock.hit[84:91, 124:132] == WALL).all()
    assert back.min() >= 34
    assert rock_shade(rock, (-0.88, 0.47, 0.0))[84:91, 124:132].all()
