"""The dunes painter: one light, gentle and steep sides, ripples that meet, few patterns."""

import numpy as np
import pytest
from painting_checks import (
    LIGHT_LEFT,
    LIGHT_RIGHT,
    count_patterns,
    paint,
    step_at_wrap,
    stray_share,
)

SEEDS = range(1, 5)
LOOKS = {
    "two ranks": {},
    "one rank": {"ranks": 1},
    "smooth": {"ripples": 0.0},
    "broad ripples": {"ripple": 8, "ripples": 0.9},
}
LIT = (4, 5, 6, 7, 8)
SHADE = (1, 2, 3)


def outline_of(ink):
    """First painted line of every column."""
    assert (ink[-1] > 0).all()
    return (ink > 0).argmax(axis=0)


@pytest.mark.parametrize("look", LOOKS)
def test_dunes_wrap(look):
    """The join of right and left edge is not harder than joins of cells inside."""
    joins, inside = [], []
    for seed in SEEDS:
        join, others = step_at_wrap(paint("dunes", seed=seed, params=LOOKS[look]).ink)
        joins.append(join)
        inside.append(others[7::8])
    assert np.mean(joins) <= np.quantile(np.concatenate(inside), 0.95)


@pytest.mark.parametrize(("look", "most"), list(zip(LOOKS, (240, 240, 190, 310), strict=True)))
def test_few_patterns_at_default_thrift(look, most):
    """96 lines of dunes, 768 cells, cost a third of them or less."""
    counts = [count_patterns(paint("dunes", seed=s, params=LOOKS[look]).ink, 40) for s in SEEDS]
    assert max(counts) <= most, counts


def test_thrift_costs_fewer_patterns():
    """Each turn of the thrift saves patterns."""
    counts = [
        sum(count_patterns(paint("dunes", seed=s, thrift=t).ink, 40) for s in SEEDS)
        for t in (0.1, 0.4, 0.8)
    ]
    assert counts[0] > counts[1] > counts[2]


@pytest.mark.parametrize("look", LOOKS)
def test_few_stray_pixels(look):
    """At most 0.5 % of pixels have no neighbour of their ink."""
    for seed in SEEDS:
        assert stray_share(paint("dunes", seed=seed, params=LOOKS[look]).ink) <= 0.005


def test_the_same_job_gives_the_same_pixels_and_seeds_differ_in_shape():
    """Two seeds differ in their outline even when one is moved along the other."""
    first, again, other = (paint("dunes", seed=seed).ink for seed in (1, 1, 2))
    assert np.array_equal(first, again)
    a, b = outline_of(first), outline_of(other)
    assert min(np.abs(a - np.roll(b, by)).mean() for by in range(512)) > 2.0


def test_light_from_the_other_side_mirrors_the_dunes():
    """Wind and light come from one side, so all turns with the light."""
    left = paint("dunes", light=LIGHT_LEFT).ink
    right = paint("dunes", light=LIGHT_RIGHT).ink
    assert np.array_equal(left, right[:, ::-1])


def test_the_lit_side_is_long_and_the_shaded_side_steep():
    """Toward the wind a dune climbs gently, away from it sand slides off at its angle of repose.

    R. A. Bagnold, "The Physics of Blown Sand and Desert Dunes", 1941: about 10 to 15 degrees
    against about 34; the figures are from memory, and painters draw both steeper.
    """
    for seed in SEEDS:
        ink = paint("dunes", seed=seed, params={"ranks": 1, "height": 0.9}).ink
        outline = outline_of(ink)
        below = ink[np.clip(outline + 3, 0, len(ink) - 1), np.arange(512)]
        slope = (np.roll(outline, -4) - np.roll(outline, 4)) / 8.0
        lit, shaded = np.isin(below, LIT), np.isin(below, SHADE)
        assert lit.mean() > 0.5
        assert shaded.mean() > 0.05
        assert slope[lit].mean() < 0 < slope[shaded].mean()
        assert slope[shaded].mean() > 1.2 * -slope[lit].mean()


def test_closed_dunes_leave_no_sky():
    """With `closed`, sand lies above the crests and nothing else changes."""
    free, closed = paint("dunes").ink, paint("dunes", params={"closed": True}).ink
    assert (closed > 0).all()
    assert np.array_equal(closed[free > 0], free[free > 0])


def test_height_and_ripples_do_what_they_say():
    """Crests reach the height asked for; more ripples darken more of the lit slopes."""
    params = {"spacing": 512, "ranks": 1}
    for share in (0.3, 0.6, 0.9):
        top = outline_of(paint("dunes", params=params | {"height": share}).ink).min()
        assert 0.55 * share <= (96 - top) / 96 <= share + 0.05
    shares = [
        np.isin(paint("dunes", params={"ripples": r}).ink, (4, 5, 6)).mean() for r in (0.1, 0.5, 1)
    ]
    assert shares[0] < shares[1] < shares[2]


@pytest.mark.parametrize("steps", [2, 3, 5, 8, 12])
def test_a_ramp_may_have_any_number_of_steps(steps):
    """Tones spread over however many inks a preset asks for."""
    ink = paint("dunes", steps={"sand": steps}).ink
    assert ink.max() == steps
    assert ink[ink > 0].min() == 1


@pytest.mark.parametrize("lines", [(0, 1), (3, 11), (100, 224), (37, 90)])
@pytest.mark.parametrize("width", [256, 1024])
def test_any_band_can_be_painted(lines, width):
    """One line, a few, many, off the cell grid, narrow and wide: no failure, all columns full."""
    for params in LOOKS.values():
        ink = paint("dunes", top=lines[0], bottom=lines[1], width=width, params=params).ink
        assert (ink[-1] > 0).all()
