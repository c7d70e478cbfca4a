"""The near shore and calm water."""

import numpy as np
import pytest
from painting_checks import count_tiles, paint

from genbg.paint.contract import Body
from genbg.paint.painters.calm import RAMPS as CALM_RAMPS
from genbg.paint.painters.shore.keys import KINDS, RAMPS

TOP, BOTTOM = 172, 224
ACROSS = {"rocks": slice(30, 52), "quay": slice(28, 36)}
"""Lines at which land and water are told apart: below a quay's rims and above its slip's end."""


def shore(seed=1, **given):
    body = Body(100.0, 60.0, 11.0)
    return paint("shore", top=TOP, bottom=BOTTOM, seed=seed, body=body, ratio=1.0, **given)


def holds(ink, ramps, name, least=0):
    first = 1
    for ramp in ramps:
        if ramp.name == name:
            return (ink >= first + least) & (ink < first + ramp.steps)
        first += ramp.steps
    raise KeyError(name)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(1, 4))
def test_the_shore_leaves_water_between(kind, seed):
    """Up to six tenths of the columns are open water."""
    ink = shore(seed, params={"kind": kind}).ink
    open_at = (ink[ACROSS[kind]] == 0).mean(axis=0) > 0.5
    assert 0.03 < open_at.mean() < 0.6


@pytest.mark.parametrize("seed", range(1, 6))
def test_a_quay_has_one_slip_with_water_down_to_the_foot(seed):
    """Columns of open water lie side by side, and no line across them has anything else; the stair
    and the walls' feet take at most half of what the cover leaves."""
    ink = shore(seed, params={"kind": "quay", "cover": 0.75, "boat": False}).ink
    open_at = (ink[ACROSS["quay"].start :] == 0).all(axis=0)
    assert (open_at & ~np.roll(open_at, 1)).sum() == 1
    assert 0.125 * 512 < open_at.sum() < 0.25 * 512
    assert (ink[:, open_at] == 0).all()


def test_a_boat_lies_in_the_slip():
    """It hides water that is open without it, and nothing else."""
    keys = {"kind": "quay", "cover": 0.6, "lamps": 0, "nets": 0, "grass": 0.0}
    with_boat, without = (shore(params={**keys, "boat": boat}).ink for boat in (True, False))
    hidden = (with_boat > 0) & (without == 0)
    assert 300 < hidden.sum() < 2500
    assert ((with_boat == 0) & (without > 0)).sum() < 60


def test_a_quay_with_whole_cover_is_closed():
    assert (shore(params={"kind": "quay", "cover": 1.0}).ink[28:] > 0).all()


@pytest.mark.parametrize("kind", KINDS)
def test_more_cover_is_more_land(kind):
    shares = [(shore(params={"kind": kind, "cover": c}).ink > 0).mean() for c in (0.3, 0.6, 0.9)]
    assert shares[0] < shares[1] < shares[2]


def test_lamps_are_guarded_and_warm_the_ground():
    painting = shore(params={"lamps": 2})
    assert painting.guard is not None
    assert painting.guard.sum() > 10
    assert holds(painting.ink, RAMPS, "warm").sum() > 30
    dark = shore(params={"lamps": 0})
    assert holds(dark.ink, RAMPS, "warm").sum() == 0


BARE = {"nets": 0, "grass": 0.0, "lamps": 0, "boat": False}


@pytest.mark.parametrize("seed", range(1, 5))
def test_the_shelf_runs_out_of_the_picture_so_that_it_does_not_float(seed):
    solid = shore(seed, params=BARE).ink > 0
    shelf = solid[-24]
    assert shelf.sum() > 60
    assert solid[-24:, shelf].mean() > 0.99


def test_rocks_are_told_in_few_light_tones():
    """Most of the shelf is dark; only rims take the two lightest tones."""
    ink = shore(params=BARE).ink
    rock = holds(ink, RAMPS, "rock")
    rims = holds(ink, RAMPS, "rock", 4)
    assert 0.02 < rims.sum() / rock.sum() < 0.25


