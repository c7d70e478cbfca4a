"""The waterfall painter and its rocks."""

import numpy as np
import pytest
from painting_checks import job_of, paint

from genbg.paint.craft import CELL
from genbg.paint.pieces import Sheet, Tones
from genbg.paint.rocks import RIM, Buttress, buttress_edges, draw_buttress, outline_of
from genbg.paint.waterfall import RAMPS, STREAK_ROWS, place_falls, streaks

FALL = slice(9, 13)
"""Inks of falling water at the ramps' own steps: after 5 of rock and 3 of green."""


def falls_of(seed=1, **params):
    job = job_of("waterfall", top=0, bottom=160, seed=seed, params=params)
    return place_falls(job, job.params, Sheet(job, Tones(RAMPS, job.steps)))


def ink_of(**params):
    return paint("waterfall", top=0, bottom=160, params=params).ink


def water(ink):
    return (ink >= FALL.start) & (ink < FALL.stop)


@pytest.mark.parametrize("seed", range(4))
def test_falls_end_at_the_foot_and_have_their_tiers(seed):
    """Steps go down from the lip to the last row; no fall has more of them than asked."""
    for tiers in (1, 2, 4):
        for fall in falls_of(seed, tiers=tiers):
            assert list(fall.steps) == sorted(fall.steps)
            assert 1 <= len(fall.steps) <= tiers
            assert fall.steps[-1] == 20
            assert 1 <= fall.lip < fall.steps[0]


def test_no_spacing_no_water():
    """`spacing` 0 leaves a dry cliff; else water falls."""
    assert not water(ink_of(spacing=0)).any()
    assert water(ink_of(spacing=160)).mean() > 0.05


def test_openings_let_through():
    """The larger `opening`, the more columns have no rock at all."""
    seen = [(ink_of(opening=share, spacing=0) > 0).any(axis=0).mean() for share in (0.0, 0.4, 0.8)]
    assert seen[0] == 1.0 > seen[1] > seen[2]


def test_green_grows_with_its_key():
    """None at 0, more at 1 than at a half."""
    grown = [
        ((ink_of(green=share) > 5) & (ink_of(green=share) <= 8)).mean() for share in (0, 0.5, 1)
    ]
    assert grown[0] == 0 < grown[1] < grown[2]


def test_streaks_repeat_downward():
    """A patch of streaks continues at its foot as it began: its columns wrap."""
    patch = streaks(4, 7, flat=True)
    assert patch.shape == (STREAK_ROWS * CELL, 4 * CELL)
    assert (patch[:, :16] == patch[:, 16:]).all()
    changes = (patch != np.roll(patch, 1, axis=0)).mean(axis=1)
    assert changes[0] <= changes.max()
    assert set(np.unique(patch)) <= {1, 2, 3, 4}


@pytest.mark.parametrize("seed", range(6))
def test_buttresses_get_wider_downward(seed):
    """The foot is at least as wide as the body below the head, the ridge between both edges."""
    left, ridge, right = buttress_edges(Buttress(0, 48, 2, seed, spread=2), 20)
    assert (left <= ridge).all()
    assert (ridge <= right).all()
    assert right[-1] - left[-1] >= right[3] - left[3]
    assert right[0] - left[0] < right[3] - left[3]


@pytest.mark.parametrize("light", [-1.0, 1.0])
def test_buttresses_are_lit_from_their_side(light):
    """Of a buttress the half toward the light is brighter than the other."""
    tones, _ = draw_buttress(Buttress(64, 48, 2, 3), 16, light, 1)
    half = tones.shape[1] // 2
    sides = [float(part[part >= 0].mean()) for part in (tones[:, :half], tones[:, half:])]
    assert (sides[0] > sides[1]) == (light < 0)


def test_dim_rock_has_no_rim():
    """A rock that stands back is darker by its `dim`."""
    tones, _ = draw_buttress(Buttress(64, 48, 2, 3, dim=1), 16, -1.0, 1)
    assert tones[tones >= 0].min() >= 0
    assert tones.max() == RIM - 1


def test_outlines_are_first_lines():
    """Worked by hand: first lines of three columns, the last one empty."""
    tones = np.array([[-1, 2, -1], [-1, 1, -1], [0, 1, -1]])
    assert outline_of(tones).tolist() == [2, 0, 3]
