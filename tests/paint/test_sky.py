"""The sky painter."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.contract import Job
from genbg.paint.painters.sky import PAINTER
from genbg.paint.painters.sky import Keys as SkyKeys


def job(top=0, bottom=224, width=512, seed=1, thrift=0.7, steps=None, light=(-0.6, 0.7), **keys):
    counts = {ramp.name: ramp.steps for ramp in PAINTER.ramps} | (steps or {})
    ratio = np.ones(bottom - top)
    return Job(width, top, bottom, seed, SkyKeys(**keys), light, None, ratio, thrift, counts)


def tiles(ink: np.ndarray) -> int:
    """Distinct cells up to flips, of a picture of whole cells."""
    lines, width = ink.shape
    cells = ink.reshape(lines // 8, 8, width // 8, 8).transpose(0, 2, 1, 3).reshape(-1, 8, 8)
    forms = (cells, cells[:, :, ::-1], cells[:, ::-1], cells[:, ::-1, ::-1])
    return len({min(form[n].tobytes() for form in forms) for n in range(len(cells))})


@pytest.mark.parametrize("body", ["none", "sun", "moon"])
@pytest.mark.parametrize(("top", "bottom", "width"), [(0, 224, 512), (3, 61, 256), (40, 48, 1024)])
def test_every_pixel_is_sky(body, top, bottom, width):
    """A sky has no holes."""
    painting = PAINTER.draw(job(top, bottom, width, body=body, stars=1.0, nebula=0.5, glow=0.5))
    assert painting.ink.min() >= 1


def test_an_empty_sky_costs_one_tile_a_cell_row():
    """Without body and stars, every cell row is one tile."""
    ink = PAINTER.draw(job(body="none", glow=0.7)).ink
    assert tiles(ink) <= 28


def test_a_sun_costs_few_tiles():
    """With a disc of 48 pixels and its halo, under 140 of 1792 cells are distinct, torn or not.

    Its light takes about 150 cells, half of them flips of the others.
    """
    for thrift in (0.0, 0.9):
        assert tiles(PAINTER.draw(job(body_size=48, thrift=thrift)).ink) < 140


@pytest.mark.parametrize("keys", [{"halo": 0.9}, {"glow": 1.0, "body_y": 0.9}, {"rays": 1.0}])
def test_the_light_shows_no_cells(keys):
    """Inks change along a line as often between two cells as within one: one change in eight.

    By chance a change falls on any of the eight columns of a cell (no source: counting). Of tones
    laid a cell at a time, all of them do. Flat bands, without dither.
    """
    painting = PAINTER.draw(job(body="moon", body_x=0.5, body_size=32, plain=0.95, **keys))
    ink = np.where(painting.ink > 10, 0, painting.ink)  # the disc's own rim is not light
    changes = (ink != np.roll(ink, 1, axis=1)) & (ink > 0) & (np.roll(ink, 1, axis=1) > 0)
    assert changes.sum() > 300
    assert 0.06 < changes[:, ::8].sum() / changes.sum() < 0.19


@pytest.mark.parametrize("x", [0.0, 0.3, 0.99])
def test_the_sun_mirrors_itself_in_whole_cells(x):
    """Left and right of its centre, which is a cell corner, the disc's cells are mirror images."""
    ink = PAINTER.draw(job(body_x=x, body_size=40, thrift=0.9)).ink
    middle = round(x * 512 / 8) * 8
    around = np.roll(ink, 256 - middle, axis=1)[:, 256 - 24 : 256 + 24]
    disc = (around >= 11) & (around <= 13)
    rows = np.flatnonzero(disc.any(axis=1))
    rows = np.arange(rows[0], rows[-1] + 1)
    assert len(rows) == 40
    assert np.array_equal(around[rows], around[rows, ::-1])


def test_the_sky_brightens_downward():
    """Without a body, the mean ink of each four lines (the dither's period) never falls."""
    mean = PAINTER.draw(job(body="none")).ink.mean(axis=1)
    assert mean[0] == 1.0
    assert mean[-1] == 8.0
    assert np.diff(mean.reshape(-1, 4).mean(axis=1)).min() >= 0.0


def star_places(painting) -> np.ndarray:
    """Middle pixels of the stars."""
    first = 1 + 8 + 2 + 3  # after sky, halo and body
    lit = painting.guard & (painting.ink >= first) & (painting.ink < first + 3)
    arms = lit & (
        np.roll(lit, 1, 1) | np.roll(lit, -1, 1) | np.roll(lit, 1, 0) | np.roll(lit, -1, 0)
    )
    crosses = lit & np.roll(lit, 1, 1) & np.roll(lit, -1, 1)
    return np.argwhere((lit & ~arms) | crosses)


def test_stars_do_not_clump_and_are_guarded():
    """Stars keep their distance, grow in number with the key, and thin out toward the horizon.

    They are thrown 44 - 26 * stars apart and then move to a set place in their cell, up to 5
    pixels in each direction, which may bring two of them 10 nearer.
    """
    counts = []
    for share in (0.2, 0.6, 1.0):
        painting = PAINTER.draw(job(body="none", stars=share))
        places = star_places(painting)
        counts.append(len(places))
        across = np.abs(places[:, None, 1] - places[None, :, 1])
        across = np.minimum(across, 512 - across)
        down = places[:, None, 0] - places[None, :, 0]
        apart = np.sqrt(across**2 + down**2) + np.eye(len(places)) * 999
        assert apart.min() >= round(44 - 26 * share) - 10
    assert counts[0] < counts[1] < counts[2]
    rows = places[:, 0]
    assert (rows < 112).sum() > 1.5 * (rows >= 112).sum()


