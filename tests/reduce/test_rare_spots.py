"""Marked pixels and rare spots weigh more; `tests/long` holds what comes of it."""

from __future__ import annotations

import numpy as np

from genbg.reduce.heavy import (
    GUARD_MOST,
    GUARD_WEIGHT,
    SPOT_WEIGHT,
    guard_weight,
    heavy_pixels,
    rare_spots,
)
from genbg.reduce.metric import SCALE


def test_a_lone_star_is_a_rare_spot_and_a_dither_is_not():
    """One bright pixel on an even ground stands out; a checkerboard of them does not."""
    light = np.zeros((1, 128, 128), dtype=np.int32)
    light[0, 20, 20] = SCALE // 2
    light[0, 64:, 64:][np.indices((64, 64)).sum(axis=0) % 2 == 0] = SCALE // 2
    spots = rare_spots(light)
    assert spots[0, 20, 20]
    assert spots[0, :48, :48].sum() == 1
    assert not spots[0, 80:112, 80:112].any()


def test_spots_are_found_across_the_seam_of_the_plane():
    """A star in the last column is seen as one in the middle is."""
    light = np.zeros((1, 64, 64), dtype=np.int32)
    light[0, 30, 63] = SCALE // 2
    assert rare_spots(light).sum() == 1


def test_marked_pixels_weigh_most():
    """The painter's mark goes before the rule."""
    light = np.zeros((1, 64, 64), dtype=np.int32)
    light[0, 9, 9], light[0, 50, 50] = SCALE // 2, SCALE // 2
    guard = np.zeros(light.shape, dtype=bool)
    guard[0, 9, 9] = True
    weights = heavy_pixels(light, guard)
    assert sorted(weights[weights > 0].tolist()) == [SPOT_WEIGHT, GUARD_MOST]


def test_many_marks_weigh_less_each():
    """All marks together weigh a twentieth of the picture at most, or each counts twice; up to a
    two-hundredth each weighs more than is usual."""
    pixels = 512 * 256
    counts = np.array([1, 12, 60, 300, 1000, 3000, 30_000, pixels])
    weights = np.array([guard_weight(int(marked), pixels) for marked in counts])
    assert weights.tolist() == [GUARD_MOST] * 3 + [GUARD_WEIGHT, GUARD_WEIGHT, 2, 1, 1]
    assert (counts * weights <= pixels / 20)[weights > 1].all()
    assert (counts * weights <= pixels / 200)[weights > GUARD_WEIGHT].all()
    assert guard_weight(0, pixels) == GUARD_MOST
