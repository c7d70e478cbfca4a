"""Light between trees: rays are parallel, depth mixes toward the light, soft fields are cheap."""

import numpy as np
import pytest
from painting_checks import count_tiles

from genbg.paint.craft.air import (
    Clearing,
    Ray,
    away,
    beams,
    cell_steps,
    light_field,
    lost_feet,
    mixed,
    pool,
    with_companions,
)

LINES, WIDTH = 128, 512


def test_away_takes_the_shorter_way_round() -> None:
    """From column 500 of 512, column 4 lies 16 to the right, column 490 10 to the left."""
    assert away(np.array([4, 490, 500]), 500, 512).tolist() == [16, -10, 0]


def test_rays_are_parallel() -> None:
    """The sun's rays are parallel (it is far away): edges move by the slope each line, for all."""
    rays = [Ray(100.0, 12.0, 1.0), Ray(400.0, 6.0, 0.5)]
    light = beams(LINES, WIDTH, rays, 0.5, 120, (1.0, 1.0))
    for line in (40, 80, 118):
        lit = np.nonzero(light[line] > 0)[0]
        left = lit[lit < 250]
        assert left.mean() == pytest.approx(100 + 0.5 * (line - 120), abs=0.6)
        assert len(left) in (11, 12, 13)
        assert lit[lit > 250].mean() == pytest.approx(400 + 0.5 * (line - 120), abs=0.6)
    assert not light[121:].any()


def test_companions_are_thinner_and_beside() -> None:
    """A wide ray comes with two thinner, weaker ones outside it and a core inside it."""
    ray = Ray(100.0, 20.0, 1.0)
    _, left, right, core = with_companions([ray], 3)
    assert left.x + left.wide / 2 < 90 < 110 < right.x - right.wide / 2
    assert left.light < 1.0 > right.light
    assert abs(core.x - 100) + core.wide / 2 < 10


def test_air_takes_what_is_far() -> None:
    """Koschmieder's law in its plain form: what is seen is light * (1 - k) + tone * k."""
    assert mixed(np.array(0.8), 0.2, 0.0) == pytest.approx(0.8)
    assert mixed(np.array(0.8), 0.2, 1.0) == pytest.approx(0.2)
    assert mixed(np.array(0.8), 0.2, 0.25) == pytest.approx(0.65)
    near = lost_feet(LINES, 0.8, 60, 100, 0.5)[:, 0]
    assert near[40] == pytest.approx(0.8)
    assert near[110] == pytest.approx(0.4)


def test_clearings_are_the_brightest_places() -> None:
    """Light is most in the clearing, flat at its heart, and falls off to both sides."""
    field = light_field(LINES, WIDTH, [Clearing(200.0, 60.0, 80.0, 60.0)], 5)
    assert field[60, 200] > 0.9 > 0.7 > field[60, 440]
    assert np.ptp(field[50:70, 180:220]) < 0.1
    assert abs(field[60, 0] - field[60, 511]) < 0.06


def test_a_soft_field_on_cells_takes_few_tiles() -> None:
    """Known at the corners of cells, the same glow takes less than a third of the tiles."""
    field = light_field(LINES, WIDTH, [Clearing(200.0, 60.0, 80.0, 60.0)], 5)
    cells, plain = cell_steps(field, 8), field * 8
    assert np.abs(cells - plain).max() < 1.2
    rows, columns = np.indices(field.shape)
    matrix = ((rows * 2 + columns) % 4 + 0.5) / 4
    counts = [count_tiles((np.floor(f + matrix) + 1).astype(np.uint16), 0) for f in (cells, plain)]
    assert counts[0] * 3 < counts[1]


def test_pools_lie_flat() -> None:
    """A pool's light reaches its half breadth and half depth and no farther than their 1.15."""
    light = pool(LINES, WIDTH, 500.0, 60.0, 30.0, 6.0)
    lines, columns = np.nonzero(light > 0)
    assert np.abs(away(columns, 500.0, WIDTH)).max() <= 30 * 1.15
    assert np.abs(lines - 60).max() <= 6 * 1.15
    assert light[60, 500] == light.max()
