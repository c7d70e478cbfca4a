"""The clouds painter."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.contract import Job
from genbg.paint.craft.edges import stray_pixels
from genbg.paint.painters.clouds import PAINTER
from genbg.paint.painters.clouds import Keys as CloudKeys
from genbg.paint.painters.clouds.puffs import BODY, Shading, dome_crown, draw_puff

KINDS = ("heaped", "streaked", "bank", "storm")


def job(top=0, bottom=128, width=512, seed=1, thrift=0.7, steps=5, light=(-0.6, 0.7), **keys):
    ratio = np.ones(bottom - top)
    keys = CloudKeys(**keys)
    return Job(width, top, bottom, seed, keys, light, 20.0, ratio, thrift, {"cloud": steps})


def ink(**keys) -> np.ndarray:
    return PAINTER.draw(job(**keys)).ink.astype(int)


def tiles(ink: np.ndarray) -> int:
    """Distinct cells up to flips, of a picture of whole cells."""
    lines, width = ink.shape
    cells = ink.reshape(lines // 8, 8, width // 8, 8).transpose(0, 2, 1, 3).reshape(-1, 8, 8)
    forms = (cells, cells[:, :, ::-1], cells[:, ::-1], cells[:, ::-1, ::-1])
    return len({min(form[n].tobytes() for form in forms) for n in range(len(cells))})


@pytest.mark.parametrize(
    ("kind", "most"), [("heaped", 170), ("streaked", 140), ("bank", 260), ("storm", 220)]
)
def test_clouds_are_thrifty(kind, most):
    """Of the 1024 cells of 512x128 pixels few are distinct (median of 5 seeds), fewer with thrift.

    The figures are what was reached, with a tenth to spare; nothing outside says what they must be.
    """
    counts = [
        np.median([tiles(ink(kind=kind, seed=seed, thrift=thrift)) for seed in range(5)])
        for thrift in (0.2, 0.7, 1.0)
    ]
    assert counts[1] < most
    assert counts[0] > counts[1] >= counts[2]


@pytest.mark.parametrize("kind", KINDS)
def test_seeds_differ(kind):
    """Two seeds give different clouds."""
    one, two = ink(kind=kind, seed=3), ink(kind=kind, seed=4)
    assert (one != two).mean() > 0.05


@pytest.mark.parametrize("side", [-1, 1])
def test_puffs_are_bright_toward_the_light(side):
    """The brightest inks of a puff lie higher and more to the light's side than its body."""
    puff = draw_puff(8, 6, 11, Shading(5, (side * 0.8, 0.5)))
    bright, plain = np.argwhere(puff >= 4), np.argwhere(puff == BODY)
    assert bright[:, 0].mean() < plain[:, 0].mean()
    assert np.sign(bright[:, 1].mean() - plain[:, 1].mean()) == side


def test_bases_are_flat_and_on_the_cell_grid():
    """Below most cloud pixels that have sky under them, the screen's cell border runs."""
    picture = ink(kind="heaped", top=4, bottom=132, ranks=1, size=48)
    cloud = picture > 0
    last = np.argwhere(cloud[:-1] & ~cloud[1:])[:, 0] + 1 + 4
    assert (last % 8 == 0).mean() > 0.5


def test_more_cover_is_more_cloud():
    """The covered area grows with `cover`."""
    for kind in ("heaped", "streaked"):
        area = [(ink(kind=kind, cover=c, seed=5) > 0).mean() for c in (0.1, 0.4, 0.9)]
        assert area[0] < area[1] < area[2]


def test_a_bank_closes_the_lower_edge():
    """Every column of a bank is cloud from its crown to the last line, without holes."""
    cloud = ink(kind="bank", seed=2) > 0
    assert cloud[-1].all()
    assert (np.diff(cloud.astype(int), axis=0) < 0).sum() < 0.01 * cloud.sum()


def test_a_closed_bank_has_no_sky():
    """With `closed`, mist that fades to shade stands above the crown; nothing else changes."""
    open_sky, closed = ink(kind="bank", seed=2), ink(kind="bank", seed=2, closed=True)
    sky = open_sky == 0
    assert (closed[sky] >= 1).all()
    bright = [closed[y, sky[y]].mean() for y in range(len(sky)) if sky[y].sum() >= 64]
    assert bright[0] > 2.5
    assert bright[-1] < 1.5
    assert (np.diff(bright) < 0.5).all()
    assert np.array_equal(closed[open_sky > 0], open_sky[open_sky > 0])


def test_rain_falls_from_a_storm():
    """With rain the lowest lines hold slanting drops; without, the wall reaches down."""
    dry, wet = ink(kind="storm", rain=0.0), ink(kind="storm", rain=1.0)
    assert (dry[-1] > 0).all()
    assert 0 < (wet[-30:] > 0).mean() < 0.3


def lone_pixels(picture: np.ndarray) -> np.ndarray:
    """Stray pixels outside dither: no like neighbour, nor a like pixel a dither period away.

    Dither of 2x2 and 4x4 matrices puts like pixels 2 or 4 pixels apart.
    """
    alone = stray_pixels(picture)
    for dx, dy in ((2, 0), (0, 2), (4, 0), (0, 4), (2, 2), (-2, 2)):
        for sign in (1, -1):
            alone &= np.roll(picture, (sign * dy, sign * dx), (0, 1)) != picture
    return alone


@pytest.mark.parametrize("kind", KINDS)
def test_few_stray_pixels(kind):
    """Outside dither at most 0.5 % of the cloud's pixels stand alone."""
    for seed in range(4):
        picture = ink(kind=kind, seed=seed)
        cloud = picture > 0
        assert (lone_pixels(picture) & cloud).sum() <= 0.005 * cloud.sum()


def test_crowns_stay_in_their_box():
    """Heights are at least 2 cells and at most what is asked, highest inside."""
    for seed in range(20):
        tops = dome_crown(seed, 20, 9)
        assert tops.min() >= 2
        assert tops.max() <= 9
        assert 3 < int(np.argmax(tops)) < 17


@pytest.mark.parametrize("seed", range(6))
def test_single_clouds_end_round(seed):
    """No cloud ends in an upright wall: its outermost columns are short, at both ends."""
    picture = ink(kind="heaped", seed=seed, top=0, bottom=128, ranks=1, size=48, cover=0.2)
    tall = (picture > 0).sum(axis=0)
    for edge in np.flatnonzero((tall == 0) & (np.roll(tall, -1) > 0)):
        assert tall[(edge + 1) % len(tall)] <= 12
    for edge in np.flatnonzero((tall > 0) & (np.roll(tall, -1) == 0)):
        assert tall[edge] <= 12


def test_a_grain_between_two_is_told():
    """Dither matrices have 2 or 4 pixels a side; what lies between is a fault of the preset."""
    assert list(CloudKeys(grain=3).faults()) == [("grain", "must be 2 or 4")]
    for grain in (2, 4):
        assert not list(CloudKeys(grain=grain).faults())
        assert ink(grain=grain).any()
