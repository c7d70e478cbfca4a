"""Texture that comes again: which cells may become equal, and which never change.

The claims follow from what a tile is (common practice, no source) and are worked by hand.
"""

from __future__ import annotations

import numpy as np
import pytest

from genbg.model import Painting, RampUse
from genbg.paint.craft.repeat import Repeat, repeat_texture

TURF = RampUse("turf", 6), RampUse("stone", 3)
FIRST_STONE = 7


def painting(lines: int = 16, width: int = 64, guard: np.ndarray | None = None) -> Painting:
    ink = 2 + np.random.default_rng(5).integers(0, 3, (lines, width))
    return Painting(ink.astype(np.uint16), TURF, guard)


def tiles(ink: np.ndarray) -> int:
    lines, width = ink.shape
    cells = ink.reshape(lines // 8, 8, width // 8, 8).transpose(0, 2, 1, 3).reshape(-1, 64)
    return len(np.unique(cells, axis=0))


@pytest.mark.parametrize("period", [1, 2, 4])
def test_like_cells_share_as_many_tiles_as_the_period(period):
    before = painting()
    after = repeat_texture(before, 0, (Repeat("turf", period, step=6.0),))
    assert tiles(before.ink) == 16
    assert tiles(after.ink) == 2 * period
    assert np.array_equal(after.ink[:, : 8 * period], before.ink[:, : 8 * period])


def test_rows_may_share_textures():
    after = repeat_texture(painting(), 0, (Repeat("turf", 1, step=6.0, rows=2),))
    assert tiles(after.ink) == 1


def test_quarters_apart_by_more_than_a_step_keep_their_pixels():
    ink = np.full((8, 32), 2, dtype=np.uint16)
    ink[:4, 8:12] = 4  # one quarter two tones lighter
    ink[:4, 16:20] = 3  # and one tone
    after = repeat_texture(Painting(ink, TURF), 0, (Repeat("turf", 1, step=1.0),)).ink
    assert np.array_equal(after[:, 8:16], ink[:, 8:16])
    assert (after[:, 16:24] == 2).all()


def test_pixels_apart_on_the_whole_keep_their_own():
    ink = np.full((8, 16), 2, dtype=np.uint16)
    ink[:, 0::2] = 3
    ink[:, 8:] = 5 - ink[:, 8:]  # the same means, every pixel one tone apart
    strict = repeat_texture(Painting(ink, TURF), 0, (Repeat("turf", 1, pixel=0.9),)).ink
    loose = repeat_texture(Painting(ink, TURF), 0, (Repeat("turf", 1, pixel=1.0),)).ink
    assert np.array_equal(strict, ink)
    assert tiles(loose) == 1


def test_the_calmest_cell_comes_again():
    ink = np.full((8, 24), 3, dtype=np.uint16)
    ink[:, 1] = 2
    after = repeat_texture(Painting(ink, TURF), 0, (Repeat("turf", 1, calm=True),)).ink
    assert (after == 3).all()


def test_guarded_mixed_see_through_and_cut_cells_stay():
    guard = np.zeros((20, 64), dtype=bool)
    guard[6, 9] = True
    before = painting(20, guard=guard)
    before.ink[10, 20] = FIRST_STONE
    before.ink[10, 30] = 0
    after = repeat_texture(before, 4, (Repeat("turf", 1, step=6.0),)).ink
    kept = np.zeros((20, 64), dtype=bool)
    kept[:4] = True  # above the screen's first whole row of cells
    kept[4:12, 8:32] = True  # the cells that hold them
    assert np.array_equal(after[kept], before.ink[kept])
    assert (after[4:12, 32:40] == after[4:12, 0:8]).all()
