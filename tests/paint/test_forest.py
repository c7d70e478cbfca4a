"""The forest painter, its trunks and its leaves."""

import numpy as np
import pytest
from painting_checks import job_of, paint

from genbg.paint.craft.edges import CELL
from genbg.paint.forest import PAINTER
from genbg.paint.parts.leaves import DABS, Growth, clump_set, leaf_clump
from genbg.paint.parts.trunks import LIT, RIM, SHADE, Trunk, draw_branch, draw_trunk, trunk_edges

HIGH_LEFT = Growth("broad", 4, (-0.6, 0.7))


def tall(trunks=0.6, **params):
    return paint("forest", top=0, bottom=192, params={"trunks": trunks, **params}).ink


def test_trunks_reach_from_top_to_foot():
    """Without leaves, columns of bark run through all lines; no trunks leave the layer empty."""
    bare = tall(canopy=0.0, behind=0.0, branches=0.0) > 0
    assert bare.any(axis=1).all()
    assert not tall(trunks=0.0, canopy=0.0, behind=0.0).any()


def test_more_trunks_cover_more():
    """`trunks`, `behind` and `width` each let less through."""
    few = (tall(trunks=0.1, canopy=0.0, behind=0.0) > 0).mean()
    assert (tall(trunks=0.9, canopy=0.0, behind=0.0) > 0).mean() > few
    assert (tall(trunks=0.1, canopy=0.0, behind=0.9) > 0).mean() > few
    assert (tall(trunks=0.1, canopy=0.0, behind=0.0, width=56) > 0).mean() > few


@pytest.mark.parametrize("canopy", [0.2, 0.5, 0.8])
def test_leaves_hang_as_far_as_asked(canopy):
    """Most of what hangs above the asked share of the lines is leaves, below it little is."""
    ink = tall(trunks=0.0, behind=0.0, canopy=canopy)
    edge = round(canopy * 192)
    assert (ink[: edge // 2] > 0).mean() > 0.7
    assert (ink[min(191, edge + 40) :] > 0).mean() < 0.1


def test_shafts_are_a_checker_that_thins_out():
    """No two pixels of a shaft touch along a line; the upper third is denser than the lower."""
    ink = tall(trunks=0.0, behind=0.0, canopy=0.0, shafts=1.0) > 0
    assert not (ink & np.roll(ink, 1, axis=1)).any()
    assert ink[:64].mean() > 1.2 * ink[128:].mean() > 0


@pytest.mark.parametrize(("light", "way"), [((-0.6, 0.7), 1), ((0.6, 0.7), -1), ((0.0, 1.0), 0)])
def test_shafts_slant_away_from_the_light(light, way):
    """The column of a shaft's upper end moves against the light's side on its way down."""
    job = job_of(
        "forest",
        top=0,
        bottom=128,
        light=light,
        params={"trunks": 0.0, "behind": 0.0, "canopy": 0.0, "shafts": 0.3},
    )
    ink = PAINTER.draw(job).ink > 0
    shift = range(-32, 33, 4)
    # Of all shifts between two bands of lines, the best match tells the slant.
    upper, lower = ink[0:8].any(axis=0), ink[24:32].any(axis=0)
    match = [(np.roll(upper, s) == lower).mean() for s in shift]
    assert np.sign(shift[int(np.argmax(match))]) == way


def test_roots_spread_and_thin_trunks_do_not():
    """A wide trunk is wider at its foot than above; a far one without roots is not."""
    for seed in range(8):
        left, right = trunk_edges(Trunk(80, 32, 0, 20, seed))
        assert right[-1] - left[-1] >= 32 + 8 > right[8] - left[8]
        left, right = trunk_edges(Trunk(80, 8, 0, 20, seed, flare=False))
        assert (right - left == 8).all()


def test_trunks_stand_near_their_place():
    """Bends take a trunk no farther than two cells aside, and always by half a cell a border."""
    for seed in range(20):
        left, _ = trunk_edges(Trunk(80, 16, 0, 28, seed, flare=False, bends=12))
        assert np.abs(left - 72).max() <= 2 * CELL
        assert set(np.abs(np.diff(left)).tolist()) <= {0, 4}


@pytest.mark.parametrize(("light", "bright"), [(-1.0, 0), (1.0, -1)])
def test_a_trunk_has_its_rim_toward_the_light(light, bright):
    """The outermost pixel toward the light is the brightest of every line."""
    tones, _ = draw_trunk(Trunk(80, 24, 0, 12, 5, flare=False), light, 1)
    for line in tones:
        assert line[line >= 0][bright] == RIM


def test_branches_rise_from_their_foot():
    """A branch's foot lies at the column it tells, its tip aside by its slope, thinner."""
    for slope in (-8, -4, 4, 8):
        tones, middle = draw_branch(6, slope, 12, -1.0, 1)
        there = np.flatnonzero(tones[-1] >= 0)
        tip = np.flatnonzero(tones[0] >= 0)
        assert abs(there.mean() - middle) < 8
        assert np.sign(tip.mean() - middle) == np.sign(slope)
        assert len(tip) < len(there)
        assert set(np.unique(tones[tones >= 0])) <= {SHADE, SHADE + 1, LIT}


@pytest.mark.parametrize("dabs", DABS)
def test_clumps_cover_their_stamp_but_its_corners(dabs):
    """A clump is an ellipse of dabs: two fifths of its stamp or more, no corner, tones 0..4."""
    clump = leaf_clump(6, 4, 3, Growth(dabs, 4, (-0.6, 0.7)))
    assert clump.shape == (32, 48)
    assert (clump >= 0).mean() >= 0.4
    assert (clump[[0, 0, -1, -1], [0, -1, 0, -1]] == -1).all()
    assert clump.min() == -1
    assert clump.max() <= 4


def test_clumps_are_bright_toward_the_light():
    """Tones fall from the upper left to the lower right under light from there."""
    clump = leaf_clump(8, 6, 1, HIGH_LEFT).astype(float)
    clump[clump < 0] = np.nan
    assert np.nanmean(clump[:24, :32]) > np.nanmean(clump[24:, 32:]) + 0.5


def test_clumps_of_a_set_differ():
    """Variants of one size are different drawings, and the same seed gives them again."""
    one, two = clump_set(((5, 3),), 2, 7, HIGH_LEFT)[0]
    assert (one != two).any()
    assert (clump_set(((5, 3),), 2, 7, HIGH_LEFT)[0][0] == one).all()
