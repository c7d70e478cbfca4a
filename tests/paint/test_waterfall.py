"""The waterfall painter and its rocks."""

import numpy as np
import pytest
from painting_checks import job_of, paint

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.sheet import Sheet, Tones
from genbg.paint.painters.waterfall import RAMPS, place_falls
from genbg.paint.painters.waterfall.falls import STREAK_ROWS, streaks
from genbg.paint.parts.rocks import NARROWEST, RIM, cut_wall, draw_wall, outline_of

GREEN = slice(10, 13)
"""Inks of what grows, at the ramps' own steps: after 5 of rock and 4 of the rock behind."""
FALL = slice(13, 17)
"""Inks of falling water: after those."""


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
        np.isin(ink_of(green=share, trees=0), range(GREEN.start, GREEN.stop)).mean()
        for share in (0, 0.5, 1)
    ]
    assert grown[0] == 0 < grown[1] < grown[2]


def test_streaks_repeat_downward():
    """A patch of streaks continues at its foot as it began: its columns wrap."""
    patch = streaks(4, 7, flat=True)
    assert patch.shape == (STREAK_ROWS * CELL, 4 * CELL)
    assert (patch[:, :8] == patch[:, 24:]).all()
    changes = (patch != np.roll(patch, 1, axis=0)).mean(axis=1)
    assert changes[0] <= changes.max()
    assert set(np.unique(patch)) <= {1, 2, 3, 4}


@pytest.mark.parametrize("seed", range(6))
def test_blocks_cover_the_wall_once(seed):
    """Widths of the blocks sum to the plane's, none is narrower than allowed, `at` finds each."""
    wall = cut_wall(64, 4, seed)
    assert wall.wide.sum() == 64
    assert wall.wide.min() >= NARROWEST
    assert [wall.at(int(column)) for column in wall.left] == list(range(len(wall.left)))
    assert wall.at(int(wall.left[0]) - 1) == len(wall.left) - 1


@pytest.mark.parametrize("seed", range(8))
def test_walls_have_no_holes(seed):
    """Below the first line of a column there is rock down to the foot, give or take a crack."""
    wall = cut_wall(64, 4, seed)
    tops = np.arange(len(wall.left)) % 5 * 16
    tones = draw_wall(wall, tops, 16, (-0.5, 0.5), 1)
    first = outline_of(tones)
    y = np.arange(len(tones))[:, None]
    assert ((tones < 0) & (y >= first)).mean() < 0.01
    assert tones.max() == RIM


@pytest.mark.parametrize("light", [-1.0, 1.0])
def test_blocks_are_lit_from_their_side(light):
    """Of every block the cells toward the light are brighter than those away from it."""
    wall = cut_wall(64, 6, 3, sway=0)
    tones = draw_wall(wall, np.zeros(len(wall.left), dtype=np.int64), 16, (light, 0.5), 1, marks=0)
    brighter = []
    for left, wide in zip(wall.left, wall.wide, strict=True):
        x = (int(left) * CELL + 8 + np.arange(int(wide) * CELL - 8)) % 512
        half = len(x) // 2
        brighter.append(float(tones[16:, x[:half]].mean()) > float(tones[16:, x[-half:]].mean()))
    assert np.mean(brighter) == (light < 0)


def test_a_wall_without_blocks_is_empty():
    """Blocks whose first line is the foot are not there."""
    wall = cut_wall(64, 4, 5)
    tops = np.full(len(wall.left), 16 * CELL)
    assert (draw_wall(wall, tops, 16, (-0.5, 0.5), 1) == -1).all()


def test_falls_stand_before_their_own_cliff():
    """Beside the lip of each fall there is rock that is at least as high."""
    ink = ink_of(spacing=200, spray=0, trees=0, green=0)
    for fall in falls_of(spacing=200):
        for column in (fall.left - 1, fall.left + fall.wide):
            x = column % 64 * CELL + 4
            assert (ink[fall.lip * CELL + 8 :, x] > 0).all()


def test_outlines_are_first_lines():
    """Worked by hand: first lines of three columns, the last one empty."""
    tones = np.array([[-1, 2, -1], [-1, 1, -1], [0, 1, -1]])
    assert outline_of(tones).tolist() == [2, 0, 3]
