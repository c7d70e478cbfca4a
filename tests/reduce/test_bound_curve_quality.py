"""The bound, the curve of error against budget, and budgets that hold a quality."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from reduce_samples import hilly_planes, no_guard, ramp_palette, square_error

from genbg.colour import LAB_SCALE
from genbg.errors import LimitError
from genbg.model import FittedPlanes, StoredPlanes, reorder
from genbg.reduce.bound import error_bound
from genbg.reduce.quality import fit_budget
from genbg.reduce.tiles import reduce_tiles


def tiny_planes(seed: int) -> tuple[FittedPlanes, np.ndarray]:
    """Four cells of two rows that have little in common."""
    random = np.random.Generator(np.random.PCG64(seed))
    palette, lab = ramp_palette(2)
    palette[2:] = 0
    index = random.integers(1, 16, (1, 8, 32)).astype(np.uint8)
    return FittedPlanes(palette, index, np.array([[[0, 1, 0, 1]]], dtype=np.uint8), True), lab


def exact_optimum(fitted: FittedPlanes, lab: np.ndarray, budget: int) -> float:
    """Least squared error of all: every grouping, every row and flip of every cell, every entry."""
    cells = [fitted.index[0, :, 8 * c : 8 * c + 8] for c in range(4)]
    want = [lab[fitted.palette[fitted.row[0, 0, c]][cells[c]]].astype(np.int64) for c in range(4)]
    ways = []
    for cell in want:
        options = []
        for row, a, b in itertools.product((0, 1), (1, -1), (1, -1)):
            off = cell[::a, ::b, None] - lab[fitted.palette[row]][None, None]
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
    """All ways to share patterns are tried; none goes below the bound, and it is not idle."""
    fitted, lab = tiny_planes(seed)
    optimum = exact_optimum(fitted, lab, budget)
    bound = error_bound(fitted, lab, budget)
    assert 0 < bound <= optimum


def test_bound_is_reached_where_one_pair_must_share():
    """With one pattern too few the bound is half of the exact optimum at least."""
    fitted, lab = tiny_planes(1)
    assert error_bound(fitted, lab, 3) >= exact_optimum(fitted, lab, 3) / 2


def test_bound_holds_against_the_search():
    """The search never goes below it; with enough patterns it is zero; it falls with the budget."""
    fitted, lab = hilly_planes(8, 16, 5, see_through=True)
    found = []
    for budget in (10, 60, 120):
        stored = reduce_tiles(fitted, lab, budget, no_guard(fitted), free=np.ones(4, dtype=bool))
        error = square_error(fitted, stored, lab) / (LAB_SCALE**2 * fitted.index.size)
        assert error_bound(reorder(fitted, stored.order), lab, budget) <= error
        bound = error_bound(fitted, lab, budget)
        found.append(bound)
    assert found == sorted(found, reverse=True)
    assert found[0] > 0
    assert error_bound(fitted, lab, 2048) == 0


def test_curve_falls_from_one_pattern_to_all_and_meets_the_error_found():
    """From (all patterns, 0) to (1, most), through the error of the planes as stored."""
    fitted, lab = hilly_planes(8, 16, 5)
    stored = reduce_tiles(fitted, lab, 40, no_guard(fitted))
    curve = stored.curve
    assert curve[0].tolist() == [stored.before, 0]
    assert curve[-1, 0] == 1
    assert (np.diff(curve[:, 0]) < 0).all()
    assert (np.diff(curve[:, 1]) >= 0).all()
    error = square_error(fitted, stored, lab) / (LAB_SCALE**2 * fitted.index.size)
    assert curve[curve[:, 0] == 40, 1] == pytest.approx(error)


def test_curve_foretells_other_budgets():
    """An estimate within 40 % for half and for twice the budget."""
    fitted, lab = hilly_planes(12, 24, 5)
    curve = reduce_tiles(fitted, lab, 80, no_guard(fitted)).curve[::-1]
    for budget in (40, 160):
        stored = reduce_tiles(fitted, lab, budget, no_guard(fitted))
        error = square_error(fitted, stored, lab) / (LAB_SCALE**2 * fitted.index.size)
        told = np.interp(budget, curve[:, 0], curve[:, 1])
        assert error / 1.4 <= told <= error * 1.4


def test_smallest_budget_that_holds_a_quality():
    """It holds, one pattern less does not, and few reductions are tried."""
    fitted, lab = hilly_planes(8, 16, 5)
    tried: list[int] = []

    def reduce(budget: int) -> StoredPlanes:
        tried.append(budget)
        return reduce_tiles(fitted, lab, budget, no_guard(fitted), "fast")

    def judge(stored: StoredPlanes) -> float:
        return -float(square_error(fitted, stored, lab))

    wanted = judge(reduce_tiles(fitted, lab, 50, no_guard(fitted), "fast"))
    stored = fit_budget(reduce, judge, lambda stored: len(stored.patterns), wanted, 2048)
    assert judge(stored) >= wanted
    assert len(stored.patterns) <= 50
    assert judge(reduce(len(stored.patterns) - 1)) < wanted
    assert len(tried) <= 10


def test_a_quality_out_of_reach_is_an_error():
    """It tells the best value reached and a cure."""
    fitted, lab = hilly_planes(4, 4, 5)

    def reduce(budget: int) -> StoredPlanes:
        return reduce_tiles(fitted, lab, budget, no_guard(fitted))

    with pytest.raises(LimitError, match=r"quality with 3 patterns: .*ask for less quality"):
        fit_budget(reduce, *[lambda stored: len(stored.patterns)] * 2, 9.0, 3)
