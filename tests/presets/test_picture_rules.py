"""Every bundled preset against the counted rules of a good picture, over `GENBG_SEEDS` seeds.

The rules are the project's own (`picture_rules.py` says how each is counted); that distance lowers
contrast and shifts colours toward the haze is aerial perspective, common practice, no source.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from picture_rules import (
    NAMES,
    SEEDS,
    measure_preset,
    scene_of,
    used_colours,
)

from genbg.paint.table import PAINTERS
from genbg.reading import load_preset

AIR_IN_RAMPS = 400.0
"""`scene.haze_half` from which a scene's haze changes no colour by a step."""

MANY_SEEDS = 10
"""Seeds from which a mean over them says something."""

each = pytest.mark.parametrize("name", NAMES)
HAZED = [name for name in NAMES if load_preset(name).scene.haze_half < AIR_IN_RAMPS]


def test_the_set_is_large_and_uses_every_painter() -> None:
    """Twenty presets or more, and no painter that none of them shows but the user's own art."""
    assert len(NAMES) >= 20
    used = {layer.paint for name in NAMES for layer in load_preset(name).layers}
    assert set(PAINTERS) - used <= {"picture"}


def test_budgets_are_those_of_a_game() -> None:
    """No preset asks for more than 1,000 tiles, and three do with 512."""
    budgets = [load_preset(name).machine.tile_budget for name in NAMES]
    assert max(budgets) <= 1000
    assert sum(budget <= 512 for budget in budgets) >= 3


@each
def test_it_has_moods(name: str) -> None:
    """A preset has at least two moods beside its own colours."""
    assert len(load_preset(name).moods) >= 2


@each
def test_the_wrap_cannot_be_seen(name: str) -> None:
    """The step across the plane's wrap is like those inside.

    No seed's is larger than the largest step inside; and as one column in twenty of a seamless
    picture lies above the 95th percentile by definition, that bound is held in the mean of ten
    seeds or more.
    """
    wraps = measure_preset(name).wraps
    assert (wraps[:, :, 0] <= wraps[:, :, 2]).all()
    if len(SEEDS) >= MANY_SEEDS:
        across, inside, _ = wraps.mean(axis=0).T
        assert (across <= inside).all()


@pytest.mark.parametrize("name", HAZED)
def test_distance_reads(name: str) -> None:
    """Farther bands have less contrast and stand closer to the haze, in the mean of the seeds.

    Where ramps have their air in them, the scene's haze touches nothing and says nothing.
    """
    figures = measure_preset(name).bands
    bands = [band for band in ("far", "middle", "near") if band in figures]
    assert len(bands) >= 2
    for far, near in itertools.pairwise(bands):
        contrast, off = np.mean(figures[far], axis=0) - np.mean(figures[near], axis=0)
        assert off < 0, f"{far} stands no closer to the haze than {near}"
        assert contrast < 0, f"{far} has no less contrast than {near}"


@each
def test_single_pixels_are_rare(name: str) -> None:
    """Outside dither and guarded details, at most 0.5 % of a plane's pixels stand alone."""
    assert measure_preset(name).strays.max() <= 0.005


@each
def test_the_colours_are_used(name: str) -> None:
    """At home a preset shows 24 or more of the 61 usable colours; ramps laid out by palette row
    need no more than 46, and look the better for it."""
    assert used_colours(scene_of(name)) >= 24


@each
def test_play_has_room(name: str) -> None:
    """Where play happens, local contrast stays below the near band's, in the mean of the seeds."""
    behind, near = measure_preset(name).play.mean(axis=0)
    assert behind < near


@each
def test_no_landmark_is_seen_twice(name: str) -> None:
    """No window of 320 pixels shows the same large landmark twice."""
    assert measure_preset(name).repeated == []


@each
def test_seeds_differ_in_shape(name: str) -> None:
    """No two seeds give the same picture, and neighbours differ however they are shifted."""
    figures = measure_preset(name)
    assert figures.prints == len(SEEDS)
    assert max(figures.likest) < 0.97
