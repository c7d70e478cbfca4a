"""The marsh: reeds end at their foot, the mirror turns them over, beds leave the light its path."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.contract import Body, Job
from genbg.paint.craft.dice import Dice
from genbg.paint.painters.marsh import PAINTER
from genbg.paint.painters.marsh.reeds import PATH, lay_beds

FOOT = 60
SUN = 150.0


def draw(seed=1, **keys):
    steps = {ramp.name: ramp.steps for ramp in PAINTER.ramps}
    keys = {"foot": 0.5, "tall": 30, "ranks": 1} | keys
    params, body = PAINTER.params(**keys), Body(SUN, 40.0, 20.0)
    ratio, light = np.ones(2 * FOOT), (0.0, 0.5)
    return PAINTER.draw(
        Job(512, 0, 2 * FOOT, seed, params, light, 2.0, ratio, 0.0, steps, body=body)
    ).ink


@pytest.mark.parametrize("seed", range(4))
def test_a_mirror_is_as_long_as_what_it_shows(seed):
    """Equal angles: still water shows a thing as far below the waterline as the thing is high;
    waves only draw it out or in by a few lines."""
    ink = draw(seed)
    above, below = ink[: FOOT + 2] > 0, ink[FOOT + 4 :] > 0
    tall = FOOT + 2 - np.flatnonzero(above.any(axis=1)).min()
    assert below.sum() > 100
    assert np.flatnonzero(below.any(axis=1)).max() + 2 <= tall + 4
    assert not (draw(seed, mirror=0.0)[FOOT + 4 :] > 0).any()


def test_beds_leave_the_path_of_light_free():
    """No bed reaches the columns beside the body's path, whatever the seed."""
    for seed in range(12):
        ranks = lay_beds(Dice(seed, "beds"), 512, 0.6, 3, (60.0, 30.0), (SUN, None))
        for bed in (bed for rank in ranks for bed in rank):
            away = abs((bed.x - SUN + 256) % 512 - 256)
            assert away >= min(PATH + bed.half, 200.0) - 1e-6


def test_far_ranks_stand_higher_and_lower_grown():
    """Perspective: what stands farther off on level ground stands higher and looks smaller."""
    ranks = lay_beds(Dice(3, "beds"), 512, 0.9, 3, (60.0, 30.0), (SUN, None))
    feet = [rank[0].foot for rank in ranks]
    tall = [max(bed.tall for bed in rank) for rank in ranks]
    assert feet == sorted(feet)
    assert tall == sorted(tall)


def test_a_hut_brings_its_lamp():
    """Lamp inks are there with a hut, and without it none."""
    last = sum(ramp.steps for ramp in PAINTER.ramps)
    with_hut, without = draw(hut=True), draw()
    assert (with_hut > last - 3).sum() > 20
    assert not (without > last - 3).any()
