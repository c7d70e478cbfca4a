"""Painters of heights: peaks, drifts, the refuge in the snow; the canyon has more of its own."""

from __future__ import annotations

import numpy as np
import pytest
from painting_checks import count_tiles, inks_of, paint

from genbg.paint.contract import Body

PLACES = {
    "peaks": {"top": 16, "bottom": 172, "width": 256},
    "refuge": {"top": 64, "bottom": 173, "width": 256},
    "drifts": {"top": 173, "bottom": 224, "width": 256},
    "canyon": {"top": 24, "bottom": 173, "width": 256},
}
"""Lines on which each painter is at home; half a plane is enough of those that fill it evenly."""
each = pytest.mark.parametrize("name", PLACES)


def drawn(name, **given):
    """A painting on the painter's own lines."""
    return paint(name, **(PLACES[name] | given))


@each
def test_seeds_are_other_places_and_a_seed_is_one(name):
    """The same seed gives the same pixels, the next one another picture."""
    first, again, other = (drawn(name, seed=seed).ink for seed in (1, 1, 2))
    assert np.array_equal(first, again)
    assert (first != other).mean() > 0.1


@each
def test_thrift_saves_tiles(name):
    """Turned up to 1 it needs at most four fifths of the tiles."""
    top = PLACES[name]["top"]
    free, thrifty = (count_tiles(drawn(name, thrift=t).ink, top) for t in (0.0, 1.0))
    assert thrifty <= 0.8 * free


def test_peaks_are_lit_from_the_side_of_the_moon():
    """Right of the moon left faces are lit, left of it right ones (Lambert's law, by its sign).

    Told by brightness: just left of a summit against just right of it, over the whole plane.
    """
    body = Body(256.0, 40.0, 12.0)
    rises = {-1: 0.0, 1: 0.0}
    for seed in range(4):
        painting = drawn(
            "peaks", seed=seed, width=512, body=body, params={"woods": 0.0, "valley": "meadow"}
        )
        here, tone = inks_of(painting, "air")
        top = np.argmax(here, axis=0)
        slope = np.roll(top, -6) - np.roll(top, 6)
        line = np.clip(top + 6, 0, len(tone) - 1)
        light = tone[line, np.arange(512)]
        for side, columns in ((1, slice(300, 420)), (-1, slice(92, 212))):
            up, down = slope[columns] < -4, slope[columns] > 4
            rises[side] += light[columns][up].mean() - light[columns][down].mean()
    assert rises[1] > 0
    assert rises[-1] < 0


@pytest.mark.parametrize("valley", ["river", "lake"])
def test_water_lies_in_the_valley_where_it_is_asked_for(valley):
    """A river and a lake show water below the foot of the range, a meadow none."""
    wet, _ = inks_of(drawn("peaks", params={"valley": valley}), "water")
    dry, _ = inks_of(drawn("peaks", params={"valley": "meadow"}), "water")
    assert wet.sum() > 300
    assert not wet[:80].any()
    assert not dry.any()


def test_the_refuge_is_lit_and_guarded_and_may_be_left_out():
    """Lamp inks stand there, all of them guarded; without a house there is none."""
    painting = drawn("refuge", body=Body(150.0, 40.0, 12.0))
    lamp, _ = inks_of(painting, "lamp")
    assert lamp.sum() > 20
    assert painting.guard[lamp].all()
    bare = drawn("refuge", body=Body(150.0, 40.0, 12.0), params={"place": "none"})
    assert not inks_of(bare, "lamp")[0].any()


def test_the_shoulder_ends_in_level_ground_of_one_tone():
    """So that the cut between two speeds cannot be seen: most of the last line is one ink."""
    for seed in range(4):
        last = drawn("refuge", seed=seed, params={"place": "none", "trees": 0.0}).ink[-1]
        assert np.bincount(last).max() >= 0.98 * len(last)


def test_drifts_without_height_are_flat():
    """One ink for all lines."""
    still = {"height": 0.0, "edge": 0.0, "rocks": 0.0, "trees": 0.0, "way": 0.0}
    assert len(np.unique(drawn("drifts", params=still).ink)) == 1


def test_drifts_grow_with_height_and_gloom_darkens_them():
    """Higher drifts show more tones; gloom turns more ground into shade."""
    tones = [len(np.unique(drawn("drifts", params={"height": h}).ink)) for h in (0.1, 1.0)]
    assert tones[0] < tones[1]
    shade = [
        inks_of(drawn("drifts", params={"gloom": g, "rocks": 0.0}), "shade")[0].mean()
        for g in (0.0, 0.6)
    ]
    assert shade[1] > shade[0] + 0.15


def test_scrub_grows_where_firs_would():
    """Bushes or plants of dry lands in place of firs; none where there are no trees."""
    for growth in ("firs", "scrub", "desert"):
        leaf, _ = inks_of(drawn("drifts", params={"growth": growth, "trees": 1.0}), "leaf")
        assert leaf.sum() > 40
    assert not inks_of(drawn("drifts", params={"trees": 0.0}), "leaf")[0].any()
