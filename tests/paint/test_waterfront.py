"""The painter of a far town."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.contract import Body, Job
from genbg.paint.painters.waterfront import PAINTER


def draw(seed=1, **keys):
    steps = {ramp.name: ramp.steps for ramp in PAINTER.ramps}
    keys = {"foot": 0.68, "cover": 0.5} | keys
    params, body = PAINTER.params(**keys), Body(180.0, 104.0, 20.0)
    return PAINTER.draw(
        Job(512, 32, 152, seed, params, (0.0, 0.5), 16.0, np.ones(120), 0.3, steps, body=body)
    )


def test_the_town_leaves_the_sun_free():
    """No house stands before the sun's middle, whatever the seed."""
    for seed in range(8):
        assert not draw(seed).ink[:80, 170:190].any()


def test_a_mirror_shows_what_stands_above():
    """Equal angles: a thing as high above the waterline as its image is below, in its column or a
    ripple beside it. So the mirror spans the columns of the town and no lower than it is high.
    """
    ink = draw(3).ink
    row = int(0.68 * 120)
    above, below = ink[:row] > 0, ink[row + 3 :] > 0
    assert below.sum() > 100
    columns = np.flatnonzero(above.any(axis=0))
    near = np.zeros(512, dtype=bool)
    for step in (-2, -1, 0, 1, 2):
        near[(columns + step) % 512] = True
    assert not below[:, ~near].any()
    assert (
        np.flatnonzero(below.any(axis=1)).max() + 3 <= row - np.flatnonzero(above.any(axis=1)).min()
    )
    assert not (draw(3, mirror=0.0).ink[row + 3 :] > 0).any()


@pytest.mark.parametrize("tower", ["none", "spire"])
def test_the_tower_is_the_highest(tower):
    """With a tower, the skyline has a peak well above its roofs."""
    ink = draw(2, tower=tower).ink
    top = np.where(ink.any(axis=0), (ink > 0).argmax(axis=0), 120)
    roofs = np.percentile(top[top < 120], 20)
    assert (roofs - top.min() > 14) == (tower == "spire")


def test_fewer_lights_with_less_glow():
    """Windows are lit as the key says."""
    lit = [(draw(4, glow=glow, tower="none").ink > 6).sum() for glow in (0.0, 1.0)]
    assert lit[0] == 0 < lit[1]
