"""Merging in pairs, many at a time, beside one pair at a time."""

from __future__ import annotations

import numpy as np
import pytest
from reduce_samples import hilly_planes, no_guard, square_error

from genbg.reduce import buckets
from genbg.reduce.exact import find_cells
from genbg.reduce.merge import merge_items
from genbg.reduce.metric import Weights, make_form, turn_features
from genbg.reduce.problem import Problem, pose_problem
from genbg.reduce.tiles import reduce_tiles


def sample(rows: int, columns: int, seed: int = 3) -> Problem:
    judged = hilly_planes(rows, columns, seed)
    cells = find_cells(judged.index, judged.row)
    return pose_problem(cells, judged.palette, judged.steps, make_form(Weights(14, 9)))


def spread_of(problem: Problem, label: np.ndarray, flip: np.ndarray) -> float:
    """Squared distance of all items to the centroid of their group, in plain float64."""
    turned = turn_features(problem.kinds.feature, flip).transpose(1, 0, 2).reshape(len(label), -1)
    turned = turned.astype(np.float64)
    uses = np.bincount(problem.kind).astype(np.float64)
    count = np.bincount(label, uses)
    centre = np.zeros((len(count), turned.shape[1]))
    np.add.at(centre, label, turned * uses[:, None])
    centre /= count[:, None]
    return float((uses[:, None] * (turned - centre[label]) ** 2).sum())


def merged_one_by_one(problem: Problem, budget: int) -> float:
    """The cheapest pair again and again, by trying all pairs and flips each time."""
    turned = np.stack(
        [
            turn_features(problem.kinds.feature, np.full(len(problem.kinds.tile), f))
            for f in range(4)
        ]
    )
    turned = turned.transpose(0, 2, 1, 3).reshape(4, len(problem.kinds.tile), -1).astype(np.float64)
    weight = np.bincount(problem.kind).astype(np.float64)
    spent = 0.0
    while len(weight) > budget:
        cost = np.full((len(weight),) * 2, np.inf)
        for way in range(4):
            off = ((turned[0][:, None] - turned[way][None]) ** 2).sum(axis=2)
            cost = np.minimum(cost, off)
        cost *= weight[:, None] * weight / (weight[:, None] + weight)
        np.fill_diagonal(cost, np.inf)
        a, b = np.unravel_index(cost.argmin(), cost.shape)
        spent += cost[a, b]
        ways = ((turned[0][a] - turned[:, b]) ** 2).sum(axis=1)
        best = int(ways.argmin())
        both = weight[a] + weight[b]
        fresh = np.stack(
            [(weight[a] * turned[f][a] + weight[b] * turned[f ^ best][b]) / both for f in range(4)]
        )
        turned[:, a], weight[a] = fresh, both
        turned, weight = np.delete(turned, b, axis=1), np.delete(weight, b)
    return spent


@pytest.mark.parametrize("budget", [10, 25, 50])
def test_many_at_a_time_costs_little_more_than_one_at_a_time(budget):
    """Within 3 % of the plain method of Ward (1963), flips included."""
    problem = sample(6, 12)
    groups = merge_items(
        problem.kinds.feature, np.bincount(problem.kind), problem.kinds.tile, budget
    )
    found = spread_of(problem, groups.label, groups.flip)
    assert found <= 1.03 * merged_one_by_one(problem, budget)


def test_what_merges_cost_is_the_spread_of_the_groups():
    """Costs of merges add up to the squared distance to centroids, but for their rounding."""
    problem = sample(6, 12)
    groups = merge_items(problem.kinds.feature, np.bincount(problem.kind), problem.kinds.tile, 20)
    spread = spread_of(problem, groups.label, groups.flip)
    assert groups.costs.sum() == pytest.approx(spread, rel=0.01)


@pytest.mark.parametrize("budget", [1, 2, 7, 64])
def test_budget_is_reached(budget):
    """Any number of groups down to one."""
    problem = sample(6, 12)
    groups = merge_items(
        problem.kinds.feature, np.bincount(problem.kind), problem.kinds.tile, budget
    )
    assert len(np.unique(groups.label)) == budget
    assert len(groups.costs) == len(problem.kinds.tile) - budget


def test_items_of_one_tile_share_it_until_they_merge():
    """Two rows of one tile need one tile, so fewer merges are enough."""
    problem = sample(6, 12)
    twice = np.concatenate([problem.kinds.feature, problem.kinds.feature], axis=1)
    tile = np.tile(problem.kinds.tile, 2)
    groups = merge_items(twice, np.ones(len(tile)), tile, len(problem.kinds.tile))
    assert len(groups.costs) == 0


def test_equal_items_merge_lowest_first():
    """Ties: among equal pairs the lowest numbers go together."""
    problem = sample(6, 12)
    same = np.repeat(problem.kinds.feature[:, :1], 6, axis=1)
    groups = merge_items(same, np.ones(6), np.arange(6), 5)
    assert groups.label.tolist() == [0, 0, 1, 2, 3, 4]


@pytest.mark.slow
def test_a_long_level_is_merged_in_buckets_as_well_as_in_one_table(monkeypatch):
    """Split into buckets, the error of the whole search stays within 3 %."""
    judged = hilly_planes(16, 32, 3)
    guard = no_guard(judged)
    whole = square_error(judged, reduce_tiles(judged, 80, guard))
    monkeypatch.setattr(buckets, "LARGEST", 200)
    monkeypatch.setattr(buckets, "BUCKET", 100)
    parts = reduce_tiles(judged, 80, guard)
    assert len(parts.cells.tiles) <= 80
    assert square_error(judged, parts) <= 1.03 * whole
