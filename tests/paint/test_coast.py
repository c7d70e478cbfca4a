"""Painters of the storm coast: heaped clouds, swell, crags."""

from __future__ import annotations

import numpy as np
import pytest
from painting_checks import draw

from genbg.paint.contract import Body, Seen

SUN = Body(180.0, 90.0, 10.0)


@pytest.mark.parametrize(
    ("name", "top", "bottom", "keys"),
    [
        ("heaps", 0, 100, {"ceiling": 0.6, "rain": 0.8}),
        ("swell", 100, 184, {}),
        ("swell", 128, 224, {"horizon": 100, "first": 76, "roller": 27}),
        ("crags", 40, 128, {"kind": "headland", "foot": 0.88}),
        ("crags", 128, 224, {}),
    ],
)
def test_same_seed_same_picture_and_another_place_for_another(name, top, bottom, keys):
    """One seed gives the same bytes again; two seeds give pictures that differ widely."""
    one, again, two = (draw(name, top, bottom, seed, SUN, **keys).ink for seed in (1, 1, 2))
    assert np.array_equal(one, again)
    assert (one != two).mean() > 0.1
    assert one.max() > 0


def test_clouds_leave_the_sun_free():
    """No cloud but the low bank stands before the sun's face."""
    for seed in range(6):
        ink = draw("heaps", 0, 100, seed, SUN, ceiling=0.6, banks=0.0).ink
        assert not ink[70:99, 160:200].any()


def test_clouds_are_warm_toward_the_sun():
    """Inks of the warm ramp lie nearer to the sun than those of the cool one."""
    painting = draw("heaps", 0, 100, 3, SUN, towers=4)
    columns = np.nonzero(painting.ink > 0)[1]
    ink = painting.ink[painting.ink > 0]
    off = np.abs((columns - 180 + 256) % 512 - 256)
    assert off[ink <= 10].mean() < off[(ink > 10) & (ink <= 20)].mean()


def test_near_water_ends_in_its_crests():
    """A near sea is see-through above its far edge and whole below."""
    ink = draw("swell", 128, 224, 2, SUN, horizon=100, first=76, waves=0.5).ink
    assert not ink[:20].any()
    assert ink[72:].all()


def test_a_great_wave_stands_beside_the_path():
    """A roller rises over the near sea's edge, and not in the body's column."""
    calm, rolling = (
        draw("swell", 128, 224, 2, SUN, horizon=100, first=76, roller=tall).ink for tall in (0, 27)
    )
    raised = (rolling > 0) & (calm == 0)
    assert raised.sum() > 500
    assert raised[:, 172:188].sum() < 0.02 * raised.sum()


def test_boulders_keep_away_from_foam_that_they_see():
    """With foam over one half of the plane, most stone stands in the other."""
    wave = draw("swell", 128, 224, 2, SUN, horizon=100, first=76)
    last = sum(use.steps for use in wave.ramps)
    wave.ink[:, 256:] = last
    wave.ink[:, :256] = 1
    for seed in range(4):
        keys = {"groups": 1, "surf": 0.0}
        ink = draw("crags", 128, 224, seed, SUN, {"near": Seen(128, wave)}, **keys).ink
        assert (ink[:, :256] > 0).sum() > (ink[:, 256:] > 0).sum()


def test_the_courier_sails_beside_the_sun_with_a_lamp():
    """It stands within 80 pixels of the path, its lamp is guarded, its reflection is below."""
    for seed in range(5):
        painting = draw("boats", 40, 128, seed, SUN, foot=0.8)
        rows, columns = np.nonzero(painting.ink)
        off = (columns - 180 + 256) % 512 - 256
        assert np.abs(np.median(off)) < 80
        lamp = (painting.ink > 12) & (painting.ink <= 15)
        assert 12 < lamp.sum() < 120
        assert painting.guard[lamp].all()
        hull = np.flatnonzero(painting.guard.sum(axis=1) > 8)
        assert hull.max() < 0.8 * 88 + 6
        assert rows.max() > hull.max() + 4


@pytest.mark.parametrize("kind", ["storm", "sail", "mast", "row", "barge"])
def test_every_kind_of_boat_floats(kind):
    """Its hull reaches the waterline and stands above it."""
    ink = draw("boats", 40, 128, 3, SUN, kind=kind, size=50, foot=0.7, lamp=False, wake=0.0).ink
    rows = np.flatnonzero((ink > 0).any(axis=1))
    assert rows.min() < 0.7 * 88 - 4
    assert rows.max() >= 0.7 * 88


def test_a_cut_sail_is_lighter_toward_the_light():
    """Canvas that bellies out turns one side to the light and one away (Lambert 1760):
    the quarter of a sail's columns that is nearest to the sun's is the lighter one."""
    sail = 7, 12
    for seed in range(4):
        keys = {"kind": "sail", "size": 80, "foot": 0.86, "cut": 1.0, "lamp": False, "wake": 0.0}
        ink = draw("boats", 32, 200, seed, SUN, **keys).ink
        cloth = (ink >= sail[0]) & (ink <= sail[1])
        columns = np.flatnonzero(cloth.any(axis=0))
        near, far = columns[: len(columns) // 4], columns[-len(columns) // 4 :]
        if columns[0] < SUN.x:
            near, far = far, near
        light = [ink[:, part][cloth[:, part]].mean() for part in (near, far)]
        assert light[0] > light[1] + 1, seed


def test_the_lamp_of_a_large_boat_lights_its_sail():
    """A lamp is seen by what it lights: with it some of the canvas is lighter, none is darker."""
    keys = {"kind": "sail", "size": 80, "foot": 0.86, "cut": 1.0, "wake": 0.0}
    one, two = (draw("boats", 32, 200, 3, SUN, lamp=lamp, **keys).ink for lamp in (True, False))
    both = (one >= 7) & (one <= 12) & (two >= 7) & (two <= 12)
    assert (one[both] >= two[both]).all()
    assert (one[both] > two[both]).any()
