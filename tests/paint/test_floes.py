"""The painter of floes."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Body, Job
from genbg.paint.painters.floes import PAINTER


def draw(top, bottom, seed=1, **keys):
    steps = {ramp.name: ramp.steps for ramp in PAINTER.ramps}
    ratio = np.ones(bottom - top)
    return PAINTER.draw(
        Job(
            512,
            top,
            bottom,
            seed,
            PAINTER.params(**keys),
            (0.0, 0.5),
            2.0,
            ratio,
            0.3,
            steps,
            body=Body(200.0, 70.0, 12.0),
        )
    )


def test_no_floe_is_cut_but_by_the_frame():
    """At a layer's first line and, above the frame's end, at its last no snow is cut off."""
    for seed in range(5):
        ink = draw(112, 172, seed, size=17.0, cover=0.4).ink
        snow = (ink >= 1) & (ink <= 4)
        assert snow.any()
        assert not snow[0].any()
        assert not snow[-1].any()
    near = draw(172, 224, 3, size=54.0, cover=1.0).ink
    assert not ((near[0] >= 1) & (near[0] <= 4)).any()
    assert (near[-1] > 0).any()


def test_floes_grow_toward_us():
    """Runs of snow along a row are longer near than far, as in perspective."""
    ink = draw(112, 224, 2, size=40.0, far=0.1, cover=1.0).ink
    snow = (ink >= 1) & (ink <= 4)
    ends = (np.diff(snow.astype(int), axis=1) == 1).sum(axis=1)
    length = snow.sum(axis=1) / np.maximum(ends, 1)
    assert length[90:].mean() > 2.0 * length[5:25].mean()


def test_a_slab_shows_its_side_below_its_top():
    """Under the lowest snow of a column lies ice, and under ice water or its mirror, never snow."""
    ink = draw(172, 224, 4, size=30.0, cover=0.1).ink.astype(int)
    snow, ice = (ink >= 1) & (ink <= 4), (ink >= 5) & (ink <= 8)
    below = snow[:-1] & ~snow[1:]
    assert (ice[1:] & below).sum() > 0.9 * below.sum()


def test_more_cover_more_ice():
    """The share of the water under floes grows with the key."""
    counts = [(draw(112, 224, 5, cover=c).ink > 0).mean() for c in (0.0, 0.5, 1.0)]
    assert counts[0] < counts[1] < counts[2]
