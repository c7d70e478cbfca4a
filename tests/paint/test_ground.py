"""The ground painter, and the dashes it shares with water: lines that may part."""

import numpy as np
import pytest
from painting_checks import count_patterns, job_of, paint, sheared, step_at_wrap, stray_share

from genbg.paint.ground import MATERIALS
from genbg.paint.parts.dashes import (
    dither_lines,
    lay_links,
    make_links,
    nearness,
    ring_for,
    ring_pairs,
    walk_ring,
)

FLOOR = {"top": 144, "bottom": 224, "ratio": (0.125, 1.0)}
SEEDS = range(1, 9)


def dash_lengths(line):
    """Lengths of the runs of one ink on a line, wrapping."""
    ends = np.flatnonzero(line != np.roll(line, 1))
    return np.diff(np.append(ends, ends[:1] + len(line)))


@pytest.mark.parametrize("material", MATERIALS)
def test_a_floor_wraps_and_is_thrifty(material):
    """No hard join at the edge, few strays, and 80 lines, 640 cells, of at most 75 patterns."""
    joins, inside = [], []
    for seed in SEEDS:
        ink = paint("ground", seed=seed, **FLOOR, params={"material": material}).ink
        join, others = step_at_wrap(ink)
        joins.append(join)
        inside.append(others)
        assert count_patterns(ink, 144) <= 75
        assert stray_share(ink) <= 0.005
        assert (ink > 0).all()
    assert np.mean(joins) <= np.quantile(np.concatenate(inside), 0.95)


def test_thrift_costs_fewer_patterns():
    """Twice as many profiles in a ring, twice as many patterns in a cell row."""
    counts = [
        count_patterns(paint("ground", thrift=thrift, **FLOOR).ink, 144)
        for thrift in (0.0, 0.5, 0.75, 1.0)
    ]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] > 2 * counts[3]
    assert counts[3] <= 10 * 2 * ring_for(1.0)


def test_each_cell_row_knows_only_its_stock():
    """A cell row holds at most two patterns for each profile of its ring, mirrors not counted."""
    ink = paint("ground", **FLOOR).ink
    for row in range(10):
        cells = ink[row * 8 : row * 8 + 8].reshape(8, 64, 8).transpose(1, 0, 2)
        assert len(np.unique(cells, axis=0)) <= 2 * ring_for(0.75)


@pytest.mark.parametrize("material", MATERIALS)
def test_a_floor_looks_the_same_at_any_camera(material):
    """After 1000 and 5000 pixels, neighbouring lines agree no less and no more than at first.

    What hangs together down the lines would be torn: agreement of neighbouring lines would fall.
    Measured against lines that are shuffled sideways at random, and over several seeds.
    """
    job = job_of("ground", **FLOOR)
    at_first, later = [], []
    for seed in SEEDS:
        ink = paint("ground", seed=seed, **FLOOR, params={"material": material}).ink
        for camera, found in ((0, at_first), (1000, later), (5000, later)):
            moved = sheared(ink, job.ratio, camera)
            found.append((moved[1:] == moved[:-1]).mean())
    assert abs(np.mean(later) - np.mean(at_first)) < 0.13


def test_marks_grow_with_nearness():
    """Dashes of the nearest cell rows are longer than those of the farthest."""
    far, near = [], []
    for seed in SEEDS:
        ink = paint("ground", seed=seed, **FLOOR, params={"stripes": 0.0}).ink
        far += [dash_lengths(line) for line in ink[:16]]
        near += [dash_lengths(line) for line in ink[-16:]]
    assert np.concatenate(near).mean() > 1.4 * np.concatenate(far).mean()


def test_courses_keep_their_width_on_the_floor():
    """Seams of a deck lie evenly in depth, as a pinhole camera sees them: ground plane depth is
    f * height / (line - horizon), Hartley and Zisserman, "Multiple View Geometry", 2nd ed., ch. 6.
    """
    params = {"material": "planks", "stripes": 1.0, "marks": 0.0}
    job = job_of("ground", params=params, **FLOOR)
    ink = paint("ground", params=params, **FLOOR).ink
    assert (ink == ink[:, :1]).all()
    tone = ink[:, 0].astype(int)
    seams = np.flatnonzero((tone[1:-1] <= tone[:-2] - 1) & (tone[1:-1] < tone[2:])) + 1
    # The nearest seams are the exact ones: rounding to lines matters least there.
    depth = 1.0 / job.ratio[seams[-3:]]
    first, second = depth[0] - depth[1], depth[1] - depth[2]
    line = np.abs(np.diff(1.0 / job.ratio))[seams[-3]]
    assert abs(first - second) <= 2 * line
    assert (np.diff(seams[-4:]) > 0).all()
    assert seams[-1] - seams[-2] > seams[-3] - seams[-4]


def test_params_show():
    """No marks and no stripes leave plain lines; both together leave fewer plain lines."""
    bare = paint("ground", **FLOOR, params={"marks": 0.0, "stripes": 0.0}).ink
    assert (bare == bare[:, :1]).all()
    full = paint("ground", **FLOOR, params={"marks": 1.0}).ink
    half = paint("ground", **FLOOR, params={"marks": 0.3}).ink
    changes = [(ink != np.roll(ink, 1, axis=1)).mean() for ink in (bare, half, full)]
    assert changes[0] < changes[1] < changes[2]
    large = paint("ground", **FLOOR, params={"size": 3.0}).ink
    plain = paint("ground", **FLOOR).ink
    runs = [np.concatenate([dash_lengths(line) for line in ink]).mean() for ink in (plain, large)]
    assert runs[1] > 1.3 * runs[0]


def test_the_same_seed_again_and_another():
    """One seed, one floor; another seed, another floor."""
    first, again, other = (paint("ground", seed=seed, **FLOOR).ink for seed in (1, 1, 2))
    assert np.array_equal(first, again)
    assert (first != other).mean() > 0.2


def test_walks_close_and_know_only_linked_steps():
    """Whatever its length, a walk takes ring steps only and may start over."""
    for count in (1, 2, 3, 8):
        ring = range(count)
        allowed = set(ring_pairs(ring))
        for columns in (1, 2, 3, 7, 64):
            for seed in range(5):
                walk = walk_ring(ring, columns, 0.3, seed, 0)
                assert len(walk) == columns
                assert set(zip(walk, np.roll(walk, -1), strict=True)) <= allowed


def test_links_join():
    """The pixels left and right of every border between cells are those of its profile."""
    tones = np.arange(24).reshape(8, 3)
    pairs = ring_pairs(range(3))
    links = make_links(tones, pairs, np.arange(8), 5)
    walk = walk_ring(range(3), 16, 0.4, 1, 0)[None, :]
    picture = lay_links(links, pairs, walk, 0)
    expected = tones[:, walk[0]]
    assert np.array_equal(picture[:, ::8], expected)
    assert np.array_equal(np.roll(picture, 1, axis=1)[:, ::8], expected)


def test_nearness_is_the_inverse_of_depth():
    """A line that moves twice as far is twice as near; lines that move alike lie as on a floor."""
    assert nearness(np.array([0.1, 0.2, 0.4])).tolist() == [0.25, 0.5, 1.0]
    alike = nearness(np.full(5, 0.3))
    assert np.allclose(np.diff(alike, 2), 0)
    assert alike[-1] == 1.0


def test_lines_mix_tones_in_the_share_of_the_level():
    """Of four lines at a level of 1.25, 1.5 and 1.75 one, two and three take tone 2."""
    for part in range(5):
        tones = dither_lines(np.full(16, 1 + part / 4), 3)
        assert (tones == 2).sum() == part * 4
