"""The sea: perspective, what hides what, the great wave, the path of light."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.contract import Body, Job
from genbg.paint.craft.swell import Roller, glints, path_light, roller_at, spacing, swell


def test_spacings_grow_evenly_with_the_line():
    """On a level plane seen by a pinhole camera, depth goes with 1 / line below the horizon, so a
    length there spans pixels in proportion to the line (Hartley and Zisserman, ch. 6).
    """
    grown = np.diff(spacing(np.arange(0.0, 100.0, 10.0)))
    assert grown == pytest.approx(grown[0])
    assert grown[0] > 0


def test_near_water_hides_far_water():
    """Down each column, the water seen never lies farther than what is above it."""
    sea = swell(80, 256, 5, high=0.6)
    assert sea.wet.all() or not sea.wet[0].all()
    line = np.where(sea.wet, sea.line, -1.0)
    assert np.diff(line, axis=0).min() >= 0.0


def test_a_flat_sea_lies_on_its_lines():
    """Without waves, the pixel row under the horizon is the line of water seen in it."""
    sea = swell(64, 256, 5, high=0.0)
    rows = np.arange(64)[:, None] + 0.5
    assert np.abs(sea.line - rows).max() <= 0.5


def test_the_sea_wraps():
    """The step over the seam is like those inside, in the mean of seeds: below 19 in 20 of them."""
    across, inside = 0.0, 0.0
    for seed in range(6):
        height = swell(60, 512, seed).height
        steps = np.abs(np.diff(height, axis=1)).mean(axis=0)
        across += np.abs(height[:, 0] - height[:, -1]).mean()
        inside += np.percentile(steps, 95)
    assert across <= inside


@pytest.mark.parametrize("turn", [1.0, -1.0])
def test_a_roller_stands_over_the_sea_behind_it(turn):
    """Where it is highest its crest is `tall` pixels above its line, and it has a back, a crest and
    a face. That place lies on the side on which it breaks; on the other it runs out longer."""
    roller = Roller(128.0, 80.0, 50.0, 24.0, 20.0, turn)
    line = np.arange(0.0, 120.0, 0.25)
    rise, down = roller_at(roller, line, 256, 3)
    ridge = rise.max(axis=0)
    column = int(ridge.argmax())
    crest = np.argmin(np.abs(down[:, column]))
    assert rise[crest, column] == pytest.approx(1.0, abs=0.05)
    assert rise[0, column] == rise[-1, column] == 0.0
    high = np.flatnonzero(ridge > 0.25)
    short, long = sorted((column - high[0], high[-1] - column))
    assert turn * (128 - column) > 0
    assert long > 1.5 * short
    flat, waved = (swell(100, 256, 3, high=0.0, roller=one) for one in (None, roller))
    lifted = np.argmax(waved.down[:, column] >= 0.0)
    assert flat.line[lifted, column] == pytest.approx(line[crest] - 24.0, abs=2.0)


def job(x: float) -> Job:
    ratio = np.ones(80)
    steps = {"path": 6}
    body = Body(x, 90.0, 10.0)
    return Job(512, 100, 180, 4, None, (0.0, 1.0), 8.0, ratio, 0.4, steps, body=body)


@pytest.mark.parametrize("x", [40.0, 256.0])
def test_the_path_lies_under_the_body(x):
    """A mirror's equal angles: facets that show the body lie toward it, so the path's light has
    its middle under the body and fades to both sides.
    """
    sea = swell(80, 512, 6)
    light = path_light(sea, job(x), 0.9)
    off = (np.arange(512) + 0.5 - x + 256) % 512 - 256
    total = light.sum(axis=0)
    assert abs((total * off).sum() / total.sum()) < 6.0
    assert total[np.abs(off) > 150].sum() == 0.0
    assert 0 <= light.min() < light.max() <= 6


def test_glints_grow_toward_us():
    """Runs of one sign along a row are longer on near lines than on far ones."""
    dash = glints(swell(100, 512, 2, high=0.0), 512, 8) > 0
    turns = (np.diff(dash.astype(int), axis=1) != 0).sum(axis=1)
    assert turns[4:12].mean() > 2.5 * turns[80:90].mean()
