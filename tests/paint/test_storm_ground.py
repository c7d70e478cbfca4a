"""The ledge to stand on, stone against the light, and the foam of a great wave."""

import numpy as np
import pytest

from tests.paint.test_coast import SUN, draw

WIDTH = 512


def inks(painting, ramp):
    """Pixels (N, W) bool of one ramp, and their tones."""
    first = 1
    for use in painting.ramps:
        if use.name == ramp:
            here = (painting.ink >= first) & (painting.ink < first + use.steps)
            return here, painting.ink.astype(int) - first
        first += use.steps
    raise KeyError(ramp)


@pytest.mark.parametrize("seed", range(4))
def test_a_ledge_is_ground_in_every_column_and_no_ruled_strip(seed):
    ledge = draw("crags", 128, 224, seed, SUN, kind="ledge", size=0.2, foot=0.77)
    stone = inks(ledge, "cold")[0] | inks(ledge, "warm")[0]
    assert stone[-1].all()
    top = 128 + np.argmax(stone, axis=0)
    assert top.min() >= 184
    assert top.max() <= 222
    assert top.max() - top.min() >= 5
    assert np.abs(np.diff(np.append(top, top[0]))).max() <= 8  # wraps, and can be walked over


def test_stone_against_the_light_is_mostly_dark():
    """Lambert's cosine law: planes that face away from the sun have none of its light."""
    shares = []
    for backlit in (0.0, 1.0):
        rocks = draw("crags", 128, 224, 5, SUN, size=0.4, foot=0.6, surf=0.0, backlit=backlit)
        warm, cold = inks(rocks, "warm")[0].sum(), inks(rocks, "cold")[0].sum()
        shares.append(warm / (warm + cold))
    assert shares[1] < 0.6 * shares[0]
    assert shares[1] > 0.0


def test_foam_of_a_great_wave_is_torn():
    """Its lip is no slab: a row of it changes between foam and water many times."""
    keys = {"horizon": 100, "first": 76, "roller": 24, "roller_line": 64, "caps": 0.0}
    foam, _ = inks(draw("swell", 128, 224, 2, SUN, **keys), "foam")
    rows = np.flatnonzero(foam.sum(axis=1) > 8)
    assert len(rows) >= 8
    changes = (foam != np.roll(foam, 1, axis=1)).sum(axis=1)
    assert changes[rows].mean() > 8
