"""What every bundled preset comes to when it is stored at its own budget."""

from __future__ import annotations

import numpy as np
import pytest
from picture_rules import NAMES
from skimage.metrics import structural_similarity

from genbg import Backdrop, build, load_preset
from genbg.colour import oklab_table

LEAST_SSIM = 0.94
MOST_BEFORE = 2.5
"""Patterns that painters may ask for, as a multiple of the budget."""
LEAST_DEPTHS = 2
"""A wood seen through its near trees has two; most of the set has four or more."""


@pytest.fixture(scope="module", params=NAMES)
def backdrop(request: pytest.FixtureRequest) -> Backdrop:
    return build(load_preset(request.param))


def test_stored_planes_are_like_the_painted_ones(backdrop):
    """SSIM of OKLab lightness by scikit-image, with the settings of the paper.

    Wang, Bovik, Sheikh, Simoncelli, IEEE TIP 13(4), 2004.
    """
    light = oklab_table(tuple(backdrop.machine.levels))[:, 0]
    found = [
        structural_similarity(
            light[painted],
            light[stored],
            data_range=1.0,
            gaussian_weights=True,
            sigma=1.5,
            use_sample_covariance=False,
        )
        for painted, stored in zip(backdrop.proof.painted, backdrop.proof.stored, strict=True)
    ]
    assert np.mean(found) >= LEAST_SSIM


def test_painters_are_thrifty(backdrop):
    assert len(backdrop.tiles.patterns) <= backdrop.tiles.budget
    assert backdrop.tiles.before <= MOST_BEFORE * backdrop.tiles.budget


def test_two_depths_or_more(backdrop):
    assert backdrop.proof.figures.depths.all >= LEAST_DEPTHS
