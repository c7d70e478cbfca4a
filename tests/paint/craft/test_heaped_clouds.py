"""Heaped clouds: how light walks through them, and what their forms keep."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.craft.cloudforms import CloudLight, ceiling, rain, tower
from genbg.paint.craft.clouds import CloudPicture, Head, draw_head, lobes, walk


def test_a_walk_counts_the_pixels_to_the_edge():
    """In a square, a walk to the left takes as many steps as there are pixels to its left."""
    mask = np.zeros((9, 9), dtype=bool)
    mask[2:7, 2:7] = True
    steps = walk(mask, (-1.0, 0.0), 20)
    assert steps[4, 2:7].tolist() == [0, 1, 2, 3, 4]
    assert steps[~mask].max() == 0
    assert walk(mask, (0.0, 1.0), 2)[2:7, 4].tolist() == [2, 2, 2, 1, 0]


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_the_side_toward_the_light_is_brighter(side):
    """A head is lit where light enters it, as any thick cloud is."""
    clouds = CloudPicture(96, 256, 3)
    draw_head(clouds, Head(128, 48, 30, seed=5), (side, 0.0))
    columns = np.nonzero(clouds.cover)[1]
    tone = clouds.tone[clouds.cover]
    toward = (columns - 128) * side > 12
    away = (columns - 128) * side < -12
    assert tone[toward].mean() > tone[away].mean() + 0.1


def test_lobes_sit_on_the_side_that_a_head_looks_to():
    """Lobes of a head that looks down lie below its middle in the mean, and all are smaller."""
    discs = lobes(Head(50, 50, 20, up=0.75, seed=1))
    assert discs[0].tolist() == [50, 50, 20]
    assert discs[1:, 1].mean() > 52
    assert discs[1:, 2].max() < 20


def test_a_tower_has_a_flat_belly_and_wraps():
    """No cloud lies under the belly's uneven row, and a tower at the seam is that one moved."""
    light = CloudLight(100.0, 90.0, 260.0, 512)
    clouds = CloudPicture(100, 512, 1, bend=0.0)
    tower(clouds, light, (256.0, 20.0, 70.0, 40.0), 7)
    assert clouds.cover[:66].any()
    assert not clouds.cover[76:].any()
    seam = CloudPicture(100, 512, 1, bend=0.0)
    tower(seam, light, (0.0, 20.0, 70.0, 40.0), 7)
    assert seam.cover[:, :30].any()
    assert seam.cover[:, -30:].any()


def test_a_ceiling_hangs_no_lower_than_it_may():
    """Its folds end within one fold's radius of the rows given."""
    clouds = CloudPicture(120, 512, 2, bend=0.0)
    ends = np.where(np.arange(512) < 256, 60.0, 0.0)
    ceiling(clouds, CloudLight(0, 110, 260, 512), ends, 3, (6.0, 20.0))
    assert clouds.cover[:40, 40:200].mean() > 0.9
    assert not clouds.cover[90:].any()
    assert clouds.cover[45:, 320:460].mean() < 0.05


def test_rain_leans_as_it_is_blown():
    """The curtain's middle moves `slant` columns a row."""
    thick = rain((100, 512), (200.0, 280.0, 0.0, 99.0), 0.5, 4)
    columns = np.arange(512)
    middle = [(thick[row] * columns).sum() / thick[row].sum() for row in (20, 60)]
    assert middle[1] - middle[0] == pytest.approx(20.0, abs=5.0)
    assert thick[:, :120].max() == 0.0
