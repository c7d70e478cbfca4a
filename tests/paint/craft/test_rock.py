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
    draw_beds,
    draw_grain,
    march,
    outline,
    rock_shade,
)
from genbg.paint.craft.scrub import LEAF, draw_bush

WIDTH = 256
VIEW = View(100.0, 60.0, 120)


def test_an_outline_is_a_distance() -> None:
    """Half way out of a round foot it grows about a pixel a pixel, whatever way one goes (the
    gradient of a distance is 1; noise and flutes are taken out by the mean over many seeds)."""
    rises = []
    for seed in range(12):
        columns, field = outline(draw_grain(seed, 96, WIDTH), Mass(128, 48, 30, 20, 60))
        at = {int(column): field[48, n] for n, column in enumerate(columns)}
        rises += [at[188] - at[168], at[80] - at[100]]
    assert np.mean(rises) / 20 == pytest.approx(1.0, abs=0.25)


def test_walls_step_back_by_no_more_than_is_allowed() -> None:
    """Beds lean back with height, by at most 10 pixels in all at their top."""
    beds = draw_beds(Dice(4), 120.0)
    assert beds.off[0] <= 2.0
    assert 2.0 < beds.off[120] <= 10.01


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
    assert (rock.hit[74:88, 126:131] == NOTHING).all()
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
