"""The lanterns painter: ropes that hang as ropes do, glow that mirrors, spans that close."""

import itertools
import math

import numpy as np
import pytest
from built_checks import ramp_pixels
from painting_checks import count_tiles, paint

from genbg.paint.painters.lanterns import SHORE
from genbg.paint.painters.lanterns.strands import (
    Keys as LanternKeys,
)
from genbg.paint.painters.lanterns.strands import (
    Strand,
    glowing_columns,
    lantern_columns,
    place_posts,
)
from genbg.paint.parts.lamps import draw_glow, halo_tones

SEEDS = range(1, 7)


def catenary(span, sag, x):
    """Drop below its ends of a chain of a span and a sag, by bisection of a * (cosh(s/2a) - 1)."""
    low, high = span / 20, span * 1000.0
    for _ in range(200):
        a = (low + high) / 2
        if a * (math.cosh(span / 2 / a) - 1) > sag:
            low = a
        else:
            high = a
    return sag - a * (math.cosh((x - span / 2) / a) - 1)


@pytest.mark.parametrize(("cells", "sag"), [(12, 10), (16, 25), (30, 40), (20, 32)])
def test_a_rope_hangs_as_a_chain_does(cells, sag):
    """The parabola keeps within 2 % of the span of the catenary of the same sag.

    Source: the catenary, y = a cosh(x/a) (Bernoulli, Huygens and Leibniz, Acta Eruditorum, 1691).
    """
    strand, span = Strand(3, 3 + cells, 5, sag, 0), cells * 8
    x = np.arange(span)
    drop = strand.drop(x) - 5
    exact = np.array([catenary(span, sag, n + 0.5) for n in x])
    assert np.abs(drop - exact).max() <= max(1.0, 0.02 * span)
    assert (drop == drop[::-1]).all()
    assert drop.max() in (sag - 1, sag)


@pytest.mark.parametrize("columns", [32, 64, 128])
@pytest.mark.parametrize("spacing", [48, 120, 200, 512])
def test_spans_close_around_the_plane(columns, spacing):
    """Spans are even numbers of cells that add up to the plane, of at most two lengths."""
    for seed in range(40):
        places = place_posts(columns, spacing, seed)
        spans = np.diff([*places, places[0] + columns]) % columns
        spans = np.where(spans == 0, columns, spans)
        assert spans.sum() == columns
        assert (spans % 2 == 0).all()
        assert len(set(spans.tolist())) <= 2


def test_lanterns_hang_alike_from_both_ends():
    """Columns mirror about the span's middle and keep off the posts."""
    for number in (0, 1, 2):
        for every in (16, 32, 40, 96):
            strand = Strand(10, 26, 0, 12, number)
            columns = lantern_columns(strand, every)
            assert [2 * 18 - 2 - column for column in reversed(columns)] == columns
            assert all(10 < column < 24 for column in columns)
            assert all(b - a >= 2 for a, b in itertools.pairwise(columns))


@pytest.mark.parametrize("radius", [8, 16, 20, 40])
def test_a_halo_mirrors_and_fades(radius):
    """A quarter serves for all four, and no ring is brighter than the one inside it."""
    tones = halo_tones(radius)
    assert (tones == tones[::-1]).all()
    assert (tones == tones[:, ::-1]).all()
    middle = len(tones) / 2
    y, x = np.indices(tones.shape) + 0.5
    away = np.hypot(x - middle, y - middle)
    rings = [tones[(away >= r) & (away < r + radius / 4)].mean() for r in np.arange(4) * radius / 4]
    assert all(a >= b for a, b in itertools.pairwise(rings))
    assert not tones[away > radius].any()


@pytest.mark.parametrize("seed", SEEDS)
def test_a_festival_costs_few_tiles(seed):
    """Two strands with their glow stay below 110 tiles on a plane of 512 pixels."""
    painting = paint("lanterns", seed=seed, top=64, bottom=160, params={"strands": 2, "every": 40})
    assert count_tiles(painting.ink, 64) <= 110


def test_keys_matter():
    """More strands, more lanterns; no halo, no glow; no posts, no wood; flags where asked."""
    one, two = (paint("lanterns", params={"strands": n, "every": 32}) for n in (1, 2))
    assert ramp_pixels(two, "lantern").sum() > ramp_pixels(one, "lantern").sum()
    assert ramp_pixels(one, "glow").any()
    assert not ramp_pixels(paint("lanterns", params={"halo": 0}), "glow").any()
    assert not ramp_pixels(paint("lanterns", params={"posts": 0}), "post").any()
    assert not ramp_pixels(one, "flag").any()
    assert ramp_pixels(paint("lanterns", params={"bunting": 1.0}), "flag").any()
    assert not ramp_pixels(paint("lanterns", params={"second": 0.0}), "other").any()
    assert not ramp_pixels(paint("lanterns", params={"second": 1.0}), "lantern").any()


