"""changes.png and curve.png: what merging changed, and what other budgets would cost."""

from __future__ import annotations

import dataclasses
import io

import numpy as np
import pytest
from PIL import Image
from sample import changed, make_backdrop

from genbg.colour import lab_steps
from genbg.write import merging


def test_changes_grow_with_the_colour_distance():
    """Levels are 0 where nothing differs and count steps of 20 lab steps elsewhere, 15 at most."""
    backdrop = make_backdrop(1)
    stored = backdrop.proof.painted.copy()
    stored[0, 0] = (stored[0, 0] + np.arange(stored.shape[2])) % 512
    backdrop = changed(backdrop, stored=stored)
    levels = merging.change_levels(backdrop)
    lab = lab_steps(backdrop.machine.levels).astype(float)
    apart = np.sqrt(((lab[backdrop.proof.painted] - lab[stored]) ** 2).sum(axis=-1))
    expected = np.minimum(1 + np.floor(apart / 20), 15)
    expected[backdrop.proof.painted == stored] = 0
    assert (levels == expected).all()
    assert levels.max() == 15


def test_unchanged_pixels_are_grey_and_changed_ones_are_not():
    """A second decoder sees a grey where stored and painted agree, and a colour elsewhere."""
    backdrop = make_backdrop(1)
    stored = backdrop.proof.painted.copy()
    stored[1, 40:48, 16:24] ^= 511
    backdrop = changed(backdrop, stored=stored)
    data = dict(merging.files(backdrop))["changes.png"]
    seen = np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))
    planes, height, width = stored.shape
    assert seen.shape == (planes * height, width, 3)
    grey = (seen == seen[..., :1]).all(axis=2).reshape(planes, height, width)
    assert (grey == (stored == backdrop.proof.painted)).all()


def test_the_curve_is_drawn_where_tiles_were_merged():
    """The marked place is that of the stored tiles; without a curve there is no picture."""
    backdrop = make_backdrop(1)
    plain = changed(backdrop, curve=np.zeros((0, 2)))
    assert "curve.png" not in dict(merging.files(plain))
    stored = len(backdrop.tiles.pixels)
    curve = np.array([[2.0 * stored - 1, 0.0], [stored, 0.0004], [1, 0.01]])
    error = dataclasses.replace(backdrop.proof.error, oklab_mse=0.0004)
    backdrop = changed(backdrop, curve=curve, error=error)
    data = dict(merging.files(backdrop))["curve.png"]
    seen = np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))
    assert seen.shape == (merging.HEIGHT, merging.WIDTH, 3)
    marks = (merging.plot(backdrop) == merging.MARK).sum(axis=0)
    middle = merging.LEFT + (merging.WIDTH - merging.LEFT - merging.RIGHT - 1) / 2
    assert abs(int(marks.argmax()) - middle) <= 1


@pytest.mark.parametrize(("value", "above"), [(0.0, 0.004), (0.004, 0.004), (0.0041, 0.008)])
def test_scale_of_the_plot(value, above):
    """The first of 0.004 and its doubles that holds every value."""
    assert merging.nice_above(value) == above