def test_boulders_rise_over_the_shelf_and_take_nothing_away():
    plain, strewn = (shore(params={**BARE, "boulders": n}).ink > 0 for n in (0, 20))
    assert (strewn & ~plain).sum() > 150
    assert (plain & ~strewn).sum() < 40


def test_light_on_rocks_comes_from_the_bodys_side():
    """Right of the sun a rock is lit at its left; the sun stands at column 100."""
    ink = shore(params=BARE).ink
    lit, dark = (
        holds(ink, RAMPS, "rock", 3),
        holds(ink, RAMPS, "rock") & ~holds(ink, RAMPS, "rock", 3),
    )
    to_right = (lit & np.roll(dark, -1, axis=1))[:, 110:340].sum()
    to_left = (dark & np.roll(lit, -1, axis=1))[:, 110:340].sum()
    assert to_right != to_left
    edge = lit & (np.roll(ink, 1, axis=1) == 0)
    shade = dark & (np.roll(ink, 1, axis=1) == 0)
    other = lit & (np.roll(ink, -1, axis=1) == 0)
    part = slice(120, 340)
    assert edge[:, part].sum() / shade[:, part].sum() > other[:, part].sum() / max(
        1, (dark & (np.roll(ink, -1, axis=1) == 0))[:, part].sum()
    )


@pytest.mark.parametrize("kind", KINDS)
def test_thrift_takes_fewer_tiles(kind):
    counts = [
        count_tiles(shore(thrift=thrift, params={"kind": kind}).ink, TOP) for thrift in (0.0, 1.0)
    ]
    assert counts[1] < 0.92 * counts[0]


def calm(seed=1, **given):
    body = Body(128.0, 70.0, 11.0)
    return paint("calm", top=72, bottom=224, seed=seed, body=body, ratio=0.1, **given)


def test_the_path_lies_under_the_body_and_is_guarded():
    painting = calm()
    path = holds(painting.ink, CALM_RAMPS, "path")
    assert abs(np.nonzero(path)[1].mean() - 128) < 6
    # lone pixels are painted over by what is about them, so a few marks and a few pixels part
    assert painting.guard[path].mean() > 0.95
    assert path[painting.guard].mean() > 0.95
    assert np.nonzero(path)[0].min() == 88 - 72


def test_water_darkens_from_the_horizon_to_us():
    ink = calm(params={"isles": 0, "path": 0.0}).ink
    water = ink[16:].astype(float)
    means = [water[n : n + 16].mean() for n in range(0, 128, 16)]
    assert (np.diff(means) < 0).all()


def test_slicks_make_stretches_lighter_and_none_darker():
    still = {"isles": 0, "path": 0.0, "breeze": 0.0, "glow": 0.0}
    plain, slick = (
        calm(thrift=0.5, params={**still, "slicks": n}).ink[16:].astype(int) for n in (0.0, 1.0)
    )
    lighter = (slick > plain).mean()
    assert 0.02 < lighter < 0.4
    assert (slick < plain).mean() < 0.25 * lighter


def test_isles_stand_on_the_horizon():
    ink = calm(params={"isles": 5}).ink
    isle = holds(ink, CALM_RAMPS, "isle")
    assert isle[:16].any()
    assert not isle[16:].any()
    assert not (calm(params={"isles": 0}).ink[:16] > 0).any()


def test_thrifty_water_repeats():
    ink = calm(thrift=0.8, params={"isles": 0, "path": 0.0, "glow": 0.0}).ink[16:]
    assert np.array_equal(ink[:, :128], ink[:, 128:256])
    assert count_tiles(ink, 88) < 0.5 * count_tiles(
        calm(thrift=0.0, params={"isles": 0, "path": 0.0, "glow": 0.0}).ink[16:], 88
    )