def test_the_rope_has_no_gaps():
    """Going along a span without lanterns, each column's rope touches the next one's."""
    painting = paint("lanterns", params={"every": 128, "spacing": 512, "halo": 0, "posts": 0})
    rope = ramp_pixels(painting, "rope")
    lines = [set(column.nonzero()[0].tolist()) for column in rope.T]
    for one, two in itertools.pairwise(lines):
        if one and two:
            assert min(abs(a - b) for a in one for b in two) <= 1


def test_lanterns_are_guarded():
    """Merging keeps every pixel of a lantern, and nothing of the glow."""
    painting = paint("lanterns")
    lit = ramp_pixels(painting, "lantern") | ramp_pixels(painting, "other")
    assert (painting.guard == lit).all()


def test_ropes_may_end_out_of_sight():
    """With part of the sag hidden less rope is seen, and no lantern is cut off at the top."""
    keys = {"posts": 0, "sag": 0.3, "halo": 0, "second": 0.0, "kinds": "round"}
    whole, part = (paint("lanterns", params=keys | {"hidden": n}) for n in (0.0, 0.6))
    assert 0 < ramp_pixels(part, "rope").sum() < ramp_pixels(whole, "rope").sum()
    lantern = ramp_pixels(part, "lantern")
    assert 0 < lantern.sum() < ramp_pixels(whole, "lantern").sum()
    whole_ones = paint("lanterns", params=keys | {"every": 128, "spacing": 512})
    one = ramp_pixels(whole_ones, "lantern").sum() / len(
        lantern_columns(Strand(0, 64, 0, 8, 0), 128)
    )
    assert lantern.sum() % one == 0


def columns_of(mask):
    """Columns that hold any pixel of a mask."""
    return set(mask.any(axis=0).nonzero()[0].tolist())


def test_the_glow_may_be_one_lanterns_alone():
    """A small share leaves one lantern a rope its glow, that nearest the middle of the span."""
    keys = {"spacing": 256, "every": 64, "halo": 12, "rings": "plain", "kinds": "round"}
    every, one = (paint("lanterns", params=keys | {"glows": share}) for share in (1.0, 0.1))
    lanterns = lantern_columns(Strand(0, 32, 0, 8, 0), 64)
    for painting, glows in ((every, len(lanterns)), (one, 1)):
        there = ramp_pixels(painting, "glow").any(axis=0)
        spans = painting.ink.shape[1] // 256
        assert (there & ~np.roll(there, 1)).sum() == glows * spans
    for n in (0.25, 0.5, 1.0):
        glowing = glowing_columns(Strand(0, 32, 0, 8, 0), LanternKeys(every=64, glows=n))
        assert len(glowing) == math.ceil(n * len(lanterns))
        away = [abs(column - 15) for column in lanterns if column not in glowing]
        assert all(abs(column - 15) <= min(away, default=99) for column in glowing)


@pytest.mark.parametrize("radius", [12, 16, 24])
def test_a_plain_glow_has_two_steps_without_dots(radius):
    """Each line from the edge inward: nothing, the outer ink, the inner one, and back."""
    glow = draw_glow(radius, 1, 2)
    assert (glow == glow[::-1]).all()
    assert (glow == glow[:, ::-1]).all()
    half = glow[:, : len(glow) // 2]
    assert (np.diff(half, axis=1) >= 0).all()
    assert set(np.unique(glow)) == {0, 1, 2}


@pytest.mark.parametrize("bottom", [160, 165])
def test_lanterns_are_mirrored_straight_below_themselves(bottom):
    """Below the foot lie images of lanterns, under lanterns and within their width, and no post."""
    keys = {"mirror": 32, "halo": 0, "second": 0.0, "kinds": "round", "spacing": 256}
    painting = paint("lanterns", top=64, bottom=bottom, params=keys)
    lanterns, foot = ramp_pixels(painting, "lantern"), bottom - 64 - 32
    image = lanterns[foot:]
    assert image.any()
    assert not image[: SHORE - 1].any()
    assert columns_of(image) <= columns_of(lanterns[:foot])
    widths = [int(line.sum()) for line in image if line.any()]
    assert widths[0] > 2 * widths[-1]
    assert not ramp_pixels(painting, "post")[foot:].any()
    assert ramp_pixels(painting, "post")[foot - 1].any()
