"""The water painter: waves, a path of glitter that does not tear, surf."""

import numpy as np
import pytest
from painting_checks import count_tiles, job_of, paint, sheared, stray_share

SEA = {"top": 100, "bottom": 224, "ratio": (0.1, 0.6)}
STILL = {"top": 100, "bottom": 224, "ratio": 0.06}
SEEDS = range(1, 9)
WATER, GLINTS = 6, 3


def glints_of(ink):
    return (ink > WATER) & (ink <= WATER + GLINTS)


@pytest.mark.parametrize("lines", [SEA, STILL], ids=["parting", "together"])
@pytest.mark.parametrize("glitter", [0.0, 0.8])
def test_a_sea_is_thrifty(lines, glitter):
    """124 lines, 1024 cells, of at most 100 tiles, 200 with glitter; no strays."""
    for seed in SEEDS:
        ink = paint("water", seed=seed, **lines, params={"glitter": glitter, "surf": 8}).ink
        assert count_tiles(ink, 100) <= (200 if glitter else 100)
        assert stray_share(ink) <= 0.005
        assert (ink > 0).all()


def test_thrift_costs_fewer_tiles():
    """Each turn of the thrift saves tiles."""
    counts = [
        count_tiles(paint("water", thrift=thrift, **SEA).ink, 100)
        for thrift in (0.0, 0.5, 0.75, 1.0)
    ]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] > 2 * counts[3]


def test_the_path_lies_under_the_sun_where_lines_keep_together():
    """All glints lie within twice the path's width of its place, and its middle is bright."""
    for seed in SEEDS:
        params = {"glitter": 1.0, "glitter_x": 0.3, "glitter_width": 48}
        glints = glints_of(paint("water", seed=seed, **STILL, params=params).ink)
        columns = np.flatnonzero(glints.any(axis=0))
        middle = 0.3 * 512
        assert np.abs(columns - middle).max() < 2 * 48
        near = glints[:, int(middle) - 12 : int(middle) + 12].mean()
        assert near > 0.35
        assert near > 3 * glints.mean()


def test_the_path_wraps():
    """A path asked for at the plane's edge lies on both sides of it."""
    glints = glints_of(paint("water", **STILL, params={"glitter": 1.0, "glitter_x": 0.0}).ink)
    assert glints[:, :20].any()
    assert glints[:, -20:].any()
    assert not glints[:, 200:300].any()


def test_glints_do_not_tear_away_where_lines_part():
    """Where lines part, no column is brighter for long: at every camera the share of glints in the
    brightest 64 columns is about what it was at first, and far from all of them."""
    job = job_of("water", **SEA)
    shares = []
    for seed in SEEDS:
        ink = paint("water", seed=seed, **SEA, params={"glitter": 1.0}).ink
        for camera in (0, 1000, 5000):
            glints = glints_of(sheared(ink, job.ratio, camera)[8:]).sum(axis=0)
            sums = np.convolve(np.tile(glints, 2), np.ones(64), "valid")[:512]
            shares.append(sums.max() / glints.sum())
    assert max(shares) < 0.4


def test_glitter_and_chop_and_sheen_show():
    """More of each is seen as more glints, more dashes, lighter far water."""
    few, many = (
        glints_of(paint("water", **STILL, params={"glitter": g}).ink).mean() for g in (0.2, 1.0)
    )
    assert 0 < few < many
    assert not glints_of(paint("water", **STILL).ink).any()
    calm, choppy = (paint("water", **SEA, params={"chop": c}).ink for c in (0.0, 1.0))
    ends = [(ink != np.roll(ink, 1, axis=1)).mean() for ink in (calm, choppy)]
    assert ends[1] > 1.3 * ends[0]
    dull, bright = (paint("water", **SEA, params={"sheen": s}).ink[:40].mean() for s in (0.0, 1.0))
    assert bright > dull + 0.5


def test_far_water_mirrors_the_sky():
    """The farthest lines are lighter than the nearest: the ramp goes from the depth to the sky."""
    ink = paint("water", **SEA).ink
    assert ink[:10].mean() > ink[-40:].mean() + 1.0


def test_surf_fills_the_last_lines():
    """Foam grows toward the shore and is all there is on the last line; none without surf."""
    ink = paint("water", **SEA, params={"surf": 12}).ink
    foam = ink > WATER + GLINTS
    assert foam[-1].all()
    assert foam[-4:].mean() > foam[-12:-8].mean()
    assert not foam[:-12].any()
    assert not (paint("water", **SEA).ink > WATER + GLINTS).any()


def test_the_same_seed_again_and_another():
    """One seed, one sea; another seed, another sea."""
    first, again, other = (paint("water", seed=seed, **SEA).ink for seed in (1, 1, 2))
    assert np.array_equal(first, again)
    assert (first != other).mean() > 0.2


@pytest.mark.parametrize("lines", [(0, 1), (3, 11), (97, 224)])
@pytest.mark.parametrize("width", [256, 1024])
def test_any_band_can_be_painted(lines, width):
    """One line or many, off the cell grid, narrow or wide, with a path as wide as the plane."""
    params = {"glitter": 1.0, "glitter_width": 512, "surf": 64}
    for ratio in (0.0, 0.2, (0.05, 1.0)):
        ink = paint(
            "water", top=lines[0], bottom=lines[1], width=width, ratio=ratio, params=params
        ).ink
        assert (ink > 0).all()