def test_no_star_shines_through_the_body():
    """Inside the disc there are only the body's inks."""
    painting = PAINTER.draw(job(body="moon", body_size=64, stars=1.0))
    x, y = round(0.3 * 512 / 8) * 8, round(0.45 * 224 / 8) * 8
    down, across = np.mgrid[0:224, 0:512]
    inside = (across + 0.5 - x) ** 2 + (down + 0.5 - y) ** 2 < 31**2
    assert not painting.guard[inside].any()
    assert set(np.unique(painting.ink[inside])) <= {11, 12, 13}


@pytest.mark.parametrize("body", ["sun", "moon"])
def test_the_disc_is_a_shape_that_merging_keeps(body):
    """Without light, all pixels nearer to its centre than half its size, and no others.

    Its light is a part of the shape, on both sides alike, and ends; without a disc there is none.
    """
    place = {"width": 256, "body": body, "body_x": 0.5, "body_y": 0.5, "body_size": 56}
    y, x = np.mgrid[:224, :256] + 0.5
    disc = (y - 112) ** 2 + (x - 128) ** 2 < 28**2
    assert (PAINTER.draw(job(**place, halo=0.0)).shape == disc).all()
    lit = PAINTER.draw(job(**place, halo=0.4)).shape
    assert lit[disc].all()
    assert (lit == lit[:, ::-1]).all()
    assert 1.5 * disc.sum() < lit.sum() < 10 * disc.sum()
    assert not lit[:, 0].any()
    assert PAINTER.draw(job(body="none")).shape is None


@pytest.mark.parametrize("side", [-1, 1])
def test_a_crescent_faces_the_light(side):
    """The lit part of a half moon lies on the light's side."""
    ink = PAINTER.draw(job(body="moon", phase=0.3, light=(side * 0.6, 0.7), halo=0.0)).ink
    lit = np.argwhere((ink >= 11) & (ink <= 13))
    assert np.sign(lit[:, 1].mean() + 0.5 - 152) == side


def test_light_is_a_lens_and_calm_far_away():
    """The glow under a low sun is wider than high, and beyond its reach each line is one level.

    Without dither (flat sky of 9 inks on a layer of 120 lines), columns half a plane from the sun
    hold one ink a line, as air scatters light most near its source.
    """
    low = {"body_y": 1.0, "body_x": 0.5, "body_size": 16, "glow": 0.8, "halo": 0.3, "plain": 0.95}
    ink = PAINTER.draw(job(0, 120, 512, thrift=0.0, **low)).ink.astype(int)
    alone = PAINTER.draw(job(0, 120, 512, body="none", glow=0.0, plain=0.95)).ink.astype(int)
    far = ink[:80, :16]
    assert (far == far[:, :1]).mean() > 0.97
    lighter = ink > alone + 1
    wide = np.flatnonzero(lighter[60:].any(axis=0))
    high = np.flatnonzero(lighter.any(axis=1))
    assert np.ptp(wide) > 1.5 * np.ptp(high)


@pytest.mark.parametrize("kind", [{"streaks": 1.0}, {"drifts": 6}])
@pytest.mark.parametrize(("body_y", "lit_below"), [(0.02, False), (1.1, True)])
def test_clouds_are_lit_on_the_side_of_the_body(body_y, lit_below, kind):
    """A far cloud shows its light edge where the body stands: under it or over it."""
    keys = {"body_x": 0.5, "body_size": 16, "body_y": body_y, **kind}
    painting = PAINTER.draw(job(0, 120, 512, thrift=0.0, **keys))
    first = 1 + sum(use.steps for use in painting.ramps[:-1])
    cloud = painting.ink >= first
    tone = painting.ink.astype(int) - first
    both = cloud[1:] & cloud[:-1]
    lower, upper = tone[1:][both], tone[:-1][both]
    falls, rises = (lower < upper).sum(), (lower > upper).sum()
    assert (rises > 1.5 * falls) if lit_below else (falls > 1.5 * rises)
    assert cloud.mean() > 0.02


def test_no_streak_hides_the_face():
    """The upper part of the disc stays free of cloud, whatever the seed."""
    for seed in range(8):
        keys = {"streaks": 1.0, "drifts": 6, "body_y": 0.5, "body_size": 40}
        painting = PAINTER.draw(job(0, 120, seed=seed, **keys))
        first = 1 + sum(use.steps for use in painting.ramps[:-1])
        assert not (painting.ink[41:60, 141:167] >= first).any()


def test_the_seed_moves_stars_and_nebula():
    """Two seeds differ."""
    one = PAINTER.draw(job(seed=1, stars=1.0, nebula=0.8)).ink.astype(int)
    two = PAINTER.draw(job(seed=2, stars=1.0, nebula=0.8)).ink.astype(int)
    assert (one != two).mean() > 0.02


def test_thrift_buys_tiles():
    """A nebula costs fewer tiles where the layer is thriftier."""
    counts = [tiles(PAINTER.draw(job(thrift=t, nebula=0.6, body="none")).ink) for t in (0.3, 0.9)]
    assert counts[1] < 0.75 * counts[0]
