"""Planes and sprites in one budget."""

from __future__ import annotations

import numpy as np
from reduce_samples import hilly_planes, no_guard

from genbg.reduce.sprite_runs import lay_runs
from genbg.reduce.store import Task, store_task
from genbg.reduce.tiles import reduce_tiles

BUDGET = 40


def test_counts_and_curve_include_the_sprites():
    """A sprite of two tiles, one of which the planes show too: the budget holds with both, and all
    counts are those of the planes alone plus the one that is the sprite's own."""
    judged, none = hilly_planes(8, 16, 11), np.zeros(4, dtype=bool)
    guard = no_guard(judged)
    alone = reduce_tiles(judged, BUDGET - 2, guard, "fast")
    shared = alone.cells.tiles[0]
    own = np.where(np.indices((8, 8)).sum(axis=0) % 2, 15, 14).astype(np.uint8)
    runs = lay_runs([np.concatenate([shared, own])])
    result = store_task(Task(judged, guard, runs, "fast", none), BUDGET).merged
    assert len(result.cells.tiles) == BUDGET - 1
    assert result.before == alone.before + 1
    assert (result.curve == alone.curve + np.array([1, 0])).all()
