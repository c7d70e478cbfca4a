"""The terraces painter."""

import numpy as np
import pytest
from painting_checks import job_of, paint

from genbg.paint.craft.sheet import Sheet, Tones
from genbg.paint.terraces import CROPS, RAMPS, lay_contours


def contours_of(thrift=0.7, seed=1, **params):
    job = job_of("terraces", top=40, bottom=136, seed=seed, thrift=thrift, params=params)
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    return lay_contours(job, job.params, sheet), sheet


@pytest.mark.parametrize("seed", range(4))
def test_contours_go_down_and_never_cross(seed):
    """Each contour lies at or below the one behind it, and the last at the layer's foot."""
    contours, sheet = contours_of(seed=seed)
    assert (np.diff(contours, axis=0) >= 0).all()
    assert (contours[-1] >= sheet.foot).all()


@pytest.mark.parametrize(("thrift", "quantum"), [(0.9, 8), (0.7, 4), (0.0, 2)])
def test_contours_lie_on_the_lattice(thrift, quantum):
    """At the borders of cells contours stand on multiples of what the thrift allows."""
    contours, _ = contours_of(thrift)
    # The first pixel of a cell is at most one line off its border on steps of up to 16 lines.
    left = contours[:-1, ::8]
    right = np.roll(left, -1, axis=1)
    level = left == right
    assert (left[level] % quantum == 0).mean() > 0.9


def test_hills_are_as_high_as_asked():
    """The highest summit uses the asked share of the lines; see-through lies above."""
    for height in (0.4, 0.9):
        ink = paint("terraces", params={"height": height, "trees": 0.0}).ink
        first = int((ink > 0).any(axis=1).argmax())
        assert abs((96 - first) - height * 96) <= 8
        assert (ink[-1] > 0).all()


@pytest.mark.parametrize("crop", CROPS)
def test_crops_show_their_ramps(crop):
    """Rice stands in water; tea needs none."""
    ink = paint("terraces", params={"crop": crop, "height": 1.0, "trees": 0.0}, seed=3).ink
    water = (ink > 5) & (ink <= 8)
    assert water.any() == (crop != "tea")


def test_lamps_are_kept_and_counted():
    """Lamps are guarded pixel by pixel, none without the key, more with more of it."""
    counts = []
    for lamps in (0.0, 0.3, 1.0):
        painting = paint("terraces", params={"lamps": lamps})
        counts.append(int(painting.guard.sum()))
    assert counts[0] == 0 < counts[1] < counts[2]


def test_walls_hold_every_field():
    """Between lip and next field lies a wall: its ramp covers a good part of the hills."""
    thin = paint("terraces", params={"wall": 0.2, "step": 24, "trees": 0.0}).ink
    thick = paint("terraces", params={"wall": 0.6, "step": 24, "trees": 0.0}).ink
    share = [((ink > 8) & (ink <= 12)).mean() for ink in (thin, thick)]
    assert 0.02 < share[0] < share[1]
