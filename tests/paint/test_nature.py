"""The painter of foliage: what holds for all its kinds.

Thrift and wrapping are the project's own rules.
"""

import functools

import numpy as np
import pytest
from painting_checks import (
    count_tiles,
    job_of,
    paint,
    stray_share,
)

from genbg.paint.table import painter

SEEDS = range(1, 4)
LOOKS = {
    "grass": ("foliage", {"kind": "grass", "flowers": 0.5}),
    "reeds": ("foliage", {"kind": "reeds"}),
    "plumes": ("foliage", {"kind": "plumes", "ground": 0.3}),
    "ferns": ("foliage", {"kind": "ferns"}),
    "bushes": ("foliage", {"kind": "bushes", "flowers": 1.0}),
    "vines": ("foliage", {"kind": "vines", "ground": 0.2}),
}
MOST = {
    "grass": 175,
    "reeds": 150,
    "plumes": 150,
    "ferns": 140,
    "bushes": 130,
    "vines": 130,
}
"""Tiles of a layer of 96 lines (768 cells), foliage of 48: what seeds need today, and 6 %."""
PAINTERS = sorted({name for name, _ in LOOKS.values()})
looks = pytest.mark.parametrize("look", LOOKS)


@functools.cache
def ink_of(look, **given):
    name, params = LOOKS[look]
    if name == "foliage":
        given = {"bottom": 88} | given
    return paint(name, params=params, **given).ink.astype(int)


@looks
def test_few_tiles_at_default_thrift(look):
    """A layer stores far fewer tiles than it has cells."""
    assert max(count_tiles(ink_of(look, seed=seed), 40) for seed in SEEDS) <= MOST[look]


@looks
def test_more_thrift_never_costs_more(look):
    """Over several seeds, full thrift stores no more tiles than none."""
    loose = sum(count_tiles(ink_of(look, seed=seed, thrift=0.0), 40) for seed in SEEDS)
    tight = sum(count_tiles(ink_of(look, seed=seed, thrift=1.0), 40) for seed in SEEDS)
    assert tight <= loose


@looks
def test_single_pixels_are_rare(look):
    """Few pixels differ from all their neighbours; mist and shafts, which are dither, apart."""
    name, params = LOOKS[look]
    params = {key: value for key, value in params.items() if key not in ("mist", "shafts")}
    shares = [stray_share(paint(name, params=params, seed=seed).ink) for seed in SEEDS]
    assert np.mean(shares) <= 0.012


@looks
def test_seeds_differ_in_shape(look):
    """Two seeds give outlines or faces that no shift by whole cells makes alike."""
    one, two = ink_of(look, seed=3), ink_of(look, seed=4)
    alike = max((np.roll(two, shift, axis=1) == one).mean() for shift in range(0, 512, 8))
    assert alike < 0.95


def test_a_job_is_not_changed():
    """Painters are pure: arrays of the job stay as they were."""
    for name in PAINTERS:
        job = job_of(name)
        before = job.ratio.copy()
        painter(name).draw(job)
        assert (job.ratio == before).all()
