"""Merging where colours are rewritten part-way down: every cell is judged by the colours of its own
lines, against what a plain walk down the screen finds."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.model import Fit
from genbg.model.zones import plan_zones
from genbg.reduce.judge import judge_zones, zone_of_cells
from genbg.reduce.tiles import reduce_tiles

CASES = [
    ((96, 160), None),
    ((3, 12, 21, 30), None),
    ((60,), 112),
    ((20, 60, 150), 112),
]


@pytest.mark.parametrize(("splits", "mirror"), CASES)
def test_a_row_of_cells_belongs_to_the_zone_of_most_of_its_lines(splits, mirror):
    """Counted line by line; where two zones have four lines each, the upper one above a mirror."""
    plan = plan_zones(224, splits, mirror)
    found = zone_of_cells(plan, 28)
    for row in range(28):
        lines = [plan.zone_of(line) for line in range(row * 8, row * 8 + 8)]
        most = max(lines.count(zone) for zone in lines)
        assert found[row] == min(zone for zone in lines if lines.count(zone) == most)


def two_zones(upper: np.ndarray, lower: np.ndarray) -> Fit:
    """Two zones of one row of four cells: in each a plain cell and three with marks of their own,
    drawn in entries 1 and 2, which hold the inks (4, 16) of `upper` and of `lower`.
    """
    cells = np.ones((2, 4, 8, 8), dtype=np.uint8)
    for zone in range(2):
        for mark in range(1, 4):
            cells[zone, mark, zone : 2 * mark + zone, : mark + 2 * zone] = 2
    index = cells.transpose(0, 2, 1, 3).reshape(16, 32)
    none = np.zeros((1, 2, 4), dtype=np.uint8)
    return Fit(np.stack([upper, lower]), index[None], none, True)


@pytest.mark.parametrize("plain", [0, 1])
@pytest.mark.parametrize("budget", [6, 5])
def test_what_looks_alike_is_merged_and_what_does_not_is_kept(plain, budget):
    """In one zone marks are a shade off, in the other black on white: only the first are merged."""
    steps = np.array([[0, 0, 0], [400, 0, 0], [410, 0, 0], [0, 0, 0], [1000, 0, 0]])
    palettes = np.zeros((2, 4, 16), dtype=np.uint16)
    palettes[plain, 0, 1:3] = 1, 2
    palettes[1 - plain, 0, 1:3] = 3, 4
    fitted = two_zones(*palettes)
    plan = plan_zones(16, (8,))
    judged = judge_zones(fitted, steps, plan, (0, 0))
    stored = reduce_tiles(judged, budget, np.zeros((1, 16, 32), dtype=bool)).cells
    assert len(stored.tiles) <= budget
    assert (stored.row // 4 == np.arange(2)[:, None]).all()
    sharp = 1 - plain
    for column in range(4):
        tile = stored.tiles[stored.number[0, sharp, column]]
        tile = tile[:, ::-1] if stored.hflip[0, sharp, column] else tile
        tile = tile[::-1] if stored.vflip[0, sharp, column] else tile
        shown = palettes[sharp, stored.row[0, sharp, column] % 4][tile]
        cell = fitted.index[0, sharp * 8 : sharp * 8 + 8, column * 8 : column * 8 + 8]
        assert (shown == palettes[sharp, 0][cell]).all()


def test_one_zone_is_judged_as_it_is():
    """Nothing is numbered anew where all lines have one palette, a reflection or none."""
    palette = np.zeros((4, 16), dtype=np.uint16)
    two, steps = two_zones(palette, palette), np.zeros((1, 3), dtype=np.int64)
    judged = judge_zones(Fit(palette[None], two.index, two.row, True), steps, plan_zones(16), (0,))
    assert np.array_equal(judged.palette, palette)
    assert judged.index is two.index
    assert judged.row is two.row
    assert judged.steps is steps
