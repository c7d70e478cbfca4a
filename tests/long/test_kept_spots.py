"""Marked pixels and rare spots keep their look where the search is run in full: whether a spot is
kept may hang on a late restart."""

from __future__ import annotations

import numpy as np
from reduce_samples import hilly_planes, no_guard, painted_inks, shown_inks

from genbg.model import KEPT, SHAPED
from genbg.reduce import heavy
from genbg.reduce.exact import find_cells
from genbg.reduce.judge import Judged
from genbg.reduce.tiles import SHAPE_LEFT, reduce_tiles


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
