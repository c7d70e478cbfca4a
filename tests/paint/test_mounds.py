"""Round hills of the terraces painter.

That a ring seen from a little above bulges toward the eye is plain geometry; which side is lit is
the scene's light. Both are checked on the rings themselves, not on the painter's own arithmetic.
"""

import numpy as np
import pytest
from painting_checks import LIGHT_LEFT, LIGHT_RIGHT, count_patterns, paint, stray_share

from genbg.paint.terraces.mounds import cut_rings, place_mounds

SEEDS = range(6)


def rings_of(seed, quantum=4, step=16, turned=False):
    tallest = place_mounds(4, 64, 144, 120, seed)[0]
    return cut_rings(tallest, step, quantum, 512, turned)


@pytest.mark.parametrize("count", [1, 3, 7, 12])
def test_mounds_stand_apart_and_the_tallest_is_as_high_as_asked(count):
    """One is as tall as asked, no other is taller, and no two share a middle."""
    mounds = place_mounds(count, 64, 144, 120, 5)
    assert 1 <= len(mounds) <= count
    assert mounds[0].tall == 120
    assert all(mound.tall <= 120 for mound in mounds)
    assert len({mound.middle for mound in mounds}) == len(mounds)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("quantum", [2, 4])
def test_rings_lie_one_above_the_other_on_the_lattice(seed, quantum):
    """Each ring's lip is higher than the one below; all of them keep to multiples of lines."""
    rings = rings_of(seed, quantum)
    middles = [int(ring.lip[len(ring.lip) // 2]) for ring in rings]
    assert len(rings) > 3
    assert (np.diff(middles) < 0).all()
    ends = np.concatenate([ring.lip[::8] for ring in rings])
    flat = np.concatenate([ring.lip[::8] == ring.lip[7::8] for ring in rings])
    assert (ends[flat] % quantum == 0).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_rings_bulge_toward_the_eye(seed):
    """A lip is lowest in its middle and highest at both sides; upper rings are narrower."""
    rings = rings_of(seed)
    for ring in rings:
        middle = ring.lip[len(ring.lip) // 3 : -(len(ring.lip) // 3)].max()
        assert middle == ring.lip.max()
        assert ring.lip[0] < middle > ring.lip[-1]
    assert len(rings[-1].columns) < len(rings[0].columns) * 2 // 3


def test_the_side_away_from_the_light_is_darker():
    """Shade lies right of the middle in light from the left, and left of it otherwise."""
    for turned in (False, True):
        for ring in rings_of(3, turned=turned):
            shade = np.flatnonzero(ring.shade)
            assert len(shade) > 0
            half = len(ring.shade) / 2
            assert (shade.mean() < half) == turned


@pytest.mark.parametrize("light", [LIGHT_LEFT, LIGHT_RIGHT])
@pytest.mark.parametrize("crop", ["tea", "rice", "mixed"])
def test_mounds_are_thrifty_and_clean(crop, light):
    """Rings share their patterns, and no single pixels are strewn over them."""
    params = {"crop": crop, "mounds": 4, "slope": 0.6, "house": True, "lamps": 0.5, "step": 16}
    for seed in (1, 2, 3):
        painting = paint("terraces", params=params, seed=seed, light=light)
        ink = painting.ink.astype(int)
        # Of 768 cells: what seeds need today, 226 at most, and 6 %; without thrift they need 271.
        assert count_patterns(ink, 40) <= 240
        assert stray_share(painting.ink) < 0.012


def test_the_house_has_lit_windows():
    """The house's windows are guarded as lamps are; without it and without lamps nothing is."""
    params = {"mounds": 3, "slope": 0.6, "lamps": 0.0}
    assert not paint("terraces", params=params).guard.any()
    assert paint("terraces", params=params | {"house": True}).guard.any()
