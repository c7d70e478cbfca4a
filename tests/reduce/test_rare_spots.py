"""Marked pixels and rare spots keep their look."""

from __future__ import annotations

import numpy as np
import pytest
from reduce_samples import hilly_planes, no_guard, painted_inks, shown_inks

from genbg.model import KEPT, SHAPED
from genbg.reduce import heavy
from genbg.reduce.exact import find_cells
from genbg.reduce.heavy import (
    GUARD_MOST,
    GUARD_WEIGHT,
    SPOT_WEIGHT,
    guard_weight,
    heavy_pixels,
    rare_spots,
)
from genbg.reduce.judge import Judged
from genbg.reduce.metric import SCALE
from genbg.reduce.tiles import SHAPE_LEFT, reduce_tiles


@pytest.fixture(autouse=True)
def few_restarts():
    """No: whether a spot is kept may hang on a late restart, so the search is run in full."""


def starry_planes() -> tuple[Judged, np.ndarray]:
    """Dark hills with a dozen single bright pixels, and where these are."""
    judged = hilly_planes(12, 24, 2, grainy=False)
    index = np.minimum(judged.index, 3)
    random = np.random.Generator(np.random.PCG64(7))
    stars = np.zeros(index.shape, dtype=bool)
    for y, x in zip(random.integers(2, 94, 12), random.integers(0, 192, 12), strict=True):
        stars[0, y, x] = True
    index[stars] = 8
    row = np.zeros_like(judged.row)
    return Judged(judged.palette, index, row, judged.steps), stars


def pixel_errors(judged: Judged, guard: np.ndarray, budget: int):
    merged = reduce_tiles(judged, budget, guard)
    lab = judged.steps
    off = lab[shown_inks(judged, merged)].astype(np.int64) - lab[painted_inks(judged)]
    return (off * off).sum(axis=3)


def test_a_lone_star_is_a_rare_spot_and_a_dither_is_not():
    """One bright pixel on an even ground stands out; a checkerboard of them does not."""
    light = np.zeros((1, 128, 128), dtype=np.int32)
    light[0, 20, 20] = SCALE // 2
    light[0, 64:, 64:][np.indices((64, 64)).sum(axis=0) % 2 == 0] = SCALE // 2
    spots = rare_spots(light)
    assert spots[0, 20, 20]
    assert spots[0, :48, :48].sum() == 1
    assert not spots[0, 80:112, 80:112].any()


def test_spots_are_found_across_the_seam_of_the_plane():
    """A star in the last column is seen as one in the middle is."""
    light = np.zeros((1, 64, 64), dtype=np.int32)
    light[0, 30, 63] = SCALE // 2
    assert rare_spots(light).sum() == 1


def test_marked_pixels_weigh_most():
    """The painter's mark goes before the rule."""
    light = np.zeros((1, 64, 64), dtype=np.int32)
    light[0, 9, 9], light[0, 50, 50] = SCALE // 2, SCALE // 2
    guard = np.zeros(light.shape, dtype=bool)
    guard[0, 9, 9] = True
    weights = heavy_pixels(light, guard)
    assert sorted(weights[weights > 0].tolist()) == [SPOT_WEIGHT, GUARD_MOST]


def test_many_marks_weigh_less_each():
    """All marks together weigh a twentieth of the picture at most, or each counts twice; up to a
    two-hundredth each weighs more than is usual."""
    pixels = 512 * 256
    counts = np.array([1, 12, 60, 300, 1000, 3000, 30_000, pixels])
    weights = np.array([guard_weight(int(marked), pixels) for marked in counts])
    assert weights.tolist() == [GUARD_MOST] * 3 + [GUARD_WEIGHT, GUARD_WEIGHT, 2, 1, 1]
    assert (counts * weights <= pixels / 20)[weights > 1].all()
    assert (counts * weights <= pixels / 200)[weights > GUARD_WEIGHT].all()
    assert guard_weight(0, pixels) == GUARD_MOST


def test_stars_keep_their_look(monkeypatch):
    """Rare spots err no more than the mean pixel; without the rule, fifty times as much."""
    judged, stars = starry_planes()
    error = pixel_errors(judged, no_guard(judged), 60)
    assert error[stars].mean() <= error.mean()
    monkeypatch.setattr(heavy, "SPOT_WEIGHT", 0)
    error = pixel_errors(judged, no_guard(judged), 60)
    assert error[stars].mean() >= 50 * error.mean()


def test_marked_stars_are_kept():
    """What a painter marked errs less than the mean pixel where three tiles in ten are left."""
    judged, stars = starry_planes()
    error = pixel_errors(judged, stars, 40)
    assert error[stars].mean() <= error.mean()


def test_marks_cost_the_rest_of_the_picture_little():
    """The whole error grows by no more than a tenth for twelve marked pixels."""
    judged, stars = starry_planes()
    with_marks = pixel_errors(judged, stars, 50).sum()
    without = pixel_errors(judged, no_guard(judged), 50).sum()
    assert with_marks <= 1.1 * without


def test_a_layer_that_the_preset_keeps_stays_as_it_is():
    """A third of the picture kept at half of the tiles errs a twentieth of what is left."""
    judged, _ = starry_planes()
    kept = np.zeros(judged.index.shape, dtype=bool)
    kept[:, :, :64] = True
    error = pixel_errors(judged, np.where(kept, KEPT, 0).astype(np.uint8), 72)
    assert error[kept].mean() <= error[~kept].mean() / 20
    marked = pixel_errors(judged, kept, 72)
    assert marked[kept].mean() > 2 * error[kept].mean()


def test_a_plain_shape_is_kept_where_most_tiles_are_left():
    """A third of the picture that a painter calls a shape stays as it is at two tiles in three;
    where few are left its size has to protect it, and it weighs nothing beside."""
    judged, _ = starry_planes()
    before = len(find_cells(judged.index, judged.row).tiles)
    shape = np.zeros(judged.index.shape, dtype=np.uint8)
    shape[:, :, :64] = SHAPED
    error = pixel_errors(judged, shape, 2 * before // 3)
    plain = pixel_errors(judged, no_guard(judged), 2 * before // 3)
    assert error[shape > 0].mean() <= plain[shape > 0].mean() / 20
    few = int(SHAPE_LEFT * before)
    assert (pixel_errors(judged, shape, few) == pixel_errors(judged, no_guard(judged), few)).all()
