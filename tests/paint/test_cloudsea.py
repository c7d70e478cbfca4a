"""Painters of the sea of cloud and of the isles above it."""

from __future__ import annotations

import functools

import numpy as np
import painting_checks
import pytest

from genbg.paint.contract import Body
from genbg.paint.craft.stones import StonePicture
from genbg.paint.painters.isles.rock import Isle, hang_rock

SUN = Body(180.0, 80.0, 14.0)
draw = functools.partial(painting_checks.draw, body=SUN)


def test_a_sea_of_cloud_has_no_holes():
    """Its sheets cover every line from the horizon on."""
    for seed in range(3):
        assert draw("cloudsea", 96, 224, seed).ink.all()


def test_the_path_on_the_clouds_lies_under_the_sun():
    """Warm cloud lies about the sun's column; far from it there is none."""
    ink = draw("cloudsea", 96, 224, 2).ink
    rows, columns = np.nonzero(ink > 20)
    off = (columns - 180 + 256) % 512 - 256
    assert abs(off.mean()) < 20
    assert np.abs(off).max() < 240
    assert len(rows) > 2000


def test_banks_grow_toward_us():
    """Runs of one ink along a row are longer near than far: texture in perspective."""
    ink = draw("cloudsea", 96, 224, 3).ink.astype(int)
    turns = (np.diff(ink, axis=1) != 0).sum(axis=1)
    assert turns[6:20].mean() > 1.5 * turns[100:120].mean()


def test_spikes_are_longest_in_the_middle():
    """The rock of an isle hangs deeper under its middle than under its rims."""
    for seed in range(4):
        field = StonePicture(160, 512, seed)
        hang_rock(field, Isle(256.0, 40.0, 70.0, seed))
        deep = np.where(field.cover, np.arange(160)[:, None], 0).max(axis=0)
        assert deep[236:276].max() > max(deep[190:205].max(), deep[307:322].max()) + 10


@pytest.mark.parametrize("kind", ["near", "far", "edge"])
def test_isles_float(kind):
    """There is air under them: their lowest row is empty of rock for the larger part."""
    ink = draw("isles", 24, 176, 5, kind=kind, size=60.0, tower="none", fall=False).ink
    assert (ink > 0).any()
    assert not ink[-4:].any()


def test_the_tower_stands_in_sight_of_where_play_begins():
    """The largest isle with its guarded tower is within the first screen of 320 columns."""
    for seed in range(6):
        guard = draw("isles", 24, 176, seed, count=3).guard
        columns = np.flatnonzero(guard[:60].any(axis=0))
        assert 0 <= np.median(columns) < 330


def test_another_seed_is_another_place():
    """Two seeds differ in where isles stand; one seed is always the same."""
    one, again, two = (draw("isles", 24, 176, seed).ink for seed in (1, 1, 2))
    assert np.array_equal(one, again)
    assert ((one > 0) != (two > 0)).mean() > 0.05
