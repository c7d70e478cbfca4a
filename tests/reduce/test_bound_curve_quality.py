"""The bound, the curve of error against budget, and budgets that hold a quality."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from reduce_samples import hilly_planes, no_guard, ramp_palette, square_error

from genbg.colour import LAB_SCALE
from genbg.errors import LimitError
from genbg.reduce.bound import error_bound
from genbg.reduce.judge import Judged
from genbg.reduce.quality import fit_budget
from genbg.reduce.tiles import Merged, reduce_tiles


def tiny_planes(seed: int) -> Judged:
    """Four cells of two rows that have little in common."""
    random = np.random.Generator(np.random.PCG64(seed))
    palette, lab = ramp_palette(2)
    palette[2:] = 0
    index = random.integers(1, 16, (1, 8, 32)).astype(np.uint8)
    return Judged(palette, index, np.array([[[0, 1, 0, 1]]], dtype=np.uint8), lab)


def exact_optimum(judged: Judged, budget: int) -> float:
    """Least squared error of all: every grouping, every row and flip of every cell, every entry."""
    cells = [judged.index[0, :, 8 * c : 8 * c + 8] for c in range(4)]
    lab = judged.steps
    want = [lab[judged.palette[judged.row[0, 0, c]][cells[c]]].astype(np.int64) for c in range(4)]
    ways = []
    for cell in want:
        options = []
        for row, a, b in itertools.product((0, 1), (1, -1), (1, -1)):
            off = cell[::a, ::b, None] - lab[judged.palette[row]][None, None]
            cost = (off * off).sum(axis=3)
            cost[:, :, 0] = 1 << 30
            options.append(cost)
        ways.append(options)

    def together(group: tuple[int, ...]) -> int:
        first, rest = group[0], group[1:]
        if not rest:
            return 0
        # by symmetry the first cell may keep one flip; its row is free
        return min(
            int(
                sum((ways[c][w] for c, w in zip(rest, way, strict=True)), ways[first][own])
                .min(axis=2)
                .sum()
            )
            for own in (0, 4)
            for way in itertools.product(range(8), repeat=len(rest))
        )

    best = None
    for label in itertools.product(range(budget), repeat=4):
        groups = [tuple(c for c in range(4) if label[c] == g) for g in range(budget)]
        cost = sum(together(group) for group in groups if group)
        best = cost if best is None else min(best, cost)
    assert best is not None
    return best / (LAB_SCALE**2 * 256)


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("budget", [2, 3])
def test_bound_is_below_the_exact_optimum(seed, budget):
    """All ways to share tiles are tried; none goes below the bound, and it is not idle."""
    judged = tiny_planes(seed)
    optimum = exact_optimum(judged, budget)
    bound = error_bound(judged, budget)
    assert 0 < bound <= optimum


def test_bound_is_reached_where_one_pair_must_share():
    """With one tile too few the bound is half of the exact optimum at least."""
    judged = tiny_planes(1)
    assert error_bound(judged, 3) >= exact_optimum(judged, 3) / 2


@pytest.mark.slow
def test_bound_holds_against_the_search():
    """The search never goes below it; with enough tiles it is zero; it falls with the budget."""
    judged = hilly_planes(8, 16, 5, see_through=True)
    found = []
    for budget in (10, 60, 120):
        merged = reduce_tiles(judged, budget, no_guard(judged), free=np.ones(4, dtype=bool))
        error = square_error(judged, merged) / (LAB_SCALE**2 * judged.index.size)
        assert error_bound(judged.reordered(merged.entry_order), budget) <= error
        bound = error_bound(judged, budget)
        found.append(bound)
    assert found == sorted(found, reverse=True)
    assert found[0] > 0
    assert error_bound(judged, 2048) == 0


def test_curve_falls_from_one_tile_to_all_and_meets_the_error_found():
    """From (all tiles, 0) to (1, most), through the error of the planes as stored."""
    judged = hilly_planes(8, 16, 5)
    merged = reduce_tiles(judged, 40, no_guard(judged))
    curve = merged.curve
    assert curve[0].tolist() == [merged.before, 0]
    assert curve[-1, 0] == 1
    assert (np.diff(curve[:, 0]) < 0).all()
    assert (np.diff(curve[:, 1]) >= 0).all()
    error = square_error(judged, merged) / (LAB_SCALE**2 * judged.index.size)
    assert curve[curve[:, 0] == 40, 1] == pytest.approx(error)


@pytest.mark.slow
def test_curve_foretells_other_budgets():
    """An estimate within 40 % for half and for twice the budget."""
    judged = hilly_planes(12, 24, 5)
    curve = reduce_tiles(judged, 80, no_guard(judged)).curve[::-1]
    for budget in (40, 160):
        merged = reduce_tiles(judged, budget, no_guard(judged))
        error = square_error(judged, merged) / (LAB_SCALE**2 * judged.index.size)
        told = np.interp(budget, curve[:, 0], curve[:, 1])
        assert error / 1.4 <= told <= error * 1.4


def test_smallest_budget_that_holds_a_quality():
    """It holds, one tile less does not, and few reductions are tried."""
    judged = hilly_planes(8, 16, 5)
    tried: list[int] = []

    def reduce(budget: int) -> Merged:
        tried.append(budget)
        return reduce_tiles(judged, budget, no_guard(judged), "fast")

    def judge(merged: Merged) -> float:
        return -float(square_error(judged, merged))

    wanted = judge(reduce_tiles(judged, 50, no_guard(judged), "fast"))
    merged = fit_budget(reduce, judge, lambda merged: len(merged.cells.tiles), wanted, 2048)
    assert judge(merged) >= wanted
    assert len(merged.cells.tiles) <= 50
    assert judge(reduce(len(merged.cells.tiles) - 1)) < wanted
    assert len(tried) <= 10


def test_a_quality_out_of_reach_is_an_error():
    """It tells the best value reached and a cure."""
    judged = hilly_planes(4, 4, 5)

    def reduce(budget: int) -> Merged:
        return reduce_tiles(judged, budget, no_guard(judged))

    with pytest.raises(LimitError, match=r"quality with 3 patterns: .*ask for less quality"):
        fit_budget(reduce, *[lambda merged: len(merged.cells.tiles)] * 2, 9.0, 3)
